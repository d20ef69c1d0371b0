"""Who is where, slot by slot: sets of week slots for everybody, made once for a problem.

Clock times off the grid: what takes time (a fixed point, sleep, a closed window) covers every slot
it touches; what gives time (an adult's hours) covers only the slots that lie wholly in it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field

from solver.clock import DAY_SLOTS, slot_at, slots_up, week_slot
from solver.domain.base import DAYS, Day, Window
from solver.domain.people import Adult, Child, Duty, Nap
from solver.domain.week import FixedKind, FixedPoint, Problem

Slots = set[int]

MEAL_LOAD = 1
COOKING_LOAD = 2
SETTLING_LOAD = 3


def touched(day: Day, start_min: int, end_min: int) -> range:
    """Week slots that share a moment with these minutes of the day."""
    return range(week_slot(day, slot_at(start_min)), week_slot(day, slots_up(end_min)))


def inside(day: Day, start_min: int, end_min: int) -> range:
    """Week slots that lie wholly within these minutes of the day."""
    return range(week_slot(day, slots_up(start_min)), week_slot(day, slot_at(end_min)))


def slots_inside(windows: Iterable[Window]) -> Slots:
    """Week slots wholly within one of the windows."""
    return {s for w in windows for day in DAYS if w.on(day) for s in inside(day, w.start, w.end)}


def slots_touched(windows: Iterable[Window]) -> Slots:
    """Week slots that one of the windows touches."""
    return {s for w in windows for day in DAYS if w.on(day) for s in touched(day, w.start, w.end)}


@dataclass
class People:
    """Everybody's week in sets of week slots."""

    home: dict[str, Slots] = field(default_factory=dict)
    """Children, adults and visitors: in the house, meals included."""
    asleep: dict[str, Slots] = field(default_factory=dict)
    on_the_go: dict[str, Slots] = field(default_factory=dict)
    """A child's naps that may be slept in carrier or pram."""
    awake: dict[str, Slots] = field(default_factory=dict)
    """Children and visitors: at home and not asleep."""
    free: dict[str, Slots] = field(default_factory=dict)
    """Children: awake at home, well, and not at a meal."""
    ill: dict[str, Slots] = field(default_factory=dict)
    """Children: keeping to the house, taking part in nothing."""
    open: dict[str, Slots] = field(default_factory=dict)
    """Children: as free, before illness or a mishap took any of it."""
    in_arms: dict[str, Slots] = field(default_factory=dict)
    """Children who need a hand while they are awake at home: babies, and whoever is ill."""
    on_hand: dict[str, Slots] = field(default_factory=dict)
    on_call: dict[str, Slots] = field(default_factory=dict)
    hush: dict[str, Slots] = field(default_factory=dict)
    """Adults who sleep or are on a quiet call at home."""
    fixed_loads: dict[str, Counter[int]] = field(default_factory=dict)
    """Adults: hands taken by meals, cooking and putting down, by slot."""


def people_of(problem: Problem) -> People:
    """The week of everybody who lives here or comes."""
    people = People()
    points = problem.household.fixed_points + problem.week.fixed_points
    for child in problem.household.children:
        _add_child(people, child, points, problem)
    for adult in problem.household.adults:
        _add_adult(people, adult, points, problem)
    for visitor in problem.week.visitors:
        people.home[visitor.id] = people.awake[visitor.id] = slots_touched(visitor.here)
    _add_meal_loads(people, problem, points)
    _add_settling_loads(people, problem)
    return people


def naps_on(problem: Problem, child: Child, day: Day) -> list[Nap]:
    """The naps a child takes on a day: the usual ones, but for what the week changes."""
    naps = []
    for nap in child.naps:
        if not nap.days_of_seven or (nap.days and day not in nap.days):
            continue
        for change in problem.week.naps:
            if (change.child, change.day, change.usual_start) == (child.id, day, nap.start):
                if change.start is not None:
                    naps.append(nap.model_copy(update={"start": change.start}))
                break
        else:
            naps.append(nap)
    return naps


