"""What time has done already: what has begun stands, prep that was done is done."""

from __future__ import annotations

from solver.aftermath.state import (
    Aftermath,
    booking_of,
    with_wishes,
)
from solver.clock import SLOT_MIN
from solver.domain.base import DAY_MIN, DAYS, Day, Moment
from solver.domain.mishap import (
    DayLost,
    Hooked,
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
    days = [getattr(m, "day", None) for m in mishaps]
    days += [booking_of(plan, m.booking).day for m in mishaps if isinstance(m, StillWet | Refused | Hooked)]
    named = [day for day in days if day is not None]
    if not named:
        return problem.week.now
    first = min(named, key=DAYS.index)
    starts = [m.start for m in mishaps if isinstance(m, DayLost | SkyTurned) and m.day is first]
    wake = min(child.wake for child in problem.household.children)
    return Moment(day=first, time=max(min(starts, default=0), wake))


def with_past(after: Aftermath, now: Moment | None) -> Aftermath:
    """What has begun stands, and evening prep that was done is done."""
    if now is None:
        return after
    firm = {booking.id: booking for booking in after.problem.week.firm}
    for booking in after.plan.bookings:
        if _begins(booking) < now.week_min:
            firm[booking.id] = booking
    done = tuple(
        Prepared(wish=p.wish, go=p.go, task=p.task, evening=p.evening)
        for p in after.plan.prep
        if p.evening.index * DAY_MIN + 20 * 60 < now.week_min
    )
    begun = {booking.wish for booking in firm.values()}
    after = after.with_week(now=now, firm=tuple(firm.values()), prepared=done)
    return with_wishes(after, lambda wish: {"may_carry_on": True} if wish.id in begun else {})


def _begins(booking: Booking) -> int:
    setup = -(-booking.setup_min // SLOT_MIN) * SLOT_MIN
    return booking.day.index * DAY_MIN + booking.start - setup


def not_done_yet(after: Aftermath, day: Day, since: int) -> Aftermath:
    """What was to be done in the nap is still to do, though its time has begun."""
    set_by_hand = {booking.id for booking in after.plan.bookings if booking.state is State.FIRM}
    firm = tuple(
        b for b in after.problem.week.firm if b.id in set_by_hand or b.day is not day or b.start < since
    )
    return after.with_week(firm=firm)
