"""The independent checker: judges a plan from the plan alone, without the solver's rooms.

It works slot by slot with plain sets, so that it can be read beside the table in DEVELOPERS.md.
"""

from __future__ import annotations

from solver.check.facts import Facts
from solver.check.hard import CHECKS
from solver.check.sane import gather
from solver.check.soft import COSTS, TIERS, costs_of
from solver.check.violation import Violation
from solver.domain.plan import Cost, Plan
from solver.domain.week import Problem

__all__ = ["CHECKS", "COSTS", "TIERS", "Facts", "Violation", "check", "costs"]


def check(problem: Problem, plan: Plan) -> list[Violation]:
    """Everything wrong with a plan; an empty list means that the week really fits."""
    facts, found = gather(problem, plan)
    for rule in CHECKS.values():
        found.extend(rule(facts))
    return found


def costs(problem: Problem, plan: Plan) -> tuple[Cost, ...]:
    """Every named cost above zero, recomputed from the plan."""
    facts, _ = gather(problem, plan)
    return costs_of(facts)
