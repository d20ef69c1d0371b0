"""The solver's rules and the checker agree on every case: the model is held to the case's plan."""

from __future__ import annotations

import pytest

from solver.check import CHECKS
from solver.rules import RULES
from tests.solver.cases import CASES, Case
from tests.solver.fixing import rules_allow

NEEDLESS_MINDER = "nobody is asked to mind a child who needs no minding"
NOT_IN_THE_MODEL = "the plan's lists are written from the solution and are no decision"
ITS_OWN_SHOPPING = "the model buys what is short by itself"
FIRM_IS_A_CANDIDATE = "a firm booking that does not fit is left over, and states are written afterwards"
COARSE_ARRIVALS = "what arrives within a stretch counts from the next stretch on"

NUMBERED = "a week that is made anew leaves out no number"

DIFFERS = {
    ("order", "allowed: one between is left out"): NUMBERED,
    ("watched", "allowed: along, though somebody has him"): NEEDLESS_MINDER,
    ("minder", "allowed: helping at the same time"): NEEDLESS_MINDER,
    ("holding", "forbidden: what the plan says"): NOT_IN_THE_MODEL,
    ("prep", "forbidden: what the plan says"): NOT_IN_THE_MODEL,
    ("supplies", "forbidden: bought before the week"): ITS_OWN_SHOPPING,
    ("firm", "forbidden: gone without a word"): FIRM_IS_A_CANDIDATE,
    ("firm", "forbidden: nobody set it"): FIRM_IS_A_CANDIDATE,
    ("supplies", "allowed: they arrive"): COARSE_ARRIVALS,
    ("supplies", "boundary: they arrive"): COARSE_ARRIVALS,
    ("supplies", "allowed: bought in the week"): COARSE_ARRIVALS,
    ("supplies", "boundary: bought in the week"): COARSE_ARRIVALS,
}
"""Where the model is meant to differ from the checker, and why. A case that agrees again is taken out."""

ALL = [
    pytest.param(key, name, case, id=f"{key}-{name}")
    for key, entered in CASES.items()
    for name, case in entered.items()
]


def test_every_rule_has_its_twin_in_the_checker() -> None:
    assert {rule.key for rule in RULES} == set(CHECKS)


@pytest.mark.parametrize(("key", "name", "case"), ALL)
def test_the_rules_agree_with_the_checker(key: str, name: str, case: Case) -> None:
    problem, plan, broken = case()
    agrees = rules_allow(problem, plan) == (not broken)
    assert agrees == ((key, name) not in DIFFERS)


@pytest.mark.parametrize(
    "name", [name for name in CASES["order"] if name.endswith("one between is left out")]
)
def test_goes_keep_their_order_in_a_week_in_hand(name: str) -> None:
    problem, plan, broken = CASES["order"][name]()
    assert rules_allow(problem, plan, in_hand=True) == (not broken)


def test_only_cases_that_exist_may_differ() -> None:
    assert all(name in CASES[key] for key, name in DIFFERS)


@pytest.mark.parametrize("key", [rule.key for rule in RULES if rule.between and not rule.alone])
def test_it_is_the_rule_itself_that_forbids(key: str) -> None:
    """Without the rule at least one of its forbidden plans may be."""
    forbidden = [case() for name, case in CASES[key].items() if name.startswith("forbidden")]
    assert any(rules_allow(problem, plan, without=broken) for problem, plan, broken in forbidden)
