"""A problem as it is in force: the household and its activities with this week's overrides applied."""

from __future__ import annotations

from solver.domain.activity import Activity
from solver.domain.base import DAY_MIN, DAYS, Window
from solver.domain.home import Material, Place
from solver.domain.week import FixedPoint, Gone, LongerWait, Problem, Skipped


def in_force(problem: Problem) -> Problem:
    """The problem with ``Week.overrides`` applied; applying them twice changes nothing more."""
    over = problem.week.overrides
    house, week = problem.household, problem.week
    limits = house.limits.model_copy(
        update={"prep": tuple(e for e in house.limits.prep if e.evening not in over.no_prep)}
    )
    household = house.model_copy(
        update={
            "fixed_points": _taking_place(house.fixed_points, over.skipped),
            "places": tuple(_closed(place, over.gone) for place in house.places),
            "materials": tuple(_out_of_reach(material, over.gone) for material in house.materials),
            "limits": limits,
        }
    )
    return Problem(
        household=household,
        activities=tuple(_waiting_longer(activity, over.longer_waits) for activity in problem.activities),
        week=week.model_copy(update={"fixed_points": _taking_place(week.fixed_points, over.skipped)}),
    )


def _taking_place(points: tuple[FixedPoint, ...], skipped: tuple[Skipped, ...]) -> tuple[FixedPoint, ...]:
    found = []
    for point in points:
        missed = {one.day for one in skipped if one.fixed_point == point.id}
        days = tuple(day for day in (point.days or DAYS) if day not in missed)
        if not missed:
            found.append(point)
        elif days:
            found.append(point.model_copy(update={"days": days}))
    return tuple(found)


def _closed(place: Place, gone: tuple[Gone, ...]) -> Place:
    shut = tuple(Window(days=one.days, start=0, end=DAY_MIN) for one in gone if one.what == place.id)
    new = tuple(window for window in shut if window not in place.closed)
    return place.model_copy(update={"closed": place.closed + new}) if new else place


def _out_of_reach(material: Material, gone: tuple[Gone, ...]) -> Material:
    if not any(one.what == material.id for one in gone):
        return material
    return material.model_copy(update={"count": 0, "arrivals": (), "buyable": False})


def _waiting_longer(activity: Activity, longer: tuple[LongerWait, ...]) -> Activity:
    waits = list(activity.waits)
    for one in longer:
        if one.activity == activity.id and one.after_sitting < len(waits):
            wait = waits[one.after_sitting]
            least = max(wait.least_min, one.least_min)
            most = None if wait.most_min is None else max(wait.most_min, least)
            waits[one.after_sitting] = wait.model_copy(update={"least_min": least, "most_min": most})
    return activity.model_copy(update={"waits": tuple(waits)}) if longer else activity
