"""Kinds of offers: which ways of doing things each of them may use."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from solver.aftermath import EASY_MESS, Aftermath
from solver.candidates import Candidate
from solver.domain.mishap import DayLost, Hooked, Late, Mishap, NapFailed, Refused, Tired
from solver.domain.plan import Booking

Keep = Callable[[Candidate, Booking], bool]


@dataclass(frozen=True)
class Kind:
    """A kind of offer: which candidates it may use, given where each booking was."""

    key: str
    keep: Keep
    easier: bool = False
    """On the easy day the lighter version is the wish, not a change."""
    led_by_lead: bool = True
    """Whether the limits of an easy day are for everybody; else only for the adult who is tired."""
    wide: bool = False
    """Whether there are so many ways that it is searched for longest."""


def same_place(c: Candidate, booking: Booking) -> bool:
    """Whether a candidate is where the booking was; minutes within a stretch do not count."""
    if booking.meal or c.meal:
        slid = f"{booking.meal}-{booking.day}"
        return c.day is booking.day and c.meal in (booking.meal, slid)
    return c.day is booking.day and c.stretch == booking.stretch


def as_it_was(c: Candidate, booking: Booking) -> bool:
    """In its place, and neither lighter nor longer than it was."""
    return same_place(c, booking) and c.option.lighter == booking.lighter


STAY = Kind("as-it-is", as_it_was)
MOVES = Kind("fewest-changes", lambda c, b: c.option.lighter == b.lighter, wide=True)
LIGHTER = Kind("lighter", lambda c, b: as_it_was(c, b) or (c.option.lighter and not b.lighter))


def kinds_for(after: Aftermath, mishaps: Sequence[Mishap]) -> list[Kind]:
    """The kinds that may answer what happened, the quickest to work out first."""
    if any(isinstance(m, Tired) for m in mishaps):
        return _easy_kinds(after)
    if any(isinstance(m, Late | NapFailed | Hooked | Refused) for m in mishaps):
        return [STAY, LIGHTER, MOVES]
    if any(isinstance(m, DayLost) for m in mishaps):
        return [STAY, MOVES, LIGHTER, Kind("rest", _only_other_days(mishaps))]
    return [STAY, MOVES, LIGHTER]


def _only_other_days(mishaps: Sequence[Mishap]) -> Keep:
    """Everything of the lost day is let go, even what could stay."""
    lost = {m.day for m in mishaps if isinstance(m, DayLost)}
    return lambda c, b: b.day not in lost and as_it_was(c, b)


def _easy_kinds(after: Aftermath) -> list[Kind]:
    def easy(c: Candidate, b: Booking) -> bool:
        return c.day is not after.easy_day or is_easy(c)

    def gentle(c: Candidate, b: Booking) -> bool:
        return (as_it_was(c, b) or c.option.lighter) and easy(c, b)

    def helped(c: Candidate, b: Booking) -> bool:
        if c.day is after.easy_day and not is_easy(c):
            return after.lead not in c.option.helpers and c.option.lighter == b.lighter
        return gentle(c, b)

    return [
        Kind("lighter", gentle, easier=True),
        Kind("as-it-is", lambda c, b: as_it_was(c, b) and easy(c, b)),
        Kind("with-help", helped, easier=True, led_by_lead=False, wide=True),
    ]


def is_easy(c: Candidate) -> bool:
    """Fit for a day on which the adult is tired."""
    fit = c.task.go.activity.tired_ok or c.option.lighter
    return fit and c.option.sitting.mess <= EASY_MESS
