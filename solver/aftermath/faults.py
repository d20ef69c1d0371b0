"""What a mishap names must be there: faults with the field and the mend, before anything is worked out."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from solver.domain.base import Moment
from solver.domain.faults import Fault, unknown
from solver.domain.mishap import (
    DayLost,
    Hooked,
    Late,
    Mishap,
    Missing,
    NapFailed,
    NapGone,
    Refused,
    Roster,
    StillWet,
)
from solver.domain.plan import Plan
from solver.domain.week import Problem

NEEDS_NOW = "being late needs the time it is now; give it, for example monday@12:10"


def mishap_faults(problem: Problem, plan: Plan, mishaps: Sequence[Mishap], at: Moment | None) -> list[Fault]:
    """Every id that names nothing, and every time that makes no sense."""
    found = []
    for index, mishap in enumerate(mishaps):
        found += list(_faults(problem, plan, mishap, at or problem.week.now, f"mishaps[{index}]"))
    return found


def _faults(problem: Problem, plan: Plan, mishap: Mishap, now: Moment | None, path: str) -> Iterator[Fault]:
    house = problem.household
    children, adults = [c.id for c in house.children], [a.id for a in house.adults]
    match mishap:
        case DayLost():
            yield from _ids(f"{path}.children", "child", mishap.children, children)
            yield from _ids(f"{path}.adults", "adult", mishap.adults, adults)
            yield from _times(f"{path}.end", mishap.start, mishap.end)
        case NapFailed() | NapGone():
            yield from _ids(f"{path}.child", "child", [mishap.child], children)
        case Late():
            if now is None:
                yield Fault(
                    path="at",
                    message="being late needs the time it is now; give it, for example monday@12:10",
                )
        case Missing():
            things = [one.id for one in house.places] + [one.id for one in house.materials]
            things += [one.id for one in house.holders]
            yield from _ids(f"{path}.what", "place, tool, supply or shelf", [mishap.what], things)
        case StillWet() | Hooked():
            yield from _booked(f"{path}.booking", plan, mishap.booking)
        case Refused():
            yield from _booked(f"{path}.booking", plan, mishap.booking)
            there = [a.child for b in plan.bookings if b.id == mishap.booking for a in b.attends]
            if there and mishap.child not in there:
                message = f"{mishap.child!r} is not in it; name one of {', '.join(there)}"
                yield Fault(path=f"{path}.child", message=message)
        case Roster():
            yield from _ids(f"{path}.adult", "adult", [mishap.adult], adults)
            if mishap.start is not None and mishap.end is not None:
                yield from _times(f"{path}.end", mishap.start, mishap.end)


def _ids(path: str, what: str, wanted: Iterable[str], known: Sequence[str]) -> Iterator[Fault]:
    for one in wanted:
        if one not in known:
            yield unknown(path, what, one, known)


def _times(path: str, start: int, end: int) -> Iterator[Fault]:
    if end <= start:
        yield Fault(path=path, message="it ends before it starts; give a later end")


def _booked(path: str, plan: Plan, booking: str) -> Iterator[Fault]:
    yield from _ids(path, "booking", [booking], [one.id for one in plan.bookings])


def plan_faults(problem: Problem, plan: Plan) -> list[Fault]:
    """A plan of another household or week cannot be mended in this one."""
    if plan.week != problem.week.id:
        other = f"the plan is for {plan.week} and the week is {problem.week.id}; name the plan's week"
        return [Fault(path="plan.week", message=other)]
    wishes = {wish.id: wish.activity for wish in problem.week.wishes}
    return [
        unknown(f"plan.bookings[{index}].wish", "wish", booking.wish, list(wishes))
        for index, booking in enumerate(plan.bookings)
        if booking.wish not in wishes
    ]
