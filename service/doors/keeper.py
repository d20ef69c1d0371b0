"""The doorkeeper: on the home network only paired devices come in, and only through this door.

Everything is shut unless it is named here, so that a new address is never open by mistake.
"""

from __future__ import annotations

import datetime
from http.cookies import CookieError, SimpleCookie

import anyio
from starlette.datastructures import Headers
from starlette.responses import RedirectResponse
from starlette.types import ASGIApp, Receive, Scope, Send

from service.doors.network import client_address, is_here
from service.doors.tries import Tries
from service.errors import LapfulError, NotPaired
from service.problems import refusal
from service.store import Store, now
from service.store.devices import DEVICES_MOST, Devices, hash_of

COOKIE = "lapful_device"
PAIR_PAGE = "/pair"
AUTHORITY = "/authority.crt"
OPEN = frozenset({PAIR_PAGE, AUTHORITY, "/pair.js", "/pair.css", "/pair.svg", "/api/pairing", "/api/health"})
OPEN_BELOW = ("/api/problems/", "/feed/")
"""Explanations, and calendars: their address is itself a secret, as a phone's calendar cannot pair."""
_LONGEST_TOKEN = 200


class Doorkeeper:
    """ASGI middleware that asks for a device's token."""

    def __init__(self, app: ASGIApp, tries: Tries) -> None:
        self._app = app
        self._tries = tries
        self._let_in: dict[str, tuple[int | None, datetime.date]] = {}
        """Good tokens as hashes, each with the store's glance and the day: good until anything is written."""

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http" or _is_open(scope["path"]) or is_here(scope):
            await self._app(scope, receive, send)
            return
        try:
            await self._admit(scope)
        except LapfulError as error:
            lost = isinstance(error, NotPaired) and _is_page(scope)
            response = RedirectResponse(PAIR_PAGE, 303) if lost else refusal(error)
            await response(scope, receive, send)
            return
        await self._app(scope, receive, send)

    async def _admit(self, scope: Scope) -> None:
        token = _token(Headers(scope=scope))
        if not token:
            raise NotPaired("this device is not paired; ask for a picture to scan with: lapful pair")
        store: Store = scope["app"].state.store
        # Asked for before it is looked up: whoever is shut out meanwhile is looked up again.
        hashed, seen = hash_of(token), (store.glance(), now().date())
        if seen[0] is not None and self._let_in.get(hashed) == seen:
            return
        self._tries.admit(client_address(scope))
        if await anyio.to_thread.run_sync(Devices(store).known, token) is None:
            self._tries.wrong(client_address(scope))
            raise NotPaired("this device was shut out or never let in; pair it again with: lapful pair")
        if len(self._let_in) > DEVICES_MOST:
            self._let_in.clear()
        self._let_in[hashed] = seen


def _is_open(path: str) -> bool:
    return path in OPEN or path.startswith(OPEN_BELOW)


def _is_page(scope: Scope) -> bool:
    wants = Headers(scope=scope).get("accept", "")
    return scope["method"] == "GET" and "text/html" in wants and not scope["path"].startswith("/api/")


def _token(headers: Headers) -> str:
    kind, _, given = headers.get("authorization", "").partition(" ")
    found = given.strip() if kind.lower() == "bearer" else _cookie(headers.get("cookie", ""))
    return found if len(found) <= _LONGEST_TOKEN else ""


def _cookie(header: str) -> str:
    try:
        morsel = SimpleCookie(header).get(COOKIE)
    except CookieError:
        return ""
    return morsel.value if morsel else ""
