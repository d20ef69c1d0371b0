"""Who is about while something is done, and what a gate may ask."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from solver.domain.activity import Activity, Hazard, Sitting
from solver.domain.base import Help
from solver.domain.home import Place
from solver.domain.people import Adult, Allergy, Child, Condition, Visitor
from solver.domain.week import Problem


@dataclass(frozen=True, slots=True)
class Person:
    """A child, an adult or a visitor, as far as safety is concerned."""

    id: str
    name: str
    months: int | None = None
    """Whole months of age; None for a grown-up."""
    mouths: bool = False
    crawls: bool = False
    worn: bool = False
    """A baby: away from home in the carrier or pram, never loose there."""
    helps: bool = False
    """An adult of the household, who could be a helper."""
    leads: bool = False
    allergies: tuple[Allergy, ...] = ()
    conditions: tuple[Condition, ...] = ()

    @property
    def small(self) -> bool:
        """Whether somebody must think for them: a child, or a visitor who mouths things."""
        return self.months is not None or self.mouths


Who = Callable[[Person], bool]


def under(months: int) -> Who:
    """Younger than so many months; grown-ups never are."""
    return lambda person: person.months is not None and person.months < months


def mouthing(person: Person) -> bool:
    """Still puts things in the mouth, at whatever age."""
    return person.mouths


def under_or_mouthing(months: int) -> Who:
    """Younger than so many months, or still puts things in the mouth."""
    return lambda person: under(months)(person) or mouthing(person)


little = under_or_mouthing(36)
"""Under 3 years, or still puts things in the mouth."""


def at_floor_level(person: Person) -> bool:
    """Gets at what falls down, or puts it in the mouth."""
    return person.crawls or person.mouths


@dataclass(frozen=True, slots=True)
class Scene:
    """One sitting at one place with those who take part and those who are about."""

    activity: Activity
    sitting: Sitting
    place: Place
    attending: tuple[Person, ...]
    about: tuple[Person, ...]
    """Everybody else of the household, and the week's visitors."""

    @property
    def loose(self) -> tuple[Person, ...]:
        """Small people who could wander in. Away from home a baby is worn, and visitors stay behind."""
        return tuple(p for p in self.about if p.small and not (self.place.away and p.worn))

    @property
    def everybody(self) -> tuple[Person, ...]:
        """Those who take part, then all others."""
        return self.attending + self.about

    def has(self, *hazards: Hazard) -> bool:
        """Whether the activity brings one of these hazards."""
        return any(hazard in self.activity.hazards for hazard in hazards)


@dataclass(frozen=True, slots=True)
class Bar:
    """It may not be done like this; ``because`` replaces the gate's own sentence."""

    who: tuple[Person, ...] = ()
    because: str = ""


@dataclass(frozen=True, slots=True)
class Raise:
    """This child needs at least so much help."""

    who: Person
    help: Help


@dataclass(frozen=True, slots=True)
class Cut:
    """This child takes part for so many minutes at most."""

    who: Person
    minutes: int


@dataclass(frozen=True, slots=True)
class Guard:
    """This person must be asleep or with another adult meanwhile."""

    who: Person


@dataclass(frozen=True, slots=True)
class SendOut:
    """This person must not be at home meanwhile."""

    who: Person


@dataclass(frozen=True, slots=True)
class HandsOff:
    """This adult must not be a helper."""

    who: Person


@dataclass(frozen=True, slots=True)
class Warn:
    """Something to say on the card."""

    text: str


Demand = Bar | Raise | Cut | Guard | SendOut | HandsOff | Warn
Acts = Callable[[Scene], Iterator[Demand]]


def scene_of(
    problem: Problem, activity: Activity, sitting: Sitting, place: Place, attending: tuple[Child, ...]
) -> Scene:
    """The scene of a sitting, with ages at the week's Monday."""
    monday = problem.week.monday
    age = (monday.year, monday.month)
    taking_part = {child.id for child in attending}
    others = [_child(child, age) for child in problem.household.children if child.id not in taking_part]
    others += [_adult(adult) for adult in problem.household.adults]
    visitors = () if place.away else problem.week.visitors
    others += [_visitor(visitor, age) for visitor in visitors]
    return Scene(activity, sitting, place, tuple(_child(child, age) for child in attending), tuple(others))


def _child(child: Child, age: tuple[int, int]) -> Person:
    return Person(
        id=child.id,
        name=child.name,
        months=child.age_months(*age),
        mouths=child.mouths_things,
        crawls=child.crawls,
        worn=not child.learner,
        allergies=child.allergies,
        conditions=child.conditions,
    )


def _adult(adult: Adult) -> Person:
    return Person(id=adult.id, name=adult.name, helps=True, leads=adult.leads, allergies=adult.allergies)


def _visitor(visitor: Visitor, age: tuple[int, int]) -> Person:
    months = None
    if visitor.birth_month:
        born_year, born_month = (int(part) for part in visitor.birth_month.split("-"))
        months = max(0, (age[0] - born_year) * 12 + age[1] - born_month)
    return Person(
        id=visitor.id,
        name=visitor.name,
        months=months,
        mouths=visitor.mouths_things,
        allergies=visitor.allergies,
        conditions=visitor.conditions,
    )
