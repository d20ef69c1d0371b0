"""``lapful serve``: a folder, a socket, the application, and a word on where to look."""

from __future__ import annotations

import gc
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
from service.doors.invitation import draw, link
from service.doors.network import EVERY_ADDRESS, home_address, is_loopback, shown
from service.doors.patience import Patient
from service.errors import BadInput
from service.files import read_document
from service.log import keep_log, note
from service.static import is_built
from service.store import FolderLock, Store, default_folder
from service.views import SolveSettings
from service.whereabouts import Serving, telling
from solver.domain.document import Document


@dataclass(frozen=True)
class Wanted:
    """What the command line asks for."""

    household: Path | None
    demo: bool
    replace: bool
    data: Path | None
    host: str
    port: int
    home_network: bool = False
    memory_mib: int | None = None

    @property
    def listens_on(self) -> str:
        """The address to listen on: every one of this machine's, once the home network is let in."""
        return EVERY_ADDRESS[0] if self.home_network and is_loopback(self.host) else self.host


def run(wanted: Wanted) -> None:
    """Serve until Ctrl-C.

    Raises
    ------
    LapfulError
        When the port, the folder or the file cannot be used.
    """
    document = _document(wanted)
    signal.signal(signal.SIGTERM, _leave)
    # Threads take turns more often than usual, so that a long piece of work delays no tablet's reading.
    sys.setswitchinterval(0.001)
    keep_log()
    with (
        _listening(wanted.listens_on, wanted.port) as listener,
        _folder(wanted) as folder,
        closing(FolderLock(folder)),
    ):
        week = _prepare(folder, document, wanted)
        port = listener.getsockname()[1]
        with telling(folder, Serving(host=wanted.listens_on, port=port)):
            _say_where(wanted, port, folder, week)
            app = create_app(
                folder,
                host=wanted.listens_on,
                begin=SolveSettings() if document else None,
                limit_mib=wanted.memory_mib,
                ahead=True,
            )
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


def _say_where(wanted: Wanted, port: int, folder: Path, week: str | None) -> None:
    what = f"the week {week}" if week else "an empty household"
    here = wanted.host if is_loopback(wanted.host) else home_address(wanted.host)
    print(f"Lapful shows {what} at {shown(here, port)}/ (Ctrl-C stops it)")
    print(f"Data: {folder}")
    if not is_built():
        print("The page is not built yet: run npm --prefix web ci, then npm --prefix web run build")
    if not is_loopback(wanted.listens_on):
        _say_how_to_pair(wanted, port, folder)
    sys.stdout.flush()


def _say_how_to_pair(wanted: Wanted, port: int, folder: Path) -> None:
    print("The home network may knock; only devices that you pair come in. Over plain http, whoever can")
    print("listen in on this network can read along: use it only in a network of your own.")
    if not sys.stdout.isatty():
        # Standard output may be a log, and a log is no place for a secret.
        print("To pair a device: lapful pair")
        return
    with closing(Store(folder)) as store:
        address = link(store, wanted.listens_on, port)
    print(f"Scan this within five minutes to pair one device (the next one: lapful pair)\n{address}")
    draw(address, sys.stdout)


def uvicorn_config(app: object, protocol: type[Patient] = Patient) -> uvicorn.Config:
    """How uvicorn serves the application."""
    return uvicorn.Config(
        app,  # type: ignore[arg-type]
        http=protocol,
        log_level="warning",
        access_log=False,
        lifespan="on",
        ws="none",
        proxy_headers=False,
        server_header=False,
        log_config=None,
        timeout_graceful_shutdown=1,
    )


def _serve(app: object, listener: socket.socket) -> None:
    # What is loaded by now stays; looking through it for what can go would keep every tablet waiting.
    gc.collect()
    gc.freeze()
    try:
        uvicorn.Server(uvicorn_config(app)).run(sockets=[listener])
    except KeyboardInterrupt:
        print("Stopped.")
    finally:
        note("the server stopped")
