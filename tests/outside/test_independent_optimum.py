"""An independent formulation in an independent solver (HiGHS) agrees on the optimum of every tier.

Reference library: highspy, from the package registry. The household is invented (``small_house``).
"""

from __future__ import annotations

from typing import Any

import pytest

from solver.check import check
from solver.search import solve
from tests.outside import small_house
from tests.outside.time_indexed import optimum

FIGURES: dict[str, dict[str, Any]] = {
    "as told": {},
    "little mess: the promise is broken": {"MESS_A_DAY": 2},
    "much white space, one prep evening": {"FREE_SHARE": 0.6, "PREP": {-1: 20, 0: 0}},
    "long breaks": {"BREAK_MIN": 40, "AREAS": {"language": 5, "number": 1}},
}
"""Figures of the small house that are told differently; each makes another rule bind."""


@pytest.mark.parametrize("figures", FIGURES.values(), ids=FIGURES)
def test_every_tier_is_proved_and_equal(figures: dict[str, Any], monkeypatch: pytest.MonkeyPatch) -> None:
    for name, value in figures.items():
        monkeypatch.setattr(small_house, name, value)
    problem = small_house.small_problem()
    plan = solve(problem, seconds=120, seed=1, workers=2)
    assert check(problem, plan) == []
    assert all(tier.proved for tier in plan.tiers), plan.tiers
    assert {tier.name: tier.value for tier in plan.tiers} == optimum()


def test_the_figures_bind(monkeypatch: pytest.MonkeyPatch) -> None:
    """Households in which everything fits would compare nothing."""
    told = optimum()
    assert min(told["staples"], told["worth"], told["rhythm"]) > 0
    for name, value in FIGURES["little mess: the promise is broken"].items():
        monkeypatch.setattr(small_house, name, value)
    assert optimum()["promises"] == 1
