"""What time has done already: what has begun stands, prep that was done is done."""

from __future__ import annotations

from dataclasses import replace

from solver.aftermath.state import (
    Aftermath,
    booking_of,
    laid_out,
    with_wishes,
)
from solver.clock import minutes_of, slots_up
from solver.domain.base import DAY_MIN, Day, Moment
from solver.domain.mishap import (
    DayLost,
    Hooked,
    Late,
    Mishap,
    Refused,
    SkyTurned,
    StillWet,
)
from solver.domain.plan import Booking, Plan, State
from solver.domain.week import (
    Prepared,
    Problem,
)


def start_of(problem: Problem, mishaps: list[Mishap], plan: Plan) -> Moment | None:
    wake = min(child.wake for child in problem.household.children)
    found = [_noticed(plan, mishap, wake) for mishap in mishaps]
    named = [moment for moment in found if moment is not None]
    return min(named, key=lambda moment: moment.week_min, default=problem.week.now)


def _noticed(plan: Plan, mishap: Mishap, wake: int) -> Moment | None:
    """When a mishap is seen, if nobody says so: with the day, or at the booking it is about."""
    if isinstance(mishap, StillWet):
        return _when_it_was_wanted(plan, mishap)
    if isinstance(mishap, Refused):
        booking = booking_of(plan, mishap.booking)
        return Moment(day=booking.day, time=booking.start)
    if isinstance(mishap, Hooked):
        booking = booking_of(plan, mishap.booking)
        return Moment(day=booking.day, time=min(booking.start + booking.minutes, DAY_MIN))
    if isinstance(mishap, Late) or mishap.day is None:
        return None
    start = mishap.start if isinstance(mishap, DayLost | SkyTurned) else 0
    return Moment(day=mishap.day, time=max(start, wake))


def _when_it_was_wanted(plan: Plan, wet: StillWet) -> Moment:
    """Paint is found wet when somebody wants to go on with it, else when it was put away."""
    before = booking_of(plan, wet.booking)
    following = [
        b for b in plan.bookings if (b.wish, b.go, b.sitting) == (before.wish, before.go, before.sitting + 1)
    ]
    if following:
        laying_out = minutes_of(slots_up(following[0].setup_min))
        return Moment(day=following[0].day, time=following[0].start - laying_out)
    return Moment(day=before.day, time=min(before.start + before.minutes, DAY_MIN))


def with_past(after: Aftermath, now: Moment | None) -> Aftermath:
    """What has begun stands, and evening prep that was done is done."""
    if now is None:
        return after
    firm = {booking.id: booking for booking in after.problem.week.firm}
    for booking in after.plan.bookings:
        if booking.day.index * DAY_MIN + laid_out(after, booking) < now.week_min:
            firm[booking.id] = booking
    done = tuple(
        Prepared(wish=p.wish, go=p.go, task=p.task, evening=p.evening)
        for p in after.plan.prep
        if p.evening.index * DAY_MIN + 20 * 60 < now.week_min
    )
    begun = {booking.wish for booking in firm.values()}
    after = after.with_week(now=now, firm=tuple(firm.values()), prepared=done)
    return with_wishes(after, lambda wish: {"may_carry_on": True} if wish.id in begun else {})


def not_done_yet(after: Aftermath, day: Day, since: int) -> Aftermath:
    """What was to be done from then on is still to do, though its time has begun.

    What other days build on (the jar that is looked at tomorrow) counts as done, and that is said: to take
    it back would change those days too.
    """
    set_by_hand = {booking.id for booking in after.plan.bookings if booking.state is State.FIRM}
    begun = [b for b in after.problem.week.firm if b.day is day and b.start >= since]
    based_on = [b for b in begun if _goes_on_later(after, b)]
    again = {b.id for b in begun if b not in based_on} - set_by_hand
    titles = {activity.id: activity.title for activity in after.problem.activities}
    notes = (f"{titles[b.activity]} counts as done; if it is not, it still can be." for b in based_on)
    firm = tuple(b for b in after.problem.week.firm if b.id not in again)
    return replace(after.with_week(firm=firm), notes=(*after.notes, *notes))


def _goes_on_later(after: Aftermath, booking: Booking) -> bool:
    go = (booking.wish, booking.go)
    return any((b.wish, b.go) == go and b.day.index > booking.day.index for b in after.plan.bookings)
