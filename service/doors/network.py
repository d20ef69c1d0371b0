"""Where a request comes from, and under which address this machine is found."""

from __future__ import annotations

import ipaddress
import socket

from starlette.datastructures import Headers
from starlette.types import Scope

LOOPBACK = ("localhost", "127.0.0.1", "::1")
EVERY_ADDRESS = ("0.0.0.0", "::")
_FORWARDED = ("forwarded", "x-forwarded-for", "x-forwarded-host", "x-real-ip", "via")
_NOBODY = ("192.0.2.1", 9)
"""Kept for documentation (RFC 5737). Nothing is sent there: only the way towards it is asked for."""


def is_loopback(host: str) -> bool:
    """Whether only this machine can reach a server that listens there."""
    name = host.strip("[]").lower()
    return name in LOOPBACK or _is_loopback_address(name)


def is_here(scope: Scope) -> bool:
    """Whether a request was made on this machine itself.

    A proxy on this machine speaks for others, so whatever it passes on does not count as from here.
    """
    client = scope.get("client")
    if not client or not _is_loopback_address(client[0]):
        return False
    headers = Headers(scope=scope)
    return not any(name in headers for name in _FORWARDED)


def client_address(scope: Scope) -> str:
    """Whom to count tries for."""
    client = scope.get("client")
    return str(client[0]) if client else ""


def home_address(host: str) -> str:
    """The address under which a tablet in the home finds a server listening on this host."""
    if host.strip("[]") not in EVERY_ADDRESS:
        return host.strip("[]")
    try:
        with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
            asked.connect(_NOBODY)
            return str(asked.getsockname()[0])
    except OSError:
        return socket.gethostname()


def shown(host: str, port: int, scheme: str = "http") -> str:
    """Host and port as an address of a page."""
    return f"{scheme}://[{host}]:{port}" if ":" in host else f"{scheme}://{host}:{port}"


def machine_names() -> set[str]:
    """What this machine is called in the home, also over multicast DNS (RFC 6762)."""
    name = socket.gethostname().lower()
    return {name, f"{name}.local"} if name else set()


def _is_loopback_address(text: str) -> bool:
    try:
        address = ipaddress.ip_address(text)
    except ValueError:
        return False
    mapped = getattr(address, "ipv4_mapped", None)
    return (mapped or address).is_loopback
