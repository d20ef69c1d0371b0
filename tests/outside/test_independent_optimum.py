"""An independent formulation in an independent solver (HiGHS) agrees on the optimum of every tier.

Reference library: highspy, from the package registry. The household is invented (``small_house``); drawn ones
are in ``test_differential``.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from service.bench.plain_costs import optimum
from service.bench.plain_house import House, PlainChild
from service.bench.plain_told import problem_of
from solver.check import check
from solver.search import solve
from tests.outside.small_house import SMALL_HOUSE

SECONDS = 120.0
"""Only a limit: a proof ends each search."""


def long_breaks(child: PlainChild) -> PlainChild:
    return replace(child, rest=40)


HOUSES = {
    "as told": SMALL_HOUSE,
    "little mess: the promise is broken": replace(SMALL_HOUSE, mess_a_day=2),
    "much white space, one prep evening": replace(SMALL_HOUSE, free_share=0.6, prep={-1: 20, 0: 0}),
    "long breaks": replace(
        SMALL_HOUSE,
        children=tuple(long_breaks(child) for child in SMALL_HOUSE.children),
        areas={"language": (5, 99), "number": (1, 99)},
    ),
}
"""The small house, told differently; each makes another rule bind."""


@pytest.mark.parametrize("house", HOUSES.values(), ids=HOUSES)
def test_every_tier_is_proved_and_equal(house: House) -> None:
    problem = problem_of(house)
    plan = solve(problem, seconds=SECONDS, seed=1, workers=2)
    assert check(problem, plan) == []
    assert all(tier.proved for tier in plan.tiers), plan.tiers
    found = {tier.name: tier.value for tier in plan.tiers}
    assert found == optimum(house, SECONDS)
    assert sum(value > 0 for value in found.values()) >= 3, "where everything fits nothing is compared"
