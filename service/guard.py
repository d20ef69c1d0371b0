"""The gate: which host is meant, who may write, how many bytes come in, which headers go out."""

from __future__ import annotations

import ipaddress
import itertools
import json
import re
from urllib.parse import urlsplit

import anyio
from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.doors.network import EVERY_ADDRESS, machine_names
from service.errors import BrokenJson, CrossSite, LapfulError, TooLarge, WrongHost
from service.problems import refusal

MIB = 1024 * 1024
BODY_LIMIT = 8 * MIB
WHOLE_LIMIT = 64 * MIB
"""A whole household brings its printables and photos along; still more comes in by ``lapful import``."""
_READS = ("GET", "HEAD", "OPTIONS")
NESTING_LIMIT = 64
VALUES_LIMIT = 10_000
_SOON_LOOKED_AT = 32 * 1024
"""So many bytes are looked at sooner than they are sent to a thread."""
VALUES_LIMIT_OF_HOUSEHOLDS = 200_000
_HOUSEHOLDS = re.compile(r"^/api/(document|whole|household|activities|weeks/[^/]+/wishes)$")
"""Each wrong value is spelled out in the answer, so their number is bounded; what takes whole households
takes more of them, and answers in short (``service.bounds``)."""
_HEADERS = {
    "content-security-policy": "default-src 'self'; base-uri 'none'; form-action 'self'; "
    "frame-ancestors 'none'; object-src 'none'",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), geolocation=(), microphone=()",
    "referrer-policy": "no-referrer",
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
}


class Guard:
    """ASGI middleware around everything, so that no answer escapes it."""

    def __init__(self, app: ASGIApp, host: str = "127.0.0.1") -> None:
        self._app = app
        self._names = {"localhost", "127.0.0.1", "::1", host.strip("[]").lower()}
        # Rebinding needs a name; a bare address in the Host header is what it says.
        self._any_address = host.strip("[]") in EVERY_ADDRESS
        if self._any_address:
            self._names |= machine_names()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        dressed = _with_headers(scope, send)
        try:
            self._admit(scope)
        except LapfulError as error:
            await refusal(error)(scope, receive, dressed)
            return
        await self._app(scope, receive, dressed)

    def _admit(self, scope: Scope) -> None:
        headers = Headers(scope=scope)
        host = headers.get("host", "")
        if not self._knows(host):
            raise WrongHost(f"this server does not answer to {host[:80]!r}; use the address it printed")
        if scope["method"] not in _READS and _from_elsewhere(headers, host):
            raise CrossSite("the change came from a page of another site; use this server's own page")
        length = headers.get("content-length", "0")
        most = _most_bytes(scope)
        if not length.isdecimal() or int(length) > most:
            raise _too_large(most)

    def _knows(self, host: str) -> bool:
        name = host_name(host)
        return name in self._names or (self._any_address and _is_address(name))


class Scales:
    """ASGI middleware behind the door: reads what is sent and refuses what is too much, before it comes in.

    Whoever is not let in is not read either: a whole household is heavy.
    """

    def __init__(self, app: ASGIApp) -> None:
        self._app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "http" and scope["method"] not in _READS:
            most = VALUES_LIMIT_OF_HOUSEHOLDS if _HOUSEHOLDS.match(scope["path"]) else VALUES_LIMIT
            try:
                receive = await _read_whole(receive, _most_bytes(scope), most)
            except LapfulError as error:
                await refusal(error)(scope, receive, send)
                return
        await self._app(scope, receive, send)


def host_name(host: str) -> str:
    """The name in a Host header without its port, or nothing when it is malformed."""
    try:
        parts = urlsplit(f"//{host}")
        return "" if parts.path or parts.query or parts.username else parts.hostname or ""
    except ValueError:
        return ""


def _is_address(name: str) -> bool:
    try:
        ipaddress.ip_address(name)
    except ValueError:
        return False
    return True


def _from_elsewhere(headers: Headers, host: str) -> bool:
    origin = headers.get("origin")
    if origin is not None:
        return urlsplit(origin).netloc.lower() != host.lower()
    return headers.get("sec-fetch-site", "none") not in ("same-origin", "none")


def _most_bytes(scope: Scope) -> int:
    return WHOLE_LIMIT if scope["path"] == "/api/whole" else BODY_LIMIT


def _too_large(most: int) -> TooLarge:
    return TooLarge(
        f"at most {most // MIB} MiB are taken here; leave out what no week uses, or use: lapful import"
    )


async def _read_whole(receive: Receive, most: int, values_most: int) -> Receive:
    """The body, read and looked at before anything makes sense of it, to be received again."""
    pieces: list[bytes] = []
    taken, more = 0, True
    while more:
        message = await receive()
        if message["type"] != "http.request":
            return _again(message, receive)
        pieces.append(message.get("body", b""))
        taken, more = taken + len(pieces[-1]), message.get("more_body", False)
        if taken > most:
            raise _too_large(most)
    body = b"".join(pieces)
    if len(body) > _SOON_LOOKED_AT:
        await anyio.to_thread.run_sync(look_at, body, values_most)
    else:
        look_at(body, values_most)
    return _again({"type": "http.request", "body": body, "more_body": False}, receive)


def _again(first: Message, receive: Receive) -> Receive:
    given = False

    async def once() -> Message:
        nonlocal given
        if given:
            return await receive()
        given = True
        return first

    return once


def look_at(body: bytes, values_most: int) -> None:
    """Refuse JSON that is nested too deep, or holds too many values, to be a household's.

    Raises
    ------
    TooLarge
        When it is.
    """
    # JSON is read in whatever encoding it seems to be in, so it is looked at in that one too.
    encoding = json.detect_encoding(body)
    if encoding != "utf-8":
        body = body.decode(encoding, "replace").encode("utf-8", "replace")
    if body.lstrip()[:1] not in (b"[", b"{"):
        return
    if body.count(b",") > values_most:
        raise TooLarge(f"at most {values_most} values are taken here; leave out what no week uses")
    if body.count(b"[") + body.count(b"{") > NESTING_LIMIT and _depth(body) > NESTING_LIMIT:
        raise BrokenJson(f"brackets are nested more than {NESTING_LIMIT} deep; mend the JSON")


def _depth(body: bytes) -> int:
    brackets = _STRING.sub(b"", body).translate(None, _NO_BRACKET)
    return max(itertools.accumulate(map(_STEP.__getitem__, brackets)), default=0)


_STRING = re.compile(rb'"(?:[^"\\]|\\.)*+"?', re.DOTALL)
"""A string, also one that never ends: so every byte is looked at once, whatever is sent."""
_NO_BRACKET = bytes(code for code in range(256) if code not in b"[]{}")
_STEP = [1 if code in b"[{" else -1 for code in range(256)]


def _with_headers(scope: Scope, send: Send) -> Send:
    async def dressed(message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = MutableHeaders(scope=message)
            for name, value in _HEADERS.items():
                headers[name] = value
            if scope["path"].startswith("/api/"):
                headers.setdefault("cache-control", "no-store")
        await send(message)

    return dressed
