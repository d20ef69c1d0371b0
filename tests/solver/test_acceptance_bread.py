"""Bread day: rolls from scratch in household A's grain week, wanted once.

Each day is asked by itself, on a copy of the week with nothing else in it. The times are those of a plain
count by the minute: laying out 8 in Moss's nap from 9:15, mixing 25, first rise 60 to 150, shaping 15, second
rise 30 to 60, oven 20, cooling 25; rounded up to five minutes. Rising and baking times: common practice, no
source; the household is invented.
"""

from __future__ import annotations

from functools import cache
from itertools import pairwise
from typing import Any

import pytest

from solver.check import check
from solver.domain.base import DAYS, Day, Help, clock_text
from solver.domain.plan import Booking, LeftOver, Plan
from solver.domain.week import Problem
from solver.search import solve
from tests.solver.demo_weeks import (
    activity_of,
    booked,
    going_on,
    lies_in,
    moments,
    on_holder,
    only,
    overlap,
    piece,
    problem_of,
    raw,
    sitting_of,
    whole,
    wish_of,
)

MONDAY, TUESDAY, WEDNESDAY, THURSDAY, FRIDAY, SATURDAY, SUNDAY = DAYS
MIX, SHAPE, BAKE, EAT = range(4)


def bread(day: Day, *meals: str, alone: bool = False, **changes: Any) -> Problem:
    """The grain week with nothing but rolls on one day; ``alone``: the other adult is away all week."""
    wish = wish_of(
        "bread-week", "bread-rolls", days=[day], meals=list(meals or ("lunch", "snack")), **changes
    )
    return only("bread-week", wish, **({"hours": {"theo": []}} if alone else {}))


@cache
def baked(day: Day, *meals: str, alone: bool = False) -> Plan:
    return solve(bread(day, *meals, alone=alone), seconds=5, workers=1)


def steps(plan: Plan) -> list[Booking]:
    found = sorted(plan.bookings, key=lambda b: b.sitting)
    assert [b.sitting for b in found] == [MIX, SHAPE, BAKE, EAT]
    return found


def starts(plan: Plan) -> list[str]:
    return [clock_text(b.start) for b in steps(plan)]


def asked(day: Day, *times: str, meals: tuple[str, ...] = ("lunch", "snack")) -> Plan:
    """The four steps at just these times, or not at all."""
    minutes = (25, 15, 20, 10)
    hours = [{"start": t, "end": clock_text(at(t) + m)} for t, m in zip(times, minutes, strict=True)]
    return solve(bread(day, *meals, hours=hours), seconds=5, workers=1)


def possible(day: Day, *times: str, meals: tuple[str, ...] = ("lunch", "snack")) -> bool:
    return bool(asked(day, *times, meals=meals).bookings)


def at(time: str) -> int:
    hours, minutes = time.split(":")
    return int(hours) * 60 + int(minutes)


@pytest.mark.parametrize("day", [WEDNESDAY, THURSDAY])
class TestWednesdayOrThursday:
    def test_it_is_eaten_at_lunch(self, day: Day) -> None:
        eaten = steps(baked(day, "lunch"))[EAT]
        assert eaten.meal == "lunch"
        assert lies_in(going_on(eaten), piece(day, "12:00", "12:45"))

    def test_mixed_in_the_nap_it_is_on_the_table_at_twenty_past_twelve(self, day: Day) -> None:
        assert possible(day, "09:25", "10:50", "11:35", "12:20", meals=("lunch",))

    def test_begun_before_moss_sleeps_it_is_refused_for_her_sake(self, day: Day) -> None:
        """Flour on the floor while she crawls; a high chair is not taken for a cot."""
        times = ("08:50", "10:15", "11:00", "12:00")
        (left,) = asked(day, *times, meals=("lunch",)).left_over
        assert "safety" in left.reason.rules
        assert "Moss is awake" in left.reason.sentence

    def test_no_earlier_than_the_minutes_add_up_to(self, day: Day) -> None:
        assert not possible(day, "09:25", "10:45", "11:35", "12:20", meals=("lunch",))
        assert not possible(day, "09:25", "10:50", "11:30", "12:20", meals=("lunch",))
        assert not possible(day, "09:25", "10:50", "11:35", "12:15", meals=("lunch",))

    def test_it_needs_nobody_but_her(self, day: Day) -> None:
        plan = baked(day, "lunch", alone=True)
        assert {helper for b in steps(plan) for helper in b.helpers} == {"juno"}


class TestMonday:
    def test_never_for_lunch(self) -> None:
        """Out from 10:10 to 11:35: shaped on coming home, it is cool at 13:05."""
        assert baked(MONDAY, "lunch").bookings == ()

    def test_for_the_snack_it_is_shaped_on_coming_home(self) -> None:
        _, shape, oven, eat = starts(baked(MONDAY, "snack"))
        assert "11:35" <= shape <= "12:20"
        assert oven >= "12:20"
        assert eat == "15:10"

    def test_just_then_and_not_before(self) -> None:
        assert possible(MONDAY, "09:25", "11:35", "12:20", "15:10")
        assert not possible(MONDAY, "09:25", "11:30", "12:20", "15:10")


