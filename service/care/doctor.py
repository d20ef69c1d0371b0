"""A look at everything that a family's server needs, with what to do about it."""

from __future__ import annotations

import datetime
import platform
import shutil
import socket
import sqlite3
import sys
from collections.abc import Iterator
from contextlib import closing
from importlib.metadata import PackageNotFoundError, version
from pathlib import Path
from typing import NamedTuple

from service.doors.network import home_address, is_loopback, shown
from service.errors import LapfulError
from service.routes import our_version
from service.static import is_built
from service.store.copies import FILE_NAME, connect, copies, counts, flaws
from service.store.faults import told_plainly
from service.whereabouts import Serving, whereabouts

_MIB = 1024 * 1024
ROOM_MIB = 500
COPY_DAYS = 3


class Finding(NamedTuple):
    """One thing that was looked at."""

    well: bool
    what: str
    mend: str = ""

    @property
    def line(self) -> str:
        """The finding in one line."""
        return f"{'well ' if self.well else 'LOOK '} {self.what}" + (f": {self.mend}" if self.mend else "")


def findings(folder: Path, port: int) -> list[Finding]:
    """Everything that was looked at, nothing changed by it."""
    serving = whereabouts(folder) if folder.is_dir() else None
    return [*_versions(), *_folder(folder), *_store(folder), *_reach(serving, port)]


def _versions() -> Iterator[Finding]:
    parts = ", ".join(f"{name} {_version(name)}" for name in ("ortools", "fastapi", "sqlalchemy", "pydantic"))
    python = f"Python {platform.python_version()}, SQLite {sqlite3.sqlite_version}"
    yield Finding(True, f"Lapful {our_version()} on {python}, {platform.system()} {platform.machine()}")
    yield Finding("missing" not in parts, parts, "install Lapful again" if "missing" in parts else "")
    built = is_built()
    yield Finding(built, "the page is there" if built else "the page is not built", "" if built else _BUILD)


_BUILD = "npm --prefix web ci && npm --prefix web run build, or install the wheel"


def _version(name: str) -> str:
    try:
        return version(name)
    except PackageNotFoundError:
        return "missing"


def _folder(folder: Path) -> Iterator[Finding]:
    if not folder.is_dir():
        yield Finding(True, f"nothing is kept in {folder} yet", "lapful serve makes it")
        return
    mode = folder.stat().st_mode & 0o077
    shut = not mode or sys.platform == "win32"
    yield Finding(shut, f"data folder {folder}", "" if shut else f"others may look in; chmod 700 {folder}")
    free = shutil.disk_usage(folder).free // _MIB
    enough = free >= ROOM_MIB
    yield Finding(enough, f"{free} MiB free on its disk", "" if enough else "make room before it is full")


def _store(folder: Path) -> Iterator[Finding]:
    file = folder / FILE_NAME
    if not file.is_file():
        return
    try:
        with told_plainly(file), closing(connect(file)) as connection:
            broken = flaws(connection)
            kept = None if broken else counts(connection)
    except LapfulError as error:
        yield Finding(False, "the store cannot be read", error.detail)
        return
    size = file.stat().st_size / _MIB
    mend = f"{broken[0]}; put back a copy with: lapful restore FILE" if broken else ""
    yield Finding(not broken, f"the store is {'damaged' if broken else 'sound'} ({size:.1f} MiB)", mend)
    if kept:
        yield Finding(True, f"{kept.weeks} weeks are kept, {kept.devices} devices are paired")
    yield _newest_copy(folder)


def _newest_copy(folder: Path) -> Finding:
    found = copies(folder)
    if not found:
        return Finding(False, "there is no copy yet", "run lapful backup; the server makes one each day")
    written = datetime.datetime.fromtimestamp(found[0].stat().st_mtime)
    days = (datetime.datetime.now() - written).days
    well = days <= COPY_DAYS
    mend = "" if well else "run lapful backup; the server makes one each day while it runs"
    return Finding(well, f"{len(found)} copies, the newest of {written:%Y-%m-%d %H:%M} ({found[0]})", mend)


def _reach(serving: Serving | None, port: int) -> Iterator[Finding]:
    if serving is None:
        free = _is_free(port)
        mend = "" if free else "something else uses it; lapful serve --port 0 picks a free one"
        yield Finding(
            free, f"no server runs in this folder; port {port} is {'free' if free else 'taken'}", mend
        )
        return
    yield Finding(True, f"a server runs here: {shown('127.0.0.1', serving.port)}/")
    if is_loopback(serving.host):
        yield Finding(True, "no tablet can reach it", "for one, serve with --home-network, then: lapful pair")
    else:
        yield Finding(
            True, f"a tablet finds it at {shown(home_address(serving.host), serving.port, serving.scheme)}/"
        )


def _is_free(port: int) -> bool:
    with socket.socket() as asked:
        try:
            asked.bind(("127.0.0.1", port))
        except OSError:
            return False
        return True
