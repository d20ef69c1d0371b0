"""What is likely to happen on one day, so that it can be mended before it does."""

from __future__ import annotations

import datetime
from collections.abc import Iterator

from service.paper.moments import zone_of
from solver.domain.activity import Weather
from solver.domain.base import DAY_MIN, DAYS, Day, Frozen, Moment, Text
from solver.domain.mishap import DayLost, Late, Mishap, NapFailed, Roster, SkyTurned, Tired
from solver.domain.people import Duty
from solver.domain.plan import Plan
from solver.domain.week import Problem

LATE_MIN = 30
NOON = 12


class Likely(Frozen):
    """One thing that may happen, as a parent would say it."""

    title: Text
    mishaps: tuple[Mishap, ...]
    at: Moment | None = None


def next_waking_day(problem: Problem, now: datetime.datetime) -> Day | None:
    """Today until noon, then tomorrow; before the week its first day; None when the week is over."""
    here = now.astimezone(zone_of(problem.household))
    day = here.date() + datetime.timedelta(days=0 if here.hour < NOON else 1)
    index = (day - problem.week.monday).days
    return DAYS[max(0, index)] if index < len(DAYS) else None


def likely(problem: Problem, plan: Plan, day: Day) -> Iterator[Likely]:
    """The likeliest first."""
    if not any(booking.day is day for booking in plan.bookings):
        return
    name = day.value.capitalize()
    for child in problem.household.children:
        ill = DayLost(day=day, children=(child.id,))
        yield Likely(title=f"{child.name} is ill on {name}", mishaps=(ill,))
    yield Likely(title=f"Nothing goes on {name}", mishaps=(DayLost(day=day),))
    yield Likely(title=f"A tired {name}", mishaps=(Tired(day=day),))
    yield from _naps(problem, day, name)
    yield from _away(problem, day, name)
    yield from _rain(problem, plan, day, name)
    first = min(booking.start for booking in plan.bookings if booking.day is day)
    yield Likely(
        title=f"Half an hour later on {name}",
        mishaps=(Late(minutes=LATE_MIN),),
        at=Moment(day=day, time=min(first + LATE_MIN, DAY_MIN)),
    )


def _naps(problem: Problem, day: Day, name: str) -> Iterator[Likely]:
    for child in problem.household.children:
        naps = [nap for nap in child.naps if nap.days_of_seven and (not nap.days or day in nap.days)]
        if naps:
            failed = NapFailed(child=child.id, day=day)
            yield Likely(title=f"{child.name} does not sleep on {name}", mishaps=(failed,))


def _away(problem: Problem, day: Day, name: str) -> Iterator[Likely]:
    """Adults besides the one whose day it is."""
    for adult in problem.household.adults[1:]:
        hours = problem.week.hours.get(adult.id, adult.hours)
        if any(one.on(day) and one.duty is Duty.ON_HAND for one in hours):
            away = Roster(adult=adult.id, day=day)
            yield Likely(title=f"{adult.name} is away on {name}", mishaps=(away,))


def _rain(problem: Problem, plan: Plan, day: Day, name: str) -> Iterator[Likely]:
    outdoors = {place.id for place in problem.household.places if place.outdoors}
    minds = {a.id for a in problem.activities if a.weather is not Weather.ANY}
    if any(b.day is day and (b.place in outdoors or b.activity in minds) for b in plan.bookings):
        yield Likely(title=f"Rain on {name}", mishaps=(SkyTurned(day=day, wet=True),))
