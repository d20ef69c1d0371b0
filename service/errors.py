"""Everything that can go wrong, as one tree; each class knows its HTTP status (RFC 9457).

LapfulError
├── NotFound        404   there is no such household, week, plan or job
├── BadInput        422   the input breaks a rule; ``faults`` say where, with the mend
│   └── BrokenJson  400   it is not JSON at all
├── Stale           412   somebody else wrote in between
├── TooLarge        413   more bytes than any household needs
├── CrossSite       403   another site tried to write
├── WrongHost       421   the request was meant for another machine
└── FolderError     500   the data folder cannot be used
    └── FolderInUse 500   another server works in it
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from pydantic import BaseModel

from solver.domain.faults import Fault


class Problem(BaseModel, frozen=True):
    """A problem as RFC 9457 writes it, with the faults that caused it."""

    type: str = "about:blank"
    title: str
    status: int
    detail: str = ""
    faults: tuple[Fault, ...] = ()


class LapfulError(Exception):
    """Something went wrong in a way that can be said in plain words."""

    status: ClassVar[int] = 500
    name: ClassVar[str] = "trouble"
    title: ClassVar[str] = "Something went wrong here"

    def __init__(self, detail: str, faults: Sequence[Fault] = ()) -> None:
        self.detail = detail
        self.faults = tuple(faults)
        super().__init__(detail)

    def problem(self) -> Problem:
        """The error as problem details."""
        return Problem(
            type=f"/api/problems/{self.name}",
            title=self.title,
            status=self.status,
            detail=self.detail,
            faults=self.faults,
        )


class NotFound(LapfulError):
    """What the address names is not in the store. Look at the list it would belong to."""

    status = 404
    name = "not-found"
    title = "There is no such thing here"


class BadInput(LapfulError):
    """The input was read but breaks a rule. Each fault names a field and what to do about it."""

    status = 422
    name = "bad-input"
    title = "Something in the input needs mending"


class BrokenJson(BadInput):
    """The input is not valid JSON. The fault names the line and column where reading stopped."""

    status = 400
    name = "broken-json"
    title = "This is not valid JSON"


class Stale(LapfulError):
    """The thing was changed after it was read. Read it again, then repeat the change."""

    status = 412
    name = "stale"
    title = "It was changed in the meantime"


class TooLarge(LapfulError):
    """The request holds more bytes than are taken. Leave out what the week does not use."""

    status = 413
    name = "too-large"
    title = "That is too much at once"


class CrossSite(LapfulError):
    """A page of another site tried to change something here. Use the page that this server shows."""

    status = 403
    name = "cross-site"
    title = "Another site may not write here"


class WrongHost(LapfulError):
    """The request names a host that this server was not started for. Use the address it printed."""

    status = 421
    name = "wrong-host"
    title = "This server does not answer to that name"


class FolderError(LapfulError):
    """The data folder cannot be read or written. The detail says which and why."""

    name = "folder"
    title = "The data folder cannot be used"


class FolderInUse(FolderError):
    """Another server already works in this data folder. Stop it, or give another folder."""

    name = "folder-in-use"
    title = "The data folder is in use"


KINDS: tuple[type[LapfulError], ...] = (
    NotFound,
    BadInput,
    BrokenJson,
    Stale,
    TooLarge,
    CrossSite,
    WrongHost,
    FolderError,
    FolderInUse,
)
"""Every kind with an address under ``/api/problems/``."""
