"""The household around the people: places, stretches, meals, limits, from the catalogue's own house."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

from service.demo import demo_file
from service.start.answers import Answers, Default, PlaceAnswer, Standing
from solver.domain.activity import Activity, Meal
from solver.domain.base import DAYS, Day, clock_text, is_zone
from solver.domain.document import Document
from solver.domain.home import BookState, Limits, PrepEvening
from solver.domain.people import Adult, Child
from solver.domain.week import FixedKind, FixedPoint, Household

_NOT_EVERYWHERE = {place.value for place in PlaceAnswer}
_OURS = {"state": BookState.OWNED, "due": None, "arrives": None, "renewals_left": 0}
_MEALS = ((Meal.BREAKFAST, 480, 510, 0), (Meal.LUNCH, 720, 765, 20), (Meal.DINNER, 1035, 1070, 25))
"""Meal, usual start and end in minutes, the adult's minutes before it."""


@cache
def pattern() -> Document:
    """The house and the catalogue that come with Lapful."""
    return Document.model_validate_json(demo_file().read_text(encoding="utf-8"))


def household_of(answers: Answers, children: tuple[Child, ...], adults: tuple[Adult, ...]) -> Household:
    """A household of these people in the pattern's rooms, as far as they have them."""
    house = pattern().household
    has = {place.value for place in answers.places}
    places = tuple(one for one in house.places if one.id not in _NOT_EVERYWHERE or one.id in has)
    return Household(
        name=answers.household,
        # What a device says of itself may be unknown here; the family can set it in its house.
        time_zone=answers.time_zone if is_zone(answers.time_zone) else "UTC",
        children=children,
        adults=adults,
        places=places,
        materials=house.materials,
        holders=house.holders,
        books=tuple(
            book.model_copy(
                update={"state": BookState.OWNED, "due": None, "arrives": None, "renewals_left": 0}
            )
            for book in house.books
        ),
        stretches=house.stretches,
        fixed_points=tuple(_meals(children, adults)),
        limits=Limits(
            mess_sum_a_day=answers.mess_a_day,
            big_mess_a_day=1 if answers.mess_a_day >= 3 else 0,
            mess_sum_a_week=5 * answers.mess_a_day,
            prep=tuple(PrepEvening(evening=one.evening, minutes=one.minutes) for one in answers.prep),
        ),
        areas=house.areas,
    )


def _meals(children: tuple[Child, ...], adults: tuple[Adult, ...]) -> Iterator[FixedPoint]:
    for meal, usual, end, before in _MEALS:
        start = _clear_of_naps(usual, end - usual, children)
        there = tuple(one.id for one in adults if any(h.start <= start < h.end for h in one.hours))
        yield FixedPoint(
            id=meal.value,
            title=meal.value.capitalize(),
            kind=FixedKind.MEAL,
            meal=meal,
            start=start,
            end=start + end - usual,
            children=tuple(child.id for child in children),
            adults=there or (adults[0].id,),
            place="table",
            adult_before_min=before,
        )


def _clear_of_naps(start: int, minutes: int, children: tuple[Child, ...]) -> int:
    """The usual time, or earlier when a nap would fall into the meal."""
    naps = [nap for child in children if child.learner for nap in child.naps]
    hit = [nap.start for nap in naps if nap.start < start + minutes and start < nap.end]
    return min([start, *(one - minutes for one in hit)])


def activities_for(house: Household) -> tuple[Activity, ...]:
    """The catalogue, without the places that this home does not have."""
    known = {place.id for place in house.places}
    kept = [fitted for one in pattern().activities if (fitted := _fitted(one, known))]
    ids = {one.id for one in kept}
    return tuple(one for one in kept if one.needs_first is None or one.needs_first in ids)


def _fitted(activity: Activity, places: set[str]) -> Activity | None:
    if any(not set(sitting.places) & places for sitting in activity.sittings):
        return None
    sittings = tuple(
        one.model_copy(update={"places": tuple(p for p in one.places if p in places)})
        for one in activity.sittings
    )
    lighter = activity.lighter
    if lighter:
        left = tuple(place for place in lighter.sitting.places if place in places)
        sitting = lighter.sitting.model_copy(update={"places": left})
        lighter = lighter.model_copy(update={"sitting": sitting}) if left else None
    return activity.model_copy(update={"sittings": sittings, "lighter": lighter})


def teaching_days(answers: Answers, adults: tuple[Adult, ...]) -> tuple[Day, ...]:
    """The days given, or those from Monday to Friday on which somebody is there for two hours."""
    if answers.teaching_days:
        return answers.teaching_days
    found = tuple(
        day
        for day in DAYS[:5]
        if any(h.on(day) and h.end - h.start >= 120 for adult in adults for h in adult.hours)
    )
    return found or DAYS[5:]


def house_defaults(house: Household, answers: Answers) -> Iterator[Default]:
    """What was taken for the house without being asked."""
    practice, ours, limits = Standing.COMMON_PRACTICE, Standing.OURS, house.limits
    for index, point in enumerate(house.fixed_points):
        says = f"{point.title} {clock_text(point.start)} to {clock_text(point.end)}"
        yield Default(path=f"household.fixed_points[{index}]", says=says, standing=practice)
    yield Default(
        path="household.limits.outdoor_times_a_day",
        says=f"outdoors {limits.outdoor_times_a_day} times a day",
        standing=Standing.PUBLISHED,
        source="Caring for Our Children 3.1.3.1 (2018): two to three times a day up to 6 years",
    )
    yield Default(
        path="household.limits.screen_min_a_day",
        says=f"at most {limits.screen_min_a_day} minutes of screen a day",
        standing=ours,
        source="WHO 2019 and AAP 2016 name 60 minutes at most from 3 (2) years; less is better",
    )
    says = f"{limits.free_share:.0%} of the open time stays empty, {limits.change_min} min for each change"
    yield Default(path="household.limits.free_share", says=says, standing=practice)
    yield Default(
        path="household.limits.money_a_week",
        says=f"{limits.money_a_week} a week to spend",
        standing=ours,
    )
    yield Default(
        path="household.materials",
        says="the cupboard holds what the catalogue's house holds; go through it once",
        standing=ours,
    )
    yield Default(path="household.stretches", says="seven stretches of the day", standing=practice)
    if not answers.prep:
        yield Default(path="household.limits.prep", says="no evening for making ready", standing=ours)
