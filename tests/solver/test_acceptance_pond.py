"""The first ordinary week: household A, late week, pond life, 43 sittings wished.

One plan is made and read line by line. What is asserted must hold in every good plan; with one worker the
limit counts CP-SAT's deterministic time, so that a slow machine finds the same plan later. The household is
invented; "small parts away from who mouths things": 16 CFR 1501; the rest is common practice, no source.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from itertools import pairwise

import pytest

from solver.check import check, costs
from solver.domain.activity import Hazard
from solver.domain.base import DAY_MIN, DAYS, Day, Evening, Help, Mess
from solver.domain.plan import Fate, Plan
from solver.domain.week import Problem
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
    only,
    out,
    overlap,
    piece,
    problem_of,
    raw,
    sitting_of,
    whole,
    wish_of,
)

MONDAY, TUESDAY, WEDNESDAY, THURSDAY, FRIDAY, SATURDAY, SUNDAY = DAYS
HOME_MORNINGS = (MONDAY, TUESDAY, WEDNESDAY, THURSDAY)
WISHED = 43


@pytest.fixture(scope="module")
def pond() -> Problem:
    return problem_of(raw("pond-week"))


@pytest.fixture(scope="module")
def plan(pond: Problem) -> Plan:
    return solve(pond, seconds=30, workers=1)


def alone(wish: dict[str, object], **week: object) -> Plan:
    """Nothing else is wished: what is left over now has no place in this week at all."""
    return solve(only("pond-week", wish, **week), seconds=5, workers=1)


class TestTheWeekFits:
    def test_the_checker_has_nothing_against_it(self, pond: Problem, plan: Plan) -> None:
        assert check(pond, plan) == []
        assert plan.costs == costs(pond, plan)

    def test_promises_and_staples_are_kept_and_that_is_proved(self, plan: Plan) -> None:
        tiers = {tier.name: tier for tier in plan.tiers}
        assert (tiers["promises"].value, tiers["promises"].proved) == (0, True)
        assert (tiers["staples"].value, tiers["staples"].proved) == (0, True)

    def test_about_thirty_six_to_thirty_nine_of_forty_three_are_placed(self, plan: Plan) -> None:
        assert 36 <= len(plan.bookings) <= 39

    def test_every_wished_sitting_is_placed_or_left_over(self, plan: Plan) -> None:
        placed = {(one.wish, one.go, one.sitting) for one in plan.bookings}
        left = {(one.wish, one.go, index) for one in plan.left_over for index in one.sittings}
        assert not placed & left
        assert len(placed) == len(plan.bookings)
        assert len(placed | left) == WISHED

    def test_no_child_does_two_things_at_once(self, pond: Problem, plan: Plan) -> None:
        for child in ("wren", "pip"):
            mine = [b for b in booked(plan) if child in {a.child for a in b.attends}]
            own = [b for b in mine if b.alongside is None]
            pieces = [going_on(b) for b in own]
            assert not [p for p, q in pairwise(pieces) if overlap(p, q)]
            assert not [b.id for b in own for gone in out(pond, child) if overlap(going_on(b), gone)]
            assert not [b.id for b in own for nap in asleep(pond, child) if overlap(going_on(b), nap)]


class TestPondVisit:
    def test_on_wednesday_between_half_past_nine_and_coming_home(self, pond: Problem, plan: Plan) -> None:
        (visit,) = booked(plan, "pond-visit")
        assert visit.day is WEDNESDAY
        assert lies_in(whole(pond, visit), piece(WEDNESDAY, "09:30", "11:35"))

    def test_two_adults_and_nobody_left_at_home(self, plan: Plan) -> None:
        (visit,) = booked(plan, "pond-visit")
        assert set(visit.helpers) == {"juno", "theo"}
        assert {one.child for one in visit.attends} == {"wren", "pip"}
        assert visit.along == ("moss",)

    @pytest.mark.parametrize("day", [day for day in DAYS if day is not WEDNESDAY])
    def test_on_no_other_day_at_all(self, day: Day) -> None:
        found = alone(wish_of("pond-week", "pond-visit", days=[day]))
        assert found.bookings == ()
        assert found.tiers[0].bound == 1
        assert found.left_over[0].reason.rules

    def test_on_wednesday_at_no_other_time(self) -> None:
        """115 minutes with packing and the way, so the children begin between 10:10 and 10:20."""
        elsewhere = [{"start": "00:00", "end": "10:55"}, {"start": "10:25", "end": "24:00"}]
        assert alone(wish_of("pond-week", "pond-visit", hours=elsewhere)).bookings == ()
        within = [{"start": "10:10", "end": "11:10"}]
        assert len(alone(wish_of("pond-week", "pond-visit", hours=within)).bookings) == 1

    def test_it_is_said_whom_to_fear_for_and_by_whose_word(self, plan: Plan) -> None:
        (visit,) = booked(plan, "pond-visit")
        assert visit.cautions
        assert any(caution.source for caution in visit.cautions)


class TestFrogBowl:
    def test_the_layers_and_the_paint(self, pond: Problem, plan: Plan) -> None:
        """In Moss's naps, while Theo has her, or with the grandmother; Juno leaves at 10:50 on Tuesday."""
        first, second, paint, _ = booked(plan, "frog-bowl")
        windows = {
            MONDAY: [piece(MONDAY, "09:15", "10:05")],
            TUESDAY: [piece(TUESDAY, "09:15", "10:50")],
            THURSDAY: [piece(THURSDAY, "09:15", "10:15"), piece(THURSDAY, "14:30", "16:30")],
        }
        assert [b.day for b in (first, second, paint)] == [MONDAY, TUESDAY, THURSDAY]
        for sitting in (first, second, paint):
            assert lies_in(whole(pond, sitting), *windows[sitting.day]), sitting.id

    def test_the_eyes_on_thursday_after_the_nap(self, plan: Plan) -> None:
        eyes = booked(plan, "frog-bowl")[3]
        assert lies_in(going_on(eyes), piece(THURSDAY, "14:30", "24:00"))

    def test_each_layer_is_dry_before_the_next(self, pond: Problem, plan: Plan) -> None:
        bowl = booked(plan, "frog-bowl")
        assert [b.sitting for b in bowl] == [0, 1, 2, 3]
        waits = activity_of(pond, bowl[0]).waits
        for before, after, wait in zip(bowl, bowl[1:], waits, strict=False):
            assert going_on(after)[0] - going_on(before)[1] >= wait.least_min

    def test_it_is_done_before_the_co_op(self, pond: Problem, plan: Plan) -> None:
        assert whole(pond, booked(plan, "frog-bowl")[-1])[1] <= piece(FRIDAY, "09:00", "09:05")[0]

    @pytest.mark.parametrize("missing", HOME_MORNINGS[:2])
    def test_no_other_days_would_do_for_the_layers(self, missing: Day) -> None:
        """Day and night between the layers, one big mess a day, and the pond on Wednesday."""
        days = [day for day in HOME_MORNINGS if day not in (missing, WEDNESDAY)]
        assert alone(wish_of("pond-week", "frog-bowl", days=days)).bookings == ()


