"""The demo weeks for tests of the whole solver: read, changed on a copy, and asked in plain minutes.

The little arithmetic here (spans, who is loose, what stands where) comes from the document alone, so that it
can disagree with the solver and with the checker.
"""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path
from typing import Any

from solver.domain.activity import Activity, Sitting
from solver.domain.base import DAY_MIN, DAYS, Day, clock_minutes
from solver.domain.document import Document
from solver.domain.plan import Booking, Plan
from solver.domain.week import Problem

DEMO = Path(__file__).parents[2] / "demo"
GRID = 5

Piece = tuple[int, int]
"""From and until, in minutes since Monday 00:00."""


def raw(name: str) -> dict[str, Any]:
    """A demo document as plain data, to be changed."""
    document: dict[str, Any] = json.loads((DEMO / f"{name}.json").read_text(encoding="utf-8"))
    return document


def problem_of(document: dict[str, Any]) -> Problem:
    """The first week of a document."""
    return Document.model_validate(document).problem()


def only(name: str, *wishes: dict[str, Any], limits: dict[str, Any] | None = None, **week: Any) -> Problem:
    """A demo week with nothing but these wishes; other fields of its limits and its week may differ too."""
    document = raw(name)
    document["household"]["limits"] |= limits or {}
    document["weeks"][0] |= {"wishes": list(wishes), "spare": [], **week}
    return problem_of(document)


def wish_of(name: str, wish_id: str, **changes: Any) -> dict[str, Any]:
    """A wish of a demo week, as it stands there but for the changes."""
    return next(wish for wish in raw(name)["weeks"][0]["wishes"] if wish["id"] == wish_id) | changes


def activity_of(problem: Problem, booking: Booking) -> Activity:
    """What is done."""
    return next(one for one in problem.activities if one.id == booking.activity)


def sitting_of(problem: Problem, booking: Booking) -> Sitting:
    """The go at it that the booking means."""
    activity = activity_of(problem, booking)
    if booking.lighter:
        assert activity.lighter is not None
        return activity.lighter.sitting
    return activity.sittings[booking.sitting]


def booked(plan: Plan, *wishes: str) -> list[Booking]:
    """The bookings of these wishes (of all, without any), in order of time."""
    found = [one for one in plan.bookings if not wishes or one.wish in wishes]
    return sorted(found, key=since)


def since(booking: Booking) -> int:
    """When the children begin, in minutes since Monday 00:00."""
    return booking.day.index * DAY_MIN + booking.start


def up(minutes: int) -> int:
    """Rounded up to the grid."""
    return -(-minutes // GRID) * GRID


def going_on(booking: Booking) -> Piece:
    """The activity itself."""
    return since(booking), since(booking) + up(booking.minutes)


def whole(problem: Problem, booking: Booking) -> Piece:
    """With laying out, the way there and back, and clearing up."""
    place = next(one for one in problem.household.places if one.id == booking.place)
    sitting = sitting_of(problem, booking)
    door = up(problem.household.limits.out_the_door_min + place.travel_min) if place.travel_min else 0
    start, end = going_on(booking)
    return start - up(sitting.setup_min) - door, end + up(place.travel_min) + up(sitting.cleanup_min)


def piece(day: Day, start: str, end: str) -> Piece:
    """A piece of one day."""
    midnight = day.index * DAY_MIN
    return midnight + int(clock_minutes(start)), midnight + int(clock_minutes(end))


def lies_in(inner: Piece, *outer: Piece) -> bool:
    """Whether a piece lies wholly in one of the others."""
    return any(start <= inner[0] and inner[1] <= end for start, end in outer)


def overlap(one: Piece, other: Piece) -> bool:
    """Whether two pieces share a moment (an empty one shares none)."""
    return max(one[0], other[0]) < min(one[1], other[1])


def asleep(problem: Problem, child_id: str) -> list[Piece]:
    """The naps and nights of a child."""
    child = next(one for one in problem.household.children if one.id == child_id)
    found = []
    for midnight in (day.index * DAY_MIN for day in DAYS):
        found += [(midnight, midnight + child.wake), (midnight + child.bed, midnight + DAY_MIN)]
        found += [(midnight + nap.start, midnight + nap.end) for nap in child.naps]
    return found


def out(problem: Problem, who: str) -> list[Piece]:
    """When fixed points other than meals take somebody away."""
    points = [*problem.household.fixed_points, *problem.week.fixed_points]
    return [
        (day.index * DAY_MIN + point.taken_from, day.index * DAY_MIN + point.taken_until)
        for point in points
        for day in DAYS
        if point.meal is None and who in (*point.children, *point.adults) and point.on(day)
    ]


def loose(problem: Problem, child_id: str) -> set[int]:
    """Every five minutes of the week at which a child is awake at home."""
    elsewhere = [*asleep(problem, child_id), *out(problem, child_id)]
    moments = range(0, 7 * DAY_MIN, GRID)
    return {at for at in moments if not any(start <= at < end for start, end in elsewhere)}


def moments(of: Piece) -> set[int]:
    """Every five minutes of a piece."""
    return set(range(of[0], of[1], GRID))


def on_holder(problem: Problem, plan: Plan, holder: str) -> Counter[int]:
    """How much stands on a holder at every five minutes of the week, worked out from the bookings."""
    by_step = {(one.wish, one.go, one.sitting): one for one in plan.bookings if not one.lighter}
    full: Counter[int] = Counter()
    for (wish, go, index), booking in by_step.items():
        waits = activity_of(problem, booking).waits
        if index >= len(waits) or waits[index].holder != holder:
            continue
        start = going_on(booking)[1]
        following = by_step.get((wish, go, index + 1))
        end = since(following) if following else start + up(waits[index].least_min)
        for at in range(start, min(end, 7 * DAY_MIN), GRID):
            full[at] += waits[index].units
    return full