class TestTuesday:
    def test_for_lunch_the_other_adult_shapes_it(self) -> None:
        steps_of_it = steps(baked(TUESDAY, "lunch"))
        assert steps_of_it[SHAPE].helpers == ("theo",)
        assert steps_of_it[EAT].meal == "lunch-tuesday"
        oven = steps_of_it[BAKE]
        assert oven.helpers == ("theo",) or oven.start >= at("12:05"), "she is back at 12:05"

    def test_alone_it_is_not_ready_for_lunch(self) -> None:
        assert baked(TUESDAY, "lunch", alone=True).bookings == ()

    def test_alone_it_is_a_snack(self) -> None:
        _, shape, oven, eat = starts(baked(TUESDAY, "snack", alone=True))
        assert "12:05" <= shape <= "12:20", "home again, at the far end of the first rise"
        assert oven >= "12:50"
        assert eat == "15:10"
        assert possible(TUESDAY, "09:25", "12:05", "12:50", "15:10")


class TestFriday:
    @pytest.mark.parametrize("meal", ["lunch", "snack"])
    def test_never_in_the_morning(self, meal: str) -> None:
        assert baked(FRIDAY, meal).bookings == ()

    def test_not_even_if_mess_were_welcome(self) -> None:
        """Out from 9:05 to 11:55; mixing needs 45 minutes with laying out and clearing up."""
        morning = [{"start": "07:00", "end": "11:55"}, {"start": "12:00", "end": "16:00"}]
        wish = wish_of("bread-week", "bread-rolls", days=["friday"], hours=morning, meals=["lunch"])
        plan = solve(only("bread-week", wish, limits={"mess_hours": []}), seconds=5, workers=1)
        assert plan.bookings == ()


ALWAYS = [
    (MONDAY, "snack", False),
    (TUESDAY, "lunch", False),
    (TUESDAY, "snack", True),
    (WEDNESDAY, "lunch", False),
    (WEDNESDAY, "lunch", True),
    (THURSDAY, "lunch", False),
]


@pytest.mark.parametrize(("day", "meal", "alone"), ALWAYS)
class TestWheneverItIs:
    def test_the_checker_agrees(self, day: Day, meal: str, alone: bool) -> None:
        assert check(bread(day, meal, alone=alone), baked(day, meal, alone=alone)) == []

    def test_no_rise_is_cut_short_or_runs_past_its_longest(self, day: Day, meal: str, alone: bool) -> None:
        rolls = steps(baked(day, meal, alone=alone))
        waits = activity_of(bread(day), rolls[0]).waits
        assert [wait.most_min for wait in waits] == [150, 60, 1440]
        for before, after, wait in zip(rolls, rolls[1:], waits, strict=False):
            between = going_on(after)[0] - going_on(before)[1]
            assert wait.least_min <= between <= (wait.most_min or 0)

    def test_her_hands_are_wanted_in_three_bits(self, day: Day, meal: str, alone: bool) -> None:
        problem, plan = bread(day, meal, alone=alone), baked(day, meal, alone=alone)
        rolls = steps(plan)
        told = [(b.setup_min, b.minutes, b.cleanup_min) for b in rolls[:3]]
        assert told == [(8, 25, 12), (0, 15, 0), (0, 20, 0)]
        bits = [whole(problem, b) for b in rolls[:3]]
        assert all(after[0] - before[1] >= 30 for before, after in pairwise(bits))
        assert max(a.help for a in rolls[MIX].attends) == Help.HANDS_ON

    def test_what_rises_and_where_is_told(self, day: Day, meal: str, alone: bool) -> None:
        told = [(one.kind, one.holder) for one in baked(day, meal, alone=alone).waiting]
        assert told == [("rise", "counter"), ("rise", "counter"), ("cool", "rack")]

    def test_the_oven_is_the_adults(self, day: Day, meal: str, alone: bool) -> None:
        oven = steps(baked(day, meal, alone=alone))[BAKE]
        assert oven.attends == ()
        assert len(oven.helpers) == 1

    def test_raw_dough_is_warned_of(self, day: Day, meal: str, alone: bool) -> None:
        """Raw flour is not for tasting: US CDC and FDA."""
        mixing = steps(baked(day, meal, alone=alone))[MIX]
        assert any("raw" in caution.text.lower() for caution in mixing.cautions)


IMPOSSIBLE = [
    (MONDAY, "lunch", False, "story hour"),
    (TUESDAY, "lunch", True, "check-up"),
    (FRIDAY, "lunch", False, "mess"),
    (FRIDAY, "snack", False, "mess"),
    (SATURDAY, "lunch", False, "mess"),
]


