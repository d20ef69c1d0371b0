"""What would free it: the smallest single change to the week with which a wish fits, found by trying."""

from __future__ import annotations

import math
import time
from collections.abc import Iterator
from dataclasses import dataclass

from ortools.sat.python import cp_model

from solver.candidates import enumerate_candidates
from solver.domain.base import DAY_MIN, DAYS, Day, Id
from solver.domain.home import PrepEvening
from solver.domain.in_force import in_force
from solver.domain.people import Hours
from solver.domain.week import FixedKind, Problem, Rank, Skipped, Wish
from solver.engine import engine
from solver.model import build
from solver.outline import Go, Outline
from solver.words import day_name

MORE_PREP_MIN = 20
ASK_SECONDS = 0.5


@dataclass(frozen=True)
class Freed:
    """A change that makes it fit: what is concerned, and in words."""

    ids: tuple[Id, ...]
    in_the_way: str
    """What stands in the way, or empty when nothing single does."""
    by: str


def what_frees(problem: Problem, go: Go, until_time: float = math.inf) -> Freed | None:
    """The first single change with which a go fits beside the promises; None when none does, or when
    the time (monotonic) for trying is over.

    Fixed points are tried first, those that may be broken before the others, then another adult's time, prep
    minutes, the sky, one more place to wait on.
    """
    asked = _only(problem, go.wish)
    if _fits(asked, go.wish.id):
        return None
    for freed, changed in _changes(asked, go):
        if time.monotonic() > until_time:
            return None
        if _fits(changed, go.wish.id):
            return freed
    return None


def _only(problem: Problem, wish: Wish) -> Problem:
    """The week with this wish and the promises alone."""
    wanted = [w for w in problem.week.wishes if w.rank is Rank.PROMISE or w.id in (wish.id, *wish.after)]
    named = {w.id for w in wanted}
    kept = tuple(
        w.model_copy(
            update={
                "rank": Rank.PROMISE if w.id == wish.id else w.rank,
                "after": tuple(a for a in w.after if a in named),
            }
        )
        for w in wanted
    )
    firm = tuple(b for b in problem.week.firm if b.wish in named)
    week = problem.week.model_copy(update={"wishes": kept, "firm": firm})
    return problem.model_copy(update={"week": week})


def _fits(problem: Problem, wish: str) -> bool:
    """Whether every go of a wish can be placed (other promises may give way to it or not)."""
    outline = Outline(problem)
    candidates = enumerate_candidates(outline)
    goes = [go for go in outline.goes if go.wish.id == wish]
    if any(task.go in goes for task in candidates.blocked):
        return False
    week = build(candidates, costs=False)
    for go in goes:
        week.model.add(week.variables.whole(go) == 1)
    solver = engine()
    solver.parameters.max_deterministic_time = ASK_SECONDS
    return solver.solve(week.model) in (cp_model.OPTIMAL, cp_model.FEASIBLE)


def _changes(problem: Problem, go: Go) -> Iterator[tuple[Freed, Problem]]:
    days = [day for day in DAYS if day in (go.wish.days or problem.week.teaching_days)]
    yield from _without_fixed_points(problem, days)
    yield from _with_an_adult(problem, days)
    yield from _with_prep(problem, go)
    yield from _with_fair_weather(problem, days)
    yield from _with_holders(problem, go)


def _without_fixed_points(problem: Problem, days: list[Day]) -> Iterator[tuple[Freed, Problem]]:
    points = problem.household.fixed_points + problem.week.fixed_points
    for breakable in (True, False):
        for point in points:
            for day in days:
                if point.breakable == breakable and point.on(day) and point.kind is not FixedKind.MEAL:
                    skipped = Skipped(fixed_point=point.id, day=day)
                    over = problem.week.overrides
                    over = over.model_copy(update={"skipped": (*over.skipped, skipped)})
                    week = problem.week.model_copy(update={"overrides": over})
                    what = f"{point.title} on {day_name(day)}"
                    freed = Freed(
                        (point.id,), f"in the way is {what}", f"a {day_name(day)} without {point.title}"
                    )
                    yield freed, in_force(problem.model_copy(update={"week": week}))


def _with_an_adult(problem: Problem, days: list[Day]) -> Iterator[tuple[Freed, Problem]]:
    for adult in problem.household.adults:
        usual = problem.week.hours.get(adult.id, adult.hours)
        for day in days:
            here = Hours(days=(day,), start=0, end=DAY_MIN)
            week = problem.week.model_copy(update={"hours": {**problem.week.hours, adult.id: (*usual, here)}})
            by = f"{adult.name} at home and free on {day_name(day)}"
            way = f"on {day_name(day)} {adult.name} is not there, or not free"
            yield Freed((adult.id,), way, by), problem.model_copy(update={"week": week})


def _with_prep(problem: Problem, go: Go) -> Iterator[tuple[Freed, Problem]]:
    if not go.activity.prep:
        return
    limits = problem.household.limits
    need = max(task.minutes for task in go.activity.prep)
    for evening in limits.prep:
        more = max(MORE_PREP_MIN, need - evening.minutes)
        longer = PrepEvening(evening=evening.evening, minutes=evening.minutes + more, quiet=evening.quiet)
        prep = tuple(longer if one is evening else one for one in limits.prep)
        household = problem.household.model_copy(update={"limits": limits.model_copy(update={"prep": prep})})
        name = evening.evening.value.replace("_", " ").replace("sunday before", "Sunday").capitalize()
        way = f"{name} evening has {evening.minutes} minutes for getting things ready"
        yield (
            Freed((evening.evening.value,), way, f"{more} more minutes on {name} evening"),
            problem.model_copy(update={"household": household}),
        )


def _with_fair_weather(problem: Problem, days: list[Day]) -> Iterator[tuple[Freed, Problem]]:
    for day in days:
        others = []
        for piece in problem.week.sky:
            left = tuple(d for d in (piece.days or DAYS) if d is not day)
            others += [piece.model_copy(update={"days": left})] if left else []
        if len(others) != len(problem.week.sky) or any(p.on(day) for p in problem.week.sky):
            week = problem.week.model_copy(update={"sky": tuple(others)})
            freed = Freed((), f"the weather on {day_name(day)} is against it", f"a fair {day_name(day)}")
            yield freed, problem.model_copy(update={"week": week})


def _with_holders(problem: Problem, go: Go) -> Iterator[tuple[Freed, Problem]]:
    used = {w.holder: w.units for w in go.activity.waits if w.holder}
    for holder in problem.household.holders:
        if holder.id in used:
            more = holder.model_copy(update={"capacity": holder.capacity + used[holder.id]})
            holders = tuple(more if one is holder else one for one in problem.household.holders)
            household = problem.household.model_copy(update={"holders": holders})
            name = holder.name.lower()
            yield (
                Freed((holder.id,), f"there is no room left on the {name}", f"more room on the {name}"),
                problem.model_copy(update={"household": household}),
            )
