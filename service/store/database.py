"""One SQLite file: opened safely, brought up to date, held by one server at a time."""

from __future__ import annotations

import os
import sqlite3
import sys
import threading
from importlib import resources
from pathlib import Path
from typing import Any

from alembic import command
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from alembic.util import CommandError
from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.exc import SQLAlchemyError

from service.errors import FolderError, FolderInUse, LapfulError
from service.store.copies import FILE_NAME as FILE_NAME
from service.store.copies import PUT_BACK, WAIT_S, flaws, keep_before_update
from service.store.faults import told_plainly


def default_folder() -> Path:
    """Where this user's data live (XDG Base Directory Specification)."""
    given = os.environ.get("XDG_DATA_HOME", "")
    base = Path(given) if os.path.isabs(given) else Path.home() / ".local" / "share"
    return base / "lapful"


def open_database(folder: Path) -> Engine:
    """The engine of the store in this folder, looked through and with every migration applied.

    Before a migration changes anything, a copy of the file is put into ``backups``.

    Raises
    ------
    LapfulError
        When the folder cannot be written, or its file is damaged, held or from a newer version.
    """
    make_folder(folder)
    file = folder / FILE_NAME
    engine = make_engine(file)
    try:
        with told_plainly(file):
            _bring_up(engine, file)
    except CommandError as error:
        engine.dispose()
        raise FolderError(f"{folder}: written by a newer version of Lapful; update it ({error})") from error
    except SQLAlchemyError as error:
        engine.dispose()
        reason = getattr(error, "orig", None) or error
        raise FolderError(f"{file}: {reason}; {PUT_BACK}") from error
    except LapfulError:
        engine.dispose()
        raise
    return engine


def _bring_up(engine: Engine, file: Path) -> None:
    with engine.connect() as connection:
        driver = connection.connection.driver_connection
        assert isinstance(driver, sqlite3.Connection)
        broken = flaws(driver)
        revision = MigrationContext.configure(connection).get_current_revision()
    if broken:
        raise FolderError(f"{file} is damaged ({broken[0]}); {PUT_BACK}")
    if revision is not None and revision != head_revision():
        # An unknown revision is of a newer version, and is left alone.
        scripts().get_revision(revision)
        keep_before_update(file, revision)
    migrate(engine)


def head_revision() -> str | None:
    """The revision that this version of Lapful works with."""
    return scripts().get_current_head()


def scripts(migrations: Path | None = None) -> ScriptDirectory:
    """The migrations."""
    return ScriptDirectory.from_config(_config(migrations))


def make_folder(folder: Path) -> None:
    """Make the folder for its owner alone, unless it is there."""
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    except OSError as error:
        raise FolderError(f"{folder}: {error.strerror}; give a folder that can be written") from error


def make_engine(file: Path) -> Engine:
    """An engine whose transactions are SQLite's own, foreign keys on, journal written ahead."""
    engine = create_engine(f"sqlite:///{file}", connect_args={"check_same_thread": False, "timeout": WAIT_S})
    event.listen(engine, "connect", _prepare)
    event.listen(engine, "begin", _begin)
    return engine


def _prepare(connection: sqlite3.Connection, _record: Any) -> None:
    # The driver would open transactions late and commit before DDL; we begin them ourselves.
    connection.isolation_level = None
    for pragma in ("journal_mode = WAL", "foreign_keys = ON", "synchronous = FULL"):
        connection.execute(f"PRAGMA {pragma}").close()


def _begin(connection: Connection) -> None:
    # A writer takes the lock at once: a read that turns into a write could lose to another.
    writes = connection.get_execution_options().get("writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def migrate(engine: Engine, target: str = "head", migrations: Path | None = None) -> None:
    """Bring the file to a revision; each step and its record commit together or not at all."""
    config = _config(migrations)
    with engine.connect().execution_options(writes=True) as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, target)


def _config(migrations: Path | None) -> Config:
    config = Config()
    where = migrations or Path(str(resources.files("service"))) / "migrations"
    config.set_main_option("script_location", str(where).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    return config


class Glance:
    """Tells at once whether anything was written since (``PRAGMA data_version``), also by another process."""

    def __init__(self, file: Path) -> None:
        self._connection = sqlite3.connect(file, timeout=0, isolation_level=None, check_same_thread=False)
        self._turn = threading.Lock()

    def now(self) -> int | None:
        """A number that changes with every commit of anybody else; None when it cannot be told now."""
        with self._turn:
            try:
                number: int = self._connection.execute("PRAGMA data_version").fetchone()[0]
            except sqlite3.Error:
                return None
            return number

    def close(self) -> None:
        """Let go of the file."""
        self._connection.close()


class FolderLock:
    """Held as long as a server works in a folder; the system lets go of it when the server dies."""

    def __init__(self, folder: Path) -> None:
        make_folder(folder)
        try:
            self._file = (folder / "lapful.lock").open("w")
        except OSError as error:
            raise FolderError(f"{folder}: {error.strerror}; give a folder that can be written") from error
        if not _try_lock(self._file.fileno()):
            self._file.close()
            raise FolderInUse(f"{folder}: another Lapful server works here; stop it or give another --data")

    def close(self) -> None:
        """Let the next server in."""
        self._file.close()


def _try_lock(descriptor: int) -> bool:
    if sys.platform == "win32":
        import msvcrt

        try:
            msvcrt.locking(descriptor, msvcrt.LK_NBLCK, 1)
        except OSError:
            return False
        return True
    import fcntl

    try:
        fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True
