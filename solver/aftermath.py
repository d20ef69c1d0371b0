"""What a mishap does to the week, before anybody mends it: who is out, what stands, what goes on alone.

The physical world goes on: what was past stays, prep that was done is done, paint dries and dough rises.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from typing import Any

from solver.clock import SLOT_MIN
from solver.domain.base import DAY_MIN, DAYS, Day, Evening, Mess, Moment, Window
from solver.domain.in_force import in_force
from solver.domain.mishap import (
    Cancelled,
    DayLost,
    Hooked,
    Late,
    Mishap,
    Missing,
    NapFailed,
    Refused,
    Roster,
    SkyTurned,
    StillWet,
    Tired,
)
from solver.domain.people import Child, Duty, Hours
from solver.domain.plan import Booking, Plan, State
from solver.domain.week import (
    FixedKind,
    FixedPoint,
    Gone,
    Illness,
    LongerWait,
    NapChange,
    Prepared,
    Problem,
    Skipped,
    Sky,
    Wish,
)
from solver.presence import Presence
from solver.words import day_name

EASY_MESS = Mess.CRUMBS
EASY_SET_UPS = 2
MOST_NAP_SHIFT_MIN = 15


@dataclass(frozen=True)
class Aftermath:
    """The week as it is now, and how freely it may be mended."""

    problem: Problem
    plan: Plan
    now: Moment | None
    cancelled: tuple[Cancelled, ...] = ()
    notes: tuple[str, ...] = ()
    only_days: frozenset[Day] | None = None
    """Days that may change; None: every day still to come."""
    no_fuller_after: Day | None = None
    """Days after this one get nothing added."""
    dropped: frozenset[str] = frozenset()
    """Bookings that are not to be placed again where they are (refused)."""
    easy_day: Day | None = None
    lost: frozenset[Day] = field(default_factory=frozenset)

    def with_overrides(self, **changes: Any) -> Aftermath:
        """The same with more of this week's overrides, in force at once."""
        over = self.problem.week.overrides.model_copy(update=changes)
        after = self.with_week(overrides=over)
        return replace(after, problem=in_force(after.problem))

    def with_week(self, **changes: Any) -> Aftermath:
        """The same with parts of the week changed."""
        week = self.problem.week.model_copy(update=changes)
        return replace(self, problem=self.problem.model_copy(update={"week": week}))


def aftermath(problem: Problem, plan: Plan, mishaps: Iterable[Mishap], at: Moment | None) -> Aftermath:
    """The week after one or more mishaps. ``at`` is now; without it, the start of what happened."""
    happened = list(mishaps)
    now = at or _start_of(problem, happened, plan)
    after = _with_past(Aftermath(problem, plan, now), now)
    for mishap in happened:
        after = _APPLY[type(mishap)](after, mishap)
    return after


def _start_of(problem: Problem, mishaps: list[Mishap], plan: Plan) -> Moment | None:
    days = [getattr(m, "day", None) for m in mishaps]
    days += [_booking(plan, m.booking).day for m in mishaps if isinstance(m, StillWet | Refused | Hooked)]
    named = [day for day in days if day is not None]
    if not named:
        return problem.week.now
    first = min(named, key=DAYS.index)
    starts = [m.start for m in mishaps if isinstance(m, DayLost | SkyTurned) and m.day is first]
    wake = min(child.wake for child in problem.household.children)
    return Moment(day=first, time=max(min(starts, default=0), wake))


def _booking(plan: Plan, booking_id: str) -> Booking:
    return next(booking for booking in plan.bookings if booking.id == booking_id)


def _with_past(after: Aftermath, now: Moment | None) -> Aftermath:
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
    return _wishes(after, lambda wish: {"may_carry_on": True} if wish.id in begun else {})


