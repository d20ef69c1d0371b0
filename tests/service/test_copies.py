"""Copies and putting them back: one whole file, looked through, and nothing is ever thrown away."""

from __future__ import annotations

import datetime
import shutil
import sqlite3
import stat
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from service.care.copying import back_up
from service.errors import BadInput, FolderError, FolderInUse
from service.store import FolderLock, Store, copies
from service.store.copies import DAYS_KEPT, FILE_NAME, copy_store, daily_copy
from service.store.devices import Devices
from service.store.putback import restore
from tests.service.conftest import Serve, load, until
from tests.service.house import document

DAY = datetime.date(2027, 2, 1)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with closing(Store(tmp_path / "data")) as store:
        store.put_document(document())
        yield store


def _name(folder: Path) -> str:
    with closing(Store(folder)) as store:
        return store.current().document.household.name


def _rename(store: Store, name: str) -> None:
    house = store.current().document.household
    store.put_household(house.model_copy(update={"name": name}))


def test_a_copy_of_a_store_in_use_is_one_whole_file(store: Store, tmp_path: Path) -> None:
    out = back_up(store.folder, tmp_path / "carried.db")
    (tmp_path / "elsewhere").mkdir()
    shutil.copy(out, tmp_path / "elsewhere" / FILE_NAME)
    assert _name(tmp_path / "elsewhere") == "Orchard hedgehogs"
    assert stat.S_IMODE(out.stat().st_mode) == 0o600
    assert not list(tmp_path.glob("*.part"))


def test_copies_by_hand_are_never_written_over(store: Store, tmp_path: Path) -> None:
    made = {back_up(store.folder, None) for _ in range(3)}
    assert len(made) == 3
    (tmp_path / "taken.db").write_text("a letter")
    with pytest.raises(BadInput, match="is there already"):
        back_up(store.folder, tmp_path / "taken.db")
    assert (tmp_path / "taken.db").read_text() == "a letter"


def test_nothing_to_copy(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="nothing kept"):
        back_up(tmp_path, None)


def test_a_copy_each_day_and_two_weeks_of_them(store: Store) -> None:
    for number in range(DAYS_KEPT + 4):
        day = DAY + datetime.timedelta(days=number)
        assert daily_copy(store.folder, day)
        assert daily_copy(store.folder, day) is None, "once a day is enough"
    kept = sorted(one.name for one in copies.copies(store.folder))
    assert len(kept) == DAYS_KEPT
    assert kept[-1] == f"daily-{DAY + datetime.timedelta(days=DAYS_KEPT + 3)}.db"


def test_a_clock_that_falls_back_costs_no_new_copy(store: Store) -> None:
    """A small computer without a battery for its clock wakes up in 1970."""
    for number in range(DAYS_KEPT):
        daily_copy(store.folder, DAY + datetime.timedelta(days=number))
    made = daily_copy(store.folder, datetime.date(1970, 1, 1))
    assert made
    assert made.exists()
    assert len(copies.copies(store.folder)) == DAYS_KEPT


def test_copies_by_hand_are_not_rotated(store: Store) -> None:
    mine = back_up(store.folder, None)
    for number in range(DAYS_KEPT + 2):
        daily_copy(store.folder, DAY + datetime.timedelta(days=number))
    assert mine.exists()


def test_the_server_makes_its_copy(serve: Serve, tmp_path: Path) -> None:
    load(serve())
    (made,) = until(lambda: copies.copies(tmp_path / "data"))
    assert made.name.startswith("daily-")


def test_a_damaged_store_is_not_copied_over_a_good_copy(store: Store, tmp_path: Path) -> None:
    out = tmp_path / "copy.db"
    copy_store(store.folder / FILE_NAME, out)
    before = out.read_bytes()
    store.close()
    _spoil(store.folder / FILE_NAME)
    with pytest.raises(FolderError, match="damaged"):
        copy_store(store.folder / FILE_NAME, out)
    assert out.read_bytes() == before


def test_putting_back_keeps_what_was_there(store: Store) -> None:
    copy = back_up(store.folder, None)
    _rename(store, "Newer")
    store.close()
    done = restore(copy, store.folder)
    assert done.household == "Orchard hedgehogs" == _name(store.folder)
    assert done.kept
    restore(done.kept, store.folder)
    assert _name(store.folder) == "Newer"


def _spoil(file: Path) -> None:
    """Turn over the bytes of every page but the first, as a dying disk might."""
    content = bytearray(file.read_bytes())
    for place in range(4096, len(content), 64):
        content[place] ^= 0xFF
    file.write_bytes(content)


def _cut(file: Path) -> None:
    file.write_bytes(file.read_bytes()[:-5000])


def _empty(file: Path) -> None:
    file.write_bytes(b"")


def _text(file: Path) -> None:
    file.write_text("Dear diary, this is no database. " * 200)


def _other(file: Path) -> None:
    file.unlink()
    with closing(sqlite3.connect(file)) as other:
        other.execute("CREATE TABLE songs (title TEXT)")


def _newer(file: Path) -> None:
    with closing(sqlite3.connect(file)) as newer:
        newer.execute("UPDATE alembic_version SET version_num = 'from_the_future'")
        newer.commit()


def _unreadable(file: Path) -> None:
    with closing(sqlite3.connect(file)) as odd:
        odd.execute("""UPDATE documents SET body = '{"name": 7}' WHERE name = 'household'""")
        odd.commit()


@pytest.mark.parametrize(
    "harm",
    [_spoil, _cut, _empty, _text, _other, _newer, _unreadable, Path.unlink],
    ids=lambda one: one.__name__,
)
def test_a_bad_copy_is_refused_and_the_store_stays(store: Store, tmp_path: Path, harm: object) -> None:
    copy = back_up(store.folder, tmp_path / "copy.db")
    assert callable(harm)
    harm(copy)
    _rename(store, "Precious")
    store.close()
    before = _files(store.folder)
    with pytest.raises(BadInput) as caught:
        restore(copy, store.folder)
    assert str(copy) in caught.value.faults[0].path
    assert _name(store.folder) == "Precious"
    assert _files(store.folder) == before


def _files(folder: Path) -> list[str]:
    return sorted(one.name for one in folder.rglob("*") if one.suffix != ".lock")


def test_a_damaged_store_makes_way_and_is_kept_too(store: Store, tmp_path: Path) -> None:
    copy = back_up(store.folder, tmp_path / "copy.db")
    store.close()
    _spoil(store.folder / FILE_NAME)
    done = restore(copy, store.folder)
    assert _name(store.folder) == "Orchard hedgehogs"
    assert done.kept
    assert done.kept.suffix == ".broken"


def test_nothing_is_put_back_under_a_running_server(store: Store, tmp_path: Path) -> None:
    copy = back_up(store.folder, tmp_path / "copy.db")
    with closing(FolderLock(store.folder)), pytest.raises(FolderInUse):
        restore(copy, store.folder)


def test_a_device_that_was_shut_out_does_not_come_back(store: Store, tmp_path: Path) -> None:
    made = Devices(store).pair(Devices(store).offer(), "A lost tablet")
    assert made
    copy = back_up(store.folder, tmp_path / "copy.db")
    Devices(store).shut_out(Devices(store).all()[0].id)
    store.close()
    restore(copy, store.folder)
    with closing(Store(store.folder)) as again:
        assert Devices(again).known(made.token) is None


def test_a_copy_for_a_new_machine(store: Store, tmp_path: Path) -> None:
    copy = back_up(store.folder, tmp_path / "copy.db")
    assert restore(copy, tmp_path / "new").kept is None
    assert _name(tmp_path / "new") == "Orchard hedgehogs"
