"""Trouble with the disk: what is said, over HTTP and at the start, and that nothing is lost by it."""

from __future__ import annotations

import os
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from service.errors import Busy, DiskFull, FolderError
from service.store import Store, copies, database
from service.store.copies import FILE_NAME
from tests.service.conftest import Serve, load
from tests.service.house import WEEK, document, document_json

NOBODY = 65534


def _store(client: TestClient) -> Store:
    store: Store = client.app.state.store  # type: ignore[attr-defined]
    return store


def test_a_full_disk_changes_nothing(client: TestClient) -> None:
    """SQLite itself refuses to grow beyond max_page_count, as it does when the disk is full."""
    store, before = _store(client), client.get("/api/document").json()
    with store._engine.connect() as connection:
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar()
        connection.exec_driver_sql(f"PRAGMA max_page_count = {pages}")
    big = document_json()
    big["household"]["name"] = "x"
    big["activities"][0]["title"] = "y" * 100
    big["activities"] += [dict(big["activities"][0], id=f"a{number}") for number in range(400)]
    answer = client.put("/api/document", json=big)
    assert answer.status_code == 507
    assert "make room" in answer.json()["detail"].lower()
    assert client.get("/api/document").json() == before
    with store._engine.connect() as connection:
        connection.exec_driver_sql("PRAGMA max_page_count = 1000000")
    assert client.put("/api/document", json=big).status_code == 200


def test_a_file_that_another_program_holds(client: TestClient) -> None:
    store = _store(client)
    with store._engine.connect() as connection:
        connection.exec_driver_sql("PRAGMA busy_timeout = 20")
    with closing(sqlite3.connect(store.folder / FILE_NAME)) as other:
        other.execute("BEGIN IMMEDIATE")
        answer = client.put(f"/api/weeks/{WEEK}/wishes", json=[])
        assert answer.status_code == 503
        assert answer.headers["retry-after"]
        assert len(client.get(f"/api/weeks/{WEEK}").json()["wishes"]) == 2, "reading goes on meanwhile"
    assert client.put(f"/api/weeks/{WEEK}/wishes", json=[]).status_code == 200


def test_a_held_file_at_the_start(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with closing(Store(tmp_path)) as store:
        store.put_document(document())
    monkeypatch.setattr(database, "WAIT_S", 0.02)
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as other:
        other.execute("PRAGMA locking_mode = EXCLUSIVE")
        other.execute("BEGIN EXCLUSIVE")
        with pytest.raises(Busy, match="another program holds"):
            Store(tmp_path)


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder that every user may look into, with a store of ours in it."""
    with tempfile.TemporaryDirectory() as place:
        os.chmod(place, 0o755)
        folder = Path(place, "data")
        with closing(Store(folder)) as store:
            store.put_document(document())
        yield folder


@contextmanager
def _without_leave(folder: Path) -> Iterator[None]:
    """The folder and all in it may be read but not written, not even by the superuser running the tests."""
    parts = [folder, *folder.rglob("*")]
    for part in parts:
        os.chmod(part, 0o555 if part.is_dir() else 0o444)
    was = os.geteuid()
    if was == 0:
        os.seteuid(NOBODY)
    try:
        yield
    finally:
        if was == 0:
            os.seteuid(0)
        for part in parts:
            os.chmod(part, 0o755 if part.is_dir() else 0o644)


def test_a_folder_that_may_only_be_read(open_folder: Path) -> None:
    with _without_leave(open_folder), pytest.raises(FolderError, match=r"[Ll]et this user"):
        Store(open_folder)
    with closing(Store(open_folder)) as store:
        assert store.current().document == document()


def test_no_new_folder_where_nothing_may_be_written(open_folder: Path) -> None:
    with _without_leave(open_folder), pytest.raises(FolderError, match="Permission denied"):
        Store(open_folder / "new")


def test_a_copy_where_nothing_may_be_written(open_folder: Path, tmp_path: Path) -> None:
    target = Path(tempfile.gettempdir()) / "no-such-folder-of-ours" / "copy.db"
    with pytest.raises(FolderError, match="No such file"):
        copies.copy_store(open_folder / FILE_NAME, target)


def test_a_damaged_page_is_found_at_the_start(tmp_path: Path) -> None:
    with closing(Store(tmp_path)) as store:
        store.put_document(document())
    file = tmp_path / FILE_NAME
    content = bytearray(file.read_bytes())
    content[4096 : 4096 + 600] = b"\xa5" * 600
    file.write_bytes(content)
    with pytest.raises(FolderError, match=r"damaged.*lapful restore"):
        Store(tmp_path)
    assert file.read_bytes() == content, "a damaged file is left as it is found"


def test_a_row_that_refers_to_nothing_is_found(tmp_path: Path) -> None:
    with closing(Store(tmp_path)) as store:
        store.put_document(document())
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as loose:
        loose.execute("INSERT INTO plans VALUES (1, '1999-W01', 'then', 'x', '{}')")
        loose.commit()
    with pytest.raises(FolderError, match="refers to nothing"):
        Store(tmp_path)


def test_kept_data_that_this_version_cannot_read(tmp_path: Path) -> None:
    with closing(Store(tmp_path)) as store:
        store.put_document(document())
    with closing(sqlite3.connect(tmp_path / FILE_NAME)) as odd:
        odd.execute("""UPDATE documents SET body = '[{"id": 1}]' WHERE name = 'activities'""")
        odd.commit()
    with pytest.raises(FolderError, match="cannot read what is kept there"):
        Store(tmp_path)


def test_a_disk_that_fills_up_before_the_copy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """No half copy is left, and the good one of before stays."""
    with closing(Store(tmp_path)) as store:
        store.put_document(document())
    good = copies.copy_store(tmp_path / FILE_NAME, tmp_path / "copy.db").read_bytes()

    def full(_what: Path) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(copies, "to_disk", full)
    with pytest.raises(DiskFull):
        copies.copy_store(tmp_path / FILE_NAME, tmp_path / "copy.db")
    assert (tmp_path / "copy.db").read_bytes() == good
    assert not list(tmp_path.glob("*.part"))


def test_reading_goes_on_while_somebody_writes(serve: Serve) -> None:
    client = serve()
    load(client)
    with _store(client)._write() as connection:
        connection.exec_driver_sql("UPDATE documents SET position = position")
        assert client.get("/api/household").status_code == 200
