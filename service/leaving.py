"""Being told to stop, at any moment: also while an exception would be lost."""

from __future__ import annotations

import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager

import uvicorn


class Leaving:
    """What SIGINT and SIGTERM do: end what runs by an exception, and the server, once it is there, in order.

    An exception that is raised while the garbage collector is at work is thrown away; so it is noted too.
    """

    def __init__(self) -> None:
        self.told: int | None = None
        self._server: uvicorn.Server | None = None

    def __call__(self, number: int, _frame: object) -> None:
        """A signal came."""
        self.told = number
        if self._server is not None:
            self._server.should_exit = True
        elif number == signal.SIGINT:
            raise KeyboardInterrupt
        else:
            sys.exit(0)

    def by_way_of(self, server: uvicorn.Server) -> uvicorn.Server:
        """From now on a signal ends this server; one that came before is not forgotten."""
        self._server = server
        server.should_exit = self.told is not None
        return server


@contextmanager
def leaving() -> Iterator[Leaving]:
    """Listen for both signals inside; afterwards they do what they did before."""
    listens = Leaving()
    numbers = (signal.SIGINT, signal.SIGTERM)
    before = [signal.signal(number, listens) for number in numbers]
    try:
        yield listens
    finally:
        for number, handler in zip(numbers, before, strict=True):
            signal.signal(number, handler)
