"""What went otherwise than planned, and the offers that answer it."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from solver.domain.base import (
    DAY_MIN,
    AdultId,
    BookingId,
    ChildId,
    Clock,
    Day,
    Frozen,
    Id,
    Moment,
    Name,
    StretchId,
    Text,
)
from solver.domain.plan import LeftOver, Plan
from solver.domain.week import Week


class DayLost(Frozen):
    """A day or a part of it is lost: for some children (ill), some adults, or everybody (nobody named)."""

    kind: Literal["day-lost"] = "day-lost"
    day: Day
    start: Clock = 0
    end: Clock = DAY_MIN
    children: tuple[ChildId, ...] = ()
    adults: tuple[AdultId, ...] = ()


class NapFailed(Frozen):
    """A child does not sleep this time."""

    kind: Literal["nap-failed"] = "nap-failed"
    child: ChildId
    day: Day


class NapGone(Frozen):
    """A child does not nap any more: no sleep is counted on from this day to the end of the week."""

    kind: Literal["nap-gone"] = "nap-gone"
    child: ChildId
    day: Day


class Late(Frozen):
    """So many minutes behind; the clock time comes from ``at``."""

    kind: Literal["late"] = "late"
    minutes: Annotated[int, Field(ge=1, le=600)]


class Missing(Frozen):
    """A place, tool, supply or holder that is not to be had, on one day or from now on."""

    kind: Literal["missing"] = "missing"
    what: Id
    day: Day | None = None


class SkyTurned(Frozen):
    """The sky is not as forecast."""

    kind: Literal["sky"] = "sky"
    day: Day
    start: Clock = 0
    end: Clock = DAY_MIN
    wet: bool = False
    windy: bool = False
    icy: bool = False
    stormy: bool = False
    too_hot: bool = False
    too_cold: bool = False


class StillWet(Frozen):
    """What waits after a booking (paint, dough, ice) needs longer."""

    kind: Literal["still-wet"] = "still-wet"
    booking: BookingId
    minutes: Annotated[int, Field(ge=5, le=7 * DAY_MIN)]


class Refused(Frozen):
    """A child does not want it now; the reason is remembered for that child only."""

    kind: Literal["refused"] = "refused"
    booking: BookingId
    child: ChildId
    reason: Name = "not today"


class Hooked(Frozen):
    """They are deep in it: let it run on."""

    kind: Literal["hooked"] = "hooked"
    booking: BookingId
    minutes: Annotated[int, Field(ge=5, le=240)]


class Tired(Frozen):
    """The adult is tired: the least honourable day."""

    kind: Literal["tired"] = "tired"
    day: Day


class Roster(Frozen):
    """An adult's hours on a day have changed; no hours means away."""

    kind: Literal["roster"] = "roster"
    adult: AdultId
    day: Day
    start: Clock | None = None
    end: Clock | None = None


Mishap = Annotated[
    DayLost | NapFailed | NapGone | Late | Missing | SkyTurned | StillWet | Refused | Hooked | Tired | Roster,
    Field(discriminator="kind"),
]


class Move(Frozen):
    """A booking that is at another time, on another day, or done in its lighter version."""

    booking: BookingId
    title: Name
    from_day: Day
    from_start: Clock
    to_day: Day
    to_start: Clock
    to_stretch: StretchId | None = None
    lighter: bool = False


class Cancelled(Frozen):
    """A fixed point that does not take place, or not for everybody, and whom to tell."""

    fixed_point: Id
    title: Name
    day: Day
    for_whom: tuple[Id, ...] = ()
    """Empty: for everybody."""
    why: Text
    tell: Text = ""


class ChangesBound(Frozen):
    """The weighted changes of an offer, and the least there could be."""

    value: int
    bound: int
    proved: bool


class Offer(Frozen):
    """One way to mend the week, in a sentence and in full."""

    kind: Id
    sentence: Text
    moved: tuple[Move, ...] = ()
    held_over: tuple[LeftOver, ...] = ()
    let_go: tuple[LeftOver, ...] = ()
    cancelled: tuple[Cancelled, ...] = ()
    added: tuple[BookingId, ...] = ()
    unchanged: int = 0
    notes: tuple[Text, ...] = ()
    changes_bound: ChangesBound
    plan: Plan
    week: Week
    """The week as the mishap leaves it; it belongs to ``plan``."""


class Mending(Frozen):
    """All offers for what happened, the best first."""

    at: Moment | None
    mishaps: tuple[Mishap, ...]
    offers: tuple[Offer, ...]
    seconds: float = 0.0
