"""A plan as lines that a person reads: what, when, who, with whom, where, what to take care of."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby

from service.show.names import Names
from service.weekview import adult_times
from solver.domain.activity import Activity
from solver.domain.base import DAYS, ChildId, Day, Evening, clock_text
from solver.domain.plan import Booking, Plan
from solver.domain.week import FixedPoint, Problem, Rank


@dataclass(frozen=True)
class Line:
    """One booking in words."""

    booking: Booking
    title: str
    children: str
    """As on paper, where *all* is short."""
    named: str
    """The same, each by name."""
    adults: str
    place: str
    stretch: str
    adult_from: int
    adult_until: int
    promise: bool

    @property
    def day(self) -> Day:
        return self.booking.day

    @property
    def clock(self) -> str:
        """``09:15–09:40``, of the children."""
        booking = self.booking
        return f"{clock_text(booking.start)}–{clock_text(booking.start + booking.minutes)}"

    @property
    def adult_clock(self) -> str:
        """The same with laying out, the way and clearing."""
        return f"{clock_text(self.adult_from)}–{clock_text(self.adult_until)}"


def lines_of(problem: Problem, plan: Plan) -> tuple[Line, ...]:
    """Every booking of the plan, in order of time."""
    names = Names(problem)
    promises = {wish.id for wish in problem.week.wishes if wish.rank is Rank.PROMISE}
    times = dict(adult_times(problem, plan))

    def line(booking: Booking) -> Line:
        known = times.get(booking.id)
        return Line(
            booking=booking,
            title=names.title(booking),
            children=names.who(children_in(booking)) or "adult’s step",
            named=names.all(children_in(booking)),
            adults=_adults(booking, names),
            place=names.of(booking.place),
            stretch=names.of(booking.stretch) if booking.stretch else "At the meal",
            adult_from=known.start if known else booking.start,
            adult_until=known.end if known else booking.start + booking.minutes,
            promise=booking.wish in promises,
        )

    ordered = sorted(plan.bookings, key=lambda one: (one.day.index, one.start, one.id))
    return tuple(line(booking) for booking in ordered)


def _adults(booking: Booking, names: Names) -> str:
    who = names.all(booking.helpers)
    if booking.minder:
        who += f"; {names.of(booking.minder)} has the others"
    if booking.along:
        who += f"; coming along: {names.all(booking.along)}"
    return who


def by_day(lines: Iterable[Line]) -> dict[Day, list[Line]]:
    """Lines of each day that has any, Monday first."""
    return {day: list(some) for day, some in groupby(lines, key=lambda line: line.day)}


def fixed_points(problem: Problem, day: Day) -> Iterator[FixedPoint]:
    """What the day is planned around, by start."""
    both = problem.household.fixed_points + problem.week.fixed_points
    yield from sorted((point for point in both if point.on(day)), key=lambda point: point.start)


def concerns(booking: Booking, person: str) -> bool:
    """Whether somebody is in it: takes part, comes along, helps or minds."""
    going = {one.child for one in booking.attends} | set(booking.along) | set(booking.helpers)
    return person in going | {booking.minder}


def children_in(booking: Booking) -> tuple[ChildId, ...]:
    """Those who take part, in the plan's order."""
    return tuple(one.child for one in booking.attends)


def activity_of(problem: Problem, booking: Booking) -> Activity | None:
    """The activity that a booking means."""
    return next((one for one in problem.activities if one.id == booking.activity), None)


def evening_name(evening: Evening) -> str:
    """``Sunday evening, before the week``."""
    if evening is Evening.SUNDAY_BEFORE:
        return "Sunday evening, before the week"
    return f"{evening.value.capitalize()} evening"


def used_days(problem: Problem, lines: Iterable[Line]) -> tuple[Day, ...]:
    """Teaching days and days with something on them."""
    busy = {line.day for line in lines} | set(problem.week.teaching_days)
    return tuple(day for day in DAYS if day in busy)
