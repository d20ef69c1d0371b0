"""A problem as it is in force: the household and its activities with this week's overrides applied."""

from __future__ import annotations

from solver.domain.activity import Activity
from solver.domain.base import DAY_MIN, DAYS, Day, Window
from solver.domain.home import Holder, Limits, Place
from solver.domain.plan import Booking
from solver.domain.week import FixedPoint, LongerWait, LossProof, Problem, Skipped, Week

SMALLER_FREE_SHARE, SMALLER_THEME_THINGS, SMALLER_MESS_SUM = 0.35, 1, 3
"""Our own judgement; the trade says only: give up things, not sleep (common practice, no source)."""
GRID_MIN = 5
"""As ``solver.clock.SLOT_MIN``; the domain leans on no other room."""


def in_force(problem: Problem) -> Problem:
    """The problem with ``Week.overrides`` applied; applying them twice changes nothing more."""
    over = problem.week.overrides
    house, week = problem.household, problem.week
    limits = _smaller(house.limits) if week.smaller else house.limits
    limits = limits.model_copy(
        update={"prep": tuple(e for e in limits.prep if e.evening not in over.no_prep)}
    )
    household = house.model_copy(
        update={
            "fixed_points": _taking_place(house.fixed_points, over.skipped),
            "places": tuple(_closed(problem, place) for place in house.places),
            "holders": tuple(_not_to_be_had(problem, holder) for holder in house.holders),
            "limits": limits,
        }
    )
    return Problem(
        household=household,
        activities=tuple(_waiting_longer(activity, week) for activity in problem.activities),
        week=week.model_copy(update={"fixed_points": _taking_place(week.fixed_points, over.skipped)}),
    )


def asked_for(problem: Problem, loss_proof: LossProof | None) -> Problem:
    """The same with another answer to how loss-proof the week is to be; None leaves it as it is."""
    if loss_proof is None:
        return problem
    week = problem.week.model_copy(update={"loss_proof": loss_proof})
    return problem.model_copy(update={"week": week})


def _smaller(limits: Limits) -> Limits:
    """What a smaller base week may hold; what is smaller already stays so."""
    return limits.model_copy(
        update={
            "free_share": max(limits.free_share, SMALLER_FREE_SHARE),
            "theme_things_a_day": min(limits.theme_things_a_day, SMALLER_THEME_THINGS),
            "mess_sum_a_day": min(limits.mess_sum_a_day, SMALLER_MESS_SUM),
        }
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


def _closed(problem: Problem, place: Place) -> Place:
    """Shut on those days, but for what has begun there."""
    gone = [one for one in problem.week.overrides.gone if one.what == place.id]
    shut = {day: _free_from(problem, place, day) for day in DAYS if any(one.on(day) for one in gone)}
    windows = [Window(days=(day,), start=start, end=DAY_MIN) for day, start in shut.items()]
    new = tuple(window for window in windows if window not in place.closed)
    return place.model_copy(update={"closed": place.closed + new}) if new else place


def _free_from(problem: Problem, place: Place, day: Day) -> int:
    """The minute from which nothing that has begun is at a place."""
    now = problem.week.now
    if now is None or now.day is not day:
        return DAY_MIN - 1 if now and now.day.index > day.index else 0
    there = [b for b in problem.week.firm if b.place == place.id and b.day is day and _laid_out(b) < now.time]
    return min(DAY_MIN - 1, max((_put_away(b) for b in there), default=0))


def _laid_out(booking: Booking) -> int:
    return booking.start - _on_grid(booking.setup_min)


def _put_away(booking: Booking) -> int:
    return _on_grid(booking.start + booking.minutes) + _on_grid(booking.cleanup_min)


def _on_grid(minutes: int) -> int:
    return -(-minutes // GRID_MIN) * GRID_MIN


def _not_to_be_had(problem: Problem, holder: Holder) -> Holder:
    """A tray or shelf that is gone takes nothing more than what stands there."""
    if not any(one.what == holder.id for one in problem.week.overrides.gone):
        return holder
    activities = {activity.id: activity for activity in problem.activities}
    there = 0
    for booking in problem.week.firm:
        waits = activities[booking.activity].waits if booking.activity in activities else ()
        if booking.sitting < len(waits) and waits[booking.sitting].holder == holder.id:
            there += waits[booking.sitting].units
    return holder.model_copy(update={"capacity": min(holder.capacity, there)})


def _waiting_longer(activity: Activity, week: Week) -> Activity:
    waits = list(activity.waits)
    longer = week.overrides.longer_waits
    for one in longer:
        if one.activity == activity.id and one.after_sitting < len(waits) and not _past(week, one):
            wait = waits[one.after_sitting]
            least = max(wait.least_min, one.least_min)
            most = None if wait.most_min is None else max(wait.most_min, least)
            waits[one.after_sitting] = wait.model_copy(update={"least_min": least, "most_min": most})
    return activity.model_copy(update={"waits": tuple(waits)}) if longer else activity


def _past(week: Week, longer: LongerWait) -> bool:
    """Whether some go has both sittings behind it, with the usual wait; ``solver.mend`` holds the others."""
    begun = {(b.wish, b.go, b.sitting) for b in week.firm if b.activity == longer.activity}
    first = longer.after_sitting
    return any((wish, go, first + 1) in begun for wish, go, sitting in begun if sitting == first)
