"""Rules about the adults: who is here, whose hands are free, who has the others."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from solver.check.facts import WHOLE_HANDS, Facts, Load, Placed, at_slot, fault, slots_min
from solver.check.violation import Violation
from solver.domain.activity import Hazard
from solver.domain.base import Help
from solver.domain.people import Adult, Child

WATER = {Hazard.WATER, Hazard.OPEN_WATER}
MOST_WHILE_MINDING = 2


def helper_on_hand(facts: Facts) -> Iterator[Violation]:
    """The adults it needs are at home, awake, able and willing."""
    adults = {adult.id: adult for adult in facts.house.adults}
    for placed in facts.placed:
        helpers = placed.booking.helpers
        needed = placed.activity.adults_needed if placed.sitting.parts else 1
        if len(helpers) != needed or len(set(helpers)) != len(helpers):
            yield fault("helper_on_hand", placed, f"it needs {needed} adults", *helpers)
        if helpers and not adults[helpers[0]].leads:
            yield fault("helper_on_hand", placed, f"{adults[helpers[0]].name} does not lead", helpers[0])
        language = placed.wish.language
        if language and not any(language in adults[helper].speaks for helper in helpers):
            yield fault("helper_on_hand", placed, f"nobody there speaks {language}", *helpers)
        for helper, level in zip(helpers, placed.levels, strict=True):
            if not _here(facts, placed, helper, level):
                yield fault("helper_on_hand", placed, f"{adults[helper].name} is not free then", helper)
            for what in _unable(placed, adults[helper]):
                yield fault("helper_on_hand", placed, f"{adults[helper].name} {what}", helper)


def _here(facts: Facts, placed: Placed, helper: str, level: int) -> bool:
    on_hand = facts.people.on_hand[helper]
    if level > Help.ALONE_IN_EARSHOT or placed.place.away:
        return on_hand.issuperset(placed.adult)
    near = on_hand | facts.people.on_call[helper]
    return near.issuperset(placed.out) and on_hand.issuperset(set(placed.adult) - set(placed.out))


def _unable(placed: Placed, adult: Adult) -> Iterator[str]:
    hazards = set(placed.activity.hazards)
    if {placed.activity.id, *hazards} & set(adult.wont_do):
        yield "would rather not do it"
    if hazards & WATER and not adult.minds_water:
        yield "does not mind water"
    if placed.place.away and not adult.may_lift:
        yield "may not lift, so takes nobody out"


def adult_hands(facts: Facts) -> Iterator[Violation]:
    """No adult has more to do than two hands can."""
    for adult in facts.house.adults:
        fixed = facts.people.fixed_loads[adult.id]
        told: set[frozenset[str]] = set()
        for slot, loads in sorted(facts.helping[adult.id].items()):
            asked = sum(load.load for load in loads)
            together = frozenset(load.placed.booking.id for load in loads)
            if asked and asked + fixed[slot] > WHOLE_HANDS and together not in told:
                told.add(together)
                what = f"{adult.name} has too much to do at once"
                yield at_slot("adult_hands", slot, what, adult.id, *sorted(together))


def baby_hands(facts: Facts) -> Iterator[Violation]:
    """While a baby is awake, one of the adults' hands is the baby's."""
    busy = {slot for slots in facts.helping.values() for slot in slots}
    told: set[frozenset[str]] = set()
    for slot in sorted(busy):
        awake = [child for child in facts.house.children if slot in facts.people.in_arms[child.id]]
        loads = [load for slots in facts.helping.values() for load in slots.get(slot, ())]
        asked = sum(_with_babies(load, awake) for load in loads)
        if not awake or not asked:
            continue
        here = [adult.id for adult in facts.house.adults if slot in facts.people.on_hand[adult.id]]
        fixed = sum(facts.people.fixed_loads[adult][slot] for adult in here)
        together = frozenset(load.placed.booking.id for load in loads)
        if asked + fixed > WHOLE_HANDS * len(here) - len(awake) and together not in told:
            told.add(together)
            names = " and ".join(baby.name for baby in awake)
            ids = (*(baby.id for baby in awake), *sorted(together))
            yield at_slot("baby_hands", slot, f"no hand is left for {names}", *ids)


def _with_babies(load: Load, awake: list[Child]) -> int:
    """A whole adult still has an arm for the baby when helping from afar or only for a moment."""
    if load.load < WHOLE_HANDS:
        return load.load
    short = all(load.placed.booking.minutes <= baby.alone_min for baby in awake)
    return WHOLE_HANDS - 1 if load.level < Help.HANDS_ON or short else load.load


def watched(facts: Facts) -> Iterator[Violation]:
    """Whoever is not in it sleeps, comes along, is with another adult, or can be alone that long."""
    for placed in facts.placed:
        along = placed.booking.along
        if placed.place.away:
            yield from _on_an_outing(facts, placed)
            continue
        if along:
            yield fault("watched", placed, "nobody can come along to something at home", *along)
        if placed.booking.minder or max(placed.loads, default=0) < Help.BESIDE:
            continue
        for child in _others(facts, placed):
            awake = facts.people.awake[child.id].intersection(placed.out)
            if max(placed.levels) < Help.HANDS_ON:
                awake -= facts.people.in_arms[child.id]
            if slots_min(awake) > child.alone_min:
                yield fault("watched", placed, f"nobody has {child.name} meanwhile", child.id)


def _others(facts: Facts, placed: Placed) -> Iterable[Child]:
    return (child for child in facts.house.children if child.id not in placed.children)


def _on_an_outing(facts: Facts, placed: Placed) -> Iterator[Violation]:
    booking, people = placed.booking, facts.people
    for child in _others(facts, placed):
        at_home = not people.home[child.id].isdisjoint(placed.out)
        if booking.minder is None and at_home and child.id not in booking.along:
            yield fault("watched", placed, f"{child.name} cannot stay at home alone", child.id)
    if booking.minder and booking.along:
        yield fault("watched", placed, "the others stay with somebody, so nobody comes along", *booking.along)
    for one in booking.along:
        fit = (people.home[one] & (people.awake[one] | people.on_the_go[one])) - people.ill[one]
        if not fit.issuperset(placed.out):
            yield fault("watched", placed, f"{facts.name(one)} cannot come along then", one)


def minder(facts: Facts) -> Iterator[Violation]:
    """The adult who has the others is here and free for them."""
    adults = {adult.id: adult for adult in facts.house.adults}
    for placed in facts.placed:
        if placed.booking.minder is None:
            continue
        adult = adults[placed.booking.minder]
        minded = [
            child
            for child in _others(facts, placed)
            if not facts.people.awake[child.id].isdisjoint(placed.out)
        ]
        if not facts.people.on_hand[adult.id].issuperset(placed.adult):
            yield fault("minder", placed, f"{adult.name} is not free to have the others", adult.id)
        if adult.id in placed.booking.helpers:
            yield fault("minder", placed, f"{adult.name} cannot help and have the others", adult.id)
        if not adult.may_lift and any(not child.learner for child in minded):
            yield fault("minder", placed, f"{adult.name} may not lift the baby", adult.id)
        for child in minded:
            if _too_busy_for(facts, placed, adult, child):
                what = f"{adult.name} is too busy to have {child.name}"
                yield fault("minder", placed, what, adult.id, child.id)


def _too_busy_for(facts: Facts, placed: Placed, adult: Adult, child: Child) -> bool:
    for slot in placed.out:
        loads = facts.helping[adult.id].get(slot, [])
        if sum(one.load for one in loads if not one.placed.involves(child.id)) > MOST_WHILE_MINDING:
            return True
    return False
