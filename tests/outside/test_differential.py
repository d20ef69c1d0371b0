"""Drawn small households: the best week equals, tier by tier, that of an independent exact solver.

Reference library: highspy, from the package registry, on a formulation of its own (``plain_milp``). The
households are invented. ``lapful bench --differential 500`` does the same at length.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from service.bench import differential
from service.bench.differential import Compared, compared, summary
from service.bench.plain_house import House, drawn
from service.bench.plain_told import problem_of
from solver.domain.plan import TierResult
from solver.search import solve

SEEDS = (1, 2, 3, 4, 6, 7, 9, 11, 12, 13, 14, 16, 18, 19, 20, 22, 23, 24, 25, 26)
"""Twenty that take HiGHS a second or two at most."""


@pytest.fixture(scope="module")
def found() -> list[Compared]:
    """Twenty households, solved both ways."""
    return [compared(seed) for seed in SEEDS]


def test_both_solvers_agree_on_every_tier(found: list[Compared]) -> None:
    assert [case.told for case in found if case.differs] == []
    assert [case.told for case in found if case.open] == []


def test_the_search_of_big_weeks_agrees_too(found: list[Compared], monkeypatch: pytest.MonkeyPatch) -> None:
    """The way of big weeks, bounds first and then by parts, taken with small ones that HiGHS can prove."""
    monkeypatch.setattr("solver.tiers.MANY", 0)
    monkeypatch.setattr("solver.tiers.SMALL", 0)
    for case in found[::3]:
        plan = solve(problem_of(drawn(case.seed)), seconds=differential.SECONDS, seed=1, workers=2)
        ours = {tier.name: tier for tier in plan.tiers}
        again = Compared(case.seed, ours, case.theirs, 0, 0)
        assert not again.differs, again.told
        assert not again.open, again.told


def test_the_households_try_every_rule_that_both_know(found: list[Compared]) -> None:
    """A comparison of weeks in which nothing is scarce would compare nothing."""
    met = frozenset[str]().union(*(case.met for case in found))
    assert met >= {"a minder", "a nap", "a second sitting after its wait", "prep", "something left over"}
    for tier in ("promises", "staples", "worth", "rhythm"):
        assert sum(bool(case.theirs[tier]) for case in found) >= 3, tier


@pytest.mark.parametrize(
    "told",
    [
        {"change": 30},
        {"mess_a_day": 0},
        {"free_share": 0.9},
        {"areas": {}},
        {"prep": {-1: 0, 0: 0}},
    ],
    ids=lambda told: "".join(told),
)
def test_a_rule_read_otherwise_is_found(
    told: dict[str, object], found: list[Compared], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Tell HiGHS one figure otherwise: among the twenty at least one best week must then differ."""
    ours = {case.seed: case.ours for case in found}

    def differs(seed: int) -> bool:
        theirs = differential.optimum(replace(drawn(seed), **told), 20.0)
        return bool(Compared(seed, ours[seed], theirs, 0, 0).differs)

    assert any(differs(seed) for seed in SEEDS)


def test_one_seed_is_one_household() -> None:
    assert drawn(3) == drawn(3)
    assert drawn(3) != drawn(4)
    assert isinstance(drawn(3), House)


def tier(value: int, bound: int, proved: bool) -> TierResult:
    return TierResult(name="worth", value=value, bound=bound, proved=proved)


@pytest.mark.parametrize(
    ("ours", "theirs", "differs", "undecided"),
    [
        (tier(12, 12, True), 12, False, False),
        (tier(12, 12, True), 6, True, False),
        (tier(12, 6, False), 6, False, True),
        (tier(12, 6, False), 0, True, True),
        (tier(12, 6, False), 18, True, True),
        (tier(12, 12, True), None, False, True),
    ],
)
def test_what_is_open_is_held_to_its_bounds(
    ours: TierResult, theirs: int | None, differs: bool, undecided: bool
) -> None:
    case = Compared(1, {"worth": ours}, {"worth": theirs}, 0, 0)
    assert (bool(case.differs), case.open) == (differs, undecided)


def test_the_summary_names_the_seed_that_differs() -> None:
    told = summary([Compared(7, {"worth": tier(12, 12, True)}, {"worth": 6}, 0, 0)])
    assert told[0].endswith("0 not proved in time by one of both, 1 differ")
    assert told[-1] == "differs: seed 7: worth 12/6 (ours/theirs)"
