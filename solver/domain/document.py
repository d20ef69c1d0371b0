"""One file: a household, its activities, one or more weeks, and how they must fit each other."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from solver.domain.activity import Activity
from solver.domain.base import Frozen, require_distinct
from solver.domain.dated import of_week
from solver.domain.faults import Fault, RelationError, unknown
from solver.domain.in_force import in_force
from solver.domain.plan import Plan
from solver.domain.week import FixedPoint, Household, Problem, Week, Wish

FORMAT: Literal["lapful/1"] = "lapful/1"


class Document(Frozen):
    """A household file. ``problem`` picks the week to solve."""

    format: Literal["lapful/1"] = FORMAT
    household: Household
    activities: Annotated[tuple[Activity, ...], Field(max_length=20_000)]
    weeks: Annotated[tuple[Week, ...], Field(min_length=1, max_length=60)]

    @model_validator(mode="after")
    def _fits_together(self) -> Self:
        require_distinct("activities", [activity.id for activity in self.activities])
        require_distinct("weeks", [week.id for week in self.weeks])
        found = [fault for check in _RELATIONS for fault in check(self)]
        if found:
            raise RelationError(found)
        return self

    def problem(self, week_id: str | None = None, plan: Plan | None = None) -> Problem:
        """The week to solve: the named one, or the first.

        With a plan, also what the plan books and the week wishes for no longer, so that it can be told.

        Raises
        ------
        RelationError
            When the document has no such week.
        """
        weeks = {week.id: week for week in self.weeks}
        if week_id is not None and week_id not in weeks:
            raise RelationError([unknown("weeks", "week", week_id, weeks)])
        week = weeks[week_id] if week_id else self.weeks[0]
        wanted = {wish.activity for wish in week.wishes} | set(week.spare)
        wanted |= {booking.activity for booking in plan.bookings} if plan else set()
        firsts = {a.needs_first for a in self.activities if a.id in wanted and a.needs_first}
        used = tuple(a for a in self.activities if a.id in wanted | firsts)
        return in_force(Problem(household=of_week(self.household, week), activities=used, week=week))


def _missing(path: str, what: str, wanted: Iterable[str], known: set[str]) -> Iterator[Fault]:
    for one in wanted:
        if one not in known:
            yield unknown(path, what, one, sorted(known))


def _activity_relations(document: Document) -> Iterator[Fault]:
    house = document.household
    places = {place.id for place in house.places}
    materials = {material.id for material in house.materials}
    holders = {holder.id for holder in house.holders}
    books = {book.id for book in house.books}
    areas = {area.id for area in house.areas}
    activities = {activity.id for activity in document.activities}
    for index, activity in enumerate(document.activities):
        path = f"activities[{index}]"
        for number, sitting in enumerate(activity.all_sittings):
            where = f"{path}.sittings[{number}]"
            yield from _missing(f"{where}.places", "place", sitting.places, places)
            needs = (need.material for need in sitting.needs)
            yield from _missing(f"{where}.needs", "material", needs, materials)
        waiting = [w.holder for w in activity.waits if w.holder]
        waiting += [task.holder for task in activity.prep if task.holder]
        yield from _missing(f"{path}.waits", "holder", waiting, holders)
        if house.areas:
            yield from _missing(f"{path}.areas", "learning area", activity.areas, areas)
        first = [activity.needs_first] if activity.needs_first else []
        yield from _missing(f"{path}.needs_first", "activity", first, activities)
        yield from _missing(f"{path}.book", "book", [activity.book] if activity.book else [], books)


def _fixed_point_relations(house: Household, points: Iterable[FixedPoint], path: str) -> Iterator[Fault]:
    children = {child.id for child in house.children}
    adults = {adult.id for adult in house.adults}
    places = {place.id for place in house.places}
    for index, point in enumerate(points):
        where = f"{path}[{index}]"
        yield from _missing(f"{where}.children", "child", point.children, children)
        yield from _missing(f"{where}.adults", "adult", point.adults, adults)
        yield from _missing(f"{where}.place", "place", [point.place] if point.place else [], places)


def _household_relations(document: Document) -> Iterator[Fault]:
    house = document.household
    yield from _fixed_point_relations(house, house.fixed_points, "household.fixed_points")
    yield from _name_relations(house)


def _name_relations(house: Household) -> Iterator[Fault]:
    children = ((f"household.children[{i}].name", one.name) for i, one in enumerate(house.children))
    adults = ((f"household.adults[{i}].name", one.name) for i, one in enumerate(house.adults))
    yield from named_twice([*children, *adults])


def named_twice(named: Iterable[tuple[str, str]]) -> Iterator[Fault]:
    """Faults where two people have one name, by path: on a card and on paper a person is only a name."""
    seen: set[str] = set()
    for path, name in named:
        if name.strip().casefold() in seen:
            message = f"two people are called {name!r}; add a letter or use a nickname for one of them"
            yield Fault(path=path, message=message)
        seen.add(name.strip().casefold())


def _wish_relations(document: Document, week: Week, wish: Wish, where: str) -> Iterator[Fault]:
    house = document.household
    children = {child.id for child in house.children if child.learner}
    activities = {activity.id: activity for activity in document.activities}
    yield from _missing(f"{where}.activity", "activity", [wish.activity], set(activities))
    yield from _missing(f"{where}.children", "learning child", wish.children, children)
    yield from _missing(f"{where}.may_miss", "child", wish.may_miss, {child.id for child in house.children})
    yield from _missing(f"{where}.versions", "learning child", wish.versions, children)
    stretches = {stretch.id for stretch in house.stretches}
    yield from _missing(f"{where}.stretches", "stretch", wish.stretches, stretches)
    others = {other.id for other in week.wishes if other.id != wish.id}
    yield from _missing(f"{where}.after", "other wish", wish.after, others)
    activity = activities.get(wish.activity)
    if activity:
        known = {version.id for version in activity.versions}
        yield from _missing(f"{where}.versions", "version", wish.versions.values(), known)


def _week_relations(document: Document) -> Iterator[Fault]:
    house = document.household
    adults = {adult.id for adult in house.adults}
    activities = {activity.id for activity in document.activities}
    people = {child.id for child in house.children} | adults
    for index, week in enumerate(document.weeks):
        path = f"weeks[{index}]"
        yield from _missing(f"{path}.hours", "adult", week.hours, adults)
        yield from _fixed_point_relations(house, week.fixed_points, f"{path}.fixed_points")
        yield from _missing(f"{path}.spare", "activity", week.spare, activities)
        for number, wish in enumerate(week.wishes):
            yield from _wish_relations(document, week, wish, f"{path}.wishes[{number}]")
        household = {child.id for child in house.children}
        yield from _missing(f"{path}.ill", "child", (ill.child for ill in week.ill), household)
        yield from _missing(f"{path}.naps", "child", (nap.child for nap in week.naps), household)
        wishes = {wish.id for wish in week.wishes}
        for number, booking in enumerate(week.firm):
            yield from _missing(f"{path}.firm[{number}].wish", "wish", [booking.wish], wishes)
        for visitor in week.visitors:
            if visitor.id in people:
                message = f"the visitor's id {visitor.id!r} is somebody's who lives here; choose another"
                yield Fault(path=f"{path}.visitors", message=message)


def _birth_relations(document: Document) -> Iterator[Fault]:
    last = max(week.monday for week in document.weeks)
    for index, child in enumerate(document.household.children):
        if child.birth_month > f"{last.year}-{last.month:02d}":
            yield Fault(
                path=f"household.children[{index}].birth_month",
                message=f"{child.birth_month} is after the week; correct the year or the month",
            )


def _order_relations(document: Document) -> Iterator[Fault]:
    """A wish that waits for itself, by whatever way round, can never start."""
    for index, week in enumerate(document.weeks):
        after = {wish.id: set(wish.after) for wish in week.wishes}
        while ready := {wish for wish, firsts in after.items() if not firsts & set(after)}:
            for wish in ready:
                del after[wish]
        if after:
            circle = ", ".join(sorted(after)[:4])
            message = f"these wishes wait for each other in a circle: {circle}; take one 'after' away"
            yield Fault(path=f"weeks[{index}].wishes", message=message)


_RELATIONS = (
    _activity_relations,
    _household_relations,
    _week_relations,
    _birth_relations,
    _order_relations,
)
