"""What leans on a nap, and what is left of it if nobody sleeps."""

from __future__ import annotations

import datetime
from typing import Any

import pytest

from solver.domain.activity import Hazard, Lighter
from solver.domain.plan import Plan
from solver.domain.week import Problem
from solver.naps import Fallback, NapLean, leaning_on_naps, nap_is_going
from tests.solver.weeks import ADA, BEN, activity, book, nap, plan, problem, sitting, wish

TODAY = datetime.date(2027, 2, 5)


def a_week(minutes: int = 20, ben: dict[str, Any] | None = None, **more: Any) -> tuple[Problem, Plan]:
    """Ada alone at something from one, when Ben sleeps from one to two."""
    sleeper = BEN.model_copy(update={"naps": (nap("13:00", 60),), **(ben or {})})
    week = problem(
        activity("letters", sitting(minutes), **more),
        wish("letters", children=("ada",)), children=(ADA, sleeper),
    )  # fmt: skip
    return week, plan(week, book(week, "letters", start="13:10", minutes=minutes))


def lean(week: Problem, made: Plan) -> NapLean:
    (found,) = leaning_on_naps(week, made)
    return found


def test_quiet_time_in_its_place_where_that_is_long_enough() -> None:
    """45 minutes of quiet time instead of a nap at this age (common practice, no source)."""
    found = lean(*a_week(45))
    assert (found.booking, found.child, found.fallback) == ("letters.1.1", "ben", Fallback.QUIET)
    assert found.minutes == 45


def test_the_lighter_version_where_it_is_too_long_for_that() -> None:
    found = lean(*a_week(50, lighter=Lighter(does="ten letters", sitting=sitting(10))))
    assert (found.fallback, found.minutes) == (Fallback.LIGHTER, 10)


def test_in_the_evening_where_the_sleeper_goes_to_bed_earlier() -> None:
    assert lean(*a_week(50, ben={"bed": ADA.bed - 60})).fallback is Fallback.EVENING
    assert lean(*a_week(50, ben={"bed": ADA.bed - 45})).fallback is Fallback.LEAVE


def test_else_it_can_wait() -> None:
    assert lean(*a_week(50)).fallback is Fallback.LEAVE


def test_what_is_not_safe_with_the_child_awake_does_not_go_on_beside_quiet_time() -> None:
    """Small parts are barred where a child under three is about (16 CFR 1501)."""
    young = {"birth_month": "2025-01"}
    assert lean(*a_week(20, ben=young)).fallback is Fallback.QUIET
    assert lean(*a_week(20, ben=young, hazards=(Hazard.SMALL_PART,))).fallback is Fallback.LEAVE


def test_a_baby_is_no_one_for_quiet_time() -> None:
    """On the arm where the hands are free enough, else no longer than it can be alone."""
    baby = {"learner": False, "alone_min": 10}
    assert lean(*a_week(20, ben=baby)).fallback is Fallback.BESIDE
    busy = problem(
        activity("letters", sitting(20, 3)), wish("letters", children=("ada",)),
        children=(ADA, BEN.model_copy(update={"naps": (nap("13:00", 60),), **baby})),
    )  # fmt: skip
    made = plan(busy, book(busy, "letters", start="13:10", minutes=20))
    assert lean(busy, made).fallback is Fallback.LEAVE


def test_only_what_is_at_the_time_of_the_nap_leans_on_it() -> None:
    week, _ = a_week()
    before = plan(week, book(week, "letters", start="12:35", minutes=20))
    assert leaning_on_naps(week, before) == ()


def test_an_old_plan_stays_readable_when_its_activity_has_gone() -> None:
    week, made = a_week()
    gone = week.model_copy(update={"activities": ()})
    assert lean(gone, made).fallback is Fallback.LEAVE


@pytest.mark.parametrize(("days_ago", "going"), [((0, 3, 7), True), ((0, 3, 8), False), ((0, 0, 3), False)])
def test_three_failed_naps_in_eight_days(days_ago: tuple[int, ...], going: bool) -> None:
    failed = [TODAY - datetime.timedelta(days=ago) for ago in days_ago]
    assert nap_is_going(failed, TODAY) is going
