"""Kinds of offers are worked out side by side: none twice, none lost, the same as one after the other."""

from __future__ import annotations

import os

import pytest

from solver.domain.activity import Lighter
from solver.domain.mishap import DayLost, Mending, Mishap, Refused
from solver.domain.plan import Plan
from solver.domain.week import Problem, Rank
from solver.mend import mend
from solver.mend.kinds import Kind
from solver.mend.weekinhand import WeekInHand
from tests.solver import weeks
from tests.solver.small_house import MONDAY, TUESDAY, booked, house

HERE = os.getpid()
SECONDS = 30
LOST = DayLost(day=TUESDAY)
TOO_TIRED = Refused(booking="game.1.1", child="ada", reason="too tired")

Solved = tuple[Plan, bool]


def week() -> tuple[Problem, Plan]:
    """A promise on Tuesday that may go to another day, and a story that may take its place."""
    game = weeks.activity("game", lighter=Lighter(does="half of it", sitting=weeks.sitting(5)))
    problem = house(
        game,
        weeks.wish("game", rank=Rank.PROMISE, lighter_ok=True),
        weeks.activity("story"),
        weeks.activity("song"),
    )
    plan = booked(problem, weeks.book(problem, "game", TUESDAY), weeks.book(problem, "story", MONDAY))
    return problem, plan


def answered(mishap: Mishap, workers: int) -> Mending:
    problem, plan = week()
    return mend(problem, plan, [mishap], seconds=SECONDS, workers=workers)


def shapes(mending: Mending) -> list[tuple[str, int, int]]:
    return [(o.kind, o.changes_bound.value, len(o.plan.bookings)) for o in mending.offers]


@pytest.mark.parametrize("mishap", [LOST, TOO_TIRED], ids=["lost", "refused"])
def test_two_workers_offer_what_one_does(mishap: Mishap) -> None:
    one, two = answered(mishap, 1), answered(mishap, 2)
    assert shapes(one)
    assert shapes(one) == shapes(two)


def test_what_was_ended_from_outside_is_worked_out_here(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = answered(LOST, 2)
    solved = WeekInHand.solved
    ended: list[str] = []

    def end_the_other(self: WeekInHand, kind: Kind, seconds: float) -> Solved:
        if os.getpid() != HERE:
            os._exit(1)
        ended.append(kind.key)
        return solved(self, kind, seconds)

    monkeypatch.setattr(WeekInHand, "solved", end_the_other)
    assert shapes(answered(LOST, 2)) == shapes(whole)
    assert ended[-1] == "fewest-changes"


def test_kinds_that_leave_the_same_ways_are_searched_once(monkeypatch: pytest.MonkeyPatch) -> None:
    problem = house(weeks.activity("story"))
    plan = booked(problem, weeks.book(problem, "story", MONDAY))
    solved = WeekInHand.solved
    asked: list[str] = []

    def note(self: WeekInHand, kind: Kind, seconds: float) -> Solved:
        asked.append(kind.key)
        return solved(self, kind, seconds)

    monkeypatch.setattr(WeekInHand, "solved", note)
    mend(problem, plan, [DayLost(day=MONDAY)], seconds=SECONDS, workers=1)
    assert asked == ["as-it-is"], "nothing can move, and there is nothing lighter"
