"""The house as it is meant to stand: who imports whom, how large things are, that no rule is half made."""

from __future__ import annotations

import ast
import importlib
import inspect
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from statistics import median

import pytest

from solver.check import CHECKS, COSTS, TIERS
from solver.domain.week import Problem
from solver.rules import RULES, Rule, soft

ROOT = Path(__file__).parents[1]
SOLVING = (
    "variables", "model", "relaxation", "engine", "running", "parts", "tiers", "tidy", "explain", "frees",
    "mend", "rules/between", "rules/across", "rules/hands",
)  # fmt: skip
OR_TOOLS_ROOMS = {f"solver/{name}.py" for name in SOLVING}
GOES_ON_BESIDE = {"solver/beside.py"}
"""It makes a second process of this one, with a pipe between the two."""
BASELINES = {"service/bench/blended.py"}
"""What the search is measured against needs the same engine."""
SEARCHES = (
    "solver.search.",
    "solver.mend.mend",
    "solver.why.",
    "solver.resilience.",
    "service.mends.moving.",
)
MAY_SEARCH = {
    "service/worker.py", "service/mends/worker.py", "service/mends/moving.py", "service/mends/instead.py",
    "service/command.py", "service/mending.py", "service/asking.py",
}  # fmt: skip
"""What runs in a process of its own, and the commands."""
MODULE_CAP = 400
FUNCTION_CAP = 50
FUNCTION_MEDIAN = 8


def modules(room: str) -> list[Path]:
    found = sorted((ROOT / room).rglob("*.py"))
    assert found, room
    return found


def name_of(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def imported(path: Path) -> Iterator[str]:
    """Every module that a file names in an import, wherever it stands in the file."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{name_of(path)}: imports say where from, in full"
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def top(name: str) -> str:
    return name.split(".")[0]


def ours(*rooms: str) -> list[pytest.param]:
    return [pytest.param(path, id=name_of(path)) for room in rooms for path in modules(room)]


@pytest.mark.parametrize("path", ours("solver", "service"))
def test_every_search_is_by_our_engine(path: Path) -> None:
    """What ends a process in CP-SAT is turned off in one place."""
    made = [
        node
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call) and ast.unparse(node.func).endswith("CpSolver")
    ]
    assert bool(made) == (name_of(path) == "solver/engine.py")


@pytest.mark.parametrize("path", ours("solver"))
def test_the_solver_knows_nothing_of_who_uses_it(path: Path) -> None:
    users = {"service", "tests", "demo", "web", "fastapi", "typer", "rich"}
    assert not {top(name) for name in imported(path)} & users


@pytest.mark.parametrize("path", ours("solver"))
def test_the_solver_reads_and_writes_nothing(path: Path) -> None:
    doors = {"sqlite3", "sqlalchemy", "socket", "urllib", "http", "pathlib", "os", "io", "subprocess"}
    opened = {top(name) for name in imported(path)} & doors
    assert opened == ({"os"} if name_of(path) in GOES_ON_BESIDE else set())


@pytest.mark.parametrize("path", ours("solver", "service"))
def test_or_tools_stays_in_its_rooms(path: Path) -> None:
    if "ortools" in {top(name) for name in imported(path)}:
        assert name_of(path) in OR_TOOLS_ROOMS | BASELINES


@pytest.mark.parametrize("path", ours("service"))
def test_the_server_itself_never_searches(path: Path) -> None:
    """A fault in C++ ends the process that it happens in; that must not be the one with the store open."""
    if not name_of(path).startswith("service/bench/") and name_of(path) not in MAY_SEARCH:
        assert not [name for name in imported(path) if name.startswith(SEARCHES)]


@pytest.mark.parametrize("path", ours("solver/domain"))
def test_the_domain_needs_pydantic_and_python_alone(path: Path) -> None:
    for name in imported(path):
        assert name.startswith("solver.domain.") or top(name) in sys.stdlib_module_names | {"pydantic"}, name


@pytest.mark.parametrize("path", ours("solver/check"))
def test_the_checker_needs_none_of_the_rooms_it_judges(path: Path) -> None:
    allowed = ("solver.domain.", "solver.clock.", "solver.safety.", "solver.check.")
    for name in imported(path):
        assert top(name) != "solver" or name.startswith(allowed), name


@pytest.mark.parametrize("path", ours("solver/rules"))
def test_rules_ask_variables_in_the_open(path: Path) -> None:
    """No reaching into what another module keeps to itself."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Attribute) and node.attr.startswith("_"):
            assert isinstance(node.value, ast.Name), ast.unparse(node)
            assert node.value.id == "self", ast.unparse(node)


@pytest.mark.parametrize("module", ["service.command", "service.app", "solver.check", "solver.rules"])
def test_what_answers_at_once_does_not_wait_for_or_tools(module: str) -> None:
    """Loading OR-Tools costs more than a second, pandas another."""
    question = f"import sys, {module}; print(sorted({{'ortools', 'pandas'}} & set(sys.modules)))"
    done = subprocess.run(
        [sys.executable, "-c", question], capture_output=True, text=True, cwd=ROOT, check=True
    )
    assert done.stdout.strip() == "[]"


class TestSizes:
    @pytest.mark.parametrize("path", ours("solver", "service"))
    def test_a_module_can_be_read_in_one_go(self, path: Path) -> None:
        assert len(path.read_text(encoding="utf-8").splitlines()) <= MODULE_CAP

    @pytest.mark.parametrize("path", ours("solver", "service"))
    def test_a_function_fits_on_a_page(self, path: Path) -> None:
        assert not {name: lines for name, lines in functions(path) if lines > FUNCTION_CAP}

    @pytest.mark.parametrize("room", ["solver", "service"])
    def test_half_of_the_functions_are_short(self, room: str) -> None:
        assert median(lines for path in modules(room) for _, lines in functions(path)) <= FUNCTION_MEDIAN


def functions(path: Path) -> Iterator[tuple[str, int]]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield node.name, (node.end_lineno or node.lineno) - node.lineno + 1


class TestHabits:
    @pytest.mark.parametrize("path", ours("solver", "service", "tests", "demo"))
    def test_nothing_is_swallowed_or_put_off(self, path: Path) -> None:
        text = path.read_text(encoding="utf-8")
        assert ("TO" + "DO") not in text
        assert ("FIX" + "ME") not in text
        for node in ast.walk(ast.parse(text)):
            if isinstance(node, ast.ExceptHandler):
                assert node.type is not None, f"line {node.lineno}: which exception?"
                assert not all(isinstance(one, ast.Pass) for one in node.body), f"line {node.lineno}"

    @pytest.mark.parametrize("path", ours("tests"))
    def test_no_test_is_skipped(self, path: Path) -> None:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Attribute):
                assert node.attr not in ("skip", "skipif", "xfail", "importorskip"), f"line {node.lineno}"

    @pytest.mark.parametrize("path", ours("solver", "service", "tests", "demo"))
    def test_no_drawer_for_everything(self, path: Path) -> None:
        assert path.stem not in ("utils", "util", "helpers", "misc", "common")
        assert path.stem == path.stem.lower()


