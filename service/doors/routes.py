"""Pairing: a page that hands over the secret from its own address, and the list of devices."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

from fastapi import APIRouter, Depends, Request, Response
from fastapi import Path as InPath
from pydantic import Field

from service.doors.invitation import Invitation, invite
from service.doors.keeper import AUTHORITY, COOKIE, PAIR_PAGE
from service.doors.network import client_address, is_here
from service.doors.tries import Tries
from service.errors import NotFound, NotPaired
from service.log import note
from service.routes import StoreHere
from service.store.devices import Devices
from service.views import Device
from solver.domain.base import Frozen, Name

router = APIRouter()
A_YEAR_S = 365 * 24 * 3600
_HERE = Path(__file__).parent
_PLAIN: dict[str, str] = {
    "pair.html": "text/html",
    "pair.js": "text/javascript",
    "pair.css": "text/css",
    "pair.svg": "image/svg+xml",
}


class Secret(Frozen):
    """What the scanned picture held, and how the device wants to be called."""

    secret: Annotated[str, Field(min_length=1, max_length=200)]
    name: Name = "A device"


async def _tries(request: Request) -> Tries:
    tries: Tries = request.app.tries
    return tries


TriesHere = Annotated[Tries, Depends(_tries)]


async def _only_here(request: Request) -> None:
    if not is_here(request.scope):
        raise NotPaired("only the machine that runs Lapful can let a device in; open the page there")


def _plain(name: str) -> Response:
    content = (_HERE / name).read_bytes()
    return Response(content, media_type=_PLAIN[name], headers={"cache-control": "no-cache"})


@router.get(PAIR_PAGE, include_in_schema=False)
def get_page() -> Response:
    """The page that a scanned picture opens."""
    return _plain("pair.html")


@router.get(AUTHORITY, include_in_schema=False)
def get_authority(store: StoreHere) -> Response:
    """What a device installs to trust this machine's https; it holds no secret."""
    try:
        found = (store.folder / "trust" / "authority.crt").read_bytes()
    except OSError:
        raise NotFound("there is no certificate here; make one with: lapful certificate") from None
    return Response(found, media_type="application/x-x509-ca-cert", headers={"cache-control": "no-cache"})


@router.get("/pair.js", include_in_schema=False)
def get_script() -> Response:
    """What it runs."""
    return _plain("pair.js")


@router.get("/pair.css", include_in_schema=False)
def get_style() -> Response:
    """How it looks."""
    return _plain("pair.css")


@router.get("/pair.svg", include_in_schema=False)
def get_icon() -> Response:
    """Its icon, so that the browser does not knock elsewhere for one."""
    return _plain("pair.svg")


@router.post("/api/pairing", status_code=201)
def post_pairing(
    given: Secret, request: Request, store: StoreHere, tries: TriesHere, response: Response
) -> Device:
    """Let a device in, once, with the secret that the machine running Lapful showed."""
    address = client_address(request.scope)
    tries.admit(address)
    made = Devices(store).pair(given.secret, given.name)
    if made is None:
        tries.wrong(address)
        raise NotPaired("this picture was used or is older than five minutes; ask for a new one: lapful pair")
    note("a device was paired", device=made.device.id)
    # Over plain http in the home the browser would not keep a secure one.
    secure = request.url.scheme == "https"
    response.set_cookie(COOKIE, made.token, max_age=A_YEAR_S, httponly=True, samesite="strict", secure=secure)
    return made.device


@router.post("/api/pairing/offer", dependencies=[Depends(_only_here)])
def post_offer(request: Request, store: StoreHere) -> Invitation:
    """A new picture to scan, good for one device and five minutes; earlier ones end."""
    return invite(store, request.app.answers_to, request.scope["server"][1], request.app.speaks)


@router.get("/api/devices")
def get_devices(store: StoreHere) -> list[Device]:
    """The devices of the home network that are let in."""
    return Devices(store).all()


@router.delete("/api/devices/{device}", status_code=204)
def delete_device(device: Annotated[str, InPath(max_length=80)], store: StoreHere) -> None:
    """Never let this device in again."""
    Devices(store).shut_out(device)
    note("a device was shut out", device=device)