class TestEveryDay:
    def test_reading_with_wren_five_times_in_the_nap(self, pond: Problem, plan: Plan) -> None:
        reading = booked(plan, "reading-wren")
        assert [b.day for b in reading] == list(DAYS[:5])
        for one in reading:
            assert lies_in(going_on(one), piece(one.day, "13:05", "14:25"))
            assert [a.child for a in one.attends] == ["wren"]
            held = one.minder is not None
            assert held or not moments(going_on(one)) & loose(pond, "pip")

    def test_lap_time_with_pip_before_half_past_ten(self, plan: Plan) -> None:
        lap = booked(plan, "lap-game-pip")
        assert [b.day for b in lap] == list(HOME_MORNINGS)
        assert all(lies_in(going_on(b), piece(b.day, "08:30", "10:30")) for b in lap)
        assert all([a.child for a in b.attends] == ["pip"] for b in lap)

    def test_morning_time_follows_breakfast_and_never_lunch(self, plan: Plan) -> None:
        morning = booked(plan, "morning-time")
        assert [b.day for b in morning] == list(HOME_MORNINGS)
        assert all(lies_in(going_on(b), piece(b.day, "08:30", "11:35")) for b in morning)

    def test_on_friday_morning_time_comes_after_the_nap(self, plan: Plan) -> None:
        (friday,) = booked(plan, "morning-time-friday")
        assert lies_in(going_on(friday), piece(FRIDAY, "14:30", "17:15"))

    def test_portuguese_words_while_the_grandmother_is_here(self, pond: Problem, plan: Plan) -> None:
        words = booked(plan, "pond-words", "pond-book-portuguese")
        assert {b.wish for b in words} == {"pond-words", "pond-book-portuguese"}
        assert all(lies_in(whole(pond, b), piece(THURSDAY, "14:30", "16:30")) for b in words)
        assert all("avo" in b.helpers for b in words)

    def test_the_borrowed_book_is_read_before_it_goes_back(self, pond: Problem, plan: Plan) -> None:
        readings = booked(plan, "pond-book", "pond-book-portuguese")
        assert len(readings) == 4
        assert whole(pond, readings[-1])[1] <= piece(FRIDAY, "17:00", "17:05")[0]

    def test_outdoors_is_kept_every_day(self, plan: Plan) -> None:
        assert {b.day for b in booked(plan, "outdoors")} == set(DAYS[:5])


