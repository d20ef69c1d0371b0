"""Same seed and one worker: the same week, however often, whoever watches, in whichever process."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
from pathlib import Path
from typing import Any

import pytest

from solver.check import check
from solver.domain.plan import Plan, Progress
from solver.domain.week import Problem
from solver.running import ASK_SECONDS, LEAST_SECONDS, Search
from solver.search import solve
from tests.solver.demo_weeks import problem_of, raw

ROOT = Path(__file__).parents[2]
CLOCK = {"seconds", "first_plan_seconds"}
"""What the clock on the wall says, and nothing else may differ."""

LIMITS = {"small": 2.0, "pond-week": 2.0}


def same(plan: Plan) -> dict[str, Any]:
    return plan.model_dump(mode="json", exclude=CLOCK)


def problem(name: str) -> Problem:
    return problem_of(raw(name))


@pytest.fixture(scope="module", params=LIMITS)
def name(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture(scope="module")
def first(name: str) -> Plan:
    return solve(problem(name), seconds=LIMITS[name], seed=7, workers=1)


def test_twice_the_same(name: str, first: Plan) -> None:
    assert first.bookings
    again = solve(problem(name), seconds=LIMITS[name], seed=7, workers=1)
    assert same(again) == same(first)


def test_the_same_while_somebody_watches(name: str, first: Plan) -> None:
    seen: list[Progress] = []
    watched = solve(
        problem(name),
        seconds=LIMITS[name],
        seed=7,
        workers=1,
        on_progress=seen.append,
        should_stop=lambda: False,
    )
    assert seen
    assert same(watched) == same(first)


SCRIPT = """
import sys
from tests.solver.test_determinism import LIMITS, problem, same
from solver.running import ASK_SECONDS, LEAST_SECONDS, Search
from solver.search import solve
import json
name = sys.argv[1]
print(json.dumps(same(solve(problem(name), seconds=LIMITS[name], seed=7, workers=1))))
"""


def test_the_same_in_another_process_with_other_hashes(name: str, first: Plan) -> None:
    """Sets are walked in another order there: none of that may reach the plan."""
    environment = os.environ | {"PYTHONHASHSEED": "4711", "PYTHONPATH": str(ROOT)}
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT, name],
        capture_output=True,
        text=True,
        env=environment,
        cwd=ROOT,
        check=True,
    )
    other = Plan.model_validate_json(done.stdout)
    assert same(other) == same(first)


def test_the_seed_is_told(first: Plan) -> None:
    assert first.seed == 7
    assert not first.stopped


def test_progress_counts_seconds_forward_and_bounds_below_values() -> None:
    seen: list[Progress] = []
    solve(problem("small"), seconds=4, workers=1, on_progress=seen.append)
    assert [p.seconds for p in seen] == sorted(p.seconds for p in seen)
    assert all(p.bound is None or p.value is None or p.bound <= p.value for p in seen)


@pytest.mark.parametrize("workers", [1, 2])
def test_stopped_at_once_it_is_still_a_week_that_fits(workers: int) -> None:
    house = problem("pond-week")
    plan = solve(house, seconds=20, workers=workers, should_stop=lambda: True)
    assert plan.stopped
    assert check(house, plan) == []
    assert plan.bookings


def test_who_has_had_enough_waits_neither_for_better_weeks_nor_for_all_the_reasons() -> None:
    pressed = threading.Event()
    for workers in (1, 2):
        search = Search(600.0, 1, workers, lambda _: None, pressed.is_set)
        pressed.clear()
        assert min(search.left, search.asking_seconds) > 500
        pressed.set()
        assert (search.left, search.asking_seconds) == (LEAST_SECONDS, ASK_SECONDS)
        pressed.clear()
        assert search.enough, "once is enough"


@pytest.mark.parametrize("seed", [0, 1, 2**31 - 1])
def test_any_seed_gives_a_week_that_fits(seed: int) -> None:
    house = problem("small")
    plan = solve(house, seconds=1, seed=seed, workers=1)
    assert check(house, plan) == []
    assert plan.seed == seed
