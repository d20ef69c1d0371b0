"""Every named cost, recomputed from a plan: exact amounts, argued in the comments."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from typing import Any

import pytest

from solver.check import COSTS, TIERS, costs
from solver.domain.activity import (
    Alongside,
    AreaTarget,
    Focus,
    Lighter,
    Meal,
    Part,
    Together,
    Version,
    Wait,
    WaitKind,
)
from solver.domain.base import Window
from solver.domain.plan import Plan
from solver.domain.week import Problem
from tests.solver.test_check_rules import contract_keys
from tests.solver.weeks import (
    ADA,
    BEN,
    FRIDAY,
    MIA,
    MONDAY,
    STRETCHES,
    TUESDAY,
    WEDNESDAY,
    activity,
    adult,
    book,
    child,
    limits,
    plan,
    point,
    problem,
    sitting,
    stretch,
    wish,
)

Built = tuple[Problem, Plan]
Case = tuple[str, int, Callable[[], Built]]
CASES: list[Case] = []


def cost(key: str, amount: int) -> Callable[[Callable[[], Built]], Callable[[], Built]]:
    """Enter a week under a cost, with what that cost must add up to."""

    def enter(build: Callable[[], Built]) -> Callable[[], Built]:
        CASES.append((key, amount, build))
        return build

    return enter


def amounts(problem: Problem, plan: Plan) -> Counter[str]:
    """The sum of each cost."""
    found: Counter[str] = Counter()
    for one in costs(problem, plan):
        found[one.key] += one.amount
    return found


# Left over -------------------------------------------------------------------------------------------


def _one_promise(asked: str) -> Built:
    week = problem(activity("pond"), wish("pond", rank="promise"), loss_proof=asked)
    return week, plan(week, book(week, "pond"), spares=())


@cost("hangs", 1)
def required_to_stand_a_lost_day_and_without_another_place() -> Built:
    return _one_promise("require")


@cost("may_hang", 1)
def preferred_to_stand_a_lost_day_and_without_another_place() -> Built:
    return _one_promise("prefer")


@cost("hangs", 0)
def nobody_asked_what_a_lost_day_would_do() -> Built:
    return _one_promise("off")


@cost("promise", 2)
def three_times_promised_and_done_once() -> Built:
    week = problem(activity("pond"), wish("pond", rank="promise", times=3))
    return week, plan(week, book(week, "pond"))


@cost("promise", 1)
def promised_and_begun() -> Built:
    # The second sitting is carried on into next week: the promise is not wholly kept.
    waits = (Wait(kind=WaitKind.GROW, least_min=60),)
    cress = activity("cress", sitting(), sitting(), waits=waits)
    week = problem(cress, wish("cress", rank="promise", may_carry_on=True))
    return week, plan(week, book(week, "cress"))


@cost("promise", 0)
def promised_and_done_lighter() -> Built:
    light = Lighter(does="less of it", sitting=sitting(5))
    week = problem(activity("pond", lighter=light), wish("pond", rank="promise", lighter_ok=True))
    return week, plan(week, book(week, "pond", lighter=True))


@cost("promise", 3)
def promised_to_each_child_twice() -> Built:
    # Two goes for each of two children, one of the four is there.
    week = problem(activity("walk", together=Together.APART), wish("walk", rank="promise", times=2))
    return week, plan(week, book(week, "walk", children=("ada",)))


@cost("staple", 4)
def a_daily_story_on_one_day() -> Built:
    week = problem(activity("story"), wish("story", rank="staple", times=5))
    return week, plan(week, book(week, "story"))


# Outdoors --------------------------------------------------------------------------------------------


def _outdoors(*starts: str, energy: int = 3, **changes: Any) -> Built:
    dig = activity("dig", sitting(places=("yard",)), energy=energy)
    week = problem(dig, wish("dig", times=4, most_a_day=4), teaching_days=(MONDAY,), **changes)
    return week, plan(week, *(book(week, "dig", start=start, go=go) for go, start in enumerate(starts)))


@cost("outdoors", 2)
def never_outdoors() -> Built:
    return _outdoors()


@cost("outdoors", 1)
def twice_in_the_morning_is_one_half() -> Built:
    return _outdoors("09:00", "11:55")


@cost("outdoors", 0)
def morning_and_noon() -> Built:
    return _outdoors("09:00", "12:00")


@cost("outdoors", 1)
def sitting_still_outdoors_is_no_going_out() -> Built:
    return _outdoors("09:00", energy=2, limits=limits(outdoor_times_a_day=1))


@cost("outdoors", 0)
def once_is_enough_where_once_is_wished() -> Built:
    return _outdoors("09:00", limits=limits(outdoor_times_a_day=1))


@cost("outdoors", 1)
def a_fixed_point_outdoors_counts() -> Built:
    return _outdoors(fixed_points=(point("playground", "15:00", "16:00", outdoors=True),))


# Worth -----------------------------------------------------------------------------------------------


@cost("worth", 2 * 12 * 7)
def an_extra_of_two_sittings_left_out() -> Built:
    waits = (Wait(kind=WaitKind.DRY, least_min=60),)
    week = problem(activity("clay", sitting(), sitting(), waits=waits), wish("clay", worth=7))
    return week, plan(week)


@cost("worth", 12 * 7)
def an_extra_half_done() -> Built:
    waits = (Wait(kind=WaitKind.DRY, least_min=60),)
    clay = activity("clay", sitting(), sitting(), waits=waits)
    week = problem(clay, wish("clay", worth=7, may_carry_on=True))
    return week, plan(week, book(week, "clay"))


@cost("worth", 0)
def a_promise_left_out_is_no_matter_of_worth() -> Built:
    week = problem(activity("pond"), wish("pond", rank="promise", worth=7))
    return week, plan(week)


@cost("worth", 5 * 4)
def a_lighter_version_of_two_sittings() -> Built:
    waits = (Wait(kind=WaitKind.DRY, least_min=60),)
    light = Lighter(does="less of it", sitting=sitting(5))
    clay = activity("clay", sitting(), sitting(), waits=waits, lighter=light)
    week = problem(clay, wish("clay", worth=4, lighter_ok=True))
    return week, plan(week, book(week, "clay", lighter=True))


@cost("worth", 12 * 5 // 2)
def one_child_of_two() -> Built:
    week = problem(activity("game"), wish("game", may_split=True))
    return week, plan(week, book(week, "game", children=("ada",)))


@cost("worth", 12 * 5 * 1 // 3)
def a_promise_without_one_child_of_three() -> Built:
    third = child("Dora", "2023-02")
    week = problem(activity("game"), wish("game", rank="promise", may_split=True), children=(ADA, BEN, third))
    return week, plan(week, book(week, "game", children=("ada", "ben")))


# Balance and fairness --------------------------------------------------------------------------------


def _areas(**target: Any) -> dict[str, Any]:
    return {"areas": (AreaTarget(id="numbers", name="Numbers", **target),)}


@cost("balance", 6 * (2 + 3))
def too_few_occasions() -> Built:
    # Three wished for each; Ada has one, Ben none.
    sums = activity("sums", areas=("numbers",))
    week = problem(sums, wish("sums", children=("ada",)), house=_areas(least_times=3))
    return week, plan(week, book(week, "sums"))


@cost("balance", 6)
def too_many_with_the_weeks_before() -> Built:
    # Two before and one now make three for Ada, of at most two; Ben has one.
    sums = activity("sums", areas=("numbers",))
    week = problem(sums, house=_areas(most_times=2), times_before={"ada": {"numbers": 2}})
    return week, plan(week, book(week, "sums"))


@cost("fairness", 3 * (8 - 5))
def ben_gives_up_more() -> Built:
    # What is left out was worth 5 to both and 3 to Ben alone.
    week = problem(
        activity("game"), activity("song"), wish("game", worth=5), wish("song", worth=3, children=("ben",))
    )
    return week, plan(week)


@cost("fairness", 3 * 5)
def ben_stays_out() -> Built:
    week = problem(activity("game"), wish("game", may_split=True))
    return week, plan(week, book(week, "game", children=("ada",)))


@cost("fairness", 0)
def lighter_for_both() -> Built:
    # The lighter version is for the older alone, and yet nobody gives anything up.
    ages = (
        Version(id="younger", age_from_months=24, age_to_months=47),
        Version(id="older", age_from_months=48, age_to_months=120),
    )
    both = {"younger": Part(minutes=10), "older": Part(minutes=10)}
    light = Lighter(does="less of it", sitting=sitting(parts={"older": Part(minutes=5)}))
    game = activity("game", sitting(parts=both), versions=ages, lighter=light)
    week = problem(game, wish("game", lighter_ok=True))
    return week, plan(week, book(week, "game", lighter=True))


# Rhythm ----------------------------------------------------------------------------------------------

USUAL = (
    stretch("morning", "08:00", "12:00", usual_kinds=("game",)),
    stretch("afternoon", "13:00", "17:00", usual_kinds=("craft",), comfortable=1),
)


@cost("usual_stretch", 4)
def a_game_in_the_afternoon() -> Built:
    # A song is usual nowhere, so it may be anywhere.
    week = problem(activity("game"), activity("song", kind="audio"), house={"stretches": USUAL})
    return week, plan(week, book(week, "game", start="14:00"), book(week, "song", start="15:00"))


@cost("usual_stretch", 0)
def a_meal_counts_for_no_stretch() -> Built:
    stretches = (
        stretch("day", "08:00", "17:00"),
        stretch("late", "17:00", "18:00", usual_kinds=("cooking",)),
    )
    soup = activity("soup", sitting(meals=(Meal.LUNCH,)), kind="cooking")
    week = problem(soup, house={"stretches": stretches})
    return week, plan(week, book(week, "soup", start="12:00", meal="lunch"))


def window(start: str, end: str) -> Window:
    return Window.model_validate({"start": start, "end": end})


def _letters(start: str, **ada: Any) -> Built:
    fresh = child("Ada", "2022-02", **ada)
    week = problem(activity("letters", focus=Focus.TABLE), children=(fresh, BEN))
    return week, plan(week, book(week, "letters", start=start))


@cost("good_hours", 1)
def outside_the_good_hours() -> Built:
    return _letters("14:00", good_hours=(window("08:00", "12:00"),))


@cost("good_hours", 0)
def good_hours_cover_half_of_the_stretch() -> Built:
    return _letters("14:00", good_hours=(window("13:00", "15:00"),))


@cost("good_hours", 1)
def good_hours_cover_less_than_half() -> Built:
    return _letters("14:00", good_hours=(window("13:00", "14:55"),))


@cost("good_hours", 3)
def in_the_low_hours() -> Built:
    return _letters("14:00", good_hours=(window("08:00", "12:00"),), low_hours=(window("15:00", "17:00"),))


@cost("adult_low", 2)
def beside_them_in_her_low_hours() -> Built:
    tired = adult("Mia", low_hours=(window("13:00", "15:00"),))
    week = problem(activity("game", sitting(10, 3)), activity("song", sitting(10, 2)), adults=(tired,))
    return week, plan(week, book(week, "game", start="14:00"), book(week, "song", start="15:00"))


@cost("early_promise", 0 + 2 + 4)
def promises_through_the_week() -> Built:
    week = problem(activity("pond"), wish("pond", rank="promise", times=3), activity("game"))
    days = (MONDAY, WEDNESDAY, FRIDAY)
    promised = [book(week, "pond", day, go=go) for go, day in enumerate(days)]
    return week, plan(week, *promised, book(week, "game", TUESDAY))


@cost("second_place", 1)
def at_the_second_place() -> Built:
    game = activity("game", sitting(places=("table", "sofa")))
    week = problem(game, wish("game", times=2))
    return week, plan(week, book(week, "game"), book(week, "game", TUESDAY, go=1, place="sofa"))


@cost("second_place", 0)
def laid_over_something_it_goes_where_that_is() -> Built:
    paint = activity("paint", sitting(20), alongside=Alongside.BUSY_HANDS)
    story = activity("story", sitting(places=("sofa", "table")), alongside=Alongside.LISTENING)
    week = problem(paint, story)
    under = book(week, "paint")
    return week, plan(week, under, book(week, "story", over=under))


@cost("crowded", 3 * 2)
def two_where_one_is_comfortable() -> Built:
    # For each of two children; the song laid over the game does not count.
    game = activity("game", sitting(20), alongside=Alongside.BUSY_HANDS)
    song = activity("song", alongside=Alongside.LISTENING)
    week = problem(game, song, activity("craft"), house={"stretches": USUAL})
    under = book(week, "game", start="14:00")
    over = book(week, "song", start="14:00", over=under)
    return week, plan(week, under, over, book(week, "craft", start="15:00"))


@cost("calm_run", 3 * 2)
def three_that_need_concentration() -> Built:
    # One above two, for each of two children; what goes on in busy hands does not count.
    names = ("letters", "sums", "riddles")
    things = [activity(name, focus=Focus.TABLE) for name in names]
    week = problem(*things, activity("dough", focus=Focus.HANDS))
    starts = ("08:30", "09:30", "10:30")
    focused = [book(week, name, start=start) for name, start in zip(names, starts, strict=True)]
    return week, plan(week, *focused, book(week, "dough", start="11:00"))


@cost("calm_run", 0)
def two_before_lunch_and_one_after() -> Built:
    names = ("letters", "sums", "riddles")
    week = problem(*(activity(name, focus=Focus.TABLE) for name in names))
    starts = ("08:30", "09:30", "14:00")
    return week, plan(week, *(book(week, n, start=s) for n, s in zip(names, starts, strict=True)))


# The tests -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("key", "amount", "build"), CASES, ids=[case[2].__name__ for case in CASES])
def test_cost(key: str, amount: int, build: Callable[[], Built]) -> None:
    assert amounts(*build())[key] == amount


@pytest.mark.parametrize("key", COSTS)
def test_every_cost_has_a_case_above_zero(key: str) -> None:
    assert any(amount for name, amount, _ in CASES if name == key)


def test_the_costs_and_tiers_are_those_of_the_contract() -> None:
    assert contract_keys("### Costs, by tier (lower is better)") == list(COSTS)
    assert [key for keys in TIERS.values() for key in keys] == list(COSTS)


def test_only_amounts_above_zero_are_told_tier_by_tier() -> None:
    week, made = three_times_promised_and_done_once()
    found = costs(week, made)
    assert all(one.amount > 0 for one in found)
    order = [list(TIERS).index(one.tier) for one in found]
    assert order == sorted(order)


def test_a_comfortable_week_costs_nothing() -> None:
    inside = limits(outdoor_times_a_day=0)
    week = problem(activity("game"), adults=(MIA,), house={"stretches": STRETCHES}, limits=inside)
    assert costs(week, plan(week, book(week, "game"))) == ()
