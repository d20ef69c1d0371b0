"""How well a week stands a lost day."""

from __future__ import annotations

from solver.domain.base import DAYS, Clock, Day, Frozen, Moment
from solver.domain.plan import Hang, Plan, SpareWeek
from solver.domain.week import Problem, Rank
from solver.mend.spare import Spared, spared
from solver.mend.tell import why_lost

SECONDS_A_DAY = 2.0


class Resilience(Frozen):
    """What each single lost day still to come would do to the promises."""

    hangs: tuple[Hang, ...] = ()
    spares: tuple[SpareWeek, ...] = ()
    """For each of those days, the week that keeps most of them."""


def resilience(
    problem: Problem, plan: Plan, *, seconds_a_day: float = SECONDS_A_DAY, seed: int = 1
) -> Resilience:
    """Which promises hang on which single day still to come; none for a loss-proof week.

    A promise hangs on a day when it is kept in the plan, and no mended week that breaks as few promises as
    can be keeps it with that day lost to everybody from the morning on.
    """
    hangs: list[Hang] = []
    spares = []
    for day in _days_ahead(problem, plan):
        found = spared(problem, plan, day, _morning(problem, day), seconds_a_day, seed)
        spares.append(found.week)
        hangs += (_hang(problem, wish, day, found) for wish in found.broken)
    return Resilience(hangs=tuple(hangs), spares=tuple(spares))


def hanging(problem: Problem, plan: Plan, *, seconds_a_day: float = SECONDS_A_DAY) -> tuple[Hang, ...]:
    """The promises that hang on a day, alone."""
    return resilience(problem, plan, seconds_a_day=seconds_a_day).hangs


def with_spares(problem: Problem, plan: Plan, seed: int) -> Plan:
    """The plan with its spare weeks, by which the checker counts what hangs, and that in words."""
    found = resilience(problem, plan, seed=seed)
    return plan.model_copy(update={"spares": found.spares, "hangs": found.hangs})


def _hang(problem: Problem, wish: str, day: Day, found: Spared) -> Hang:
    return Hang(
        wish=wish,
        title=_title(problem, wish),
        day=day,
        why=why_lost(found.hand, wish, day, found.broken[wish]),
        proved=found.proved,
    )


def _days_ahead(problem: Problem, plan: Plan) -> list[Day]:
    promised = {wish.id for wish in problem.week.wishes if wish.rank is Rank.PROMISE}
    now = problem.week.now
    days = {b.day for b in plan.bookings if b.wish in promised}
    return sorted((d for d in days if now is None or d.index >= now.day.index), key=DAYS.index)


def _morning(problem: Problem, day: Day) -> Moment:
    wake: Clock = min(child.wake for child in problem.household.children)
    morning = Moment(day=day, time=wake)
    now = problem.week.now
    return now if now is not None and now.week_min > morning.week_min else morning


def _title(problem: Problem, wish_id: str) -> str:
    wish = next(wish for wish in problem.week.wishes if wish.id == wish_id)
    return next(a.title for a in problem.activities if a.id == wish.activity)
