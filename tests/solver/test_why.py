"""Why not, asked of a stored plan: what the search had no time for is found out when somebody asks."""

from __future__ import annotations

import pytest

from service.bench import make
from solver.domain.plan import LeftOver, Plan, Reason
from solver.domain.week import Problem
from solver.search import solve
from solver.why import why
from solver.words import NOT_ASKED


@pytest.fixture(scope="module")
def week() -> tuple[Problem, Plan]:
    problem = make("S", 1).problem()
    return problem, solve(problem, seconds=1, workers=1)


def in_the_way(plan: Plan) -> list[LeftOver]:
    """What is kept out by rules between it and the rest: told after asking."""
    found = [one for one in plan.left_over if one.reason.sentence.startswith("It does not fit beside")]
    assert found
    return found


def test_a_reason_that_was_found_is_told_again(week: tuple[Problem, Plan]) -> None:
    problem, plan = week
    for one in in_the_way(plan)[::3]:
        assert why(problem, plan, f"{one.wish}.{one.go + 1}").reasons == (one.reason,)


def test_one_that_there_was_no_time_for_is_found_out_now(week: tuple[Problem, Plan]) -> None:
    problem, plan = week
    open_yet = tuple(
        one.model_copy(update={"reason": Reason(ids=one.reason.ids, sentence=NOT_ASKED)})
        for one in plan.left_over
    )
    stored = plan.model_copy(update={"left_over": open_yet})
    for one in {one.wish: one for one in in_the_way(plan)}.values():
        (found,) = why(problem, stored, f"{one.wish}.{one.go + 1}").reasons
        assert found == one.reason