def _add_child(people: People, child: Child, points: Iterable[FixedPoint], problem: Problem) -> None:
    whole = set(range(len(DAYS) * DAY_SLOTS))
    awake = {s for day in DAYS for s in inside(day, child.wake, child.bed)}
    naps: Slots = set()
    riding: Slots = set()
    for day in DAYS:
        for nap in naps_on(problem, child, day):
            slots = touched(day, nap.start, nap.end)
            naps.update(slots)
            if nap.on_the_go:
                riding.update(slots)
    people.asleep[child.id] = (whole - awake) | naps
    people.on_the_go[child.id] = riding & awake
    people.home[child.id] = whole - _taken(child.id, points)
    people.awake[child.id] = people.home[child.id] - people.asleep[child.id]
    people.ill[child.id] = slots_touched(
        window for one in problem.week.ill if one.child == child.id for window in one.when
    )
    usual = [point for point in points if point.kind is not FixedKind.LOST]
    open_time = whole - people.asleep[child.id] - _taken(child.id, usual) - _at_meals(child.id, usual)
    people.open[child.id] = open_time
    awake_here, ill = people.awake[child.id], people.ill[child.id]
    people.free[child.id] = awake_here - _at_meals(child.id, points) - ill
    people.in_arms[child.id] = awake_here & ill if child.learner else awake_here


def _taken(person: str, points: Iterable[FixedPoint]) -> Slots:
    """Slots that fixed points other than meals take from somebody."""
    return {
        slot
        for point in points
        if person in (*point.children, *point.adults) and point.kind is not FixedKind.MEAL
        for day in DAYS
        if point.on(day)
        for slot in touched(day, point.taken_from, point.taken_until)
    }


def _at_meals(person: str, points: Iterable[FixedPoint]) -> Slots:
    return {
        slot
        for point in points
        if person in (*point.children, *point.adults) and point.kind is FixedKind.MEAL
        for day in DAYS
        if point.on(day)
        for slot in touched(day, point.start, point.end)
    }


def _add_adult(people: People, adult: Adult, points: Iterable[FixedPoint], problem: Problem) -> None:
    hours = problem.week.hours.get(adult.id, adult.hours)
    taken = _taken(adult.id, points)

    def during(*duties: Duty) -> Slots:
        return slots_inside(hour for hour in hours if hour.duty in duties) - taken

    people.home[adult.id] = during(*Duty)
    people.on_hand[adult.id] = during(Duty.ON_HAND)
    people.on_call[adult.id] = during(Duty.ON_CALL)
    people.hush[adult.id] = during(Duty.ASLEEP, Duty.QUIET_CALL)
    people.fixed_loads[adult.id] = Counter()


def _leader(people: People, problem: Problem, slot: int) -> str | None:
    """The first adult of the household who leads and is on hand."""
    for adult in problem.household.adults:
        if adult.leads and slot in people.on_hand[adult.id]:
            return adult.id
    return None


def _add_load(people: People, adult: str | None, slots: Iterable[int], load: int) -> None:
    if adult is not None:
        for slot in slots:
            people.fixed_loads[adult][slot] += load


def _add_meal_loads(people: People, problem: Problem, points: Iterable[FixedPoint]) -> None:
    for point in points:
        if point.kind is not FixedKind.MEAL:
            continue
        for day in filter(point.on, DAYS):
            meal = touched(day, point.start, point.end)
            for adult in dict.fromkeys(point.adults):
                if adult in people.on_hand:
                    _add_load(people, adult, people.on_hand[adult].intersection(meal), MEAL_LOAD)
            cooking = range(touched(day, point.start - point.adult_before_min, point.end).start, meal.start)
            if cooking:
                _add_load(people, _leader(people, problem, cooking.start), cooking, COOKING_LOAD)


def _add_settling_loads(people: People, problem: Problem) -> None:
    for child in problem.household.children:
        for day in DAYS:
            for nap in naps_on(problem, child, day):
                start = week_slot(day, slot_at(nap.start))
                settling = range(start, start + slots_up(nap.settle_min))
                if settling and start in people.home[child.id]:
                    _add_load(people, _leader(people, problem, start), settling, SETTLING_LOAD)
