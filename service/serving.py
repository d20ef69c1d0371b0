"""``lapful serve``: a folder, a socket, the application, and a word on where to look."""

from __future__ import annotations

import signal
import socket
import sys
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import NoReturn

import uvicorn

from service.app import create_app
from service.demo import demo_file
from service.errors import BadInput
from service.files import read_document
from service.static import is_built
from service.store import FolderLock, Store, default_folder
from service.views import SolveSettings
from solver.domain.document import Document

_LOOPBACK = ("127.0.0.1", "localhost", "::1")


@dataclass(frozen=True)
class Wanted:
    """What the command line asks for."""

    household: Path | None
    demo: bool
    replace: bool
    data: Path | None
    host: str
    port: int


def run(wanted: Wanted) -> None:
    """Serve until Ctrl-C.

    Raises
    ------
    LapfulError
        When the port, the folder or the file cannot be used.
    """
    document = _document(wanted)
    signal.signal(signal.SIGTERM, _leave)
    with (
        _listening(wanted.host, wanted.port) as listener,
        _folder(wanted) as folder,
        closing(FolderLock(folder)),
    ):
        week = _prepare(folder, document, wanted)
        _say_where(wanted, listener, folder, week)
        app = create_app(folder, host=wanted.host, begin=SolveSettings() if document else None)
        _serve(app, listener)


def _document(wanted: Wanted) -> Document | None:
    file = demo_file() if wanted.demo else wanted.household
    return read_document(file) if file else None


def _leave(_number: int, _frame: object) -> NoReturn:
    sys.exit(0)


@contextmanager
def _listening(host: str, port: int) -> Iterator[socket.socket]:
    try:
        family, kind, protocol, _, address = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
        listener = socket.socket(family, kind, protocol)
    except (OSError, UnicodeError) as error:
        raise BadInput(f"--host: {host} is no address of this machine ({error}); try 127.0.0.1") from error
    with listener:
        if sys.platform != "win32":
            listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listener.bind(address)
            listener.listen(128)
        except OSError as error:
            hint = "stop what uses it, or give another --port (0 picks a free one)"
            raise BadInput(f"--port: {host}:{port} cannot be used ({error.strerror}); {hint}") from error
        yield listener


@contextmanager
def _folder(wanted: Wanted) -> Iterator[Path]:
    if wanted.data or not wanted.demo:
        yield wanted.data or default_folder()
        return
    with tempfile.TemporaryDirectory(prefix="lapful-demo-") as folder:
        yield Path(folder)


def _prepare(folder: Path, document: Document | None, wanted: Wanted) -> str | None:
    """Put the household in; the first week of what the folder then holds."""
    with closing(Store(folder)) as store:
        if document:
            _put(store, document, wanted)
        return store.current().document.weeks[0].id if store.has_household() else None


def _put(store: Store, document: Document, wanted: Wanted) -> None:
    if not store.has_household():
        store.put_document(document)
        return
    kept = store.current().document
    same_demo = wanted.demo and kept.household.name == document.household.name
    if kept == document or (same_demo and not wanted.replace):
        return
    if not wanted.replace:
        hint = "leave the file out to serve that, give another --data, or add --replace to put the file there"
        raise BadInput(f"--data: {store.folder} already holds {kept.household.name!r} as it is now; {hint}")
    store.put_document(document)


def _say_where(wanted: Wanted, listener: socket.socket, folder: Path, week: str | None) -> None:
    port = listener.getsockname()[1]
    shown = f"[{wanted.host}]" if ":" in wanted.host else wanted.host
    what = f"the week {week}" if week else "an empty household"
    print(f"Lapful shows {what} at http://{shown}:{port}/ (Ctrl-C stops it)")
    print(f"Data: {folder}")
    if not is_built():
        print("The page is not built yet: run npm --prefix web ci, then npm --prefix web run build")
    if wanted.host not in _LOOPBACK:
        print("Everybody in this network can read and change the family's week at this address.")
    sys.stdout.flush()


def _serve(app: object, listener: socket.socket) -> None:
    config = uvicorn.Config(
        app,  # type: ignore[arg-type]
        log_level="warning",
        access_log=False,
        lifespan="on",
        ws="none",
        proxy_headers=False,
        server_header=False,
        timeout_graceful_shutdown=1,
    )
    try:
        uvicorn.Server(config).run(sockets=[listener])
    except KeyboardInterrupt:
        print("Stopped.")
