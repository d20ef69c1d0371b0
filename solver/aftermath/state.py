"""The week as a mishap leaves it, and the small steps by which every mishap changes it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any

from solver.clock import minutes_of, slots_up
from solver.domain.base import DAY_MIN, DAYS, ChildId, Day, Moment, Window
from solver.domain.in_force import in_force
from solver.domain.mishap import (
    Cancelled,
    Refused,
)
from solver.domain.people import Child
from solver.domain.plan import Booking, Plan
from solver.domain.week import (
    FixedKind,
    FixedPoint,
    Problem,
    Skipped,
    Wish,
)


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
    refusals: tuple[Refused, ...] = ()
    """What a child does not want where it is; easier, later, or without that child it may still be."""
    not_before: dict[str, int] = field(default_factory=dict)
    """Bookings that have to wait for something, and the minute of the week until which."""
    easy_day: Day | None = None
    lost: frozenset[Day] = field(default_factory=frozenset)

    @property
    def lead(self) -> str | None:
        """The adult whose day it is."""
        return next((adult.id for adult in self.problem.household.adults if adult.leads), None)

    def with_overrides(self, **changes: Any) -> Aftermath:
        """The same with more of this week's overrides, in force at once."""
        over = self.problem.week.overrides.model_copy(update=changes)
        after = self.with_week(overrides=over)
        return replace(after, problem=in_force(after.problem))

    def with_week(self, **changes: Any) -> Aftermath:
        """The same with parts of the week changed."""
        week = self.problem.week.model_copy(update=changes)
        return replace(self, problem=self.problem.model_copy(update={"week": week}))


def booking_of(plan: Plan, booking_id: str) -> Booking:
    return next(booking for booking in plan.bookings if booking.id == booking_id)


def from_now(after: Aftermath, day: Day) -> int:
    """The minute of a day from which a mishap can still change it: what has begun is brought to its end."""
    now = after.now
    if now is None or now.day.index < day.index:
        return 0
    if now.day is not day:
        return DAY_MIN
    ends = [
        _over(after, b) for b in after.problem.week.firm if b.day is day and laid_out(after, b) < now.time
    ]
    return max([now.time, *ends])


def is_over(after: Aftermath, day: Day, minute: int = DAY_MIN) -> bool:
    """Whether a moment (without a minute: the whole day) is past, so that nothing can be changed there."""
    return after.now is not None and (after.now.day.index, after.now.time) >= (day.index, minute)


def laid_out(after: Aftermath, booking: Booking) -> int:
    """The minute of the day at which laying out or putting on coats begins."""
    house = after.problem.household
    place = next(place for place in house.places if place.id == booking.place)
    door = house.limits.out_the_door_min + place.travel_min if place.travel_min else 0
    return booking.start - minutes_of(slots_up(booking.setup_min) + slots_up(door))


def _over(after: Aftermath, booking: Booking) -> int:
    """When everybody is back and everything is put away."""
    house = after.problem.household
    place = next(place for place in house.places if place.id == booking.place)
    parts = (booking.minutes, place.travel_min, max(house.limits.wash_min, booking.cleanup_min))
    return min(DAY_MIN, booking.start + sum(minutes_of(slots_up(part)) for part in parts))


def points_in(after: Aftermath, window: Window) -> list[FixedPoint]:
    day = window.days[0]
    return [
        point
        for point in after.problem.household.fixed_points + after.problem.week.fixed_points
        if point.on(day) and point.taken_from < window.end and point.taken_until > window.start
    ]


def cancel_where(
    after: Aftermath, window: Window, which: Callable[[FixedPoint], bool], why: str, whom: tuple[str, ...]
) -> Aftermath:
    for point in points_in(after, window):
        if which(point):
            after = cancel(after, point, window.days[0], why, whom)
    return after


def cancel(after: Aftermath, point: FixedPoint, day: Day, why: str, whom: tuple[str, ...]) -> Aftermath:
    others = (FixedKind.CLASS, FixedKind.APPOINTMENT, FixedKind.VISIT)
    tell = f"Let them know: {point.title}." if point.kind in others else ""
    cancelled = Cancelled(fixed_point=point.id, title=point.title, day=day, for_whom=whom, why=why, tell=tell)
    return replace(without(after, point, day), cancelled=(*after.cancelled, cancelled))


def new_id(after: Aftermath, wanted: str) -> str:
    """An id that no fixed point has yet."""
    taken = {p.id for p in (*after.problem.household.fixed_points, *after.problem.week.fixed_points)}
    taken |= {one.fixed_point for one in after.problem.week.overrides.skipped}
    number = 2
    found = wanted
    while found in taken:
        found, number = f"{wanted}-{number}", number + 1
    return found


def without(after: Aftermath, point: FixedPoint, day: Day) -> Aftermath:
    """The week without a fixed point on one day."""
    skipped = Skipped(fixed_point=point.id, day=day)
    return after.with_overrides(skipped=(*after.problem.week.overrides.skipped, skipped))


def with_wishes(after: Aftermath, changes: Callable[[Wish], dict[str, Any]]) -> Aftermath:
    return after.with_week(
        wishes=tuple(wish.model_copy(update=changes(wish)) for wish in after.problem.week.wishes)
    )


def let_miss(after: Aftermath, children: tuple[ChildId, ...], which: Callable[[Wish], bool]) -> Aftermath:
    """The same where these children, and nobody else, may be missing from some wishes."""
    return with_wishes(
        after,
        lambda wish: {"may_miss": tuple(dict.fromkeys(wish.may_miss + children))} if which(wish) else {},
    )


def child_of(after: Aftermath, child_id: str) -> Child:
    return next(child for child in after.problem.household.children if child.id == child_id)


def name_of(after: Aftermath, person: str) -> str:
    house = after.problem.household
    names = {c.id: c.name for c in house.children} | {a.id: a.name for a in house.adults}
    return names[person]


def today_only(after: Aftermath, day: Day, apart_from: Window | None = None) -> Aftermath:
    """Only this day changes; its wishes may be done at another hour or in their lighter version."""
    ids = {b.wish for b in after.plan.bookings if b.day is day}

    def loosen(wish: Wish) -> dict[str, Any]:
        if wish.id not in ids:
            return {}
        hours = _but_on(wish.hours, day, apart_from) if wish.hours else ()
        return {"lighter_ok": True, "hours": hours, "stretches": ()}

    return replace(with_wishes(after, loosen), only_days=frozenset({day}))


def _but_on(hours: tuple[Window, ...], day: Day, apart_from: Window | None) -> tuple[Window, ...]:
    """The same hours on other days; on this day any hour, but for a piece of it."""
    kept = []
    for window in hours:
        others = tuple(d for d in (window.days or DAYS) if d is not day)
        if others:
            kept.append(window.model_copy(update={"days": others}))
    start, end = (apart_from.start, apart_from.end) if apart_from else (DAY_MIN, DAY_MIN)
    pieces = ((0, start), (end, DAY_MIN))
    return (*kept, *(Window(days=(day,), start=a, end=b) for a, b in pieces if a < b))
