"""What the commands about devices need."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from service.errors import BadInput
from service.show.names import plain
from service.store import Store
from service.store.copies import FILE_NAME
from service.views import Device
from service.whereabouts import Serving, whereabouts
from solver.domain.faults import Fault


def opened(folder: Path) -> Store:
    """The store in a folder that has one."""
    if not (folder / FILE_NAME).is_file():
        message = f"there is nothing kept in {folder}; give the folder that is served"
        raise BadInput(message, [Fault(path="--data", message=message)])
    return Store(folder)


def server_of(folder: Path) -> Serving:
    """Where the folder's server listens.

    Raises
    ------
    BadInput
        When none runs.
    """
    serving = whereabouts(folder)
    if serving is None:
        raise BadInput("no server runs in this folder; start one first: lapful serve --home-network")
    return serving


def device_lines(found: Sequence[Device]) -> Iterator[str]:
    """A line for each device."""
    if not found:
        yield "No device is paired. This machine itself needs no pairing."
    for one in found:
        yield f"{one.id}  {plain(one.name)}  paired {one.paired_at:%Y-%m-%d}, last here {one.seen_on}"
    if found:
        yield "To shut one out: lapful devices --shut-out DEVICE"
