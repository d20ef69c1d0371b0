"""What gates ask, as small functions that the table of gates puts together."""

from __future__ import annotations

from collections.abc import Iterator

from solver.domain.activity import Hazard, Kind
from solver.domain.base import Help, Mess
from solver.domain.people import Allergen, Condition
from solver.safety.scene import (
    Acts,
    Bar,
    Cut,
    Demand,
    Guard,
    Person,
    Raise,
    Scene,
    Warn,
    Who,
    at_floor_level,
    little,
    mouthing,
    under,
)

WET_MIN = 15
"""Longest time with wet or salty hands while eczema flares (common practice, no source)."""


def keep_from(who: Who, *, those_taking_part: bool = True, those_about: bool = True) -> Acts:
    """Not with such a person taking part; such a person about is asleep or with another adult."""

    def acts(scene: Scene) -> Iterator[Demand]:
        barred = tuple(person for person in scene.attending if who(person))
        if those_taking_part and barred:
            yield Bar(barred)
        if those_about:
            yield from (Guard(person) for person in scene.loose if who(person))

    return acts


def at_least(help: Help, who: Who) -> Acts:
    """Such children get at least so much help."""

    def acts(scene: Scene) -> Iterator[Demand]:
        yield from (Raise(person, help) for person in scene.attending if who(person))

    return acts


def one_adult_each(who: Who) -> Acts:
    """No more such children than adults who come."""

    def acts(scene: Scene) -> Iterator[Demand]:
        young = tuple(person for person in scene.attending if who(person))
        if len(young) > scene.activity.adults_needed:
            yield Bar(young)

    return acts


def apply_all(*parts: Acts) -> Acts:
    """Everything that each part asks."""

    def acts(scene: Scene) -> Iterator[Demand]:
        for part in parts:
            yield from part(scene)

    return acts


def always(scene: Scene) -> Iterator[Demand]:
    """Never in this home, whoever is about."""
    yield Bar()


def nothing_more(scene: Scene) -> Iterator[Demand]:
    """Only the gate's caution."""
    yield from ()


def raw_flour(scene: Scene) -> Iterator[Demand]:
    """Not for those who mouth things; an adult dips in below 6 years."""
    yield from keep_from(mouthing, those_about=False)(scene)
    yield from at_least(Help.DIPS_IN, under(72))(scene)
    if any(person.mouths for person in scene.loose):
        yield Warn("Dough and flour stay on the table, out of the reach of whoever mouths things.")


def raw_beans(scene: Scene) -> Iterator[Demand]:
    """Only in cooking, and out of small hands."""
    if scene.activity.kind is not Kind.COOKING:
        yield Bar()
    yield from keep_from(little)(scene)


def floor_mess(scene: Scene) -> Iterator[Demand]:
    """A mess on the floor at home, with somebody at floor level."""
    tagged = scene.has(Hazard.FLOOR_MESS) and scene.sitting.mess >= Mess.WIPE_TABLE
    by_nature = scene.sitting.mess >= Mess.FLOOR_AND_CLOTHES and not scene.place.outdoors
    if not scene.place.away and (tagged or by_nature):
        yield from (Guard(person) for person in scene.loose if at_floor_level(person))


def mould(scene: Scene) -> Iterator[Demand]:
    """Barred by anybody's asthma or mould allergy, however mild."""
    touchy = tuple(person for person in scene.everybody if _minds_mould(person))
    if touchy:
        yield Bar(touchy)


def _minds_mould(person: Person) -> bool:
    allergic = any(allergy.allergen is Allergen.MOULD for allergy in person.allergies)
    return allergic or Condition.ASTHMA in person.conditions


def hay_fever(scene: Scene) -> Iterator[Demand]:
    """A caution for those who take part."""
    for person in scene.attending:
        if Condition.HAY_FEVER in person.conditions or Condition.ASTHMA in person.conditions:
            yield Warn(f"Pollen: stop if {person.name} sneezes or coughs; the doctor's plan goes first.")


def eczema_flaring(scene: Scene) -> Iterator[Demand]:
    """Fifteen minutes for a child whose eczema flares."""
    for person in scene.attending:
        if Condition.ECZEMA_FLARING in person.conditions:
            yield Cut(person, WET_MIN)
            yield Warn(
                f"{person.name}: wet or salty hands for at most {WET_MIN} minutes, then rinse and cream."
            )


def eczema_cracked(scene: Scene) -> Iterator[Demand]:
    """Not for a child with cracked skin."""
    sore = tuple(person for person in scene.attending if Condition.ECZEMA_CRACKED in person.conditions)
    if sore:
        yield Bar(sore)
