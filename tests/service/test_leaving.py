"""Being told to stop, at the worst moment."""

from __future__ import annotations

import os
import signal
import sys
import weakref

import pytest
import uvicorn

from service.leaving import leaving
from service.serving import uvicorn_config


class Acorn:
    """Something that is thrown away."""


def server() -> uvicorn.Server:
    return uvicorn.Server(uvicorn_config(None))


def test_a_signal_while_rubbish_is_taken_out_is_not_lost(monkeypatch: pytest.MonkeyPatch) -> None:
    """Python drops what is raised in a weak reference's callback (weakref, library reference)."""
    dropped: list[object] = []
    monkeypatch.setattr(sys, "unraisablehook", lambda what: dropped.append(what.exc_type))
    with leaving() as told:
        acorn = Acorn()
        kept = weakref.ref(acorn, lambda _: os.kill(os.getpid(), signal.SIGINT))
        del acorn
        assert kept() is None
        assert dropped == [KeyboardInterrupt]
        assert told.by_way_of(server()).should_exit


@pytest.mark.parametrize(
    ("number", "error"), [(signal.SIGINT, KeyboardInterrupt), (signal.SIGTERM, SystemExit)]
)
def test_before_there_is_a_server_it_ends_what_runs(number: int, error: type[BaseException]) -> None:
    with leaving(), pytest.raises(error):
        os.kill(os.getpid(), number)


def test_once_there_is_a_server_it_ends_in_order() -> None:
    with leaving() as told:
        serves = told.by_way_of(server())
        assert not serves.should_exit
        os.kill(os.getpid(), signal.SIGTERM)
        assert serves.should_exit


def test_afterwards_all_is_as_before() -> None:
    numbers = (signal.SIGINT, signal.SIGTERM)
    before = [signal.getsignal(number) for number in numbers]
    with leaving():
        assert [signal.getsignal(number) for number in numbers] != before
    assert [signal.getsignal(number) for number in numbers] == before
