"""What allergies of everybody about ask of an activity."""

from __future__ import annotations

from collections.abc import Iterator

from solver.domain.activity import Hazard
from solver.domain.base import Mess
from solver.domain.people import Allergen, AllergyLevel
from solver.safety.scene import (
    Bar,
    Demand,
    Guard,
    HandsOff,
    Person,
    Scene,
    SendOut,
    Warn,
    at_floor_level,
)

_SAME = {
    Allergen.WHEAT: frozenset({Allergen.WHEAT, Allergen.GLUTEN}),
    Allergen.GLUTEN: frozenset({Allergen.WHEAT, Allergen.GLUTEN}),
}


def allergens_in(scene: Scene) -> frozenset[Allergen]:
    """What the activity holds; a balloon is taken for latex."""
    rubber = {Allergen.LATEX} if scene.has(Hazard.BALLOON) else set()
    return frozenset(scene.activity.allergens) | rubber


def met(scene: Scene, person: Person, level: AllergyLevel) -> list[Allergen]:
    """The allergies of this strictness that the activity meets; wheat and gluten meet each other."""
    inside = allergens_in(scene)
    mine = [allergy.allergen for allergy in person.allergies if allergy.level is level]
    return [allergen for allergen in mine if _SAME.get(allergen, frozenset({allergen})) & inside]


def avoided(scene: Scene) -> Iterator[Demand]:
    """Those who must avoid it do not take part."""
    for person in scene.attending:
        if found := met(scene, person, AllergyLevel.AVOID):
            yield Bar((person,), f"it holds {_words(found)}, which {person.name} must avoid")
    for person in scene.about:
        if not person.helps and (found := met(scene, person, AllergyLevel.AVOID)):
            yield Warn(f"Holds {_words(found)}: keep it from {person.name}; wash hands and table afterwards.")


def airborne(scene: Scene) -> Iterator[Demand]:
    """Those who react to it in the air are elsewhere: out of the house, or not along."""
    for person in scene.attending:
        if found := met(scene, person, AllergyLevel.AIRBORNE):
            yield Bar((person,), f"{person.name} reacts to {_words(found)} in the air")
    for person in scene.about:
        if met(scene, person, AllergyLevel.AIRBORNE):
            yield from _keep_away(scene, person)


def _keep_away(scene: Scene, person: Person) -> Iterator[Demand]:
    if not scene.place.away:
        yield SendOut(person)
    elif person.small:
        yield Guard(person)
    if person.helps:
        yield HandsOff(person)


def mouthed(scene: Scene) -> Iterator[Demand]:
    """Crumbs at home, and a mouthing or crawling child who must avoid them."""
    if scene.place.away or scene.sitting.mess < Mess.CRUMBS:
        return
    for person in scene.loose:
        if at_floor_level(person) and met(scene, person, AllergyLevel.AVOID):
            yield Guard(person)


def avoided_by_adults(scene: Scene) -> Iterator[Demand]:
    """Adults who must avoid it do not help; barred when that leaves nobody to lead."""
    barred = [p for p in scene.about if p.helps and met(scene, p, AllergyLevel.AVOID)]
    for person in barred:
        yield HandsOff(person)
        found = _words(met(scene, person, AllergyLevel.AVOID))
        yield Warn(f"Holds {found}, which {person.name} must avoid: another adult leads it.")
    if barred and not any(person.leads for person in scene.about if person not in barred):
        yield Bar(tuple(barred))


def mild(scene: Scene) -> Iterator[Demand]:
    """A mild allergy of anybody about is named."""
    for person in scene.everybody:
        if found := met(scene, person, AllergyLevel.MILD):
            yield Warn(f"Holds {_words(found)}: mild for {person.name}; ask your own doctor what is allowed.")


def _words(allergens: list[Allergen]) -> str:
    return " and ".join(str(allergen.value) for allergen in allergens)