class TestMess:
    def test_none_of_it_big_on_friday(self, pond: Problem, plan: Plan) -> None:
        friday = [b for b in plan.bookings if b.day is FRIDAY]
        assert friday
        assert all(sitting_of(pond, b).mess < Mess.FLOOR_AND_CLOTHES for b in friday)

    def test_one_big_mess_a_day_and_five_in_all(self, pond: Problem, plan: Plan) -> None:
        for day in DAYS:
            messes = [sitting_of(pond, b).mess for b in plan.bookings if b.day is day]
            assert sum(messes) <= 5
            assert sum(mess >= Mess.FLOOR_AND_CLOTHES for mess in messes) <= 1

    def test_on_wednesday_none_at_home_after_eleven(self, pond: Problem, plan: Plan) -> None:
        big = [b for b in booked(plan) if sitting_of(pond, b).mess >= 3 and b.place != "pond"]
        assert big
        late = [b.id for b in big if overlap(going_on(b), piece(WEDNESDAY, "11:00", "24:00"))]
        assert not late


class TestPrepAndShopping:
    def test_it_is_counted_and_within_what_she_has(self, pond: Problem, plan: Plan) -> None:
        has = {one.evening: one.minutes for one in pond.household.limits.prep}
        assert has == {Evening.SUNDAY_BEFORE: 25, Evening.MONDAY: 20, Evening.WEDNESDAY: 20}
        spent = minutes_of_prep(plan)
        assert all(minutes <= has[evening] for evening, minutes in spent.items())
        assert 0 < sum(spent.values()) <= 65

    def test_every_task_of_what_is_placed_has_its_evening(self, pond: Problem, plan: Plan) -> None:
        wanted = {
            (b.wish, b.go, task.id, task.minutes)
            for b in plan.bookings
            if b.sitting == 0 and not b.lighter
            for task in activity_of(pond, b).prep
        }
        named = {(p.wish, p.go, p.task, p.minutes + p.warm_up_min) for p in plan.prep}
        assert named == wanted
        assert {"pack", "paste"} <= {task for _, _, task, _ in named}

    def test_it_is_ready_in_time_and_still_good(self, pond: Problem, plan: Plan) -> None:
        first = {b.id: b for b in plan.bookings}
        for one in plan.prep:
            booking = first[one.ready_for]
            task = next(t for t in activity_of(pond, booking).prep if t.id == one.task)
            done = one.evening.index * DAY_MIN + 20 * 60
            assert done + task.lead_min <= whole(pond, booking)[0]
            assert booking.day.index - one.evening.index <= task.keeps_days

    def test_one_list_for_one_shop_that_closes_before(self, pond: Problem, plan: Plan) -> None:
        (shop,) = pond.week.shops
        assert shop.before_week
        assert shop.closes.startswith("Friday 20:00")
        assert plan.shopping
        assert all(one.at is None for one in plan.shopping)
        assert len({one.material for one in plan.shopping}) == len(plan.shopping)

    def test_what_is_used_is_in_the_house_or_on_the_list(self, pond: Problem, plan: Plan) -> None:
        bought = {one.material: one.count for one in plan.shopping}
        used: Counter[str] = Counter()
        for booking in plan.bookings:
            for need in sitting_of(pond, booking).needs:
                used[need.material] += need.count * (len(booking.attends) if need.each_child else 1)
        for supply in pond.household.materials:
            if not supply.reusable:
                assert used[supply.id] <= supply.count + bought.get(supply.id, 0), supply.name

    def test_the_money_is_enough(self, pond: Problem, plan: Plan) -> None:
        begun = [b for b in plan.bookings if b.sitting == 0]
        spent = sum(activity_of(pond, b).cost for b in begun) + sum(p.cost for p in plan.shopping)
        assert spent <= 18


