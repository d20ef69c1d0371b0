"""The first look: two children, one adult, a dozen activities, and a week in which all of it fits."""

from __future__ import annotations

from itertools import pairwise

import pytest

from solver.check import TIERS, check, costs
from solver.domain.base import DAY_MIN, DAYS
from solver.domain.plan import Plan
from solver.domain.week import Problem, Rank
from solver.search import solve
from tests.solver.demo_weeks import (
    activity_of,
    asleep,
    booked,
    going_on,
    lies_in,
    loose,
    moments,
    on_holder,
    overlap,
    piece,
    problem_of,
    raw,
    sitting_of,
    whole,
)


@pytest.fixture(scope="module")
def small() -> Problem:
    return problem_of(raw("small"))


@pytest.fixture(scope="module")
def plan(small: Problem) -> Plan:
    return solve(small, seconds=10, workers=1)


def test_it_fits(small: Problem, plan: Plan) -> None:
    assert check(small, plan) == []


def test_everything_wished_has_its_place(small: Problem, plan: Plan) -> None:
    assert plan.left_over == ()
    for wish in small.week.wishes:
        assert len(booked(plan, wish.id)) == wish.times, wish.id


def test_each_tier_has_a_value_and_a_bound_that_agree_with_the_costs(small: Problem, plan: Plan) -> None:
    assert [tier.name for tier in plan.tiers] == [
        name for name in TIERS if name not in ("required", "preferred")
    ], "no lost day was asked about"
    for tier in plan.tiers:
        assert tier.value == sum(c.amount for c in plan.costs if c.tier == tier.name)
        assert tier.bound <= tier.value
        assert tier.proved or tier.bound < tier.value
    assert plan.costs == costs(small, plan)


def test_promises_are_proved_kept(plan: Plan) -> None:
    assert plan.tiers[0].name == "promises"
    assert (plan.tiers[0].value, plan.tiers[0].proved) == (0, True)


def test_all_of_it_is_settled_by_the_solver_and_cautions_have_a_source(plan: Plan) -> None:
    assert {b.state for b in plan.bookings} == {"settled"}
    assert any(b.cautions for b in plan.bookings)
    assert all(caution.source for b in plan.bookings for caution in b.cautions)


def test_the_one_adult_has_two_hands(small: Problem, plan: Plan) -> None:
    """What is beside or hands-on takes all of her; only what is laid over it goes on meanwhile."""
    hers = [b for b in booked(plan) if b.alongside is None]
    assert {helper for b in hers for helper in b.helpers} == {"kit"}
    heavy = [b for b in hers if max(a.help for a in b.attends) >= 3]
    assert heavy
    for one in heavy:
        others = [b for b in hers if b.id != one.id and max(a.help for a in b.attends) >= 2]
        assert not [b.id for b in others if overlap(going_on(one), going_on(b))]


def test_nobody_is_asked_to_do_anything_asleep(small: Problem, plan: Plan) -> None:
    for booking in plan.bookings:
        for child in booking.attends:
            naps = asleep(small, child.child)
            assert not [nap for nap in naps if overlap(going_on(booking), nap)], booking.id


def test_alone_with_the_elder_only_while_the_younger_sleeps(small: Problem, plan: Plan) -> None:
    """Fifteen minutes hands-on are longer than Bram plays alone."""
    reading = booked(plan, "reading-fern")
    assert len(reading) == 3
    for one in reading:
        assert lies_in(going_on(one), piece(one.day, "13:05", "14:15"))
        assert not moments(going_on(one)) & loose(small, "bram")


def test_the_day_begins_together(plan: Plan) -> None:
    gathered = booked(plan, "morning-time")
    assert [b.day for b in gathered] == list(DAYS[:5])
    assert all(lies_in(going_on(b), piece(b.day, "08:30", "10:30")) for b in gathered)


def test_dry_things_are_done_in_the_dry(small: Problem, plan: Plan) -> None:
    yard = [b for b in booked(plan) if b.place == "yard" and activity_of(small, b).weather == "dry"]
    rain = [piece(day, "09:00", "12:00") for day in DAYS if any(s.wet and s.on(day) for s in small.week.sky)]
    assert rain
    assert not [b.id for b in yard for wet in rain if overlap(going_on(b), wet)]


def test_prep_keeps_to_its_evenings(small: Problem, plan: Plan) -> None:
    has = {one.evening: one.minutes for one in small.household.limits.prep}
    assert plan.prep
    for evening in {p.evening for p in plan.prep}:
        spent = sum(p.minutes + p.warm_up_min for p in plan.prep if p.evening == evening)
        assert spent <= has[evening]


def test_the_table_is_clear_for_lunch(small: Problem, plan: Plan) -> None:
    table = [
        whole(small, b) for b in booked(plan) if b.place == "table" and b.alongside is None and not b.meal
    ]
    assert not [p for p, q in pairwise(table) if overlap(p, q)]
    (lunch,) = [p for p in small.household.fixed_points if p.id == "lunch"]
    for day in DAYS:
        midnight = day.index * DAY_MIN
        laid = (midnight + lunch.start - 30, midnight + lunch.end)
        assert not [p for p in table if overlap(p, laid)]


def test_nothing_waits_where_there_is_no_room(small: Problem, plan: Plan) -> None:
    for holder in small.household.holders:
        assert max(on_holder(small, plan, holder.id).values(), default=0) <= holder.capacity


def test_mess_stays_within_the_day(small: Problem, plan: Plan) -> None:
    for day in DAYS:
        assert sum(sitting_of(small, b).mess for b in plan.bookings if b.day is day) <= 6


def test_without_the_promise_there_is_none(small: Problem) -> None:
    """What is not wished is not planned, and the tier for it says nothing."""
    document = raw("small")
    week = document["weeks"][0]
    week["wishes"] = [w for w in week["wishes"] if w["activity"] == "P02"]
    problem = problem_of(document)
    plan = solve(problem, seconds=3, workers=1)
    assert {w.rank for w in problem.week.wishes} == {Rank.EXTRA}
    assert [b.wish for b in plan.bookings] == ["pond-songs"]
    assert all(tier.value == 0 for tier in plan.tiers if tier.name == "promises")
