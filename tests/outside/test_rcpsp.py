"""Project scheduling with resources and with least and most lags, against published optima.

Sources: Patterson's 110 instances (Management Science 1984) and the UBO sets of RCPSP/max
(Franck, Neumann, Schwindt 2001; names from memory). Optima as listed in the public collection
ptal/kobe-scheduling, optimum.csv; the larger one is solved again below by an independent solver.
"""

from __future__ import annotations

import highspy
import pytest

from solver.check import check
from solver.domain.plan import Plan
from solver.domain.week import Problem
from solver.search import solve
from tests.outside.encode import (
    KEPT,
    ONE_SHORT,
    Job,
    Step,
    household_problem,
    makespan,
    promises,
    start_of,
)

SECONDS = 60.0
"""Only a limit: a proof ends the search."""


def solved(problem: Problem) -> Plan:
    plan = solve(problem, seconds=SECONDS, seed=1, workers=2)
    assert check(problem, plan) == []
    return plan


PAT2_CAPACITY = {"r1": 5, "r2": 5, "r3": 3}
PAT2 = {2: (1, (2, 2, 1)), 3: (2, (0, 2, 1)), 4: (2, (3, 3, 3)), 5: (3, (2, 1, 3)), 6: (2, (1, 1, 0))}
PAT2_BEFORE = {4: (2,), 5: (2,), 6: (3, 5)}
PAT2_OPTIMUM = 7


def pat2(finish: int) -> Problem:
    """Patterson's second instance: five activities, three resources."""
    jobs = tuple(
        Job(
            f"a{number}",
            (Step(units, dict(zip(PAT2_CAPACITY, demand, strict=True))),),
            after=tuple(f"a{first}" for first in PAT2_BEFORE.get(number, ())),
        )
        for number, (units, demand) in PAT2.items()
    )
    return household_problem(jobs, PAT2_CAPACITY, finish)


def test_pat2_fits_its_published_optimum() -> None:
    plan = solved(pat2(PAT2_OPTIMUM))
    assert promises(plan) == KEPT
    assert makespan(plan) == PAT2_OPTIMUM


def test_pat2_proves_that_one_unit_less_is_too_little() -> None:
    """Two are left over: the third resource keeps 3, 4 and 5 apart, and 6 goes only after 3 and 5."""
    assert promises(solved(pat2(PAT2_OPTIMUM - 1))) == (2, 2, True)


UBO_OPTIMUM = 45
UBO_UNITS = {1: 4, 2: 4, 3: 10, 4: 10, 5: 3, 6: 1, 7: 8, 8: 10, 9: 9, 10: 5}
UBO_DEMANDS = {
    1: (4, 3, 7, 7, 2),
    2: (1, 9, 6, 4, 1),
    3: (2, 0, 0, 4, 2),
    4: (0, 7, 4, 7, 10),
    5: (6, 6, 3, 6, 6),
    6: (10, 1, 4, 7, 10),
    7: (9, 0, 10, 4, 6),
    8: (4, 0, 0, 0, 0),
    9: (0, 8, 0, 0, 0),
    10: (4, 1, 6, 9, 6),
}
UBO_LAGS = (
    (1, 5, 9),
    (2, 5, -3),
    (2, 6, 8),
    (3, 7, 24),
    (7, 3, -26),
    (4, 9, 22),
    (9, 4, -25),
    (5, 8, 4),
    (6, 10, 3),
    (7, 10, -2),
)
"""From start to start, as published, without the two dummies; (i, j, -m): i starts at most m after j."""

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
    return household_problem(jobs, capacity, HEAD + finish, trays=("first", "second"))


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
def test_the_encoding_asks_the_published_question(finish: int, kept: bool) -> None:
    """The table itself, put to HiGHS as a time-indexed programme: a yes at 45, a no at 44."""
    assert table_fits(finish) is kept


def table_fits(finish: int) -> bool:
    """Whether the published table can end by ``finish``, by an independent solver (HiGHS)."""
    model = highspy.Highs()
    model.setOptionValue("output_flag", False)
    at = {n: {t: model.addBinary() for t in range(finish - units + 1)} for n, units in UBO_UNITS.items()}
    for choices in at.values():
        model.addConstr(sum(choices.values()) == 1)
    start = {n: sum(t * chosen for t, chosen in choices.items()) for n, choices in at.items()}
    for first, second, lag in UBO_LAGS:
        model.addConstr(start[second] - start[first] >= lag)
    for time in range(finish):
        for resource in range(5):
            busy = [
                UBO_DEMANDS[n][resource] * chosen
                for n, choices in at.items()
                for t, chosen in choices.items()
                if t <= time < t + UBO_UNITS[n] and UBO_DEMANDS[n][resource]
            ]
            if busy:
                model.addConstr(sum(busy) <= 10)
    model.run()
    return bool(model.getModelStatus() == highspy.HighsModelStatus.kOptimal)
