"""A bench in small: real runs in processes of their own, with limits too short for good figures."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from service.bench.child import in_child
from service.bench.measure import Limits
from service.bench.mends import random_mishaps
from service.bench.record import OURS, TIERS, Instance
from service.bench.term import HELD_OVER, carried, times_before
from service.command import app
from solver.domain.document import Document
from solver.domain.plan import Fate, LeftOver, Plan, Reason
from solver.domain.week import Problem, Rank

DEMO = Path(__file__).parents[2] / "demo"
SMALL = Instance("small", 1, DEMO / "small.json")


def term() -> Document:
    from service.bench import make

    return make("term", 1)


def test_a_run_tells_size_times_memory_and_every_tier() -> None:
    run = in_child(OURS, SMALL, Limits(seconds=1.0, workers=1, mends=1))
    assert run.failure == ""
    assert run.violations == 0
    assert set(run.ends) == set(TIERS)
    assert run.facts is not None
    assert run.facts.children == 2
    assert run.candidates > run.facts.sittings
    assert run.first_s is not None
    assert run.peak_mb > 1
    assert len(run.mended) == 1
    assert run.mended[0].violations == 0
    for tier, end in run.ends.items():
        assert end.bound is not None
        assert end.bound <= end.value, tier


@pytest.mark.parametrize("method", ["careful", "blended"])
def test_a_baseline_is_judged_by_the_same_checker(method: str) -> None:
    run = in_child(method, SMALL, Limits(seconds=1.0, workers=1))
    assert (run.failure, run.violations) == ("", 0)
    assert set(run.ends) == set(TIERS)


def test_a_failure_is_told_and_ends_nothing_else(tmp_path: Path) -> None:
    run = in_child("careful", Instance("none", 1, tmp_path / "none.json"), Limits(1.0, 1))
    assert "none.json" in run.failure
    assert run.ends == {}


def test_mishaps_are_the_same_for_the_same_seed() -> None:
    problem = term().problem()
    plan = Plan(week=problem.week.id)
    assert random_mishaps(problem, plan, 5, 6) == random_mishaps(problem, plan, 5, 6)
    assert random_mishaps(problem, plan, 5, 6) != random_mishaps(problem, plan, 6, 6)


def left_over(problem: Problem) -> Plan:
    """A week in which nothing was done and everything is held over."""
    reason = Reason(sentence="It did not fit.")
    left = [
        LeftOver(
            wish=w.id, activity=w.activity, title=w.id, sittings=(0,), fate=Fate.HELD_OVER, reason=reason
        )
        for w in problem.week.wishes
    ]
    return Plan(week=problem.week.id, left_over=tuple(left))


def test_in_a_term_what_was_held_over_comes_back_but_makes_no_pile() -> None:
    document = term()
    # The fourth week has another theme, so that its wishes are others.
    third, fourth = document.weeks[2], document.weeks[3]
    problem = document.problem(third.id)
    following = carried(problem, left_over(problem), fourth)
    back = following.wishes[len(fourth.wishes) :]
    assert len(back) == HELD_OVER
    worths = [wish.worth for wish in problem.week.wishes if wish.rank is Rank.EXTRA]
    assert sorted(wish.worth for wish in back) == sorted(worths)[-HELD_OVER:]
    whole = Document(household=document.household, activities=document.activities, weeks=(following,))
    assert whole.problem().week.id == fourth.id


def test_in_a_term_only_a_surplus_is_carried_and_at_most_half_of_the_least() -> None:
    problem = term().problem()
    child = next(child.id for child in problem.household.children)
    area = max(problem.household.areas, key=lambda area: area.least_times)
    met = {child: {area.id: area.least_times + 1}}
    week = problem.week.model_copy(update={"times_before": met})
    one = problem.model_copy(update={"week": week})
    assert times_before(one, Plan(week=week.id))[child][area.id] == 1
    met[child][area.id] = area.least_times * 3
    assert times_before(one, Plan(week=week.id))[child][area.id] == area.least_times // 2
    met[child][area.id] = area.least_times - 1
    assert times_before(one, Plan(week=week.id))[child][area.id] == 0


def test_bench_make_prints_a_household_and_nothing_else() -> None:
    result = CliRunner().invoke(app, ["bench", "--make", "M", "--seed", "3"])
    assert result.exit_code == 0
    from service.bench import make

    assert Document.model_validate(json.loads(result.stdout)) == make("M", 3)


@pytest.mark.parametrize(
    "asked", [["--make", "XXL"], ["--sizes", "S,none"], ["--baselines", "luck"], ["--seeds", "0"]]
)
def test_bench_says_what_is_wrong_with_what_was_asked(asked: list[str]) -> None:
    result = CliRunner().invoke(app, ["bench", *asked])
    assert result.exit_code == 2
    assert asked[0] in result.stderr


def test_bench_writes_table_csv_and_plots(tmp_path: Path) -> None:
    asked = ["bench", str(SMALL.path), "--seconds", "1", "--workers", "1", "--mends", "0"]
    result = CliRunner().invoke(app, [*asked, "--baselines", "careful", "--out", str(tmp_path)])
    assert result.exit_code == 0, result.stderr
    assert "Size and speed" in result.stdout
    assert "small careful" in result.stdout
    with (tmp_path / "bench.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert {(row["week"], row["method"]) for row in rows} == {("small", OURS), ("small", "careful")}
    assert {path.name for path in tmp_path.iterdir()} == {"bench.csv", "gap.svg", "growth.svg"}
