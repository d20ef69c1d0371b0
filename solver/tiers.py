"""Search a built model tier by tier: what comes before is kept, the rest made as good as there is time for.

A tier gets a bound from its linear rows first, and reaching it is a proof. Then the week is bettered by
parts, and at last as a whole.
"""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

from ortools.sat.python import cp_model

from solver.assemble import Chosen, decisions
from solver.candidates import Candidates
from solver.domain.plan import TierResult
from solver.domain.week import Rank
from solver.model import WeekModel
from solver.outline import Task
from solver.parts import SEEN_TO, best_so_far, better_by_parts, find_places
from solver.relaxation import Relaxation
from solver.rules.soft import TIERS, missed_outdoors
from solver.running import MOMENT, Search, bound_of, fill_in, run

SHARE = {
    "promises": 0.35,
    "required": 0.3,
    "preferred": 0.5,
    "staples": 0.35,
    "changes": 0.8,
    "worth": 0.75,
    "rhythm": 1.0,
}
"""The part of the time left that each tier may use before the next one starts."""
MOST = 10**9
MANY = 3000
"""Candidates from which on it pays to look at the linear rows first: fewer are soon searched as a whole."""
SMALL = 60
"""Sittings up to which a week is searched as a whole at once: parts of it take as long."""


def best_week(search: Search, week: WeekModel, first: Chosen) -> tuple[Chosen, list[TierResult]]:
    """Search a built model tier by tier, from a first week."""
    with ThreadPoolExecutor(1) as engine:
        # CP-SAT completes the first week while Python gathers the rows.
        filled = engine.submit(fill_in, search, week, decisions(week.variables, first))
        many = len(week.variables.candidates.all) >= MANY
        rows = Relaxation(week) if many and not search.enough else None
        filled.result()
    tiers = [_solve_tier(search, week, rows, tier) for tier in TIERS if week.terms[tier]]
    # The first week stays when the search had no time for any.
    return (best_so_far(search, week) if search.best else first), tiers


def _solve_tier(search: Search, week: WeekModel, rows: Relaxation | None, tier: str) -> TierResult:
    cost = week.total[tier].index
    bound = least(week.variables.candidates, tier)
    if search.best.get(cost, MOST) > bound:
        bound = max(bound, _improve(search, week, rows, tier))
    value = search.best.get(cost, MOST)
    week.limit(cost, 0, value)
    search.tell(tier, value, bound)
    return TierResult(name=tier, value=value, bound=bound, proved=bound >= value)


def _improve(search: Search, week: WeekModel, rows: Relaxation | None, tier: str) -> int:
    """Better a tier; gives its bound."""
    cost = week.total[tier].index
    until = search.left * (1 - SHARE[tier])
    floor = rows.floor(cost, search.best.get(cost, MOST), search.left) if rows else None
    bound = floor.value if floor else 0
    found = search.best.get(cost, MOST)
    if floor and search.best:
        search.tell(tier, found, bound)
    if found > bound:
        week.limit(cost, bound, MOST)
        small = len(week.variables.outline.tasks) <= SMALL
        if floor and search.best and tier in SEEN_TO:
            find_places(search, week, tier, floor, until)
        elif floor and search.best and not small:
            better_by_parts(search, week, tier, floor, until)
        if search.best.get(cost, MOST) > bound and search.left > max(until, MOMENT):
            bound = max(bound, _as_a_whole(search, week, tier, until))
    return bound


def _as_a_whole(search: Search, week: WeekModel, tier: str, until: float) -> int:
    """Search the whole week; gives a bound."""
    cost = week.total[tier].index
    found = search.best.get(cost, MOST)
    solver = search.solver(search.left - until)
    week.model.minimize(week.total[tier])
    status = run(search, solver, week, tier, None)
    week.model.clear_objective()  # type: ignore[no-untyped-call]
    if search.best.get(cost, MOST) < found:
        fill_in(search, week, decisions(week.variables, best_so_far(search, week)))
    return round(solver.objective_value) if status == cp_model.OPTIMAL else bound_of(solver)


def least(candidates: Candidates, tier: str) -> int:
    """A bound that needs no search: goes that have no place at all stay unkept."""
    rank = {"promises": Rank.PROMISE, "staples": Rank.STAPLE}.get(tier)
    indoors = missed_outdoors(candidates) if tier == "staples" else 0
    return indoors + sum(
        go.wish.rank is rank
        and not any(c.option.lighter for c in candidates.by_task[Task(go, 0)])
        and any(not candidates.by_task[Task(go, i)] for i in range(len(go.activity.sittings)))
        for go in candidates.outline.goes
    )
