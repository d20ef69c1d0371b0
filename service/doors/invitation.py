"""An invitation for one device: an address whose fragment holds the secret, and its picture."""

from __future__ import annotations

import io
from typing import TextIO

from service.doors.network import home_address, is_loopback, shown
from service.errors import BadInput
from service.store import Store
from service.store.devices import PAIRING_S, Devices
from solver.domain.base import Frozen


class Invitation(Frozen):
    """What to show to the device. A fragment is never sent to a server, so no log can hold it."""

    address: str
    seconds: int = PAIRING_S
    picture: str
    """The address as a QR code (ISO/IEC 18004), an SVG document."""


def link(store: Store, host: str, port: int, scheme: str = "http") -> str:
    """A new address to open on the device, good once and for five minutes.

    Raises
    ------
    BadInput
        When the server answers this machine alone, so that no other device could reach it.
    """
    if is_loopback(host):
        raise BadInput("the server answers this machine alone; start it with: lapful serve --home-network")
    return f"{shown(home_address(host), port, scheme)}/pair#{Devices(store).offer()}"


def invite(store: Store, host: str, port: int, scheme: str = "http") -> Invitation:
    """A new address with its picture."""
    import segno

    address, picture = link(store, host, port, scheme), io.BytesIO()
    segno.make(address, error="m").save(picture, kind="svg", scale=6, border=4)
    return Invitation(address=address, picture=picture.getvalue().decode())


def draw(address: str, out: TextIO) -> None:
    """The picture in a terminal, in half blocks."""
    import segno

    segno.make(address, error="l").terminal(out=out, border=2, compact=True)
