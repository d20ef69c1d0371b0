"""What SQLite complains of, as errors of ours with the mend."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from sqlalchemy.exc import DBAPIError

from service.errors import Busy, DiskFull, FolderError, LapfulError

PUT_BACK = "put back a backup with: lapful restore FILE"
_Make = Callable[[Path], LapfulError]
_KINDS: dict[int, _Make] = {
    sqlite3.SQLITE_FULL: lambda file: DiskFull(
        f"the disk that holds {file.parent} is full; nothing was changed. Make room, then try again"
    ),
    sqlite3.SQLITE_BUSY: lambda file: Busy(
        f"another program holds {file}; nothing was changed. Close it, then try again"
    ),
    sqlite3.SQLITE_LOCKED: lambda file: Busy(f"{file} is locked; nothing was changed. Try again in a moment"),
    sqlite3.SQLITE_READONLY: lambda file: FolderError(
        f"{file} may be read but not written; nothing was changed. Let this user write there"
    ),
    sqlite3.SQLITE_CANTOPEN: lambda file: FolderError(
        f"{file} cannot be opened; let this user read and write {file.parent}"
    ),
    sqlite3.SQLITE_CORRUPT: lambda file: FolderError(f"{file} is damaged; {PUT_BACK}"),
    sqlite3.SQLITE_NOTADB: lambda file: FolderError(f"{file} is no store of Lapful or damaged; {PUT_BACK}"),
    sqlite3.SQLITE_IOERR: lambda file: FolderError(
        f"{file}: the disk gave an error; nothing was changed. Look at the disk, then {PUT_BACK}"
    ),
}
_FIRST_BYTE = 0xFF
"""The primary code of an extended result code (SQLite, "Result and Error Codes")."""


def trouble(error: BaseException, file: Path) -> LapfulError | None:
    """Our error for one of SQLite's, or None when it is a bug rather than trouble with the disk."""
    original = error.orig if isinstance(error, DBAPIError) else error
    code = getattr(original, "sqlite_errorcode", None)
    make = _KINDS.get(code & _FIRST_BYTE) if isinstance(code, int) else None
    return make(file) if make else None


@contextmanager
def told_plainly(file: Path) -> Iterator[None]:
    """Whatever the disk does to the file inside is raised as an error of ours."""
    try:
        yield
    except (DBAPIError, sqlite3.Error) as error:
        ours = trouble(error, file)
        if ours is None:
            raise
        raise ours from error
