"""Putting a copy back in place of the store: looked through first, and nothing is thrown away."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import NamedTuple

from service.errors import BadInput, Busy, LapfulError
from service.store.copies import FILE_NAME, connect, copy_store, keep_before_restore, to_disk
from service.store.database import FolderLock, make_folder
from service.store.devices import Devices
from service.store.kept import Store
from solver.domain.faults import Fault


class Restored(NamedTuple):
    """What was put back, and where that which was there before is kept."""

    household: str | None
    kept: Path | None


def restore(file: Path, folder: Path) -> Restored:
    """Let this copy take the place of the store in the folder, which no server may be using.

    Devices are not put back: one that was shut out since the copy was made must not come in again.

    Raises
    ------
    LapfulError
        When the copy is damaged, no store, or from a newer version; the store stays as it is.
    """
    make_folder(folder)
    with closing(FolderLock(folder)), _tried_out(file, folder) as (fresh, household):
        kept = _make_way(folder / FILE_NAME)
        os.replace(fresh, folder / FILE_NAME)
        to_disk(folder)
        return Restored(household, kept)


@contextmanager
def _tried_out(file: Path, folder: Path) -> Iterator[tuple[Path, str | None]]:
    """The copy as a store of its own beside the real one, brought up to date."""
    aside = folder / "restoring"
    shutil.rmtree(aside, ignore_errors=True)
    aside.mkdir(mode=0o700)
    try:
        yield aside / FILE_NAME, _opened(file, aside)
    finally:
        shutil.rmtree(aside, ignore_errors=True)


def _opened(file: Path, aside: Path) -> str | None:
    if not file.is_file():
        raise _refused(file, "there is no such file; name a copy that lapful backup made")
    try:
        copy_store(file, aside / FILE_NAME)
        _must_be_ours(aside / FILE_NAME)
        with closing(Store(aside)) as store:
            Devices(store).forget_all()
            return store.current().document.household.name if store.has_household() else None
    except LapfulError as error:
        said = error.detail.replace(str(aside / FILE_NAME), "it").split("; ")[0]
        raise _refused(file, f"{said}; nothing was changed, try another copy") from error


def _must_be_ours(file: Path) -> None:
    with closing(connect(file)) as connection:
        names = {row[0] for row in connection.execute("SELECT name FROM sqlite_master")}
    if not {"alembic_version", "documents"} <= names:
        raise BadInput("it is no store of Lapful")


def _make_way(file: Path) -> Path | None:
    if not file.exists():
        return None
    kept = keep_before_restore(file)
    log = file.with_name(f"{file.name}-wal")
    # The last to close the old file takes its log along; a log left behind would be played into the new.
    if log.exists() and log.stat().st_size:
        raise Busy(f"another program holds {file}; nothing was changed. Close it, then try again")
    for tail in ("-wal", "-shm"):
        file.with_name(file.name + tail).unlink(missing_ok=True)
    return kept


def _refused(file: Path, message: str) -> BadInput:
    return BadInput(message, [Fault(path=str(file), message=message)])