def sentence(of: Callable[..., object]) -> str:
    return inspect.getdoc(of) or ""


def halves(rule: Rule) -> list[Callable[..., object]]:
    """The one or two functions that hold a rule in the model."""
    found: list[Callable[..., object]] = [rule.alone] if rule.alone else []
    if rule.between:
        module, name = rule.between.split(".")
        found.append(getattr(importlib.import_module(f"solver.rules.{module}"), name))
    return found


SHAPED_ELSEWHERE = {"who": "who attends is what a candidate is"}
"""Rules that no function adds, since nothing that breaks them can be put to the solver."""


class TestOneRuleOneKey:
    def test_each_rule_of_the_solver_has_its_check(self) -> None:
        """The checker may judge more: what candidates are made of cannot go wrong in the model."""
        keys = [rule.key for rule in RULES]
        assert len(keys) == len(set(keys))
        assert set(keys) == set(CHECKS)

    @pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.key)
    def test_a_rule_is_held_by_functions_of_the_model(self, rule: Rule) -> None:
        assert halves(rule) or rule.key in SHAPED_ELSEWHERE

    @pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.key)
    def test_each_half_says_the_rule_in_one_sentence(self, rule: Rule) -> None:
        for half in halves(rule):
            told = sentence(half)
            assert told.endswith("."), half
            assert "\n" not in told, half

    @pytest.mark.parametrize("key", CHECKS)
    def test_each_check_is_called_by_its_key(self, key: str) -> None:
        assert CHECKS[key].__name__ == key
        assert sentence(CHECKS[key]).endswith(".")

    def test_no_two_rules_share_a_function(self) -> None:
        held = [half for rule in RULES for half in halves(rule)]
        assert len(held) == len(set(held))


class TestOneCostOneKey:
    def test_the_tiers_are_the_same_on_both_sides(self) -> None:
        """The solver has one more: what a mend changes is counted against another plan."""
        assert set(soft.TIERS) - set(TIERS) == {"changes"}
        assert [tier for tier in soft.TIERS if tier != "changes"] == list(TIERS)

    def test_each_cost_has_its_term_and_its_recount_under_one_key(self) -> None:
        assert [term.__name__ for term in soft.COSTS] == list(COSTS)
        assert [key for keys in TIERS.values() for key in keys] == list(COSTS)

    @pytest.mark.parametrize("cost", [*soft.COSTS, *COSTS.values()])
    def test_it_is_told_in_a_sentence(self, cost: Callable[..., object]) -> None:
        assert sentence(cost).endswith(".")
        assert "\n" not in sentence(cost)


def test_the_problem_is_all_that_is_given() -> None:
    """A week is solved and judged from one value; nothing is asked of a clock, a file or a global."""
    assert set(Problem.model_fields) == {"household", "activities", "week"}
