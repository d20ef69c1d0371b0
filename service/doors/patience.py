"""How long a device may take to say what it wants, and how many may be on the line at once.

A server that waits for every half-said request for ever is silenced by whoever opens enough of them.
"""

from __future__ import annotations

import asyncio
from typing import ClassVar, Literal

import h11
from uvicorn.protocols.http.h11_impl import H11Protocol

Awaited = Literal["head", "body"]
_BARE = b"HTTP/1.1 %s\r\nconnection: close\r\ncontent-length: 0\r\n%s\r\n"
_TOO_SLOW = _BARE % (b"408 Request Timeout", b"")
_TOO_MANY = _BARE % (b"503 Service Unavailable", b"retry-after: 5\r\n")


class Patient(H11Protocol):
    """One connection: ended when a request does not arrive in time, refused when there are too many."""

    within_s: ClassVar[dict[Awaited, float]] = {"head": 15.0, "body": 60.0}
    """For the lines above the body, then for the body: 8 MiB in a minute are slow for any home network."""
    at_once: ClassVar[int] = 256
    each: ClassVar[int] = 64
    """A browser opens six; one address that opens ever more shuts out itself alone."""

    _awaited: Awaited | None = None
    _clock: asyncio.TimerHandle | None = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Somebody is on the line."""
        super().connection_made(transport)
        if self._are_too_many():
            transport.write(_TOO_MANY)
            transport.close()
        else:
            self._wait_for_more()

    def data_received(self, data: bytes) -> None:
        """Some of a request."""
        super().data_received(data)
        self._wait_for_more()

    def on_response_complete(self) -> None:
        """An answer was given; the next request may have begun behind the one before."""
        super().on_response_complete()
        self._wait_for_more()

    def connection_lost(self, exc: Exception | None) -> None:
        """The line is dead."""
        self._await(None)
        super().connection_lost(exc)

    def _are_too_many(self) -> bool:
        mine = self._address(self)
        same = sum(1 for one in self.connections if self._address(one) == mine)
        return len(self.connections) > self.at_once or same > self.each

    @staticmethod
    def _address(one: object) -> str:
        client: tuple[str, int] | None = getattr(one, "client", None)
        return client[0] if client else ""

    def _wait_for_more(self) -> None:
        if not self.transport.is_closing():
            self._await(self._missing())

    def _missing(self) -> Awaited | None:
        """What must come next; between two requests nothing must, and there is a shorter limit."""
        state = self.conn.their_state
        if state is h11.IDLE and (self.cycle is None or self.conn.trailing_data[0]):
            return "head"
        return "body" if state is h11.SEND_BODY else None

    def _await(self, awaited: Awaited | None) -> None:
        # One clock for the whole of it: a byte now and then does not turn it back.
        if awaited == self._awaited:
            return
        if self._clock is not None:
            self._clock.cancel()
        self._awaited = awaited
        self._clock = self.loop.call_later(self.within_s[awaited], self._give_up) if awaited else None

    def _give_up(self) -> None:
        begun = self.conn.trailing_data[0] or self._awaited == "body"
        answered = self.cycle is not None and self.cycle.response_started
        # An idle line is closed without a word: browsers open some ahead and take one for an answer.
        if begun and (not answered or self._awaited == "head"):
            self.transport.write(_TOO_SLOW)
        self.transport.close()
