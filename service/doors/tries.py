"""Counts wrong tries, so that guessing is not worth while."""

from __future__ import annotations

import threading
import time
from collections import deque
from collections.abc import Callable

from service.errors import TooOften

EACH = 10
TOGETHER = 60
WINDOW_S = 60.0
PLACES_MOST = 1000


class Tries:
    """Wrong tries of the last minute, by address and together. A clock that is set does not matter."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._all: deque[tuple[float, str]] = deque()
        self._turn = threading.Lock()

    def admit(self, address: str) -> None:
        """Let somebody try.

        Raises
        ------
        TooOften
            When too many tries from there, or from everywhere together, were wrong.
        """
        with self._turn:
            self._forget()
            mine = sum(1 for _, who in self._all if who == address)
            if mine >= EACH or len(self._all) >= TOGETHER:
                raise TooOften("too many wrong tries came in the last minute; wait a minute, then try again")

    def wrong(self, address: str) -> None:
        """Count a wrong try."""
        with self._turn:
            self._all.append((self._clock(), address))
            self._forget()

    def _forget(self) -> None:
        old = self._clock() - WINDOW_S
        while self._all and (self._all[0][0] <= old or len(self._all) > PLACES_MOST):
            self._all.popleft()
