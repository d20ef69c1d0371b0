"""Leaving a trick out makes the search slower, never the week another one."""

from __future__ import annotations

import pytest
from rich.console import Console

from service.bench.ablation import TRICKS, WITHOUT, ablation_table, left_out
from service.bench.plain_house import drawn
from service.bench.plain_told import problem_of
from service.bench.record import OURS, End, Instance, Run
from solver import tiers
from solver.search import solve

HOUSE = 3
"""A drawn household that is soon proved, and in which every tier but the first costs something."""


def values() -> dict[str, int]:
    plan = solve(problem_of(drawn(HOUSE)), seconds=60, seed=1, workers=1)
    assert all(tier.proved for tier in plan.tiers)
    return {tier.name: tier.value for tier in plan.tiers}


@pytest.fixture(scope="module")
def best() -> dict[str, int]:
    return values()


@pytest.mark.parametrize("trick", TRICKS)
def test_the_best_week_is_the_same_without(
    trick: str, best: dict[str, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("solver.tiers.MANY", 0)
    monkeypatch.setattr("solver.tiers.SMALL", 0)
    with left_out(WITHOUT + trick):
        assert values() == best
    assert tiers.MANY == 0, "everything is back in its place"


def test_our_own_search_leaves_nothing_out() -> None:
    usual = tiers.MANY
    with left_out(OURS):
        assert usual == tiers.MANY


def test_the_table_sets_each_trick_beside_the_whole() -> None:
    runs = [
        Run(Instance("S", 1), method, first_s=0.2, total_s=total, ends={"worth": End(12, bound, bound == 12)})
        for method, total, bound in ((OURS, 3.0, 12), (WITHOUT + "parts", 9.0, 6))
    ]
    console = Console(width=150, record=True, file=None, quiet=False)
    with console.capture() as said:
        console.print(ablation_table(runs))
    lines = said.get().splitlines()
    whole = next(line for line in lines if "with all" in line)
    without = next(line for line in lines if "without parts" in line)
    assert "0.0%" in whole
    assert "1 of 1" in whole
    assert "50.0%" in without
    assert "0 of 1" in without
