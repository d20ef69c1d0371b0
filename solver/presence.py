"""Who is where in the week, as slot masks: asleep, at home, at a meal, on hand."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property, wraps
from typing import Any, TypeVar, cast

from solver.clock import slot_at, slots_up
from solver.domain.base import DAYS, AdultId, ChildId, Day, Window
from solver.domain.people import Adult, Child, Duty, Nap
from solver.domain.week import FixedKind, FixedPoint, Problem, Sky, Stretch
from solver.masks import FULL, between, blocks, inside, touching

MEAL_LOAD = 1
COOKING_LOAD = 2
SETTLING_LOAD = 3

Daily = tuple[int, ...]
"""One mask for each of the seven days."""


@dataclass(frozen=True, slots=True)
class FixedLoad:
    """Hands that an adult has full without any booking, in day slots."""

    adult: AdultId
    day: Day
    start: int
    end: int
    load: int


def _of_windows(windows: tuple[Window, ...], day: Day) -> int:
    mask = 0
    for window in windows:
        if window.on(day):
            mask |= inside(window.start, window.end)
    return mask


Method = TypeVar("Method", bound=Callable[..., Any])


def remembered(method: Method) -> Method:
    """The answer of a method of ``Presence``, kept with the object: it never changes."""

    @wraps(method)
    def ask(self: Presence, *what: Any) -> Any:
        key = (method.__name__, *what)
        if key not in self.known:
            self.known[key] = method(self, *what)
        return self.known[key]

    return cast(Method, ask)


class Presence:
    """Masks of one problem; made once, then only read."""

    def __init__(self, problem: Problem) -> None:
        self.known: dict[tuple[Any, ...], Any] = {}
        self.problem = problem
        self.house = problem.household
        self.week = problem.week
        self.children = {child.id: child for child in self.house.children}
        self.adults = {adult.id: adult for adult in self.house.adults}
        self.babies = tuple(child for child in self.house.children if not child.learner)
        self.learners = tuple(child for child in self.house.children if child.learner)
        self.points = self.house.fixed_points + self.week.fixed_points
        self.age_months = {
            child.id: child.age_months(self.week.monday.year, self.week.monday.month)
            for child in self.house.children
        }

    @remembered
    def points_on(self, day: Day) -> list[FixedPoint]:
        """The fixed points of a day, meals included."""
        return [point for point in self.points if point.on(day)]

    @remembered
    def meals_on(self, day: Day) -> list[FixedPoint]:
        """The meals of a day."""
        return [point for point in self.points_on(day) if point.kind is FixedKind.MEAL]

    def naps_on(self, child: Child, day: Day) -> list[Nap]:
        """The naps a child usually takes on a day."""
        usual = [n for n in child.naps if n.days_of_seven and (not n.days or day in n.days)]
        changed = {c.usual_start: c.start for c in self.week.naps if c.child == child.id and c.day is day}
        naps = [n if n.start not in changed else _moved(n, changed[n.start]) for n in usual]
        return [nap for nap in naps if nap is not None]

    @remembered
    def ill(self, child: ChildId, day: Day) -> int:
        """When a child is ill."""
        mask = 0
        for illness in self.week.ill:
            if illness.child == child:
                for window in illness.when:
                    mask |= touching(window.start, window.end) if window.on(day) else 0
        return mask

    @remembered
    def in_arms(self, day: Day) -> dict[ChildId, int]:
        """When each child who needs a hand is awake at home: babies, and whoever is ill."""
        return {
            child.id: self.awake(child.id, day) & (self.ill(child.id, day) if child.learner else FULL)
            for child in self.house.children
        }

    @remembered
    def asleep(self, child: ChildId, day: Day) -> int:
        """Night and usual naps, wherever they are slept."""
        who = self.children[child]
        mask = FULL & ~inside(who.wake, who.bed)
        for nap in self.naps_on(who, day):
            mask |= touching(nap.start, nap.end)
        return mask

    @remembered
    def naps_at_home(self, child: ChildId, day: Day) -> int:
        """Naps that need the bed (not on the go)."""
        mask = 0
        for nap in self.naps_on(self.children[child], day):
            if not nap.on_the_go:
                mask |= touching(nap.start, nap.end)
        return mask

    @remembered
    def home(self, child: ChildId, day: Day) -> int:
        """Not taken by a fixed point, meals aside."""
        mask = FULL
        for point in self.points_on(day):
            if child in point.children and point.kind is not FixedKind.MEAL:
                mask &= ~touching(point.taken_from, point.taken_until)
        return mask

    @remembered
    def awake(self, child: ChildId, day: Day) -> int:
        """Awake at home."""
        return self.home(child, day) & ~self.asleep(child, day)

    @remembered
    def sleeping(self, child: ChildId, day: Day) -> int:
        """Asleep at home."""
        return self.home(child, day) & self.asleep(child, day)

    @remembered
    def free(self, child: ChildId, day: Day) -> int:
        """Awake at home and not at a meal: open for a sitting."""
        mask = self.awake(child, day) & ~self.ill(child, day)
        for meal in self.meals_on(day):
            if child in meal.children:
                mask &= ~touching(meal.start, meal.end)
        return mask

    @remembered
    def open_time(self, child: ChildId, day: Day) -> int:
        """Free time within stretches, as the day was before illness or a mishap took any of it."""
        mask = FULL & ~self.asleep(child, day)
        for point in self.points_on(day):
            if child in point.children and point.kind is not FixedKind.LOST:
                mask &= ~touching(*_taken_by(point))
        return mask & self.stretch_time

    @cached_property
    def stretch_time(self) -> int:
        """All slots that lie in a stretch."""
        mask = 0
        for stretch in self.house.stretches:
            mask |= between(slots_up(stretch.start), slots_up(stretch.end))
        return mask

    def starts_in(self, stretch: Stretch) -> int:
        """Slots at which something starts in a stretch."""
        return self._stretch_starts[stretch.id]

    @cached_property
    def _stretch_starts(self) -> dict[str, int]:
        return {s.id: between(slots_up(s.start), slots_up(s.end)) for s in self.house.stretches}

    def _duty(self, adult: AdultId, day: Day, duties: tuple[Duty, ...]) -> int:
        hours = self.week.hours.get(adult, self.adults[adult].hours)
        return _of_windows(tuple(h for h in hours if h.duty in duties), day)

    def _taken(self, adult: AdultId, day: Day) -> int:
        mask = 0
        for point in self.points_on(day):
            if adult in point.adults and point.kind is not FixedKind.MEAL:
                mask |= touching(point.taken_from, point.taken_until)
        return mask

    @remembered
    def on_hand(self, adult: AdultId, day: Day) -> int:
        """Here and able to help."""
        return self._duty(adult, day, (Duty.ON_HAND,)) & ~self._taken(adult, day)

    @remembered
    def on_hand_or_call(self, adult: AdultId, day: Day) -> int:
        """Here, if only in earshot."""
        return self._duty(adult, day, (Duty.ON_HAND, Duty.ON_CALL)) & ~self._taken(adult, day)

    @remembered
    def wants_quiet(self, adult: AdultId, day: Day) -> int:
        """Asleep at home, or on a call."""
        return self._duty(adult, day, (Duty.ASLEEP, Duty.QUIET_CALL)) & ~self._taken(adult, day)

    def visitor_here(self, visitor: str, day: Day) -> int:
        """When a visitor is at home."""
        for one in self.week.visitors:
            if one.id == visitor:
                mask = 0
                for window in one.here:
                    if window.on(day):
                        mask |= touching(window.start, window.end)
                return mask
        return 0

    @remembered
    def at_home(self, person: str, day: Day) -> int:
        """When anybody (child, adult or visitor) is in the house, awake or not."""
        if person in self.children:
            return self.home(person, day)
        if person in self.adults:
            everywhere = self._duty(person, day, tuple(Duty))
            return everywhere & ~self._taken(person, day)
        return self.visitor_here(person, day)

    @remembered
    def loose(self, person: str, day: Day) -> int:
        """When a child or visitor is at home and awake."""
        if person in self.children:
            return self.awake(person, day)
        return self.at_home(person, day)

    @remembered
    def sky(self, day: Day, wanted: str) -> int:
        """Slots that a forecast calls ``wet``, ``windy``, ``icy`` …"""
        mask = 0
        for piece in self.week.sky:
            if piece.on(day) and _is(piece, wanted):
                mask |= touching(piece.start, piece.end)
        return mask

    def _leader(self, day: Day, slot: int) -> Adult | None:
        for adult in self.house.adults:
            if adult.leads and self.on_hand(adult.id, day) >> slot & 1:
                return adult
        return None

    @cached_property
    def fixed_loads(self) -> tuple[FixedLoad, ...]:
        """Meals, cooking, putting down for naps."""
        found: list[FixedLoad] = []
        for day in DAYS:
            found += self._meal_loads(day)
            found += self._settling_loads(day)
        return tuple(found)

    def _meal_loads(self, day: Day) -> list[FixedLoad]:
        found = []
        for meal in self.meals_on(day):
            start, end = slot_at(meal.start), slots_up(meal.end)
            for adult in meal.adults:
                here = self.on_hand(adult, day) & between(start, end)
                found += [FixedLoad(adult, day, a, b, MEAL_LOAD) for a, b in blocks(here)]
            begin = slot_at(meal.start - meal.adult_before_min)
            cook = self._leader(day, begin) if meal.adult_before_min else None
            if cook:
                found.append(FixedLoad(cook.id, day, begin, start, COOKING_LOAD))
        return found

    def _settling_loads(self, day: Day) -> list[FixedLoad]:
        found = []
        for child in self.house.children:
            for nap in self.naps_on(child, day):
                start = slot_at(nap.start)
                who = self._leader(day, start) if self.home(child.id, day) >> start & 1 else None
                if who and nap.settle_min:
                    end = start + slots_up(nap.settle_min)
                    found.append(FixedLoad(who.id, day, start, end, SETTLING_LOAD))
        return found


def _taken_by(point: FixedPoint) -> tuple[int, int]:
    if point.kind is FixedKind.MEAL:
        return point.start, point.end
    return point.taken_from, point.taken_until


def _moved(nap: Nap, start: int | None) -> Nap | None:
    return None if start is None else nap.model_copy(update={"start": start})


def _is(piece: Sky, wanted: str) -> bool:
    return bool(getattr(piece, wanted))