@pytest.mark.parametrize(("day", "meal", "alone", "named"), IMPOSSIBLE)
class TestItNeverSaysOnlyNo:
    def left(self, day: Day, meal: str, alone: bool) -> LeftOver:
        plan = baked(day, meal, alone=alone)
        (one,) = plan.left_over
        assert (plan.tiers[0].value, plan.tiers[0].bound) == (1, 1), "proved, not given up"
        return one

    def test_it_says_what_is_in_the_way(self, day: Day, meal: str, alone: bool, named: str) -> None:
        assert named in self.left(day, meal, alone).reason.sentence.lower()

    def test_it_says_what_would_free_it(self, day: Day, meal: str, alone: bool, named: str) -> None:
        assert self.left(day, meal, alone).reason.freed_by


def two_batches(**week: Any) -> Problem:
    """Two batches of rolls on Wednesday, in a household that minds no mess."""
    free = {"big_mess_a_day": 9, "mess_sum_a_day": 40, "mess_sum_a_week": 99, "mess_hours": []}
    wishes = [
        wish_of("bread-week", "bread-rolls", id=name, days=["wednesday"], meals=["lunch", "snack"])
        for name in ("one", "two")
    ]
    return only("bread-week", *wishes, limits=free | {"theme_things_a_day": 9, "money_a_week": 99}, **week)


class TestTwoBatches:
    def test_one_oven_bakes_them_one_after_the_other(self) -> None:
        problem = two_batches()
        plan = solve(problem, seconds=10, workers=1)
        assert check(problem, plan) == []
        ovens = [whole(problem, b) for b in booked(plan) if b.sitting == BAKE]
        assert len(ovens) == 2, plan.left_over
        assert not overlap(*ovens)

    def test_with_the_oven_kept_busy_one_is_held_over(self) -> None:
        """The oven for both batches only from 11:35 to 12:10: twenty minutes fit there once."""
        problem = two_batches()
        narrow = [
            {"start": "08:35", "end": "11:25"},
            {"start": "11:35", "end": "12:10"},
            {"start": "14:30", "end": "15:00"},
        ]
        hours = [wish.model_dump(mode="json") | {"hours": narrow} for wish in problem.week.wishes]
        limits = problem.household.limits.model_dump(mode="json")
        plan = solve(only("bread-week", *hours, limits=limits), seconds=10, workers=1)
        assert plan.tiers[0].value == plan.tiers[0].bound == 1
        assert len([b for b in plan.bookings if b.sitting == BAKE]) == 1


@pytest.fixture(scope="module")
def week() -> Problem:
    return problem_of(raw("bread-week"))


@pytest.fixture(scope="module")
def plan(week: Problem) -> Plan:
    return solve(week, seconds=30, workers=1)


class TestTheWholeWeek:
    def test_it_fits_and_the_bread_is_kept(self, week: Problem, plan: Plan) -> None:
        assert check(week, plan) == []
        assert (plan.tiers[0].value, plan.tiers[0].proved) == (0, True)
        rolls = booked(plan, "bread-rolls")
        assert [b.sitting for b in rolls] == [MIX, SHAPE, BAKE, EAT]

    def test_it_is_on_a_day_that_can_have_it(self, plan: Plan) -> None:
        rolls = booked(plan, "bread-rolls")
        day, shaper, meal = rolls[0].day, rolls[SHAPE].helpers, rolls[EAT].meal
        if day is MONDAY:
            assert meal == "snack"
        elif day is TUESDAY and meal == "lunch-tuesday":
            assert shaper == ("theo",)
        else:
            assert day in (TUESDAY, WEDNESDAY, THURSDAY)

    def test_no_rise_runs_past_its_longest_beside_all_the_rest(self, week: Problem, plan: Plan) -> None:
        rolls = booked(plan, "bread-rolls")
        waits = activity_of(week, rolls[0]).waits
        for before, after, wait in zip(rolls, rolls[1:], waits, strict=False):
            between = going_on(after)[0] - going_on(before)[1]
            assert wait.least_min <= between <= (wait.most_min or 0)

    def test_table_counter_and_oven_are_never_double_booked(self, week: Problem, plan: Plan) -> None:
        for place in ("table", "kitchen"):
            there = [b for b in booked(plan) if b.place == place and not (b.alongside or b.meal)]
            pieces = [whole(week, b) for b in there]
            assert not [p for p, q in pairwise(pieces) if overlap(p, q)]
        ovens = [b for b in plan.bookings if "oven" in {n.material for n in sitting_of(week, b).needs}]
        assert ovens
        taken = [at for b in ovens for at in moments(whole(week, b))]
        assert len(taken) == len(set(taken))
        for holder in week.household.holders:
            assert max(on_holder(week, plan, holder.id).values(), default=0) <= holder.capacity

    def test_between_the_bits_the_children_are_free_for_other_things(self, plan: Plan) -> None:
        rolls = booked(plan, "bread-rolls")
        rising = (going_on(rolls[MIX])[1], going_on(rolls[EAT])[0])
        meanwhile = [b for b in booked(plan) if b.wish != "bread-rolls" and overlap(going_on(b), rising)]
        assert {a.child for b in meanwhile for a in b.attends} == {"wren", "pip"}
