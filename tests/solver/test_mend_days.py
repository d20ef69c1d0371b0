"""Days and hours that are lost, of everybody or of one: what may change, and where the effect ends."""

from __future__ import annotations

import pytest

from solver.domain.base import DAYS
from solver.domain.faults import RelationError
from solver.domain.mishap import (
    DayLost,
    Hooked,
    Mishap,
    Missing,
    NapFailed,
    Refused,
    Roster,
    StillWet,
    Tired,
)
from solver.domain.people import Hours
from solver.domain.week import Rank
from solver.mend import mend
from tests.solver import weeks
from tests.solver.mending import where
from tests.solver.small_house import (
    CLASS,
    MONDAY,
    NOAH,
    TUESDAY,
    WEDNESDAY,
    booked,
    house,
    mended,
    there,
    unchanged,
)


class TestDayLost:
    def test_all_of_it_is_let_go_and_other_days_stand(self) -> None:
        problem = house(weeks.activity("game"), weeks.wish("game", times=2))
        plan = booked(
            problem, weeks.book(problem, "game", MONDAY), weeks.book(problem, "game", TUESDAY, go=1)
        )
        best = mended(problem, plan, DayLost(day=MONDAY)).offers[0]
        assert [b.id for b in best.plan.bookings] == ["game.2.1"]
        assert [left.wish for left in best.held_over] == ["game"]

    def test_a_promise_may_go_to_another_day_but_makes_none_fuller(self) -> None:
        problem = house(weeks.activity("game"), weeks.wish("game", rank=Rank.PROMISE))
        plan = booked(problem, weeks.book(problem, "game", TUESDAY))
        assert there(mended(problem, plan, DayLost(day=TUESDAY)).offers[0], "game.1.1") is None
        with_room = house(
            weeks.activity("game"), weeks.wish("game", rank=Rank.PROMISE), weeks.activity("story")
        )
        swap = booked(
            with_room, weeks.book(with_room, "game", TUESDAY), weeks.book(with_room, "story", WEDNESDAY)
        )
        moved = there(mended(with_room, swap, DayLost(day=TUESDAY)).offers[0], "game.1.1")
        assert moved is not None
        assert moved.day is WEDNESDAY

    def test_only_the_lost_hours_are_lost(self) -> None:
        problem = house(weeks.activity("game"), weeks.activity("story"))
        plan = booked(
            problem, weeks.book(problem, "game", MONDAY), weeks.book(problem, "story", MONDAY, "14:00")
        )
        afternoon = DayLost(day=MONDAY, start=13 * 60, end=17 * 60)
        best = mended(problem, plan, afternoon).offers[0]
        assert there(best, "game.1.1")
        story = there(best, "story.1.1")
        assert story is None or story.start >= 17 * 60

    def test_one_child_is_ill_and_the_other_keeps_the_small_things(self) -> None:
        problem = house(weeks.activity("story", tired_ok=True), weeks.activity("game"))
        plan = booked(
            problem, weeks.book(problem, "story", MONDAY), weeks.book(problem, "game", MONDAY, "10:00")
        )
        best = mended(problem, plan, DayLost(day=MONDAY, children=("ben",))).offers[0]
        story = there(best, "story.1.1")
        assert story is not None
        assert [a.child for a in story.attends] == ["ada"]
        assert there(best, "game.1.1") is None
        assert "Without Ben: Story." in best.notes
        (game,) = best.held_over
        assert game.reason.sentence == "Ben is ill on Monday, and no other day is made fuller for it."

    def test_what_falls_out_says_that_the_day_is_lost(self) -> None:
        daily = weeks.wish("story", rank=Rank.STAPLE, times=2, days=(MONDAY, TUESDAY))
        promise = weeks.wish("visit", rank=Rank.PROMISE, days=(MONDAY,))
        problem = house(weeks.activity("story"), daily, weeks.activity("visit"), promise)
        plan = booked(
            problem, weeks.book(problem, "story", MONDAY), weeks.book(problem, "story", TUESDAY, go=1),
            weeks.book(problem, "visit", MONDAY, "10:00"),
        )  # fmt: skip
        best = mended(problem, plan, DayLost(day=MONDAY)).offers[0]
        said = {left.wish: left.reason.sentence for left in (*best.held_over, *best.let_go)}
        assert said["story"] == "Monday is lost, and each other day has its own."
        assert said["visit"] == "Monday is lost, and it is wanted on that day alone."

    def test_and_why_a_promise_finds_no_other_day(self) -> None:
        promise = weeks.wish("visit", rank=Rank.PROMISE)
        on_monday = Hours(days=(MONDAY,), start=8 * 60, end=18 * 60)
        noah = weeks.adult("Noah", hours=(on_monday,))
        problem = house(weeks.activity("visit", adults_needed=2), promise, adults=(weeks.MIA, noah))
        plan = booked(problem, weeks.book(problem, "visit", MONDAY))
        (left,) = mended(problem, plan, DayLost(day=MONDAY)).offers[0].held_over
        told = "Monday is lost. On the days that are left there is no time for it: it needs two adults"
        assert left.reason.sentence.startswith(told)

    def test_a_class_is_cancelled_where_nobody_could_stay(self) -> None:
        problem = house(weeks.activity("game"), fixed_points=(CLASS,))
        plan = booked(problem, weeks.book(problem, "game", MONDAY))
        (off,) = mended(problem, plan, DayLost(day=TUESDAY, children=("ada",))).offers[0].cancelled
        assert (off.fixed_point, off.for_whom) == ("class", ())
        assert off.tell

    def test_and_only_for_the_ill_child_where_another_adult_is_at_home(self) -> None:
        both = CLASS.model_copy(update={"children": ("ada", "ben")})
        home = weeks.NOAH
        problem = house(weeks.activity("game"), adults=(weeks.MIA, home), fixed_points=(both,))
        plan = booked(problem, weeks.book(problem, "game", MONDAY))
        (off,) = mended(problem, plan, DayLost(day=TUESDAY, children=("ada",))).offers[0].cancelled
        assert off.for_whom == ("ada",)

    def test_an_adult_is_lost_and_with_them_what_needs_two(self) -> None:
        problem = house(weeks.activity("walk", adults_needed=2), adults=(weeks.MIA, NOAH))
        plan = booked(problem, weeks.book(problem, "walk", TUESDAY))
        lost = mended(problem, plan, DayLost(day=TUESDAY, adults=("noah",))).offers[0]
        assert there(lost, "walk.1.1") is None
        assert unchanged(mended(problem, plan, DayLost(day=MONDAY, adults=("noah",))).offers[0], plan)


