"""What goes otherwise today: a nap, the clock, a refusal, a deep game, a tired adult."""

from __future__ import annotations

from dataclasses import replace

from solver.aftermath.past import not_done_yet
from solver.aftermath.state import (
    Aftermath,
    booking_of,
    child_of,
    name_of,
    today_only,
    without,
)
from solver.clock import SLOT_MIN
from solver.domain.base import Day, Evening
from solver.domain.mishap import (
    Hooked,
    Late,
    NapFailed,
    Refused,
    Tired,
)
from solver.domain.people import Duty
from solver.domain.week import (
    FixedKind,
    FixedPoint,
    NapChange,
)

MOST_NAP_SHIFT_MIN = 15


def nap_failed(after: Aftermath, failed: NapFailed) -> Aftermath:
    child = child_of(after, failed.child)
    now = after.now.time if after.now and after.now.day is failed.day else 0
    naps = [nap for nap in child.naps if nap.days_of_seven and (not nap.days or failed.day in nap.days)]
    if not naps:
        return after
    nap = min(naps, key=lambda n: (n.end <= now, abs(n.start - now)))
    change = NapChange(child=child.id, day=failed.day, usual_start=nap.start, start=None)
    after = after.with_week(naps=(*after.problem.week.naps, change))
    after = not_done_yet(after, failed.day, nap.start)
    note = f"{child.name} is up: {nap.quiet_min} minutes of quiet time within sight may still work."
    return replace(today_only(after, failed.day), notes=(*after.notes, note))


def late(after: Aftermath, late: Late) -> Aftermath:
    """Everything up to the present is used up; meals and naps that slide keep their length."""
    assert after.now is not None
    day, time = after.now.day, after.now.time
    shifted = []
    for point in after.problem.household.fixed_points + after.problem.week.fixed_points:
        shift = time - point.start
        if point.on(day) and point.kind is FixedKind.MEAL and 0 < shift <= late.minutes + SLOT_MIN:
            shifted.append((point, shift))
    for point, shift in shifted:
        later = point.model_copy(
            update={
                "id": f"{point.id}-{day}", "days": (day,), "adult_before_min": 0,
                "start": point.start + shift, "end": point.end + shift,
            }
        )  # fmt: skip
        after = without(after, point, day)
        after = after.with_week(fixed_points=(*after.problem.week.fixed_points, later))
        after = _naps_after(after, day, later.end)
    return today_only(after, day)


def _naps_after(after: Aftermath, day: Day, meal_end: int) -> Aftermath:
    changes = []
    for child in after.problem.household.children:
        for nap in child.naps:
            slip = min(MOST_NAP_SHIFT_MIN, meal_end - nap.start)
            if slip > 0 and nap.start > meal_end - 60:
                changes.append(
                    NapChange(child=child.id, day=day, usual_start=nap.start, start=nap.start + slip)
                )
    return after.with_week(naps=(*after.problem.week.naps, *changes))


def refused(after: Aftermath, refused: Refused) -> Aftermath:
    booking = booking_of(after.plan, refused.booking)
    name = name_of(after, refused.child)
    note = f"Kept in mind for {name}: {refused.reason}."
    return replace(
        today_only(after, booking.day),
        dropped=after.dropped | {booking.id},
        notes=(*after.notes, note),
    )


def hooked(after: Aftermath, hooked: Hooked) -> Aftermath:
    """Let it run: those who are in it are taken for so much longer."""
    booking = booking_of(after.plan, hooked.booking)
    end = booking.start + booking.minutes
    firm = {b.id: b for b in after.problem.week.firm} | {booking.id: booking}
    point = FixedPoint(
        id=f"{booking.id}-on", title="Deep in it, left to run", kind=FixedKind.REST, days=(booking.day,),
        start=end + booking.cleanup_min, end=end + booking.cleanup_min + hooked.minutes,
        children=tuple(a.child for a in booking.attends),
    )  # fmt: skip
    after = after.with_week(firm=tuple(firm.values()), fixed_points=(*after.problem.week.fixed_points, point))
    return today_only(after, booking.day)


def tired(after: Aftermath, tired: Tired) -> Aftermath:
    """No evening prep, no mess above crumbs, two set-ups at most; the living things are looked after."""
    evening = Evening(tired.day.value)
    after = after.with_overrides(no_prep=(*after.problem.week.overrides.no_prep, evening))
    notes = (
        "An easy day: something simple for dinner, and the screen minutes you allow are there for you.",
        *_helpers_offered(after, tired.day),
    )
    return replace(today_only(after, tired.day), easy_day=tired.day, notes=(*after.notes, *notes))


def _helpers_offered(after: Aftermath, day: Day) -> list[str]:
    """Another adult's hours are offered as rest first."""
    leads = next((a for a in after.problem.household.adults if a.leads), None)
    found = []
    for adult in after.problem.household.adults:
        hours = after.problem.week.hours.get(adult.id, adult.hours)
        today = [h for h in hours if h.on(day) and h.duty is Duty.ON_HAND]
        if leads and adult.id != leads.id and today:
            found.append(f"{adult.name}'s hours today are rest for {leads.name} first.")
    return found
