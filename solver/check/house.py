"""Rules about the house: places, tools, mess, weather, noise, safety."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from solver.check.facts import Facts, Placed, fault, overlap, within
from solver.check.people import inside, touched
from solver.check.violation import Violation
from solver.clock import minutes_of, slot_at, slots_up, week_slot
from solver.domain.activity import Sitting, Weather
from solver.domain.base import Day, Mess
from solver.domain.home import Place
from solver.domain.week import FixedKind, Sky


def place_open(facts: Facts) -> Iterator[Violation]:
    """It has one of its places, and that is open, and clear in good time for a meal there."""
    for placed in facts.placed:
        if not placed.in_room:
            continue
        if placed.place.id not in placed.sitting.places:
            yield fault("place_open", placed, f"{placed.place.name} is no place for it", placed.place.id)
        if placed.place.away:
            continue
        for taken, why in _shut(facts, placed.place, placed.booking.day):
            if overlap(placed.in_place, taken):
                yield fault("place_open", placed, f"{placed.place.name} {why}", placed.place.id)


def _shut(facts: Facts, place: Place, day: Day) -> Iterator[tuple[range, str]]:
    """When a place cannot be used, and why."""
    for window in place.closed:
        if window.on(day):
            yield touched(day, window.start, window.end), "is closed then"
    for point in facts.points:
        if point.place == place.id and point.on(day):
            yield touched(day, point.start, point.end), f"is needed for {point.title}"
            if place.meals_here and point.kind is FixedKind.MEAL:
                from_min = point.start - facts.limits.table_clear_before_meal_min
                yield touched(day, from_min, point.start), f"must be clear for {point.title}"


def place_room(facts: Facts) -> Iterator[Violation]:
    """No place holds more at once than it has room for."""
    for place in facts.house.places:
        here = [p for p in facts.placed if p.place.id == place.id and p.in_room and not place.away]
        what = f"there is too much at once in {place.name}"
        yield from _too_many("place_room", here, Counter(), place.sittings_at_once, what, place.id)


def _too_many(
    key: str, bookings: list[Placed], each: Counter[str], most: int, what: str, thing: str
) -> Iterator[Violation]:
    """At most so many at once: tools over adult spans, rooms over place spans.

    It is enough to look at the starts: a crowd is never larger than when the last one joins it.
    """
    tools = bool(each)
    spans = [(one, one.adult if tools else one.in_place) for one in bookings]
    for one, span in spans:
        together = [other for other, time in spans if span and span.start in time]
        if sum(each[other.booking.id] if tools else 1 for other in together) > most:
            yield fault(key, one, what, thing, *(other.booking.id for other in together))


def needed(sitting: Sitting, material: str, children: int) -> int:
    """How much of a material a sitting takes with so many children."""
    return sum(
        need.count * (children if need.each_child else 1)
        for need in sitting.needs
        if need.material == material
    )


def tools(facts: Facts) -> Iterator[Violation]:
    """No tool is in two pairs of hands at once, nor used on a day on which it is gone."""
    yield from not_to_be_had(facts, "tools", reusable=True)
    for material in facts.house.materials:
        if not material.reusable:
            continue
        each = Counter({p.booking.id: needed(p.sitting, material.id, len(p.children)) for p in facts.placed})
        using = [placed for placed in facts.placed if each[placed.booking.id]]
        what = f"there are only {material.count} of {material.name}"
        if using:
            yield from _too_many("tools", using, each, material.count, what, material.id)


def not_to_be_had(facts: Facts, key: str, reusable: bool) -> Iterator[Violation]:
    """What still lies ahead and needs something on a day on which that is gone."""
    for one in facts.week.overrides.gone:
        thing = next((m for m in facts.house.materials if m.id == one.what and m.reusable is reusable), None)
        for placed in facts.placed if thing else ():
            begun = facts.week.now and minutes_of(placed.adult.start) < facts.week.now.week_min
            needs = {need.material for need in placed.sitting.needs}
            if thing and thing.id in needs and one.on(placed.booking.day) and not begun:
                yield fault(key, placed, f"{thing.name} is not to be had that day", thing.id)


def mess_hours(facts: Facts) -> Iterator[Violation]:
    """Big mess only when it is welcome, and never just before leaving or visitors."""
    for placed in facts.placed:
        if placed.sitting.mess < Mess.FLOOR_AND_CLOTHES:
            continue
        hours = facts.limits.mess_hours
        day = placed.booking.day
        welcome = [inside(day, hour.start, hour.end) for hour in hours if hour.on(day)]
        if hours and not placed.place.away and not any(within(placed.active, time) for time in welcome):
            yield fault("mess_hours", placed, "so much mess is not welcome then")
        clear = range(placed.at, placed.adult.stop + slots_up(facts.limits.mess_clear_before_leaving_min))
        for what, ids in _soon_clean(facts, placed, clear):
            yield fault("mess_hours", placed, what, *ids)


def _soon_clean(facts: Facts, placed: Placed, clear: range) -> Iterator[tuple[str, tuple[str, ...]]]:
    there = {*placed.children, *placed.booking.helpers}
    for point in facts.points:
        if not point.on(placed.booking.day):
            continue
        leaving = week_slot(placed.booking.day, slot_at(point.taken_from))
        if point.leaves_home and there & {*point.children, *point.adults} and leaving in clear:
            yield f"it is too near to leaving for {point.title}", (point.id,)
        if point.visitors_come and week_slot(placed.booking.day, slot_at(point.start)) in clear:
            yield f"{point.title} comes too soon after it", (point.id,)


def mess_day(facts: Facts) -> Iterator[Violation]:
    """No day is messier than the household can bear."""
    limits = facts.limits
    for day, bookings in facts.by_day.items():
        messes = [int(placed.sitting.mess) for placed in bookings]
        if sum(messes) > limits.mess_sum_a_day:
            what = f"{day.capitalize()} adds up to more mess than one day can take."
            yield Violation(key="mess_day", day=day, sentence=what)
        if sum(mess >= Mess.FLOOR_AND_CLOTHES for mess in messes) > limits.big_mess_a_day:
            what = f"{day.capitalize()} has more than {limits.big_mess_a_day} big mess."
            yield Violation(key="mess_day", day=day, sentence=what)


def mess_week(facts: Facts) -> Iterator[Violation]:
    """No week is messier than the household can bear."""
    if sum(placed.sitting.mess for placed in facts.placed) > facts.limits.mess_sum_a_week:
        yield Violation(key="mess_week", sentence="The week adds up to more mess than it can take.")


def weather(facts: Facts) -> Iterator[Violation]:
    """The sky and the daylight suit it."""
    for placed in facts.placed:
        wanted = placed.activity.weather
        if wanted is Weather.WET and not _covered(facts, placed, "wet"):
            yield fault("weather", placed, "it needs rain")
        if wanted is Weather.WIND and not _covered(facts, placed, "windy"):
            yield fault("weather", placed, "it needs wind")
        if placed.place.outdoors:
            yield from _outdoors(facts, placed)


def _skies(facts: Facts, day: Day, name: str) -> list[Sky]:
    return [sky for sky in facts.week.sky if sky.on(day) and getattr(sky, name)]


def _covered(facts: Facts, placed: Placed, name: str) -> bool:
    """The whole active time lies in one forecast of that kind, or in several without a gap."""
    day = placed.booking.day
    slots = {s for sky in _skies(facts, day, name) for s in touched(day, sky.start, sky.end)}
    return slots.issuperset(placed.active)


def _outdoors(facts: Facts, placed: Placed) -> Iterator[Violation]:
    day = placed.booking.day
    unfit = {"stormy": "it storms then", "too_hot": "it is too hot", "too_cold": "it is too cold"}
    if placed.activity.weather in (Weather.DRY, Weather.ANY):
        unfit["wet"] = "it rains then"
    if placed.activity.weather is Weather.NOT_ICY:
        unfit["icy"] = "it is icy then"
    for name, what in unfit.items():
        if any(overlap(placed.out, touched(day, sky.start, sky.end)) for sky in _skies(facts, day, name)):
            yield fault("weather", placed, what)
    light = facts.week.daylight
    if light and light.on(day) and not within(placed.out, inside(day, light.start, light.end)):
        yield fault("weather", placed, "it is dark then")


def quiet(facts: Facts) -> Iterator[Violation]:
    """Nothing loud near somebody who sleeps or is on a call."""
    people = facts.people
    for placed in facts.placed:
        if placed.activity.nap_ok or placed.place.away or placed.place.out_of_earshot:
            continue
        for child in facts.house.children:
            sleeps = people.asleep[child.id] & people.home[child.id]
            if not placed.involves(child.id) and not sleeps.isdisjoint(placed.active):
                yield fault("quiet", placed, f"{child.name} is asleep then", child.id)
        for adult in facts.house.adults:
            if not people.hush[adult.id].isdisjoint(placed.active):
                yield fault("quiet", placed, f"{adult.name} needs quiet then", adult.id)


def safety(facts: Facts) -> Iterator[Violation]:
    """Nothing that can hurt somebody who is awake and about."""
    people = facts.people
    for placed in facts.placed:
        asked = facts.safe[placed.booking.id]
        if asked.blocked is not None:
            what = asked.blocked.sentence.rstrip(".") or "it is not safe"
            yield fault("safety", placed, what, *asked.blocked.ids)
        for one in asked.out:
            if not people.home.get(one, set()).isdisjoint(placed.in_place):
                yield fault("safety", placed, f"{facts.name(one)} must not be at home meanwhile", one)
        for one in set(asked.not_helping) & set(placed.booking.helpers):
            yield fault("safety", placed, f"it holds what {facts.name(one)} is allergic to", one)
        if placed.booking.minder is not None:
            continue
        for one in asked.asleep_or_minded:
            if one in placed.booking.along:
                yield fault("safety", placed, f"{facts.name(one)} must not come along", one)
            if placed.place.away:
                continue
            if not people.awake.get(one, set()).isdisjoint(placed.in_place):
                yield fault("safety", placed, f"{facts.name(one)} is awake and about", one)
