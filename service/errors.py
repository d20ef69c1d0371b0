"""Everything that can go wrong, as one tree; each class knows its HTTP status (RFC 9457).

LapfulError
├── NotFound        404   there is no such household, week, plan or job
├── BadInput        422   the input breaks a rule; ``faults`` say where, with the mend
│   └── BrokenJson  400   it is not JSON at all
├── Stale           412   somebody else wrote in between; both versions are told
├── TooLarge        413   more bytes than any household needs
├── NotPaired       401   a device of the home network that was never let in
├── CrossSite       403   another site tried to write
├── WrongHost       421   the request was meant for another machine
├── TooOften        429   too many wrong tries from one place
├── Busy            503   another program holds the file
├── DiskFull        507   nothing more can be written
├── MendFailed      500   no mend came from the process that makes them
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
    headers: ClassVar[dict[str, str]] = {}

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


class StaleProblem(Problem, frozen=True):
    """Both versions, so that the writer can compare them without asking again."""

    yours: int | None = None
    """The version that the writer had read; None when it named none of ours."""
    current: int | None = None
    """The version that is kept now, to be sent as If-Match by whoever decides to write over it."""
    kept: dict[str, object] | None = None
    """What is kept now."""


class Stale(LapfulError):
    """The thing was changed after it was read. Compare both versions, then repeat the change."""

    status = 412
    name = "stale"
    title = "It was changed in the meantime"

    def __init__(
        self,
        detail: str,
        *,
        yours: int | None = None,
        current: int | None = None,
        kept: dict[str, object] | None = None,
    ) -> None:
        self.yours, self.current, self.kept = yours, current, kept
        super().__init__(detail)

    def problem(self) -> StaleProblem:
        """The error with both versions."""
        plain = super().problem().model_dump()
        return StaleProblem(**plain, yours=self.yours, current=self.current, kept=self.kept)


class TooLarge(LapfulError):
    """The request holds more bytes than are taken. Leave out what the week does not use."""

    status = 413
    name = "too-large"
    title = "That is too much at once"


class NotPaired(LapfulError):
    """This device was never let in, or was shut out. Ask for a new picture to scan with ``lapful pair``."""

    status = 401
    name = "not-paired"
    title = "This device is not paired"
    headers = {"www-authenticate": 'Bearer realm="lapful"'}


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


class TooOften(LapfulError):
    """Too many wrong tries came from one place. Wait a minute, then try again."""

    status = 429
    name = "too-often"
    title = "Too many tries"
    headers = {"retry-after": "60"}


class Busy(LapfulError):
    """Another program holds the store's file. Close it, or try again in a moment."""

    status = 503
    name = "busy"
    title = "The store is busy"
    headers = {"retry-after": "5"}


class DiskFull(LapfulError):
    """The disk has no room left. Nothing was changed; make room, then repeat the change."""

    status = 507
    name = "disk-full"
    title = "The disk is full"


class MendFailed(LapfulError):
    """No mend came. Nothing was changed; ask again, and if it stays so, look into the server's log."""

    name = "mend-failed"
    title = "No mend came"


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
    NotPaired,
    CrossSite,
    WrongHost,
    TooOften,
    Busy,
    DiskFull,
    MendFailed,
    FolderError,
    FolderInUse,
)
"""Every kind with an address under ``/api/problems/``."""
