"""What need not be waited for goes on beside: in a second process that begins with all this one knows."""

from __future__ import annotations

import os
import signal
import threading
import warnings
from collections.abc import Iterable
from multiprocessing.connection import Connection
from types import TracebackType
from typing import Generic, NoReturn, TypeVar

COPIES = hasattr(os, "fork")
"""Whether the system can copy a process (Windows cannot)."""
A_MOMENT = 0.05
"""Seconds after which whoever waits looks whether it is over."""

T = TypeVar("T")


class Beside(Generic[T]):
    """Goes through something while the body of a ``with`` is at work; ``latest`` is the last that came.

    In a second process where ``apart`` (only where the system ``COPIES``): what comes is sent here, so it
    must be fit to pickle, and what has not come when the body ends is given up: it may be without end.
    Otherwise it is gone through to its end before the body.
    """

    def __init__(self, items: Iterable[T], latest: T, apart: bool) -> None:
        self.latest = latest
        self._items = items
        self._apart = apart
        self._child = 0
        self._come: Connection
        self._error: Exception | None = None
        self._taking = threading.Thread(target=self._take_in, daemon=True)
        self._over = threading.Event()

    def __enter__(self) -> Beside[T]:
        if self._apart:
            ours, theirs = os.pipe()
            parent = os.getpid()
            with warnings.catch_warnings():
                # Python warns where other threads run: the copy asks for none of the locks they may hold.
                warnings.simplefilter("ignore", DeprecationWarning)
                self._child = os.fork()
            if not self._child:
                os.close(ours)
                _send_all(self._items, Connection(theirs, readable=False), parent)
            os.close(theirs)
            self._come = Connection(ours, writable=False)
            # A pipe holds little: one that nobody reads would stop the other process.
            self._taking.start()
        else:
            for item in self._items:
                self.latest = item
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if not self._child:
            return
        os.kill(self._child, signal.SIGKILL)
        os.waitpid(self._child, 0)
        self._over.set()
        self._taking.join()
        self._come.close()
        if error is None and self._error:
            raise self._error

    def wait(self, seconds: float) -> bool:
        """Wait so long at most for the rest; whether all has come (what is without end never has)."""
        if self._child:
            self._taking.join(seconds)
        return not self._taking.is_alive()

    def _take_in(self) -> None:
        while not self._over.is_set() or self._come.poll():
            if not self._come.poll(A_MOMENT):
                continue
            try:
                came = self._come.recv()
            except (EOFError, OSError):
                # That was all; the last of it may have been cut short.
                return
            if isinstance(came, Exception):
                self._error = came
                return
            self.latest = came


def _send_all(items: Iterable[object], to: Connection, parent: int) -> NoReturn:
    """What the second process does, and no more: nothing of the first one's may run to its end here."""
    try:
        signal.signal(signal.SIGINT, signal.SIG_IGN)
        for item in items:
            if os.getppid() != parent:
                break
            to.send(item)
    except Exception as error:
        to.send(error)
    finally:
        os._exit(0)
