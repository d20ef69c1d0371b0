"""Copies of the store, each one file that is whole in itself, and how many of them are kept."""

from __future__ import annotations

import datetime
import errno
import os
import re
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import NamedTuple

from service.errors import DiskFull, FolderError
from service.store.faults import PUT_BACK, told_plainly
from service.store.moments import now

FILE_NAME = "lapful.db"
FOLDER_NAME = "backups"
DAYS_KEPT = 14
UPDATES_KEPT = 5
WAIT_S = 10.0
_DAILY = re.compile(r"^daily-\d{4}-\d{2}-\d{2}\.db$")
_BEFORE = re.compile(r"^before-(update|restore)-.*\.db$")

__all__ = ["FILE_NAME", "PUT_BACK"]


def flaws(connection: sqlite3.Connection) -> list[str]:
    """What is wrong with a file, in SQLite's words; nothing when it is sound."""
    said = [str(row[0]) for row in connection.execute("PRAGMA integrity_check(5)")]
    loose = connection.execute("PRAGMA foreign_key_check").fetchall()
    found = [] if said == ["ok"] else said
    return found + [f"a row of {row[0]} refers to nothing in {row[2]}" for row in loose[:5]]


class Counts(NamedTuple):
    """How much a store holds."""

    weeks: int
    devices: int


def counts(connection: sqlite3.Connection) -> Counts:
    """Read without bringing an older store up to date."""
    tables = {str(row[0]) for row in connection.execute("SELECT name FROM sqlite_master")}
    asked = {
        "documents": "SELECT count(*) FROM documents WHERE name NOT IN ('household', 'activities')",
        "devices": "SELECT count(*) FROM devices",
    }
    return Counts(
        *(connection.execute(sql).fetchone()[0] if name in tables else 0 for name, sql in asked.items())
    )


def copy_store(source: Path, target: Path) -> Path:
    """Write the store as it stands to one new file, while it may be in use; the copy is looked through.

    Raises
    ------
    LapfulError
        When the source is damaged or the target cannot be written; a target that was there stays.
    """
    _refuse_flaws(source, PUT_BACK)
    part = target.with_name(f"{target.name}.part")
    with _no_leftovers(part):
        # Made before SQLite writes to it, so that nobody else can ever read it.
        os.close(os.open(part, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
        with told_plainly(target), closing(connect(source)) as connection:
            connection.execute("VACUUM INTO ?", (str(part),))
        _refuse_flaws(part, "nothing was replaced")
        to_disk(part)
        os.replace(part, target)
        to_disk(target.parent)
    return target


def connect(file: Path, mode: str = "rw") -> sqlite3.Connection:
    """A plain connection to a file that must be there."""
    try:
        return sqlite3.connect(f"{file.absolute().as_uri()}?mode={mode}", uri=True, timeout=WAIT_S)
    except sqlite3.OperationalError as error:
        raise FolderError(f"{file}: {error}; give a file that can be read") from error


def daily_copy(folder: Path, today: datetime.date | None = None) -> Path | None:
    """Today's copy, unless it was made; the oldest beyond two weeks of them go."""
    day = today or now().astimezone().date()
    target = _place(folder) / f"daily-{day:%Y-%m-%d}.db"
    if target.exists() or not (folder / FILE_NAME).exists():
        return None
    copy_store(folder / FILE_NAME, target)
    _rotate(target, _DAILY, DAYS_KEPT)
    return target


def copies(folder: Path) -> list[Path]:
    """All copies in the data folder, the newest first by when they were written."""
    found = (folder / FOLDER_NAME).glob("*.db")
    return sorted(found, key=lambda one: (one.stat().st_mtime, one.name), reverse=True)


def new_copy_name(folder: Path, kind: str) -> Path:
    """A name for a copy made now that no other copy has."""
    place = _place(folder)
    stamp = f"{now():%Y-%m-%dT%H%M%SZ}"
    names = (
        place / f"{kind}-{stamp}{tail}.db" for tail in ("", *(f"-{number}" for number in range(2, 1000)))
    )
    return next(name for name in names if not name.exists())


def keep_before_update(file: Path, revision: str) -> None:
    """A copy of the file as the older version left it."""
    target = new_copy_name(file.parent, f"before-update-{revision}")
    copy_store(file, target)
    _rotate(target, _BEFORE, UPDATES_KEPT)


def keep_before_restore(file: Path) -> Path:
    """The file that is about to be replaced, kept: a copy if it is sound, itself if it is damaged."""
    target = new_copy_name(file.parent, "before-restore")
    try:
        copy_store(file, target)
    except FolderError:
        return _set_aside(file)
    _rotate(target, _BEFORE, UPDATES_KEPT)
    return target


def _set_aside(file: Path) -> Path:
    target = new_copy_name(file.parent, "damaged").with_suffix(".broken")
    # The log goes first: left behind, it would be played into the file that comes next.
    for tail in ("-wal", "-shm", ""):
        part = file.with_name(file.name + tail)
        if part.exists():
            os.replace(part, target.with_name(target.name + tail))
    return target


def _place(folder: Path) -> Path:
    place = folder / FOLDER_NAME
    try:
        place.mkdir(parents=True, exist_ok=True, mode=0o700)
    except OSError as error:
        raise FolderError(f"{place}: {error.strerror}; let this user write there") from error
    return place


def _rotate(made: Path, kind: re.Pattern[str], kept: int) -> None:
    # Never the one just made: with a clock that fell back it looks like the oldest.
    others = [one for one in copies(made.parent.parent) if kind.match(one.name) and one != made]
    for old in others[kept - 1 :]:
        old.unlink(missing_ok=True)


def _refuse_flaws(file: Path, mend: str) -> None:
    with told_plainly(file), closing(connect(file)) as connection:
        found = flaws(connection)
    if found:
        raise FolderError(f"{file} is damaged ({found[0]}); {mend}")


def to_disk(what: Path) -> None:
    """Wait until a file, or the names in a folder, would outlive a yanked plug."""
    if os.name != "posix" and what.is_dir():
        return
    descriptor = os.open(what, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


@contextmanager
def _no_leftovers(part: Path) -> Iterator[None]:
    part.unlink(missing_ok=True)
    try:
        yield
    except OSError as error:
        if error.errno == errno.ENOSPC:
            raise DiskFull(f"the disk that holds {part.parent} is full; make room, then try again") from error
        raise FolderError(f"{part}: {error.strerror}; let this user write there") from error
    finally:
        part.unlink(missing_ok=True)
