"""``lapful serve``: a folder, a socket, the application, and a word on where to look."""

from __future__ import annotations

import gc
import signal
import socket
import sys
import tempfile
from collections.abc import Iterator
from contextlib import ExitStack, closing, contextmanager
from dataclasses import dataclass
from pathlib import Path

import uvicorn

from service.app import create_app
from service.demo import demo_file
from service.doors.invitation import draw, link
from service.doors.network import EVERY_ADDRESS, LOOPBACK, home_address, is_loopback, shown
from service.doors.patience import Patient
from service.errors import BadInput, LapfulError
from service.files import read_document
from service.leaving import leaving
from service.log import keep_log, note
from service.static import is_built
from service.store import FolderLock, Store, default_folder
from service.trust.keeping import Trust
from service.trust.serving import BothDoors
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
    https: bool = False

    @property
    def speaks(self) -> str:
        """How devices of the home network speak with it."""
        return "https" if self.https else "http"

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
    if wanted.https and not wanted.home_network:
        raise BadInput("--https: it is for the home network; add --home-network (this machine needs none)")
    document = _document(wanted)
    keep_log()
    with ExitStack() as open_things:
        open_things.callback(sys.setswitchinterval, sys.getswitchinterval())
        # Threads take turns more often than usual, so that a long piece of work delays no tablet's reading.
        sys.setswitchinterval(0.001)
        told = open_things.enter_context(leaving())
        plain = LOOPBACK[1] if wanted.https else wanted.listens_on
        listener = open_things.enter_context(_listening(plain, wanted.port))
        folder = open_things.enter_context(_folder(wanted))
        open_things.enter_context(closing(FolderLock(folder)))
        port = listener.getsockname()[1]
        secure = open_things.enter_context(_second_door(folder, port)) if wanted.https else None
        week = _prepare(folder, document, wanted)
        with telling(folder, Serving(host=wanted.listens_on, port=port, scheme=wanted.speaks)):
            _say_where(wanted, port, folder, week)
            app = create_app(
                folder,
                host=wanted.listens_on,
                begin=SolveSettings() if document else None,
                limit_mib=wanted.memory_mib,
                ahead=True,
                speaks=wanted.speaks,
            )
            _serve(told.by_way_of(_server(app, secure)), listener)
            if told.told == signal.SIGINT:
                print("Stopped.")


@contextmanager
def _second_door(folder: Path, port: int) -> Iterator[tuple[socket.socket, Trust]]:
    """The listener for https, towards the home network alone: this machine has its own, plain one."""
    trust = Trust(folder)
    trust.ready()
    with _listening(home_address(EVERY_ADDRESS[0]), port) as listener:
        yield listener, trust


def _document(wanted: Wanted) -> Document | None:
    file = demo_file() if wanted.demo else wanted.household
    return read_document(file) if file else None


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
    print("The home network may knock; only devices that you pair come in.")
    if wanted.https:
        there = shown(home_address(wanted.host), port, "https")
        print(f"They come to {there}/ and must trust what lapful certificate explains.")
    else:
        print("Over plain http, whoever can listen in on this network can read along: use it only in a")
        print("network of your own, or see: lapful certificate")
    if not sys.stdout.isatty():
        # Standard output may be a log, and a log is no place for a secret.
        print("To pair a device: lapful pair")
        return
    with closing(Store(folder)) as store:
        address = link(store, wanted.listens_on, port, wanted.speaks)
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


def _serve(server: uvicorn.Server, listener: socket.socket) -> None:
    # What is loaded by now stays; looking through it for what can go would keep every tablet waiting.
    gc.collect()
    gc.freeze()
    try:
        server.run(sockets=[listener])
    finally:
        note("the server stopped")


def _server(app: object, secure: tuple[socket.socket, Trust] | None) -> uvicorn.Server:
    if secure is None:
        return uvicorn.Server(uvicorn_config(app))
    listener, trust = secure
    context = trust.context()

    def renew() -> None:
        try:
            trust.ready()
            context.load_cert_chain(*trust.server_files)
        except LapfulError as error:
            note("the certificate could not be renewed", why=error.name)

    return BothDoors(uvicorn_config(app), listener, context, renew)
