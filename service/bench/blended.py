"""One weighted sum of all tiers in one CP-SAT solve: the usual way without tiers.

It starts from the same first week, with the same parameters, time and workers as the tiers: only the
objective differs.
"""

from __future__ import annotations

from ortools.sat.python import cp_model

from solver.assemble import Chosen, bookings, decisions, prep, read, waiting
from solver.candidates import enumerate_candidates
from solver.domain.plan import Plan
from solver.domain.week import Problem
from solver.model import WeekModel, build
from solver.outline import Outline
from solver.running import Search, hint
from solver.search import first_weeks
from solver.shopping import purchases

WEIGHTS = {"promises": 3000, "staples": 300, "changes": 30, "worth": 3, "rhythm": 1}
"""As somebody would choose them: one unkept promise outweighs any usual sum below it."""


def blended_plan(problem: Problem, seconds: float, workers: int, seed: int) -> Plan:
    """The plan of one solve with one blended objective."""
    search = Search(seconds, seed, workers, lambda _: None, lambda: False)
    candidates = enumerate_candidates(Outline(problem))
    *_, first = first_weeks(search, candidates)
    week = build(candidates)
    week.model.minimize(sum(weight * week.total[tier] for tier, weight in WEIGHTS.items()))
    hint(week, decisions(week.variables, first))
    _complete(search, week)
    solver = search.solver(search.left)
    if solver.solve(week.model) not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return _plan(candidates.outline, first)
    return _plan(candidates.outline, read(week.variables, solver.value))


def _complete(search: Search, week: WeekModel) -> None:
    """Hint every variable as the first week makes it, so that the search starts from that week."""
    solver = search.solver(search.left)
    solver.parameters.fix_variables_to_their_hinted_value = True
    solver.parameters.num_workers = 1
    if solver.solve(week.model) in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        hint(week, dict(enumerate(solver.response_proto.solution)))


def _plan(outline: Outline, chosen: Chosen) -> Plan:
    return Plan(
        week=outline.problem.week.id,
        bookings=bookings(outline, chosen),
        prep=prep(outline, chosen),
        waiting=waiting(outline, chosen),
        shopping=purchases(outline, chosen),
    )
