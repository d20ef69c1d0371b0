"""Job shops and an open shop with published optima, as households (sources in ``shops``).

Each is asked twice: all promises are kept by the optimum, and it is proved that one unit less is too little.
"""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from service.bench.oracle_encode import KEPT, ONE_SHORT, job_shop, makespan, open_shop, promises
from service.bench.oracle_shops import (
    FT06,
    FT06_OPTIMUM,
    LAWRENCE_OPTIMA,
    TAILLARD_4X4_1,
    TAILLARD_4X4_1_OPTIMUM,
    TUTORIAL,
    TUTORIAL_OPTIMUM,
)
from solver.check import check
from solver.domain.plan import Plan
from solver.domain.week import Problem
from solver.search import solve

SECONDS = 120.0
"""Only a limit: a proof ends the search, and the first tier may use a fifth of it."""
ROOT = Path(__file__).parents[2]


def solved(problem: Problem) -> Plan:
    plan = solve(problem, seconds=SECONDS, seed=1, workers=2)
    assert check(problem, plan) == []
    return plan


@pytest.mark.parametrize(
    ("shop", "rows", "optimum"),
    [
        (job_shop, TUTORIAL, TUTORIAL_OPTIMUM),
        (job_shop, FT06, FT06_OPTIMUM),
        (open_shop, TAILLARD_4X4_1, TAILLARD_4X4_1_OPTIMUM),
    ],
    ids=["tutorial", "ft06", "taillard 4x4 1"],
)
class TestOnTheFiveMinuteGrid:
    def test_fits_the_published_optimum(self, shop: Any, rows: tuple[str, ...], optimum: int) -> None:
        plan = solved(shop(rows, optimum))
        assert promises(plan) == KEPT
        assert makespan(plan) == optimum

    def test_one_unit_less_is_proved_too_little(self, shop: Any, rows: tuple[str, ...], optimum: int) -> None:
        assert promises(solved(shop(rows, optimum - 1))) == ONE_SHORT


@pytest.fixture(scope="module")
def lawrence() -> Any:
    """Every answer of ``one_minute_grid``."""
    command = [sys.executable, "-m", "tests.outside.one_minute_grid", str(SECONDS)]
    ran = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stderr
    return json.loads(ran.stdout)


@pytest.mark.parametrize(("name", "optimum"), LAWRENCE_OPTIMA.items(), ids=LAWRENCE_OPTIMA)
class TestOnTheOneMinuteGrid:
    def test_fits_the_published_optimum(self, lawrence: Any, name: str, optimum: int) -> None:
        answer = lawrence[name][0]
        assert answer["violations"] == []
        assert tuple(answer["promises"]) == KEPT
        assert answer["makespan"] == optimum

    def test_one_unit_less_is_proved_too_little(self, lawrence: Any, name: str, optimum: int) -> None:
        answer = lawrence[name][1]
        assert answer["violations"] == []
        assert tuple(answer["promises"]) == ONE_SHORT
