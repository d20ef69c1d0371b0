"""Graham's anomalies: more adults, shorter things or fewer order rules must never make an exact week longer.

Source: Graham, Bounds on Multiprocessing Timing Anomalies, SIAM J. Appl. Math. 17(2):416-429, 1969 (citation
from memory). A list of things done first come, first served takes 12, and then 15, 13, 16 after each easing;
the true optima, found again by enumeration, are 12, 12, 10 and 12.
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from solver.domain.week import Problem
from solver.search import solve
from tests.outside.encode import KEPT, Job, Step, household_problem, promises

UNITS = (3, 2, 2, 2, 4, 4, 4, 4, 9)
BEFORE = ((1, 9), (4, 5), (4, 6), (4, 7), (4, 8))


@dataclass(frozen=True)
class Case:
    """One version of the example and its optimum."""

    name: str
    optimum: int
    adults: int = 3
    units: tuple[int, ...] = UNITS
    before: tuple[tuple[int, int], ...] = BEFORE

    def problem(self, finish: int) -> Problem:
        """Can all nine things end by ``finish``?"""
        jobs = tuple(
            Job(
                f"thing{number}",
                (Step(units, {"hands": 1}),),
                after=tuple(f"thing{first}" for first, then in self.before if then == number),
            )
            for number, units in enumerate(self.units, start=1)
        )
        return household_problem(jobs, {"hands": self.adults}, finish)


CASES = (
    Case("as published", 12),
    Case("a fourth adult", 12, adults=4),
    Case("each one unit shorter", 10, units=tuple(units - 1 for units in UNITS)),
    Case("two order rules fewer", 12, before=((1, 9), (4, 7), (4, 8))),
)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_fits_the_optimum_and_not_one_unit_less(case: Case) -> None:
    kept = solve(case.problem(case.optimum), seconds=60, seed=1, workers=2)
    assert promises(kept) == KEPT
    value, bound, proved = promises(solve(case.problem(case.optimum - 1), seconds=60, seed=1, workers=2))
    assert proved
    assert value == bound >= 1


@pytest.mark.parametrize("case", CASES[1:], ids=lambda case: case.name)
def test_easing_never_costs_a_promise(case: Case) -> None:
    """By the end that was enough before, everything still fits (a list in order would need 15, 13 and 16)."""
    plan = solve(case.problem(CASES[0].optimum), seconds=60, seed=1, workers=2)
    assert promises(plan) == KEPT
