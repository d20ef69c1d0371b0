"""Project scheduling with resources and with least and most lags, against published optima.

Sources: Patterson's 110 instances (Management Science 1984) and the UBO sets of RCPSP/max
(Franck, Neumann, Schwindt 2001; names from memory). Optima as listed in the public collection
ptal/kobe-scheduling, optimum.csv; RCPSP/max is solved again below by an independent solver.
"""

from __future__ import annotations

import re

import pytest

from service.bench.oracle_encode import (
    KEPT,
    ONE_SHORT,
    Job,
    Step,
    asked,
    household_problem,
    makespan,
    promises,
    start_of,
)
from service.bench.oracle_projects import (
    J301_1,
    J301_1_OPTIMUM,
    PAT2,
    PAT2_OPTIMUM,
    UBO10_01,
    UBO10_01_ENOUGH,
    UBO10_PSP2,
    UBO10_PSP2_OPTIMUM,
    lagged_project,
    ordered_project,
    table_fits,
)
from service.bench.oracles import Row, answer, catalogue
from solver.check import check
from solver.domain.plan import Plan
from solver.domain.week import Problem
from solver.search import solve

SECONDS = 60.0
"""Only a limit: a proof ends the search."""


def solved(problem: Problem) -> Plan:
    plan = solve(problem, seconds=SECONDS, seed=1, workers=2)
    assert check(problem, plan) == []
    return plan


def pat2(finish: int) -> Problem:
    """Patterson's second instance: five activities, three resources."""
    return ordered_project(PAT2, finish)


def test_pat2_fits_its_published_optimum() -> None:
    plan = solved(pat2(PAT2_OPTIMUM))
    assert promises(plan) == KEPT
    assert makespan(plan) == PAT2_OPTIMUM


def test_pat2_proves_that_one_unit_less_is_too_little() -> None:
    """Two are left over: the third resource keeps 3, 4 and 5 apart, and 6 goes only after 3 and 5."""
    assert promises(solved(pat2(PAT2_OPTIMUM - 1))) == (2, 2, True)


UBO_OPTIMUM = UBO10_PSP2_OPTIMUM
UBO_UNITS, UBO_DEMANDS, UBO_LAGS = UBO10_PSP2.units, UBO10_PSP2.demands, UBO10_PSP2.lags

FOREVER = 200
HEAD = 2
"""Units before time 0 in which the marker of job ``two`` finds room."""
UBO_AT = {
    1: ("one", 0), 5: ("one", 1), 8: ("eight", 1), 2: ("two", 1), 6: ("two", 2), 10: ("two", 4),
    3: ("three", 0), 7: ("three", 2), 4: ("four", 0), 9: ("four", 1),
}  # fmt: skip


def ubo_step(number: int, least: int = 0, most: int | None = None, holds: str | None = None) -> Step:
    names = ("r1", "r2", "r3", "r4", "r5")
    uses = dict(zip(names, UBO_DEMANDS[number], strict=True))
    return Step(UBO_UNITS[number], uses, least, most, holds)


def ubo10_psp2(finish: int) -> Problem:
    """RCPSP/max ubo10 psp2. Steps without resources are markers that carry a lag.

    Two lags join different jobs; each is a tray with one place. *First tray*: taken until 2 starts,
    and for good once 5 has ended, so 2 starts by the end of 5 (3 units after its start). *Second tray*:
    taken from the end of 3 until 3 units before 7, then in the last unit before 10 and for good once 10
    has ended. The first hold (11 units or more) cannot slip in between the two others (5 units), so 7 starts
    at most 2 units after 10.
    """
    jobs = (
        Job("one", (ubo_step(1, least=5), ubo_step(5, least=FOREVER, holds="first")), earliest=HEAD),
        Job("eight", (Step(1), ubo_step(8)), after=("one",), earliest=HEAD),
        Job(
            "two",
            (
                Step(1, least=1, holds="first"),
                ubo_step(2, least=4),
                ubo_step(6),
                Step(1, least=1, most=1, holds="second"),
                ubo_step(10, least=FOREVER, holds="second"),
            ),
        ),
        Job(
            "three",
            (ubo_step(3, least=11, most=13, holds="second"), Step(3, most=0), ubo_step(7)),
            earliest=HEAD,
        ),
        Job("four", (ubo_step(4, least=12, most=15), ubo_step(9)), earliest=HEAD),
    )
    capacity = {f"r{number}": 10 for number in range(1, 6)}
    return household_problem(jobs, capacity, HEAD + finish, trays={"first": 1, "second": 1})