def _begins(booking: Booking) -> int:
    setup = -(-booking.setup_min // SLOT_MIN) * SLOT_MIN
    return booking.day.index * DAY_MIN + booking.start - setup


def _day_lost(after: Aftermath, lost: DayLost) -> Aftermath:
    start = max(lost.start, after.now.time if after.now and after.now.day is lost.day else 0)
    window = Window(days=(lost.day,), start=start, end=lost.end)
    everybody = not lost.children and not lost.adults
    if everybody:
        after = _nothing_that_day(after, window)
    if lost.children:
        after = _ill(after, lost.children, window)
    for adult in lost.adults:
        after = _adult_out(after, adult, window)
    return replace(after, no_fuller_after=lost.day, lost=after.lost | {lost.day})


def _nothing_that_day(after: Aftermath, window: Window) -> Aftermath:
    learners = tuple(c.id for c in after.problem.household.children if c.learner)
    day = window.days[0]
    rest = FixedPoint(
        id=f"lost-{day}", title="A day for rest", kind=FixedKind.LOST, days=(day,),
        start=window.start, end=min(window.end, DAY_MIN), children=learners,
    )  # fmt: skip
    after = _cancel_where(after, window, lambda point: point.leaves_home, "the day is lost", ())
    return after.with_week(fixed_points=(*after.problem.week.fixed_points, rest))


def _ill(after: Aftermath, children: tuple[str, ...], window: Window) -> Aftermath:
    illnesses = tuple(Illness(child=child, when=(window,)) for child in children)
    after = after.with_week(ill=(*after.problem.week.ill, *illnesses))
    for child in children:
        after = _stays_home(after, child, window)
    after = _small_things_for_the_others(after)
    return replace(after, notes=(*after.notes, *_illness_notes(after, children, window)))


def _stays_home(after: Aftermath, child: str, window: Window) -> Aftermath:
    """An ill child goes nowhere; where no adult would stay, nobody goes."""
    day = window.days[0]
    name = _name(after, child)
    for point in _points(after, window):
        if child not in point.children or not point.leaves_home:
            continue
        if _somebody_stays(after, point, day):
            others = tuple(c for c in point.children if c != child)
            changed = point.model_copy(update={"children": others, "days": (day,), "id": f"{point.id}-{day}"})
            after = _cancel(after, point, day, f"{name} is ill and stays at home", (child,))
            if others or point.adults:
                after = after.with_week(fixed_points=(*after.problem.week.fixed_points, changed))
        else:
            why = f"{name} is ill, and there is no second adult to stay at home then"
            after = _cancel(after, point, day, why, ())
    return after


def _somebody_stays(after: Aftermath, point: FixedPoint, day: Day) -> bool:
    presence = Presence(after.problem)
    first, last = point.taken_from // SLOT_MIN, -(-point.taken_until // SLOT_MIN)
    whole = (1 << last) - (1 << first)
    return any(
        presence.on_hand(adult.id, day) & whole == whole
        for adult in after.problem.household.adults
        if adult.id not in point.adults
    )


def _small_things_for_the_others(after: Aftermath) -> Aftermath:
    """What is fit for a tired day goes on for whoever is well."""
    fit = {activity.id for activity in after.problem.activities if activity.tired_ok}
    return _wishes(after, lambda wish: {"may_split": True} if wish.activity in fit else {})


def _illness_notes(after: Aftermath, children: tuple[str, ...], window: Window) -> list[str]:
    names = " and ".join(_name(after, child) for child in children)
    notes = [
        f"{names}: rest, lap books, an audio story, a short film within the minutes you allow. "
        "If you are worried, ask your doctor."
    ]
    day = window.days[0]
    for later in DAYS[day.index + 1 : day.index + 3]:
        for point in after.problem.household.fixed_points + after.problem.week.fixed_points:
            if point.on(later) and point.leaves_home and set(children) & set(point.children):
                notes.append(
                    f"{point.title} on {day_name(later)}: only if {names} has been well for 24 hours by "
                    f"then (48 after vomiting, if that is the group's rule); otherwise at home."
                )
    for adult in after.problem.household.adults:
        hours = after.problem.week.hours.get(adult.id, adult.hours)
        soon = [h for h in hours if h.days and any(d in h.days for d in DAYS[day.index + 1 : day.index + 2])]
        if soon and sum(len(h.days) for h in hours) == 1:
            notes.append(f"Ask {adult.name} whether {day_name(soon[0].days[0])} still suits.")
    return notes


def _adult_out(after: Aftermath, adult: str, window: Window) -> Aftermath:
    after = after.with_week(hours=_hours_without(after, adult, window))
    alone = lambda point: point.adults == (adult,) and point.leaves_home  # noqa: E731
    return _cancel_where(after, window, alone, f"{_name(after, adult)} cannot go", ())


def _hours_without(after: Aftermath, adult: str, window: Window) -> dict[str, tuple[Hours, ...]]:
    day = window.days[0]
    usual = {a.id: a.hours for a in after.problem.household.adults}
    hours = after.problem.week.hours.get(adult, usual[adult])
    kept: list[Hours] = []
    for one in hours:
        others = tuple(d for d in (one.days or DAYS) if d is not day)
        if others:
            kept.append(one.model_copy(update={"days": others}))
        if one.on(day):
            for start, end in (
                (one.start, min(one.end, window.start)),
                (max(one.start, window.end), one.end),
            ):
                if start < end:
                    kept.append(one.model_copy(update={"days": (day,), "start": start, "end": end}))
    return {**after.problem.week.hours, adult: tuple(kept)}


def _nap_failed(after: Aftermath, failed: NapFailed) -> Aftermath:
    child = _child(after, failed.child)
    now = after.now.time if after.now and after.now.day is failed.day else 0
    naps = [nap for nap in child.naps if nap.days_of_seven and (not nap.days or failed.day in nap.days)]
    if not naps:
        return after
    nap = min(naps, key=lambda n: (n.end <= now, abs(n.start - now)))
    change = NapChange(child=child.id, day=failed.day, usual_start=nap.start, start=None)
    after = after.with_week(naps=(*after.problem.week.naps, change))
    after = _not_done_yet(after, failed.day, nap.start)
    note = f"{child.name} is up: {nap.quiet_min} minutes of quiet time within sight may still work."
    return replace(_today_only(after, failed.day), notes=(*after.notes, note))


def _not_done_yet(after: Aftermath, day: Day, since: int) -> Aftermath:
    """What was to be done in the nap is still to do, though its time has begun."""
    set_by_hand = {booking.id for booking in after.plan.bookings if booking.state is State.FIRM}
    firm = tuple(
        b for b in after.problem.week.firm if b.id in set_by_hand or b.day is not day or b.start < since
    )
    return after.with_week(firm=firm)


def _today_only(after: Aftermath, day: Day) -> Aftermath:
    """Only this day changes; its wishes may be done at another hour or in their lighter version."""
    ids = {b.wish for b in after.plan.bookings if b.day is day}

    def loosen(wish: Wish) -> dict[str, Any]:
        if wish.id not in ids:
            return {}
        hours = (Window(start=0, end=DAY_MIN),) if wish.hours else ()
        return {"lighter_ok": True, "hours": hours, "stretches": ()}

    return replace(_wishes(after, loosen), only_days=frozenset({day}))


def _late(after: Aftermath, late: Late) -> Aftermath:
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
        after = _without(after, point, day)
        after = after.with_week(fixed_points=(*after.problem.week.fixed_points, later))
        after = _naps_after(after, day, later.end)
    return _today_only(after, day)


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


def _missing(after: Aftermath, missing: Missing) -> Aftermath:
    """A place is closed, a tool or supply is not there; known substitutes are named."""
    day = missing.day or (after.now.day if after.now else DAYS[0])
    days = (day,) if missing.day else DAYS[day.index :]
    thing = next((m for m in after.problem.household.materials if m.id == missing.what), None)
    notes = (
        [f"Instead of {thing.name}: {', '.join(thing.substitutes)}."] if thing and thing.substitutes else []
    )
    gone = (*after.problem.week.overrides.gone, Gone(what=missing.what, days=days))
    after = after.with_overrides(gone=gone)
    return replace(after, notes=(*after.notes, *notes), no_fuller_after=day)


def _sky(after: Aftermath, turned: SkyTurned) -> Aftermath:
    flags = turned.model_dump(exclude={"kind", "day", "start", "end"})
    spared = [piece for piece in after.problem.week.sky if not piece.on(turned.day)]
    for piece in after.problem.week.sky:
        if piece.on(turned.day):
            others = tuple(d for d in (piece.days or DAYS) if d is not turned.day)
            spared += [piece.model_copy(update={"days": others})] if others else []
            spared += _outside(piece, turned)
    new = Sky(days=(turned.day,), start=turned.start, end=turned.end, **flags)
    return replace(after.with_week(sky=(*spared, new)), no_fuller_after=turned.day)


def _outside(piece: Sky, turned: SkyTurned) -> list[Sky]:
    edges = ((piece.start, min(piece.end, turned.start)), (max(piece.start, turned.end), piece.end))
    return [
        piece.model_copy(update={"days": (turned.day,), "start": start, "end": end})
        for start, end in edges
        if start < end
    ]


def _still_wet(after: Aftermath, wet: StillWet) -> Aftermath:
    booking = _booking(after.plan, wet.booking)
    activity = next(a for a in after.problem.activities if a.id == booking.activity)
    if booking.sitting >= len(activity.waits):
        return after
    least = activity.waits[booking.sitting].least_min + wet.minutes
    longer = LongerWait(activity=activity.id, after_sitting=booking.sitting, least_min=least)
    return after.with_overrides(longer_waits=(*after.problem.week.overrides.longer_waits, longer))


def _refused(after: Aftermath, refused: Refused) -> Aftermath:
    booking = _booking(after.plan, refused.booking)
    name = _name(after, refused.child)
    note = f"Kept in mind for {name}: {refused.reason}."
    return replace(
        _today_only(after, booking.day),
        dropped=after.dropped | {booking.id},
        notes=(*after.notes, note),
    )


def _hooked(after: Aftermath, hooked: Hooked) -> Aftermath:
    """Let it run: those who are in it are taken for so much longer."""
    booking = _booking(after.plan, hooked.booking)
    end = booking.start + booking.minutes
    firm = {b.id: b for b in after.problem.week.firm} | {booking.id: booking}
    point = FixedPoint(
        id=f"{booking.id}-on", title="Deep in it, left to run", kind=FixedKind.REST, days=(booking.day,),
        start=end + booking.cleanup_min, end=end + booking.cleanup_min + hooked.minutes,
        children=tuple(a.child for a in booking.attends),
    )  # fmt: skip
    after = after.with_week(firm=tuple(firm.values()), fixed_points=(*after.problem.week.fixed_points, point))
    return _today_only(after, booking.day)


def _tired(after: Aftermath, tired: Tired) -> Aftermath:
    """No evening prep, no mess above crumbs, two set-ups at most; the living things are looked after."""
    evening = Evening(tired.day.value)
    after = after.with_overrides(no_prep=(*after.problem.week.overrides.no_prep, evening))
    notes = (
        "An easy day: something simple for dinner, and the screen minutes you allow are there for you.",
        *_helpers_offered(after, tired.day),
    )
    return replace(_today_only(after, tired.day), easy_day=tired.day, notes=(*after.notes, *notes))


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


def _roster(after: Aftermath, roster: Roster) -> Aftermath:
    whole = Window(days=(roster.day,), start=0, end=DAY_MIN)
    hours = _hours_without(after, roster.adult, whole)
    if roster.start is not None and roster.end is not None:
        new = Hours(days=(roster.day,), start=roster.start, end=roster.end)
        hours = {**hours, roster.adult: (*hours[roster.adult], new)}
    return replace(after.with_week(hours=hours), no_fuller_after=None)


def _points(after: Aftermath, window: Window) -> list[FixedPoint]:
    day = window.days[0]
    return [
        point
        for point in after.problem.household.fixed_points + after.problem.week.fixed_points
        if point.on(day) and point.taken_from < window.end and point.taken_until > window.start
    ]


def _cancel_where(
    after: Aftermath, window: Window, which: Callable[[FixedPoint], bool], why: str, whom: tuple[str, ...]
) -> Aftermath:
    for point in _points(after, window):
        if which(point):
            after = _cancel(after, point, window.days[0], why, whom)
    return after


def _cancel(after: Aftermath, point: FixedPoint, day: Day, why: str, whom: tuple[str, ...]) -> Aftermath:
    tell = f"tell {point.title}" if point.kind in (FixedKind.CLASS, FixedKind.APPOINTMENT) else ""
    cancelled = Cancelled(fixed_point=point.id, title=point.title, day=day, for_whom=whom, why=why, tell=tell)
    return replace(_without(after, point, day), cancelled=(*after.cancelled, cancelled))


def _without(after: Aftermath, point: FixedPoint, day: Day) -> Aftermath:
    """The week without a fixed point on one day."""
    skipped = Skipped(fixed_point=point.id, day=day)
    return after.with_overrides(skipped=(*after.problem.week.overrides.skipped, skipped))


def _wishes(after: Aftermath, changes: Callable[[Wish], dict[str, Any]]) -> Aftermath:
    return after.with_week(
        wishes=tuple(wish.model_copy(update=changes(wish)) for wish in after.problem.week.wishes)
    )


def _child(after: Aftermath, child_id: str) -> Child:
    return next(child for child in after.problem.household.children if child.id == child_id)


def _name(after: Aftermath, person: str) -> str:
    house = after.problem.household
    names = {c.id: c.name for c in house.children} | {a.id: a.name for a in house.adults}
    return names[person]


_APPLY: dict[type, Callable[[Aftermath, Any], Aftermath]] = {
    DayLost: _day_lost,
    NapFailed: _nap_failed,
    Late: _late,
    Missing: _missing,
    SkyTurned: _sky,
    StillWet: _still_wet,
    Refused: _refused,
    Hooked: _hooked,
    Tired: _tired,
    Roster: _roster,
}
