"""Every hard rule of the checker: what it allows, what it forbids, and the boundary between."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

import solver.check
from solver.check import CHECKS, check
from tests.solver.cases import CASES, Case

ROOT = Path(__file__).parents[2]
ALL = [
    pytest.param(key, case, id=f"{key}-{name}")
    for key, entered in CASES.items()
    for name, case in entered.items()
]


@pytest.mark.parametrize("key", CHECKS)
def test_every_rule_has_its_three_cases(key: str) -> None:
    assert {"allowed", "forbidden", "boundary"} <= set(CASES.get(key, {}))


@pytest.mark.parametrize(("key", "case"), ALL)
def test_case(key: str, case: Case) -> None:
    problem, plan, broken = case()
    found = check(problem, plan)
    assert {violation.key for violation in found} == broken, [v.sentence for v in found]
    assert all(v.sentence.endswith(".") for v in found)


def test_no_case_is_entered_for_a_rule_that_does_not_exist() -> None:
    assert set(CASES) <= set(CHECKS)


def contract_keys(heading: str) -> list[str]:
    """The keys in the first or second column of a table in DEVELOPERS.md."""
    text = (ROOT / "DEVELOPERS.md").read_text().split(heading)[1].split("\n#")[0]
    cells = [line.split("|") for line in text.splitlines() if line.startswith("|")]
    found = [next((c.strip() for c in row if c.strip().startswith("`")), "") for row in cells]
    return [key.strip("`") for key in found if key]


def test_the_checks_are_those_of_the_contract() -> None:
    assert contract_keys("### Hard rules") == list(CHECKS)


@pytest.mark.parametrize("key", CHECKS)
def test_every_check_says_in_a_sentence_what_it_is_about(key: str) -> None:
    sentence = CHECKS[key].__doc__ or ""
    assert sentence.endswith(".")
    assert "\n" not in sentence


def test_the_checker_needs_none_of_the_rooms_it_judges() -> None:
    allowed = ("solver.domain", "solver.clock", "solver.safety", "solver.check")
    for path in Path(solver.check.__file__).parent.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text())):
            names = [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            names += [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            for name in names:
                assert not name.startswith("ortools"), path
                assert not name.startswith("solver") or name.startswith(allowed), (path, name)
