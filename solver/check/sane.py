"""What must be true of a plan before any rule can be asked: it names only what exists."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from solver.check.facts import Facts, Placed, fault, place_booking
from solver.check.violation import Violation
from solver.clock import SLOT_MIN
from solver.domain.plan import Booking, Plan
from solver.domain.week import FixedKind, FixedPoint, Problem

KEY = "plan"


def gather(problem: Problem, plan: Plan, like: Facts | None = None) -> tuple[Facts, list[Violation]]:
    """The facts of a plan, and what is ill-formed in it; an ill-formed booking is left out."""
    known = like.of(plan) if like else Facts(problem, plan, ())
    found: list[Violation] = []
    placed: list[Placed] = []
    seen: set[str] = set()
    ids = {booking.id for booking in plan.bookings}
    for booking in plan.bookings:
        wrong = list(_wrong(known, booking, ids))
        if booking.id in seen:
            wrong.append("another booking has the same id")
        seen.add(booking.id)
        found += [_says(booking, what) for what in wrong]
        if not wrong:
            placed.append(_placed(known, booking))
    facts = known.of(plan, tuple(placed))
    for one in placed:
        found += _untrue(facts, one)
    found += _elsewhere(facts)
    return facts, found


def _says(booking: Booking, what: str) -> Violation:
    ids = (booking.id, booking.wish)
    return Violation(
        key=KEY, ids=ids, day=booking.day, start=booking.start, sentence=f"Booking {booking.id}: {what}."
    )


def meal_of(facts: Facts, booking: Booking) -> FixedPoint | None:
    """The meal within which a booking happens, if that meal is on its day."""
    for point in facts.points:
        if point.id == booking.meal and point.kind is FixedKind.MEAL and point.on(booking.day):
            return point
    return None


def _placed(facts: Facts, booking: Booking) -> Placed:
    wish = facts.wishes[booking.wish]
    place = next(p for p in facts.house.places if p.id == booking.place)
    activity = facts.activities[wish.activity]
    return place_booking(booking, wish, activity, place, meal_of(facts, booking), facts.limits)


def _missing(what: str, wanted: Iterable[str], known: Iterable[str]) -> Iterator[str]:
    there = set(known)
    for one in wanted:
        if one not in there:
            yield f"there is no {what} {one!r}"


def _wrong(facts: Facts, booking: Booking, ids: set[str]) -> Iterator[str]:
    """Why a booking cannot be judged at all."""
    children = [child.id for child in facts.house.children]
    adults = [adult.id for adult in facts.house.adults]
    minder = [booking.minder] if booking.minder else []
    yield from _missing("child", (*(a.child for a in booking.attends), *booking.along), children)
    yield from _missing("adult", (*booking.helpers, *minder), adults)
    yield from _missing("place", [booking.place], [place.id for place in facts.house.places])
    yield from _missing("booking", [booking.alongside] if booking.alongside else [], ids)
    if booking.meal is not None and meal_of(facts, booking) is None:
        yield f"there is no meal {booking.meal!r} on {booking.day.capitalize()}"
    wish = facts.wishes.get(booking.wish)
    if wish is None:
        yield f"there is no wish {booking.wish!r}"
        return
    if booking.activity != wish.activity:
        yield f"the wish is for {wish.activity!r}, not {booking.activity!r}"
    if booking.go >= facts.goes(wish):
        yield f"go {booking.go + 1} is one more than was wished"
    activity = facts.activities[wish.activity]
    if booking.lighter and activity.lighter is None:
        yield "it has no lighter version"
    if booking.sitting >= (1 if booking.lighter else len(activity.sittings)):
        yield f"it has no sitting {booking.sitting + 1}"


def _untrue(facts: Facts, placed: Placed) -> Iterator[Violation]:
    """What a booking says about itself and should not."""
    booking, sitting = placed.booking, placed.sitting
    if booking.id != (right := f"{placed.wish.id}.{booking.go + 1}.{booking.sitting + 1}"):
        yield fault(KEY, placed, f"its id should be {right}")
    if booking.start % SLOT_MIN:
        yield fault(KEY, placed, "it does not start on a full five minutes")
    longest = max((a.minutes for a in booking.attends), default=0) if sitting.parts else sitting.adult_min
    if booking.minutes != longest:
        yield fault(KEY, placed, f"it lasts {longest} minutes, not {booking.minutes}")
    if (booking.setup_min, booking.cleanup_min) != (sitting.setup_min, sitting.cleanup_min):
        right = f"{sitting.setup_min} and {sitting.cleanup_min}"
        yield fault(KEY, placed, f"laying out and clearing take {right} minutes")
    stretch = facts.stretch_at(booking.start)
    right_stretch = stretch.id if stretch else None
    if booking.stretch != right_stretch and not (placed.meal and booking.stretch is None):
        yield fault(KEY, placed, f"it starts in the stretch {right_stretch}, not {booking.stretch}")


def _elsewhere(facts: Facts) -> Iterator[Violation]:
    """What the plan's other lists name and is not there."""
    plan = facts.plan
    if plan.week != facts.week.id:
        what = f"The plan is for {plan.week}, not {facts.week.id}."
        yield Violation(key=KEY, ids=(plan.week,), sentence=what)
    for prep in plan.prep:
        wish = facts.wishes.get(prep.wish)
        tasks = facts.activities[wish.activity].prep if wish else ()
        if prep.task not in {task.id for task in tasks}:
            what = f"Prep {prep.task} of {prep.wish} belongs to nothing that was wished."
            yield Violation(key=KEY, ids=(prep.wish, prep.task), sentence=what)
    materials = {material.id for material in facts.house.materials}
    for purchase in plan.shopping:
        if purchase.material not in materials:
            what = f"There is no material {purchase.material!r} to buy."
            yield Violation(key=KEY, ids=(purchase.material,), sentence=what)
    for left in plan.left_over:
        if left.wish not in facts.wishes:
            what = f"There is no wish {left.wish!r} to be left over."
            yield Violation(key=KEY, ids=(left.wish,), sentence=what)
