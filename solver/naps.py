"""What leans on a nap, what becomes of it if nobody sleeps, and when a nap is on its way out."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator
from enum import StrEnum

from solver.domain.activity import Activity, Sitting
from solver.domain.base import BookingId, ChildId, Frozen, Help, Minutes
from solver.domain.people import Child
from solver.domain.plan import Booking, Plan
from solver.domain.week import Problem
from solver.presence import Presence
from solver.safety import requirement

FAILED_NAPS = 3
WITHIN_DAYS = 8
"""Three failed naps in eight days: the nap is going (common practice, no source)."""


class Fallback(StrEnum):
    """What may still be done with a booking if the child is up."""

    QUIET = "quiet"
    """It goes on, with quiet time within sight for whoever does not sleep."""
    BESIDE = "beside"
    """It goes on with the little one on the arm."""
    LIGHTER = "lighter"
    """Its lighter version goes on in the same way."""
    EVENING = "evening"
    """It is better kept until the child sleeps at night."""
    LEAVE = "leave"
    """It can wait for another day."""


class NapLean(Frozen):
    """A booking that is planned while a child sleeps."""

    booking: BookingId
    child: ChildId
    fallback: Fallback
    minutes: Minutes = 0
    """Of the lighter version, or of the quiet time."""


def leaning_on_naps(problem: Problem, plan: Plan) -> tuple[NapLean, ...]:
    """Bookings that happen while some child naps, with that child and what to do if it does not sleep."""
    presence = Presence(problem)
    return tuple(
        _lean(problem, booking, child, quiet)
        for booking in plan.bookings
        for child, quiet in _sleepers(problem, presence, booking)
    )


def _sleepers(problem: Problem, presence: Presence, booking: Booking) -> Iterator[tuple[Child, int]]:
    """Those who should sleep meanwhile, and how long each of them keeps quiet if not."""
    there = {a.child for a in booking.attends} | set(booking.along)
    for child in problem.household.children:
        for nap in presence.naps_on(child, booking.day):
            if (
                child.id not in there
                and booking.start < nap.end
                and nap.start < booking.start + booking.minutes
            ):
                yield child, nap.quiet_min if child.learner else min(nap.quiet_min, child.alone_min)


def _lean(problem: Problem, booking: Booking, child: Child, quiet: int) -> NapLean:
    activity = next((one for one in problem.activities if one.id == booking.activity), None)
    kind, minutes = Fallback.LEAVE, 0
    if activity is not None and _may_be_awake(problem, activity, booking, child):
        light = activity.lighter.sitting if activity.lighter and not booking.lighter else None
        if not child.learner and _hands_are_free(booking):
            kind = Fallback.BESIDE
        elif booking.minutes <= quiet:
            kind, minutes = Fallback.QUIET, quiet
        elif light is not None and booking.sitting == 0 and _longest(light) <= quiet:
            kind, minutes = Fallback.LIGHTER, _longest(light)
    if kind is Fallback.LEAVE and _later_to_bed(problem, booking, child):
        kind = Fallback.EVENING
    return NapLean(booking=booking.id, child=child.id, fallback=kind, minutes=minutes)


def _may_be_awake(problem: Problem, activity: Activity, booking: Booking, child: Child) -> bool:
    """Whether it is safe with this child about; not if nobody knows any more what it was."""
    light = activity.lighter if booking.lighter else None
    place = next((place for place in problem.household.places if place.id == booking.place), None)
    if place is None or booking.sitting >= len(activity.sittings):
        return False
    sitting = light.sitting if light else activity.sittings[booking.sitting]
    attending = tuple(c for c in problem.household.children if c.id in {a.child for a in booking.attends})
    safe = requirement(problem, activity, sitting, place, attending)
    return child.id not in safe.asleep_or_minded and child.id not in safe.out


def _hands_are_free(booking: Booking) -> bool:
    return max((a.help for a in booking.attends), default=Help.HANDS_ON) <= Help.DIPS_IN


def _longest(sitting: Sitting) -> int:
    return max((part.minutes for part in sitting.parts.values()), default=sitting.adult_min)


def _later_to_bed(problem: Problem, booking: Booking, child: Child) -> bool:
    """Whether all who are in it are up long enough after the child is asleep for the night."""
    beds = [c.bed for c in problem.household.children if c.id in {a.child for a in booking.attends}]
    return bool(beds) and min(beds) - child.bed >= booking.minutes


def nap_is_going(failed: Iterable[datetime.date], today: datetime.date) -> bool:
    """Whether a nap failed so often lately that the week should be built without it."""
    recent = [day for day in failed if 0 <= (today - day).days < WITHIN_DAYS]
    return len(set(recent)) >= FAILED_NAPS
