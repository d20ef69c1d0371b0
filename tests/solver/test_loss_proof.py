"""A week in which no single lost day breaks a promise: preferred, required, or said plainly why not."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given

from solver.check import check, costs
from solver.domain.base import DAYS, Day
from solver.domain.mishap import DayLost
from solver.domain.plan import Plan, SpareWeek, State
from solver.domain.week import LossProof, Problem
from solver.mend import mend
from solver.resilience import hanging, resilience
from solver.search import solve
from tests.solver.small_weeks import problems
from tests.solver.test_mend_properties import MANY
from tests.solver.weeks import (
    FRIDAY,
    MONDAY,
    TUESDAY,
    WEDNESDAY,
    activity,
    book,
    limits,
    moment,
    plan,
    problem,
    sitting,
    wish,
)

INDOORS = limits(outdoor_times_a_day=0)


def week_of(*wanted: Any, asked: LossProof, **changes: Any) -> Problem:
    return problem(*wanted, limits=INDOORS, loss_proof=asked, **changes)


def solved(week: Problem) -> Plan:
    return solve(week, seconds=5, workers=1)


def tier(found: Plan, name: str) -> tuple[int, int, bool]:
    return next((t.value, t.bound, t.proved) for t in found.tiers if t.name == name)


def days(found: Plan) -> dict[str, Day]:
    return {booking.wish: booking.day for booking in found.bookings}


def with_a_story(asked: LossProof) -> Problem:
    """The story is usually told in the morning, and on Wednesday its only time is the afternoon."""
    stretches = problem(activity("story")).household.stretches
    usual = tuple(
        s.model_copy(update={"usual_kinds": ("game",) if s.id == "morning" else ()}) for s in stretches
    )
    return week_of(
        activity("tub", sitting(30)), wish("tub", rank="promise", days=(MONDAY, WEDNESDAY)),
        activity("story", sitting(30)),
        wish("story", hours=_hours((MONDAY, 8, 12), (WEDNESDAY, 13, 17))),
        asked=asked, house={"stretches": usual},
    )  # fmt: skip


def _hours(*spans: tuple[Day, int, int]) -> tuple[dict[str, Any], ...]:
    return tuple({"days": (day,), "start": a * 60, "end": b * 60} for day, a, b in spans)


def with_two_of_the_theme(asked: LossProof) -> Problem:
    """One thing of the theme a day. Mud is worth more than leaves, and one of them has to give way."""
    theme = {"theme": "pond"}
    things = [activity(name, sitting(20), **theme) for name in ("visit", "mud", "leaves")]
    return problem(
        *things, wish("visit", rank="promise"), wish("mud", days=(MONDAY,), worth=9),
        wish("leaves", days=(TUESDAY,), worth=3),
        limits=limits(outdoor_times_a_day=0, theme_things_a_day=1), teaching_days=(MONDAY, TUESDAY),
        theme="pond", loss_proof=asked,
    )  # fmt: skip


class TestAsked:
    def test_nothing_is_asked_unless_somebody_does(self) -> None:
        found = solved(with_a_story(LossProof.OFF))
        assert found.spares is None
        assert not {"required", "preferred"} & {t.name for t in found.tiers}
        assert days(found)["story"] is MONDAY
        assert [hang.day for hang in hanging(with_a_story(LossProof.OFF), found)] == [MONDAY]

    @pytest.mark.parametrize(
        ("asked", "name"), [(LossProof.PREFER, "preferred"), (LossProof.REQUIRE, "required")]
    )
    def test_something_else_is_put_later_so_that_there_is_a_day_to_move_to(
        self, asked: LossProof, name: str
    ) -> None:
        week = with_a_story(asked)
        found = solved(week)
        assert (days(found)["tub"], days(found)["story"]) == (MONDAY, WEDNESDAY)
        assert tier(found, name) == (0, 0, True)
        assert tier(found, "rhythm")[0] == 4, "an unusual stretch is what it costs"
        assert hanging(week, found) == ()

    def test_preferred_costs_nothing_of_what_is_wished(self) -> None:
        found = solved(with_two_of_the_theme(LossProof.PREFER))
        assert set(days(found)) == {"visit", "mud"}
        assert tier(found, "worth")[0] == 3 * 12
        assert tier(found, "preferred") == (1, 1, True)

    def test_required_comes_before_all_but_the_promises(self) -> None:
        week = with_two_of_the_theme(LossProof.REQUIRE)
        found = solved(week)
        assert days(found) == {"visit": MONDAY, "leaves": TUESDAY}
        assert tier(found, "required") == (0, 0, True)
        assert hanging(week, found) == ()

    def test_what_cannot_be_is_said_with_its_day_and_why(self) -> None:
        week = week_of(
            activity("visit"), wish("visit", rank="promise", days=(FRIDAY,)), asked=LossProof.REQUIRE
        )
        found = solved(week)
        assert days(found) == {"visit": FRIDAY}
        assert tier(found, "required") == (1, 1, True)
        (hang,) = hanging(week, found)
        assert (hang.title, hang.day, hang.proved) == ("Visit", FRIDAY, True)
        assert "only wanted on Friday" in hang.why

    def test_it_is_never_bought_with_the_promise_itself(self) -> None:
        """Without the promise nothing would hang; that is not what was asked."""
        week = week_of(
            activity("visit"), wish("visit", rank="promise", days=(FRIDAY,)), asked=LossProof.REQUIRE
        )
        assert tier(solved(week), "promises")[0] == 0

    def test_days_that_have_gone_are_not_asked_about(self) -> None:
        week = week_of(activity("visit"), wish("visit", rank="promise"), asked=LossProof.REQUIRE)
        done = book(week, "visit", state=State.FIRM)
        later = week.week.model_copy(update={"now": moment(TUESDAY, "07:00"), "firm": (done,)})
        found = solved(week.model_copy(update={"week": later}))
        assert found.spares == ()
        assert "required" not in {t.name for t in found.tiers}


class TestCounted:
    """The checker judges each spare week by itself."""

    week = with_a_story(LossProof.REQUIRE)
    tub = book(week, "tub", minutes=30)
    story = book(week, "story", WEDNESDAY, "14:00", minutes=30)
    moved = book(week, "tub", WEDNESDAY, "14:00", minutes=30)

    def amount(self, *spares: SpareWeek, week: Problem = week) -> int:
        found = plan(week, self.tub, self.story, spares=spares)
        assert check(week, found) == []
        return sum(cost.amount for cost in costs(week, found) if cost.key in ("hangs", "may_hang"))

    def test_a_promise_with_a_place_to_go_does_not_hang(self) -> None:
        assert self.amount(SpareWeek(day=MONDAY, bookings=(self.moved,))) == 0

    def test_without_one_it_does(self) -> None:
        assert self.amount() == 1
        assert self.amount(SpareWeek(day=MONDAY)) == 1
        assert self.amount(SpareWeek(day=TUESDAY, bookings=(self.moved,))) == 1

    @pytest.mark.parametrize(
        "spare",
        [
            book(week, "tub", WEDNESDAY, "17:30", minutes=30, stretch="afternoon"),
            book(week, "tub", TUESDAY, minutes=30),
            book(week, "tub", MONDAY, "14:00", minutes=30),
            book(week, "tub", WEDNESDAY, "12:00", minutes=30),
        ],
        ids=["untrue", "not one of its days", "on the lost day", "at lunch"],
    )
    def test_a_spare_that_breaks_a_rule_is_none(self, spare: Any) -> None:
        assert self.amount(SpareWeek(day=MONDAY, bookings=(spare,))) == 1

    def test_the_other_thing_has_to_give_way_or_the_day_is_fuller(self) -> None:
        both = (self.moved, self.story.model_copy(update={"start": 15 * 60}))
        assert self.amount(SpareWeek(day=MONDAY, bookings=both)) == 1

    def test_only_promises_go_to_another_day(self) -> None:
        monday = book(self.week, "story", MONDAY, "09:00", minutes=30)
        found = plan(self.week, self.tub, monday.model_copy(update={"start": 10 * 60}))
        lost = SpareWeek(day=MONDAY, bookings=(self.story,))
        kept = costs(self.week, found.model_copy(update={"spares": (lost,)}))
        assert sum(cost.amount for cost in kept if cost.key == "hangs") == 1

    def test_where_it_is_preferred_it_is_another_cost_of_the_same_amount(self) -> None:
        preferred = with_a_story(LossProof.PREFER)
        found = plan(preferred, self.tub, self.story, spares=())
        assert {c.key: c.amount for c in costs(preferred, found)}["may_hang"] == 1

    def test_a_plan_that_was_not_asked_is_not_counted(self) -> None:
        found = plan(self.week, self.tub, self.story)
        assert not [cost for cost in costs(self.week, found) if cost.key == "hangs"]


class TestOneMeaning:
    @MANY
    @given(problems())
    def test_what_hangs_is_what_no_mend_keeps(self, week: Problem) -> None:
        """And the plan's own spare weeks say the same as a mend would."""
        asked = week.model_copy(
            update={"week": week.week.model_copy(update={"loss_proof": LossProof.REQUIRE})}
        )
        found = solve(asked, seconds=1, workers=1)
        told = resilience(asked, found)
        counted = [cost for cost in costs(asked, found) if cost.key == "hangs"]
        assert {(c.subject.split(".")[0], c.subject.split()[1]) for c in counted} == {
            (hang.wish, hang.day) for hang in told.hangs
        }
        (required,) = [t for t in found.tiers if t.name == "required"] or [None]
        assert required is None or required.bound <= sum(cost.amount for cost in counted)
        for day in DAYS[:3]:
            if not any(hang.day is day for hang in told.hangs):
                continue
            for offer in mend(week, found, [DayLost(day=day)], seconds=1, workers=1).offers:
                assert len(offer.plan.left_over) > len(found.left_over)


def test_a_mend_of_a_loss_proof_week_keeps_the_wish_for_one() -> None:
    week = with_a_story(LossProof.REQUIRE)
    (offer, *_) = mend(week, solved(week), [DayLost(day=MONDAY)], seconds=1, workers=1).offers
    assert offer.week.loss_proof is LossProof.REQUIRE
    assert [move.to_day for move in offer.moved] == [WEDNESDAY]