def ubo_starts(plan: Plan) -> dict[int, int]:
    """Starts of the published activities, from time 0."""
    return {number: start_of(plan, *where) - HEAD for number, where in UBO_AT.items()}


def test_ubo10_psp2_fits_its_published_optimum() -> None:
    plan = solved(ubo10_psp2(UBO_OPTIMUM))
    assert promises(plan) == KEPT
    assert makespan(plan) - HEAD == UBO_OPTIMUM


def test_ubo10_psp2_keeps_every_published_lag_and_resource() -> None:
    """Read from the plan against the table as typed in, not against our encoding."""
    starts = ubo_starts(solved(ubo10_psp2(UBO_OPTIMUM)))
    assert min(starts.values()) >= 0
    for first, second, lag in UBO_LAGS:
        assert starts[second] >= starts[first] + lag
    for time in range(UBO_OPTIMUM):
        running = [n for n, start in starts.items() if start <= time < start + UBO_UNITS[n]]
        for resource in range(5):
            assert sum(UBO_DEMANDS[n][resource] for n in running) <= 10


def test_ubo10_psp2_proves_that_one_unit_less_is_too_little() -> None:
    assert promises(solved(ubo10_psp2(UBO_OPTIMUM - 1))) == ONE_SHORT


@pytest.mark.parametrize(("finish", "kept"), [(UBO_OPTIMUM, True), (UBO_OPTIMUM - 1, False)])
def test_both_encodings_ask_the_published_question(finish: int, kept: bool) -> None:
    """The table itself, put to HiGHS, and the encoding that fits any lags: a yes at 45, a no at 44."""
    assert table_fits(UBO10_PSP2, finish) is kept
    value, bound, _ = promises(solved(lagged_project(UBO10_PSP2, finish)))
    assert (value == 0) is kept
    assert (bound == 0) is kept


def test_j301_1_fits_its_published_optimum_and_not_one_unit_less() -> None:
    """The critical path alone takes 38, so that the resources decide."""
    plan = solved(ordered_project(J301_1, J301_1_OPTIMUM))
    assert promises(plan) == KEPT
    assert makespan(plan) == J301_1_OPTIMUM
    value, bound, proved = promises(solved(ordered_project(J301_1, J301_1_OPTIMUM - 1)))
    assert proved
    assert value == bound >= 1


@pytest.fixture(scope="module")
def row() -> Row:
    """What the bench says of UBO10_01."""
    return answer(catalogue()["UBO10_01"], SECONDS, 2)


class TestAProjectWithoutASolution:
    """UBO10_01: no lags contradict one another, only lags and resources together do."""

    def test_it_is_proved_infeasible(self, row: Row) -> None:
        assert row.proved, row
        assert row.ours == "infeasible"

    def test_the_conflict_is_smallest_and_infeasible_when_solved_again(self, row: Row) -> None:
        numbers = [int(n) for n in re.findall(r"\d+", row.conflict.split("cannot")[0])]
        assert not table_fits(UBO10_01.only(numbers), UBO10_01_ENOUGH // 2)
        assert not asked(lagged_project(UBO10_01.only(numbers), UBO10_01_ENOUGH), SECONDS, 2).kept
        for left_out in numbers:
            rest = UBO10_01.only([n for n in numbers if n != left_out])
            assert asked(lagged_project(rest, UBO10_01_ENOUGH), SECONDS, 2).kept

    def test_it_names_what_joins_against_what_keeps_apart(self, row: Row) -> None:
        """Trays and order hold them together, tools keep them apart: without either they would fit."""
        assert {"holding", "tools"} <= set(re.findall(r"[a-z_]+", row.conflict.split("rules:")[1]))
