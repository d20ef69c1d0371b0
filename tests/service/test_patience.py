"""Over a real socket: requests that never end, and more of them than anybody needs."""

from __future__ import annotations

import asyncio
import socket
import threading
from collections.abc import Iterator
from contextlib import ExitStack, closing, contextmanager
from http.client import HTTPResponse
from pathlib import Path

import pytest
import uvicorn

from service.app import create_app
from service.doors.patience import Patient
from service.serving import uvicorn_config
from tests.service.conftest import until

SHORT_S = 0.3
HANG_S = 30.0
HEALTH = b"GET /api/health HTTP/1.1\r\nhost: localhost\r\n\r\n"
WRITE = b"PUT /api/household HTTP/1.1\r\nhost: localhost\r\ncontent-length: 5000\r\n\r\n"


class Hasty(Patient):
    """The same with limits that a test can wait for."""

    within_s = {"head": SHORT_S, "body": SHORT_S}


class Few(Patient):
    """Few lines, which no slow machine is hurried on."""

    within_s = {"head": HANG_S, "body": HANG_S}
    at_once = 8
    each = 6


@contextmanager
def served(folder: Path, protocol: type[Patient]) -> Iterator[int]:
    """The port of a server in a thread."""
    with socket.create_server(("127.0.0.1", 0)) as listener:
        server = uvicorn.Server(uvicorn_config(create_app(folder), protocol))
        thread = threading.Thread(target=lambda: asyncio.run(server.serve(sockets=[listener])))
        thread.start()
        try:
            yield listener.getsockname()[1]
        finally:
            server.should_exit = True
            thread.join()


@pytest.fixture(scope="module")
def port(tmp_path_factory: pytest.TempPathFactory) -> Iterator[int]:
    with served(tmp_path_factory.mktemp("hasty"), Hasty) as found:
        yield found


@pytest.fixture(scope="module")
def unhurried(tmp_path_factory: pytest.TempPathFactory) -> Iterator[int]:
    with served(tmp_path_factory.mktemp("few"), Few) as found:
        yield found


def line(port: int) -> socket.socket:
    return socket.create_connection(("127.0.0.1", port), timeout=HANG_S)


def rest(asked: socket.socket) -> bytes:
    """Everything until the server hangs up; a server that does not is a failure after half a minute."""
    said = b""
    try:
        while piece := asked.recv(65536):
            said += piece
    except ConnectionResetError:
        # It hung up before it had read all that was sent.
        return said
    return said


def ask(asked: socket.socket) -> int:
    asked.sendall(HEALTH)
    return status(asked)


def status(asked: socket.socket) -> int:
    """The status of an answer that is read to its end, in however many pieces it comes."""
    answer = HTTPResponse(asked)
    answer.begin()
    answer.read()
    return answer.status


def dribble(asked: socket.socket, over: threading.Event) -> None:
    """A byte now and then, for as long as somebody listens."""
    try:
        while not over.wait(SHORT_S / 10):
            asked.sendall(b"a")
    except OSError:
        return


@contextmanager
def dribbling(asked: socket.socket) -> Iterator[None]:
    over = threading.Event()
    thread = threading.Thread(target=dribble, args=(asked, over))
    thread.start()
    try:
        yield
    finally:
        over.set()
        thread.join()


@pytest.mark.parametrize(
    "begun",
    [
        pytest.param(b"GET /api/health HTTP/1.1\r\nhost: localhost\r\nx-slow: a", id="headers"),
        pytest.param(WRITE, id="a body"),
        pytest.param(HEALTH + b"GET /api/heal", id="headers of a second request"),
    ],
)
def test_a_byte_now_and_then_does_not_hold_the_line(port: int, begun: bytes) -> None:
    """RFC 9110, section 15.5.9: 408, and the connection is closed."""
    with line(port) as asked:
        asked.sendall(begun)
        with dribbling(asked):
            assert b" 408 " in rest(asked)


def test_nor_does_a_body_that_nobody_waits_for(port: int) -> None:
    with line(port) as asked:
        asked.sendall(HEALTH.replace(b"\r\n\r\n", b"\r\ncontent-length: 5000\r\n\r\n"))
        with dribbling(asked):
            assert rest(asked).startswith(b"HTTP/1.1 200 ")


def test_a_line_on_which_nothing_is_said_is_closed_without_a_word(port: int) -> None:
    with line(port) as asked:
        assert rest(asked) == b""


def test_a_request_in_pieces_is_answered_and_so_is_the_next(unhurried: int) -> None:
    with line(unhurried) as asked:
        asked.sendall(HEALTH[:20])
        asked.sendall(HEALTH[20:])
        assert status(asked) == 200
        assert ask(asked) == 200


def test_more_lines_than_anybody_needs_are_refused(unhurried: int) -> None:
    """The ones before are still answered, and room comes back with each that is closed."""
    with ExitStack() as stack:
        first, *others = [stack.enter_context(closing(line(unhurried))) for _ in range(Few.each)]
        assert ask(first) == 200
        with line(unhurried) as refused:
            assert rest(refused).startswith(b"HTTP/1.1 503 ")
        assert ask(others[0]) == 200
        for one in others:
            one.close()
        assert until(lambda: welcome(unhurried))


def welcome(port: int) -> bool:
    with line(port) as asked:
        try:
            return ask(asked) == 200
        except ConnectionError:
            # Refused before it had asked: the server has not seen the others go yet.
            return False


def test_the_real_limits() -> None:
    """What a served household has: longer than any tablet needs, shorter than for ever."""
    assert uvicorn_config(None).http is Patient
    assert 5 <= Patient.within_s["head"] <= 30
    assert 30 <= Patient.within_s["body"] <= 120
    assert 20 < Patient.each < Patient.at_once < 1000
