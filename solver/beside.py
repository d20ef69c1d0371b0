"""What need not be waited for goes on beside: in a second process that begins with all this one knows."""

from __future__ import annotations

import os
import signal
import warnings
from collections.abc import Iterable
from multiprocessing.connection import Connection
from types import TracebackType
from typing import Generic, NoReturn, TypeVar

T = TypeVar("T")


class Beside(Generic[T]):
    """Goes through something while the body of a ``with`` is at work; ``latest`` is the last that came.

    In a second process where ``apart`` and the system can copy one (Windows cannot): what comes is sent here,
    so it must be fit to pickle, and what has not come when the body ends is given up. Otherwise it is gone
    through to its end before the body.
    """

    def __init__(self, items: Iterable[T], latest: T, apart: bool) -> None:
        self.latest = latest
        self._items = items
        self._apart = apart and hasattr(os, "fork")
        self._child = 0
        self._come: Connection

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
        with self._come:
            if error is None:
                self._take_in()

    def _take_in(self) -> None:
        while self._come.poll():
            try:
                came = self._come.recv()
            except (EOFError, OSError):
                # That was all; the last of it may have been cut short.
                return
            if isinstance(came, Exception):
                raise came
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