class TestRoster:
    def test_away_takes_what_needs_two(self) -> None:
        problem = house(weeks.activity("walk", adults_needed=2), adults=(weeks.MIA, NOAH))
        plan = booked(problem, weeks.book(problem, "walk", TUESDAY))
        moved = there(mended(problem, plan, Roster(adult="noah", day=TUESDAY)).offers[0], "walk.1.1")
        assert moved is not None
        assert moved.day is WEDNESDAY

    @pytest.mark.parametrize(("start", "stays"), [(540, True), (545, False)])
    def test_other_hours_carry_what_lies_in_them(self, start: int, stays: bool) -> None:
        problem = house(
            weeks.activity("walk", adults_needed=2), adults=(weeks.MIA, NOAH), teaching_days=DAYS[1:2]
        )
        plan = booked(problem, weeks.book(problem, "walk", TUESDAY, "09:00"))
        changed = Roster(adult="noah", day=TUESDAY, start=start, end=720)
        best = mended(problem, plan, changed).offers[0]
        assert (where(best.plan.bookings[0]) == where(plan.bookings[0])) is stays


class TestWhatIsNamedMustBeThere:
    @pytest.mark.parametrize(
        ("mishap", "path"),
        [
            (DayLost(day=MONDAY, children=("bem",)), "mishaps[0].children"),
            (DayLost(day=MONDAY, adults=("mya",)), "mishaps[0].adults"),
            (DayLost(day=MONDAY, start=600, end=600), "mishaps[0].end"),
            (NapFailed(day=MONDAY, child="bem"), "mishaps[0].child"),
            (Missing(what="tabel"), "mishaps[0].what"),
            (StillWet(booking="gam.1.1", minutes=10), "mishaps[0].booking"),
            (Hooked(booking="gam.1.1", minutes=10), "mishaps[0].booking"),
            (Refused(booking="gam.1.1", child="ada"), "mishaps[0].booking"),
            (Refused(booking="game.1.1", child="cleo"), "mishaps[0].child"),
            (Roster(adult="mya", day=MONDAY), "mishaps[0].adult"),
        ],
    )
    def test_the_fault_names_the_field_and_the_mend(self, mishap: Mishap, path: str) -> None:
        problem = house(weeks.activity("game"))
        plan = booked(problem, weeks.book(problem, "game", MONDAY))
        with pytest.raises(RelationError) as raised:
            mend(problem, plan, [mishap])
        (fault,) = raised.value.faults
        assert fault.path == path
        assert fault.message

    def test_a_plan_of_another_week(self) -> None:
        problem = house(weeks.activity("game"))
        with pytest.raises(RelationError, match="the plan is for 2027-W06"):
            mend(problem, weeks.plan(problem, week="2027-W06"), [Tired(day=MONDAY)])
