"""What goes otherwise today: a nap, the clock, a refusal, a deep game, a tired adult."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from solver.aftermath.past import not_done_yet
from solver.aftermath.state import (
    Aftermath,
    booking_of,
    child_of,
    is_over,
    let_miss,
    name_of,
    new_id,
    points_in,
    today_only,
    with_wishes,
    without,
)
from solver.clock import minutes_of, slots_up
from solver.domain.base import DAY_MIN, DAYS, Day, Evening, Help, Window, clock_text
from solver.domain.mishap import (
    Hooked,
    Late,
    NapFailed,
    NapGone,
    Refused,
    Tired,
)
from solver.domain.people import Child, Duty
from solver.domain.plan import Booking
from solver.domain.week import (
    FixedKind,
    FixedPoint,
    NapChange,
    Problem,
)
from solver.presence import Presence
from solver.words import day_name, listed

MOST_NAP_SHIFT_MIN = 15
BEDTIME_MIN = 30
NAPS_FAILED = 3


def nap_failed(after: Aftermath, failed: NapFailed) -> Aftermath:
    child = child_of(after, failed.child)
    now = after.now.time if after.now and after.now.day is failed.day else 0
    naps = [nap for nap in child.naps if nap.days_of_seven and (not nap.days or failed.day in nap.days)]
    if not naps or is_over(after, failed.day):
        return after
    nap = min(naps, key=lambda n: (n.end <= now, abs(n.start - now)))
    change = NapChange(child=child.id, day=failed.day, usual_start=nap.start, start=None)
    after = after.with_week(naps=(*after.problem.week.naps, change))
    after = not_done_yet(after, failed.day, nap.start)
    notes = [f"{child.name} is up: {nap.quiet_min} minutes of quiet time within sight may still work."]
    notes += _move_the_one_on_one(after, child)
    bedtime = Window(start=max(0, child.bed - BEDTIME_MIN), end=child.bed)
    return replace(today_only(after, failed.day, bedtime), notes=(*after.notes, *notes))


def nap_gone(after: Aftermath, gone: NapGone) -> Aftermath:
    """No sleep is counted on from that day; what leaned on it may be at another hour, or lighter."""
    child = child_of(after, gone.child)
    presence = Presence(after.problem)
    first = max(gone.day.index, after.now.day.index if after.now else 0)
    naps = [(day, nap) for day in DAYS[first:] for nap in presence.naps_on(child, day)]
    told = {(one.child, one.day, one.usual_start) for one in after.problem.week.naps}
    changes = [
        NapChange(child=child.id, day=day, usual_start=nap.start, start=None)
        for day, nap in naps
        if (child.id, day, nap.start) not in told
    ]
    leaning = {
        b.wish
        for b in after.plan.bookings
        for day, nap in naps
        if b.day is day
        and child.id not in {a.child for a in b.attends}
        and b.start < nap.end
        and nap.start < b.start + b.minutes
    }
    after = after.with_week(naps=(*after.problem.week.naps, *changes))
    after = with_wishes(after, lambda wish: _LOOSE if wish.id in leaning else {})
    return replace(after, no_fuller_after=DAYS[first])


_LOOSE: dict[str, Any] = {"hours": (), "stretches": (), "lighter_ok": True}


def _move_the_one_on_one(after: Aftermath, child: Child) -> list[str]:
    """After three days without sleep the time alone with the other child is safer elsewhere."""
    up = {change.day for change in after.problem.week.naps if change.child == child.id and not change.start}
    if len(up) < NAPS_FAILED:
        return []
    presence = Presence(after.problem)
    helped = [
        f"{day_name(day)} while {adult.name} has {child.name}"
        for adult in after.problem.household.adults[1:]
        for day in after.problem.week.teaching_days
        if presence.on_hand(adult.id, day)
    ]
    where = f": on {listed(helped[:2])}" if helped else " of its own"
    return [f"{child.name} has been up at nap time on {len(up)} days. A time alone may do better{where}."]


def late(after: Aftermath, late: Late) -> Aftermath:
    """What was to be done in those minutes is still to do; meals slide and keep their length."""
    assert after.now is not None
    day, time = after.now.day, after.now.time
    after = not_done_yet(after, day, time - late.minutes)
    lately = Window(days=(day,), start=max(0, time - late.minutes), end=max(1, time))
    for point in points_in(after, lately):
        if point.kind is FixedKind.MEAL and time - late.minutes <= point.start < time:
            after = _slide(after, point, day, time)
    return today_only(after, day)


def _slide(after: Aftermath, meal: FixedPoint, day: Day, start: int) -> Aftermath:
    """A meal that is later than usual on one day, and the naps after it."""
    end = start + meal.end - meal.start
    later = meal.model_copy(
        update={
            "id": new_id(after, f"{meal.id}-{day}"), "days": (day,), "adult_before_min": 0, "start": start,
            "end": min(end, DAY_MIN),
        }
    )  # fmt: skip
    after = without(after, meal, day)
    after = after.with_week(fixed_points=(*after.problem.week.fixed_points, later))
    after = _naps_after(after, day, later.end)
    return replace(after, notes=(*after.notes, f"{meal.title} at {clock_text(start)}."))


def _naps_after(after: Aftermath, day: Day, meal_end: int) -> Aftermath:
    changes, notes = [], []
    for child in after.problem.household.children:
        for nap in Presence(after.problem).naps_on(child, day):
            slip = min(MOST_NAP_SHIFT_MIN, meal_end - nap.start)
            if slip > 0 and nap.start > meal_end - 60:
                start = nap.start + slip
                changes.append(NapChange(child=child.id, day=day, usual_start=nap.start, start=start))
                notes.append(f"{child.name}'s nap at {clock_text(start)}.")
    after = after.with_week(naps=(*after.problem.week.naps, *changes))
    return replace(after, notes=(*after.notes, *notes))


def refused(after: Aftermath, refused: Refused) -> Aftermath:
    booking = booking_of(after.plan, refused.booking)
    name = name_of(after, refused.child)
    note = f"Kept in mind for {name}: {refused.reason}."
    if is_over(after, booking.day, booking.start + max(1, booking.minutes)):
        return replace(after, notes=(*after.notes, note))
    firm = tuple(one for one in after.problem.week.firm if one.id != booking.id)
    after = today_only(after.with_week(firm=firm), booking.day)
    after = let_miss(after, (refused.child,), lambda wish: wish.id == booking.wish)
    return replace(after, refusals=(*after.refusals, refused), notes=(*after.notes, note))


def hooked(after: Aftermath, hooked: Hooked) -> Aftermath:
    """Let it run: those who are in it are taken for so much longer, and who helps hands-on is too."""
    booking = booking_of(after.plan, hooked.booking)
    start = minutes_of(slots_up(booking.start + booking.minutes)) + _afterwards(after, booking)
    firm = {b.id: b for b in after.problem.week.firm} | {booking.id: booking}
    hands_on = max((a.help for a in booking.attends), default=Help.DIPS_IN) >= Help.BESIDE
    end = min(start + hooked.minutes, DAY_MIN, _next_leaving(after, booking, start))
    after = after.with_week(firm=tuple(firm.values()))
    if start < end and not is_over(after, booking.day, end):
        children = tuple(a.child for a in booking.attends)
        point = FixedPoint(
            id=new_id(after, f"{booking.id}-on"), title="Deep in it, left to run",
            kind=FixedKind.LOST, days=(booking.day,),
            start=start, end=end, children=children,
            adults=booking.helpers if hands_on else (), place=booking.place,
        )  # fmt: skip
        for meal in points_in(after, Window(days=(booking.day,), start=start, end=end)):
            if meal.kind is FixedKind.MEAL and set(meal.children) & set(children) and meal.start >= start:
                after = _slide(after, meal, booking.day, end)
        after = after.with_week(fixed_points=(*after.problem.week.fixed_points, point))
    return today_only(after, booking.day)


def _next_leaving(after: Aftermath, booking: Booking, start: int) -> int:
    """A game may run on until somebody in it has to be somewhere else."""
    who = {a.child for a in booking.attends} | set(booking.helpers)
    later = points_in(after, Window(days=(booking.day,), start=start, end=DAY_MIN)) if start < DAY_MIN else []
    others = [p for p in later if p.kind is not FixedKind.MEAL and who & {*p.children, *p.adults}]
    return min((p.taken_from for p in others), default=DAY_MIN)


def _afterwards(after: Aftermath, booking: Booking) -> int:
    """Minutes of the way back, washing and clearing, which the plan counts at the end."""
    house = after.problem.household
    place = next(place for place in house.places if place.id == booking.place)
    return minutes_of(
        slots_up(place.travel_min) + max(slots_up(house.limits.wash_min), slots_up(booking.cleanup_min))
    )


def tired(after: Aftermath, tired: Tired) -> Aftermath:
    """No evening prep, no mess above crumbs, two set-ups at most; the living things are looked after."""
    if is_over(after, tired.day):
        return after
    evening = Evening(tired.day.value)
    after = after.with_overrides(no_prep=(*after.problem.week.overrides.no_prep, evening))
    notes = (
        "An easy day: something simple for dinner, and the screen minutes you allow are there for you.",
        *_helpers_offered(after, tired.day),
    )
    lived = dict.fromkeys((*after.problem.week.easy_days, tired.day))
    after = after.with_week(easy_days=tuple(lived))
    return replace(today_only(after, tired.day), easy_day=tired.day, notes=(*after.notes, *notes))


def with_prep_after_all(after: Aftermath, usual: Problem, day: Day) -> Aftermath | None:
    """The easy day with the evening's prep left in, for what is promised; None when nothing is planned."""
    evening = Evening(day.value)
    tasks = [task for task in after.plan.prep if task.evening is evening]
    if not tasks or evening not in after.problem.week.overrides.no_prep:
        return None
    limits = after.problem.household.limits.model_copy(update={"prep": usual.household.limits.prep})
    household = after.problem.household.model_copy(update={"limits": limits})
    again = replace(after, problem=after.problem.model_copy(update={"household": household}))
    no_prep = tuple(e for e in after.problem.week.overrides.no_prep if e is not evening)
    minutes = sum(task.minutes + task.warm_up_min for task in tasks)
    names = listed([task.name[:1].lower() + task.name[1:] for task in tasks])
    note = f"Tonight there would still be {minutes} minutes to {names}."
    return replace(again.with_overrides(no_prep=no_prep), notes=(*after.notes, note))


def _helpers_offered(after: Aftermath, day: Day) -> list[str]:
    """Another adult's hours are offered as rest first."""
    leads = next((a for a in after.problem.household.adults if a.leads), None)
    found = []
    for adult in after.problem.household.adults:
        hours = after.problem.week.hours.get(adult.id, adult.hours)
        today = [h for h in hours if h.on(day) and h.duty is Duty.ON_HAND]
        if leads and adult.id != leads.id and today:
            found.append(f"{adult.name}'s hours today are rest for {leads.name} first; only then for help.")
    return found