def minutes_of_prep(plan: Plan) -> dict[Evening, int]:
    """Minutes by evening; what shares a hob or a laminator warms it up once."""
    spent: defaultdict[Evening, int] = defaultdict(int)
    warm: dict[tuple[Evening, str], int] = {}
    for one in plan.prep:
        spent[one.evening] += one.minutes
        if one.batch:
            key = (one.evening, one.batch)
            warm[key] = max(warm.get(key, 0), one.warm_up_min)
    for (evening, _), minutes in warm.items():
        spent[evening] += minutes
    return spent


class TestHeldOver:
    def test_each_by_name_with_a_reason(self, plan: Plan) -> None:
        assert plan.left_over
        for one in plan.left_over:
            assert one.fate is Fate.HELD_OVER
            assert one.title
            assert one.until
            assert one.reason.sentence.endswith(".")
            assert one.reason.rules

    def test_the_card_set_wants_forty_minutes_of_cutting(self, plan: Plan) -> None:
        (cards,) = [one for one in plan.left_over if one.activity == "P05"]
        assert "prep" in cards.reason.rules
        assert "40 minutes" in cards.reason.sentence
        assert "cut" in cards.reason.sentence
        assert "40" in cards.reason.freed_by

    def test_with_such_an_evening_it_has_its_place(self) -> None:
        cards = wish_of("pond-week", "card-sort")
        assert alone(cards).bookings == ()
        evening = {"prep": [{"evening": "monday", "minutes": 40}]}
        longer = solve(only("pond-week", cards, limits=evening), seconds=5, workers=1)
        assert [b.activity for b in longer.bookings] == ["P05"]
        assert minutes_of_prep(longer) == {Evening.MONDAY: 40}


HARMFUL = {Hazard.SMALL_PART, Hazard.SMALL_BALL, Hazard.DRY_GRAIN}


def harmful(problem: Problem, plan: Plan) -> list[set[int]]:
    """For each booking with small parts or dry grain, when they are out on the table."""
    found = []
    for booking in plan.bookings:
        if HARMFUL & set(activity_of(problem, booking).hazards):
            start, end = whole(problem, booking)
            found.append(set() if booking.minder else moments((start, end)))
    return found


class TestMossIsLoose:
    def test_nothing_small_lies_about_meanwhile(self, pond: Problem, plan: Plan) -> None:
        assert not [when for when in harmful(pond, plan) if when & loose(pond, "moss")]

    @pytest.mark.parametrize("activity", ["P12", "P13", "B02", "B17", "B23"])
    def test_small_parts_and_grain_only_while_moss_sleeps_or_is_held(self, activity: str) -> None:
        problem = only("pond-week", {"id": "it", "activity": activity})
        plan = solve(problem, seconds=5, workers=1)
        assert plan.bookings
        assert not [when for when in harmful(problem, plan) if when & loose(problem, "moss")]

    @pytest.mark.parametrize("activity", ["P12", "P13", "B02", "B17", "B23"])
    def test_never_when_moss_does_not_sleep_and_nobody_holds_her(self, activity: str) -> None:
        document = raw("pond-week")
        document["household"]["children"][2]["naps"] = []
        nobody_else = {"theo": [], "avo": []}
        wishes = [{"id": "it", "activity": activity}]
        document["weeks"][0] |= {"wishes": wishes, "spare": [], "hours": nobody_else}
        plan = solve(problem_of(document), seconds=5, workers=1)
        assert plan.bookings == ()
        assert {"safety", "minder"} & set(plan.left_over[0].reason.rules)


