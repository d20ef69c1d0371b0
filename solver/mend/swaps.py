"""When a child does not want something: up to two other things, like for like, in the gap."""

from __future__ import annotations

from collections.abc import Iterator

from solver.aftermath import Aftermath
from solver.clock import minutes_of, slots_up
from solver.domain.activity import Activity, Sitting, Together
from solver.domain.base import DAY_MIN, Mess, Window
from solver.domain.mishap import Refused
from solver.domain.plan import Booking, Plan
from solver.domain.week import Rank, Wish

SWAP = "swap"
MOST_SWAPS = 2
ENERGY_APART = 1
MINUTES_APART = 10
SLACK_MIN = 15
"""A swap begins a little later than what it stands in for."""


def swaps_for(after: Aftermath, plan: Plan, refused: Refused) -> Iterator[tuple[Wish, Aftermath]]:
    """Wishes that could stand in, the most alike first, each with the week that holds it."""
    booking = next(b for b in plan.bookings if b.id == refused.booking)
    was = next(a for a in after.problem.activities if a.id == booking.activity)
    found = [
        (_unlike(after, activity, was, booking, refused), activity)
        for activity in after.problem.activities
        if activity.id in _ready(after, plan) and activity.id != was.id
    ]
    for _, activity in sorted(((u, a) for u, a in found if u is not None), key=lambda one: one[0]):
        wish = _wish(after, activity, booking, refused)
        yield wish, after.with_week(wishes=(*after.problem.week.wishes, wish))


def _ready(after: Aftermath, plan: Plan) -> set[str]:
    """The week's spare things, and extras for which the week had no room."""
    extras = {w.id: w.activity for w in after.problem.week.wishes if w.rank is Rank.EXTRA}
    left = {extras[one.wish] for one in plan.left_over if one.wish in extras and one.sittings[0] == 0}
    return set(after.problem.week.spare) | left


def _unlike(
    after: Aftermath, activity: Activity, was: Activity, booking: Booking, refused: Refused
) -> tuple[int, ...] | None:
    """How far it is from what was refused; None when it will not do."""
    sitting = activity.sittings[0]
    minutes = _minutes(after, activity, sitting, refused.child)
    if minutes is None or len(activity.sittings) > 1 or activity.prep or activity.needs_first:
        return None
    wanted = next(a.minutes for a in booking.attends if a.child == refused.child)
    if refused.reason == "too long":
        wanted = wanted // 2
    apart = (abs(activity.energy - was.energy), abs(minutes - wanted))
    if apart[0] > ENERGY_APART or apart[1] > MINUTES_APART or not _in_the_house(after, sitting):
        return None
    if _for_the_same_reason(activity, sitting, was, refused.reason):
        return None
    return (booking.place not in sitting.places, *apart)


def _minutes(after: Aftermath, activity: Activity, sitting: Sitting, child_id: str) -> int | None:
    week = after.problem.week.monday
    child = next(c for c in after.problem.household.children if c.id == child_id)
    version = activity.version_for(child.age_months(week.year, week.month))
    part = sitting.parts.get(version.id) if version else None
    return part.minutes if part else None


def _in_the_house(after: Aftermath, sitting: Sitting) -> bool:
    """Nothing has to be bought for it."""
    stock = {material.id: material.count for material in after.problem.household.materials}
    return all(need.count <= stock.get(need.material, 0) for need in sitting.needs)


def _for_the_same_reason(activity: Activity, sitting: Sitting, was: Activity, reason: str) -> bool:
    """What would be refused again, for this reason."""
    if reason == "sticky":
        return sitting.mess >= Mess.WIPE_TABLE
    if reason == "tired":
        return not activity.tired_ok or activity.energy > was.energy
    return reason == "too hard" and not (activity.tired_ok or activity.lighter)


def _wish(after: Aftermath, activity: Activity, booking: Booking, refused: Refused) -> Wish:
    now = after.now.time if after.now and after.now.day is booking.day else 0
    start = max(booking.start, now)
    end = max(booking.start + minutes_of(slots_up(booking.minutes)), start) + SLACK_MIN + MINUTES_APART
    children = () if activity.together is Together.ONE_CHILD else (refused.child,)
    return Wish(
        id=f"instead-of-{booking.id}-{activity.id}"[:80], activity=activity.id, worth=1,
        children=children or (refused.child,), days=(booking.day,),
        hours=(Window(days=(booking.day,), start=start, end=min(end, DAY_MIN)),),
    )  # fmt: skip
