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


def check(problem: Problem, plan: Plan, like: Facts | None = None) -> list[Violation]:
    """Everything wrong with a plan; an empty list means that the week really fits.

    ``like`` are facts of another plan of the same problem, so that they need not be laid out once more.
    """
    facts, found = gather(problem, plan, like)
    for rule in CHECKS.values():
        found.extend(rule(facts))
    return found


def costs(problem: Problem, plan: Plan, like: Facts | None = None) -> tuple[Cost, ...]:
    """Every named cost above zero, recomputed from the plan; ``like`` as above."""
    facts, _ = gather(problem, plan, like)
    return costs_of(facts)
