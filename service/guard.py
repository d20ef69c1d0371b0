"""The door: which host is meant, who may write, how many bytes come in, which headers go out."""

from __future__ import annotations

import ipaddress
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from service.errors import CrossSite, LapfulError, TooLarge, WrongHost
from service.problems import refusal

BODY_LIMIT = 8 * 1024 * 1024
_READS = ("GET", "HEAD", "OPTIONS")
_EVERY_ADDRESS = ("0.0.0.0", "::")
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
        self._any_address = host.strip("[]") in _EVERY_ADDRESS

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
        await self._app(scope, _limited(receive), dressed)

    def _admit(self, scope: Scope) -> None:
        headers = Headers(scope=scope)
        host = headers.get("host", "")
        if not self._knows(host):
            raise WrongHost(f"this server does not answer to {host[:80]!r}; use the address it printed")
        if scope["method"] not in _READS and _from_elsewhere(headers, host):
            raise CrossSite("the change came from a page of another site; use this server's own page")
        length = headers.get("content-length", "0")
        if not length.isdecimal() or int(length) > BODY_LIMIT:
            raise _too_large()

    def _knows(self, host: str) -> bool:
        name = host_name(host)
        return name in self._names or (self._any_address and _is_address(name))


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


def _too_large() -> TooLarge:
    return TooLarge(f"at most {BODY_LIMIT // 1024 // 1024} MiB are taken; leave out what no week uses")


def _limited(receive: Receive) -> Receive:
    taken = 0

    async def counted() -> Message:
        nonlocal taken
        message = await receive()
        taken += len(message.get("body", b""))
        if taken > BODY_LIMIT:
            raise _too_large()
        return message

    return counted


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
