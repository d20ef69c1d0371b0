"""Graham's anomalies: more adults, shorter things or fewer order rules must never make an exact week longer.

Source: Graham, Bounds on Multiprocessing Timing Anomalies, SIAM J. Appl. Math. 17(2):416-429, 1969 (citation
from memory). A list of things done first come, first served takes 12, and then 15, 13, 16 after each easing;
the true optima, found again by enumeration, are 12, 12, 10 and 12.

The same holds of whatever is drawn: what eases a household never makes its proved best week worse.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from random import Random

import pytest

from service.bench.oracle_encode import KEPT, Job, Step, household_problem, promises
from service.bench.plain_house import House, PlainAdult, Thing, drawn
from service.bench.plain_told import problem_of
from solver.domain.week import Problem
from solver.search import solve

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


def drawn_case(seed: int) -> Case:
    """Nine things for two or three adults, some after others, as in the example."""
    random = Random(seed)
    pairs = [(i, j) for j in range(2, 10) for i in range(1, j)]
    return Case(
        f"drawn {seed}",
        optimum=0,
        adults=random.randint(2, 3),
        units=tuple(random.randint(2, 9) for _ in UNITS),
        before=tuple(sorted(random.sample(pairs, 6))),
    )


EASINGS: dict[str, Callable[[Case], Case]] = {
    "one more adult": lambda case: replace(case, adults=case.adults + 1),
    "each one unit shorter": lambda case: replace(case, units=tuple(units - 1 for units in case.units)),
    "an order rule fewer": lambda case: replace(case, before=case.before[1:]),
}


def proved_unkept(case: Case, finish: int) -> int:
    value, bound, proved = promises(solve(case.problem(finish), seconds=20, seed=1, workers=2))
    assert proved
    assert value == bound
    return value


@pytest.mark.parametrize("seed", range(3))
def test_easing_a_drawn_case_never_costs_a_promise(seed: int) -> None:
    """By half of what all of it would take one after the other, for the adults there are, not all is kept."""
    case = drawn_case(seed)
    finish = sum(case.units) // (case.adults + 1)
    before = proved_unkept(case, finish)
    assert before > 0
    for ease in EASINGS.values():
        assert proved_unkept(ease(case), finish) <= before


def shorter(thing: Thing) -> Thing:
    """Five minutes less for everybody; what waits is left, since its wait would get longer."""
    if thing.wait:
        return thing
    pieces = tuple(
        replace(piece, minutes={child: minutes - 5 for child, minutes in piece.minutes.items()})
        for piece in thing.pieces
    )
    return replace(thing, pieces=pieces)


HOUSE_EASINGS: dict[str, Callable[[House], House]] = {
    "one more adult": lambda h: replace(h, adults=(*h.adults, PlainAdult("cleo", (8 * 60, 16 * 60)))),
    "everything shorter": lambda h: replace(h, things=tuple(shorter(thing) for thing in h.things)),
    "more mess, more prep": lambda h: replace(
        h, mess_a_day=h.mess_a_day + 2, prep={e: minutes + 20 for e, minutes in (h.prep or {}).items()}
    ),
}


def best(house: House) -> tuple[int, ...]:
    """The proved costs, the first tier first."""
    plan = solve(problem_of(house), seconds=20, seed=1, workers=2)
    assert all(tier.proved for tier in plan.tiers)
    return tuple(tier.value for tier in plan.tiers)


@pytest.mark.parametrize("seed", [3, 7, 13, 18])
def test_easing_a_drawn_household_never_makes_its_best_week_worse(seed: int) -> None:
    house = drawn(seed)
    before = best(house)
    eased = {name: best(ease(house)) for name, ease in HOUSE_EASINGS.items()}
    assert {name: after for name, after in eased.items() if after > before} == {}
    assert min(eased.values()) < before
