"""One weighted sum of all tiers in one CP-SAT solve: the usual way without tiers.

It starts from the same first week and has the same time and workers as the tiers; only the objective differs.
"""

from __future__ import annotations

from ortools.sat.python import cp_model

from solver.assemble import Chosen, bookings, decisions, prep, purchases, read, waiting
from solver.candidates import enumerate_candidates
from solver.construct import construct
from solver.domain.plan import Plan
from solver.domain.week import Problem
from solver.model import WeekModel, build
from solver.outline import Outline

WEIGHTS = {"promises": 3000, "staples": 300, "changes": 30, "worth": 3, "rhythm": 1}
"""As somebody would choose them: one unkept promise outweighs any usual sum below it."""


def blended_plan(problem: Problem, seconds: float, workers: int, seed: int) -> Plan:
    """The plan of one solve with one blended objective."""
    candidates = enumerate_candidates(Outline(problem))
    week = build(candidates)
    week.model.minimize(sum(weight * week.total[tier] for tier, weight in WEIGHTS.items()))
    for index, value in decisions(week.variables, construct(candidates, seed)).items():
        week.model.add_hint(week.model.get_int_var_from_proto_index(index), value)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = workers
    solver.parameters.random_seed = seed
    status = solver.solve(week.model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return Plan(week=problem.week.id)
    return _plan(week, read(week.variables, solver.value))


def _plan(week: WeekModel, chosen: Chosen) -> Plan:
    outline = week.variables.outline
    return Plan(
        week=outline.problem.week.id,
        bookings=bookings(outline, chosen),
        prep=prep(outline, chosen),
        waiting=waiting(outline, chosen),
        shopping=purchases(outline, chosen),
    )