class TestNothingIsDoubleBooked:
    def test_the_two_trays(self, pond: Problem, plan: Plan) -> None:
        full = on_holder(pond, plan, "tray")
        assert max(full.values()) == 2

    def test_pegs_sill_and_the_rest(self, pond: Problem, plan: Plan) -> None:
        for holder in pond.household.holders:
            assert max(on_holder(pond, plan, holder.id).values(), default=0) <= holder.capacity

    def test_what_waits_is_told_with_its_place(self, pond: Problem, plan: Plan) -> None:
        told = {(one.after, one.before): (one.holder, one.units) for one in plan.waiting}
        bowl = [b.id for b in booked(plan, "frog-bowl")]
        assert [told[pair] for pair in pairwise(bowl)] == [("tray", 2)] * 3

    def test_two_messy_layers_at_once_would_want_four_trays(self) -> None:
        """A second bowl beside the first: one of them is held over, and the trays are the reason."""
        free = {"big_mess_a_day": 9, "mess_sum_a_day": 40, "mess_sum_a_week": 99, "theme_things_a_day": 9}
        evenings = {
            "prep": [{"evening": "sunday_before", "minutes": 90}, {"evening": "monday", "minutes": 90}]
        }
        first = wish_of("pond-week", "frog-bowl", id="one", hours=[], finish_by=None)
        second = first | {"id": "two"}
        problem = only("pond-week", first, second, limits=free | evenings)
        plan = solve(problem, seconds=8, workers=1)
        assert max(on_holder(problem, plan, "tray").values()) == 2
        assert plan.tiers[0].value == plan.tiers[0].bound == 1
        assert "holding" in plan.left_over[0].reason.rules

    def test_the_table(self, pond: Problem, plan: Plan) -> None:
        there = [b for b in booked(plan) if b.place == "table" and b.alongside is None and b.meal is None]
        assert there
        pieces = [whole(pond, b) for b in there]
        assert not [p for p, q in pairwise(pieces) if overlap(p, q)]
        for point in pond.household.fixed_points:
            if point.place == "table":
                for day in (d for d in DAYS if point.on(d)):
                    midnight = day.index * DAY_MIN
                    meal = (midnight + point.start - 30, midnight + point.end)
                    assert not [p for p in pieces if overlap(p, meal)], (point.id, day)


class TestEveryMinuteCounts:
    def test_bookings_tell_their_setting_up_and_clearing_up(self, pond: Problem, plan: Plan) -> None:
        for booking in plan.bookings:
            sitting = sitting_of(pond, booking)
            assert (booking.setup_min, booking.cleanup_min) == (sitting.setup_min, sitting.cleanup_min)
        assert sum(b.setup_min + b.cleanup_min for b in plan.bookings) > 60

    def test_who_lays_out_or_clears_up_is_not_busy_elsewhere(self, pond: Problem, plan: Plan) -> None:
        for one in plan.bookings:
            start, end = whole(pond, one)
            begin, finish = going_on(one)
            for other in plan.bookings:
                if other.id != one.id and set(one.helpers) & set(other.helpers) and wants_hands(other):
                    around = ((start, begin), (finish, end))
                    assert not any(overlap(bit, going_on(other)) for bit in around), (one.id, other.id)

    def test_nobody_helps_who_is_out(self, pond: Problem, plan: Plan) -> None:
        for booking in plan.bookings:
            for adult in booking.helpers:
                clash = [gone for gone in out(pond, adult) if overlap(whole(pond, booking), gone)]
                assert not clash, booking.id


def wants_hands(booking: object) -> bool:
    """Whether somebody has to dip in at least."""
    attends = getattr(booking, "attends", ())
    return max((a.help for a in attends), default=Help.DIPS_IN) >= Help.DIPS_IN
