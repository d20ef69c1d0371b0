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

import re
from collections.abc import Sequence
from typing import ClassVar

from pydantic import BaseModel

from solver.domain.faults import Fault

_DASHED = re.compile(r"(?<=[a-z])(?=[A-Z])")


class Problem(BaseModel, frozen=True):
    """A problem as RFC 9457 writes it, with the faults that caused it."""

    type: str = "about:blank"
    title: str
    status: int
    detail: str = ""
    faults: tuple[Fault, ...] = ()


KINDS: list[type[LapfulError]] = []
"""Every kind with an address under ``/api/problems/``: each subclass enters itself."""


class LapfulError(Exception):
    """Something went wrong in a way that can be said in plain words."""

    status: ClassVar[int] = 500
    title: ClassVar[str] = "Something went wrong here"
    headers: ClassVar[dict[str, str]] = {}
    name: ClassVar[str] = "trouble"

    def __init_subclass__(
        cls, *, title: str, status: int | None = None, headers: dict[str, str] | None = None
    ) -> None:
        super().__init_subclass__()
        cls.title = title
        cls.status = status or cls.status
        cls.headers = headers or {}
        cls.name = _DASHED.sub("-", cls.__name__).lower()
        KINDS.append(cls)

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


class NotFound(LapfulError, status=404, title="There is no such thing here"):
    """What the address names is not in the store. Look at the list it would belong to."""


class BadInput(LapfulError, status=422, title="Something in the input needs mending"):
    """The input was read but breaks a rule. Each fault names a field and what to do about it."""


class BrokenJson(BadInput, status=400, title="This is not valid JSON"):
    """The input is not valid JSON. The fault names the line and column where reading stopped."""


class StaleProblem(Problem, frozen=True):
    """Both versions, so that the writer can compare them without asking again."""

    yours: int | None = None
    """The version that the writer had read; None when it named none of ours."""
    current: int | None = None
    """The version that is kept now, to be sent as If-Match by whoever decides to write over it."""
    kept: dict[str, object] | None = None
    """What is kept now."""


class Stale(LapfulError, status=412, title="It was changed in the meantime"):
    """The thing was changed after it was read. Compare both versions, then repeat the change."""

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


class TooLarge(LapfulError, status=413, title="That is too much at once"):
    """The request holds more bytes than are taken. Leave out what the week does not use."""


class NotPaired(
    LapfulError,
    status=401,
    title="This device is not paired",
    headers={"www-authenticate": 'Bearer realm="lapful"'},
):
    """This device was never let in, or was shut out. Ask for a new picture to scan with ``lapful pair``."""


class CrossSite(LapfulError, status=403, title="Another site may not write here"):
    """A page of another site tried to change something here. Use the page that this server shows."""


class WrongHost(LapfulError, status=421, title="This server does not answer to that name"):
    """The request names a host that this server was not started for. Use the address it printed."""


class TooOften(LapfulError, status=429, title="Too many tries", headers={"retry-after": "60"}):
    """Too many wrong tries came from one place. Wait a minute, then try again."""


class Busy(LapfulError, status=503, title="The store is busy", headers={"retry-after": "5"}):
    """Another program holds the store's file. Close it, or try again in a moment."""


class DiskFull(LapfulError, status=507, title="The disk is full"):
    """The disk has no room left. Nothing was changed; make room, then repeat the change."""


class MendFailed(LapfulError, title="No mend came"):
    """No mend came. Nothing was changed; ask again, and if it stays so, look into the server's log."""


class FolderError(LapfulError, title="The data folder cannot be used"):
    """The data folder cannot be read or written. The detail says which and why."""


class FolderInUse(FolderError, title="The data folder is in use"):
    """Another server already works in this data folder. Stop it, or give another folder."""
