"""Which promise hangs on which day, against trying every mend of small weeks.

The method is plain enumeration with an exact packing of one child's and one adult's day, which shares no rule
with the solver (``service.bench.minimal``); the figures are drawn, there is no published table of these.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from service.bench.minimal import Case, Everything, case_of
from solver.domain.base import DAY_MIN, Day, Moment
from solver.domain.mishap import DayLost
from solver.domain.week import Rank
from solver.resilience import resilience

SEEDS = range(2000, 2016)


def least_broken(case: Case, day: Day) -> int:
    """Promises that any mend leaves out with a day lost from its morning on."""
    morning = Moment(day=day, time=min(child.wake for child in case.problem.household.children))
    lost = replace(case, mishap=DayLost(day=day, start=0, end=DAY_MIN), day=day, now=morning)
    least = Everything(lost).least()
    assert least is not None
    return least[0]


@pytest.mark.parametrize("seed", SEEDS)
def test_no_mend_saves_what_hangs(seed: int) -> None:
    case = case_of(seed)
    promised = {wish.id for wish in case.problem.week.wishes if wish.rank is Rank.PROMISE}
    unkept = sum(left.wish in promised for left in case.plan.left_over)
    found = resilience(case.problem, case.plan)
    for spare in found.spares:
        hanging = [hang for hang in found.hangs if hang.day is spare.day]
        assert all(hang.proved for hang in hanging)
        broken = least_broken(case, spare.day) - unkept
        assert bool(hanging) == (broken > 0)
        assert len(hanging) <= broken <= 2 * len(hanging)


def test_the_cases_are_not_all_easy() -> None:
    found = [resilience(case.problem, case.plan) for case in map(case_of, SEEDS)]
    assert sum(bool(one.hangs) for one in found) >= 3
    assert sum(len(one.spares) > len({h.day for h in one.hangs}) for one in found) >= 3
