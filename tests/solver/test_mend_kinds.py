"""Every sort of mishap: what it may change, and where its effect ends.

One small house: Ada and Ben, Mia who leads, Noah on two mornings; a class on Tuesday, lunch every day.
"""

from __future__ import annotations

from typing import Any

import pytest

from solver.aftermath import aftermath
from solver.check import check
from solver.domain.activity import Lighter, PrepTask, Wait, WaitKind, Weather
from solver.domain.base import DAYS, Day, Evening, Help, Mess
from solver.domain.faults import RelationError
from solver.domain.home import Holder, Material
from solver.domain.mishap import (
    DayLost,
    Hooked,
    Late,
    Mending,
    Mishap,
    Missing,
    NapFailed,
    NapGone,
    Offer,
    Refused,
    Roster,
    SkyTurned,
    StillWet,
    Tired,
)
from solver.domain.people import Hours
from solver.domain.plan import Booking, Plan
from solver.domain.week import FixedKind, NapChange, Problem, Rank
from solver.mend import mend
from tests.solver import weeks
from tests.solver.mending import moment, week_of, where

MONDAY, TUESDAY, WEDNESDAY, THURSDAY, FRIDAY, SATURDAY, SUNDAY = DAYS
NOAH = weeks.NOAH.model_copy(
    update={
        "hours": (Hours.model_validate({"days": ["tuesday", "wednesday"], "start": "08:00", "end": "12:00"}),)
    }
)
CLASS = weeks.point(
    "class", "15:00", "15:45", children=("ada",), adults=("mia",), days=("tuesday",), travel_before_min=10
)


def activity(name: str, minutes: int = 10, help: int = 1, **changes: Any) -> Any:
    sitting = {key: changes.pop(key) for key in ("places", "setup_min", "mess", "needs") if key in changes}
    return weeks.activity(name, weeks.sitting(minutes, help, **sitting), **changes)


def house(*wanted: Any, **week: Any) -> Problem:
    week.setdefault("teaching_days", DAYS[:4])
    return weeks.problem(*wanted, **week)


def booked(problem: Problem, *bookings: Booking) -> Plan:
    plan = weeks.plan(problem, *bookings)
    assert check(problem, plan) == []
    return plan


def mended(problem: Problem, plan: Plan, mishap: Mishap, at: str | None = None) -> Mending:
    day, _, time = (at or "").partition("@")
    now = moment(Day(day), time) if at else None
    mending = mend(problem, plan, [mishap], at=now, seconds=3, workers=1)
    for offer in mending.offers:
        assert check(week_of(problem, offer), offer.plan) == []
    return mending


def there(offer: Offer, name: str) -> Booking | None:
    return next((one for one in offer.plan.bookings if one.id == name), None)


def unchanged(offer: Offer, plan: Plan) -> bool:
    return sorted(map(where, offer.plan.bookings)) == sorted(map(where, plan.bookings))


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


class TestNapFailed:
    NAPPING = weeks.BEN.model_copy(update={"naps": (weeks.nap("13:00", 60),)})

    def test_what_was_to_be_done_in_the_nap_is_done_otherwise(self) -> None:
        shorter = Lighter(does="less", sitting=weeks.sitting(5, 4))
        alone = weeks.activity("reading", weeks.sitting(30, 4), lighter=shorter)
        problem = house(alone, weeks.wish("reading", children=("ada",)), children=(weeks.ADA, self.NAPPING))
        plan = booked(problem, weeks.book(problem, "reading", MONDAY, "13:05", children=("ada",)))
        mending = mended(problem, plan, NapFailed(child="ben", day=MONDAY), "monday@13:10")
        kept = [one for offer in mending.offers if (one := there(offer, "reading.1.1"))]
        assert any(one.lighter for one in kept)
        assert all(one.day is MONDAY for one in kept)

    def test_a_child_without_a_nap_changes_nothing(self) -> None:
        problem = house(weeks.activity("game"))
        plan = booked(problem, weeks.book(problem, "game", MONDAY, "13:05"))
        assert unchanged(mended(problem, plan, NapFailed(child="ada", day=MONDAY)).offers[0], plan)


class TestNapGone:
    NAPPING = weeks.BEN.model_copy(update={"naps": (weeks.nap("13:00", 60),)})

    def test_from_that_day_on_nothing_leans_on_it_and_it_may_be_at_another_hour(self) -> None:
        busy = weeks.activity("reading", weeks.sitting(30, 4))
        wish = weeks.wish(
            "reading", children=("ada",), times=2, rank=Rank.STAPLE, stretches=("afternoon",),
            hours=({"start": "13:00", "end": "14:00"},),
        )  # fmt: skip
        only_then = weeks.adult("Noah", hours=(Hours(start=9 * 60, end=12 * 60),))
        problem = house(busy, wish, children=(weeks.ADA, self.NAPPING), adults=(weeks.MIA, only_then))
        plan = booked(
            problem,
            weeks.book(problem, "reading", MONDAY, "13:05", children=("ada",)),
            weeks.book(problem, "reading", TUESDAY, "13:05", children=("ada",), go=1),
        )
        mending = mended(problem, plan, NapGone(child="ben", day=TUESDAY), "tuesday@08:00")
        moves = next(offer for offer in mending.offers if offer.moved)
        (moved,) = moves.moved
        assert (moved.booking, moved.to_day, moved.to_stretch) == ("reading.2.1", TUESDAY, "morning")
        naps = {(one.day, one.start) for one in moves.week.naps}
        assert naps == {(day, None) for day in DAYS[1:]}

    def test_a_nap_that_was_called_off_before_is_called_off_once(self) -> None:
        called_off = NapChange(child="ben", day=TUESDAY, usual_start=13 * 60)
        problem = house(weeks.activity("game"), children=(weeks.ADA, self.NAPPING), naps=(called_off,))
        plan = booked(problem, weeks.book(problem, "game", MONDAY))
        after = aftermath(problem, plan, [NapGone(child="ben", day=TUESDAY)], None)
        assert sorted(one.day.index for one in after.problem.week.naps) == [1, 2, 3, 4, 5, 6]


class TestLate:
    def test_lunch_slides_and_keeps_its_length(self) -> None:
        problem = house(weeks.activity("game"))
        plan = booked(problem, weeks.book(problem, "game", MONDAY, "14:00"))
        after = aftermath(problem, plan, [Late(minutes=20)], moment(MONDAY, "12:20"))
        meals = [p for p in after.problem.week.fixed_points if p.kind is FixedKind.MEAL]
        assert [(p.start, p.end) for p in meals] == [(12 * 60 + 20, 12 * 60 + 50)]

    @pytest.mark.parametrize(
        ("time", "slides"), [("12:00", False), ("12:05", True), ("12:30", True), ("12:35", False)]
    )
    def test_only_a_meal_within_those_minutes(self, time: str, slides: bool) -> None:
        problem = house(weeks.activity("game"))
        after = aftermath(problem, weeks.plan(problem), [Late(minutes=30)], moment(MONDAY, time))
        assert bool(after.problem.week.fixed_points) is slides

    def test_what_was_planned_in_those_minutes_is_still_to_do(self) -> None:
        problem = house(weeks.activity("game"))
        plan = booked(problem, weeks.book(problem, "game", MONDAY, "09:00"))
        done = there(mended(problem, plan, Late(minutes=30), "monday@09:20").offers[0], "game.1.1")
        assert done is not None
        assert done.start >= 9 * 60 + 20
        before = there(mended(problem, plan, Late(minutes=15), "monday@09:20").offers[0], "game.1.1")
        assert before is not None
        assert before.start == 9 * 60

    def test_it_needs_a_time(self) -> None:
        problem = house(weeks.activity("game"))
        with pytest.raises(RelationError, match="needs the time"):
            mend(problem, weeks.plan(problem), [Late(minutes=10)])


class TestMissing:
    def test_a_place_is_closed_on_its_day_alone(self) -> None:
        problem = house(activity("game", places=("table",)), weeks.wish("game", times=2))
        plan = booked(
            problem, weeks.book(problem, "game", MONDAY), weeks.book(problem, "game", WEDNESDAY, go=1)
        )
        best = mended(problem, plan, Missing(what="table", day=MONDAY)).offers[0]
        assert where(there(best, "game.2.1") or plan.bookings[0]) == where(plan.bookings[1])
        first = there(best, "game.1.1")
        assert first is None or first.day is TUESDAY

    def test_another_place_will_do(self) -> None:
        problem = house(activity("game", places=("table", "sofa")))
        plan = booked(problem, weeks.book(problem, "game", MONDAY))
        best = mended(problem, plan, Missing(what="table", day=MONDAY)).offers[0]
        game = there(best, "game.1.1")
        assert game is not None
        assert (game.place, best.moved) == ("sofa", ())

    def test_a_supply_is_gone_but_what_was_used_stays_used(self) -> None:
        paint = Material.model_validate(
            {"id": "paint", "name": "Paint", "count": 2, "substitutes": ["beetroot"]}
        )
        painting = activity("painting", needs=({"material": "paint"},))
        problem = house(painting, weeks.wish("painting", times=2), house={"materials": (paint,)})
        plan = booked(
            problem, weeks.book(problem, "painting", MONDAY), weeks.book(problem, "painting", WEDNESDAY, go=1)
        )
        best = mended(problem, plan, Missing(what="paint"), "tuesday@08:00").offers[0]
        assert there(best, "painting.1.1")
        assert there(best, "painting.2.1") is None
        assert any("beetroot" in note for note in best.notes)

    def test_a_tool_is_gone_for_one_day(self) -> None:
        drum = Material.model_validate({"id": "drum", "name": "Drum", "count": 1, "reusable": True})
        drumming = activity("drumming", needs=({"material": "drum"},))
        problem = house(drumming, weeks.wish("drumming", times=2), house={"materials": (drum,)})
        plan = booked(
            problem,
            weeks.book(problem, "drumming", TUESDAY),
            weeks.book(problem, "drumming", WEDNESDAY, go=1),
        )
        best = mended(problem, plan, Missing(what="drum", day=WEDNESDAY)).offers[0]
        assert there(best, "drumming.1.1")
        second = there(best, "drumming.2.1")
        assert second is None or second.day is not WEDNESDAY

    def test_a_shelf_that_is_gone_holds_what_stands_there(self) -> None:
        wait = Wait(kind=WaitKind.DRY, least_min=60, holder="shelf")
        bowl = weeks.activity("bowl", weeks.sitting(), weeks.sitting(), waits=(wait,))
        shelf = Holder(id="shelf", name="the shelf")
        problem = house(bowl, house={"holders": (shelf,)})
        first = weeks.book(problem, "bowl", MONDAY)
        plan = booked(problem, first, weeks.book(problem, "bowl", MONDAY, "14:00", sitting=1))
        assert unchanged(mended(problem, plan, Missing(what="shelf"), "monday@10:00").offers[0], plan)
        assert mended(problem, plan, Missing(what="shelf"), "monday@08:00").offers[0].plan.bookings == ()


class TestSkyTurned:
    def test_rain_stops_what_needs_a_dry_sky_in_those_hours(self) -> None:
        outside = activity("digging", places=("yard",), weather=Weather.DRY)
        problem = house(outside)
        plan = booked(problem, weeks.book(problem, "digging", MONDAY, "09:00"))
        wet = mended(problem, plan, SkyTurned(day=MONDAY, wet=True, start=540, end=720)).offers
        assert all((one := there(offer, "digging.1.1")) is None or one.start >= 720 for offer in wet)
        dry = mended(problem, plan, SkyTurned(day=MONDAY, wet=True, start=720, end=900)).offers[0]
        assert unchanged(dry, plan)

    def test_the_forecast_of_other_hours_stays(self) -> None:
        sky = ({"days": ["monday"], "start": "08:00", "end": "12:00", "wet": True},)
        problem = house(weeks.activity("game"), sky=sky)
        after = aftermath(problem, weeks.plan(problem), [SkyTurned(day=MONDAY, start=600, end=660)], None)
        pieces = sorted((p.start, p.end, p.wet) for p in after.problem.week.sky if p.on(MONDAY))
        assert pieces == [(480, 600, True), (600, 660, False), (660, 720, True)]


class TestStillWet:
    def bowl(self, least: int = 60) -> tuple[Problem, Plan]:
        wait = Wait(kind=WaitKind.DRY, least_min=least)
        problem = house(weeks.activity("bowl", weeks.sitting(), weeks.sitting(), waits=(wait,)))
        first = weeks.book(problem, "bowl", MONDAY)
        return problem, booked(problem, first, weeks.book(problem, "bowl", MONDAY, "11:00", sitting=1))

    def test_the_next_layer_waits_so_much_longer(self) -> None:
        problem, plan = self.bowl()
        best = mended(problem, plan, StillWet(booking="bowl.1.1", minutes=120)).offers[0]
        layer = there(best, "bowl.1.2")
        assert layer is not None
        assert (layer.day.index, layer.start) >= (0, 9 * 60 + 10 + 60 + 120)

    def test_if_it_would_be_dry_by_then_nothing_changes(self) -> None:
        problem, plan = self.bowl()
        assert unchanged(mended(problem, plan, StillWet(booking="bowl.1.1", minutes=50)).offers[0], plan)
        five_more = mended(problem, plan, StillWet(booking="bowl.1.1", minutes=55)).offers[0]
        assert not unchanged(five_more, plan)

    def test_what_waits_for_nothing_is_not_touched(self) -> None:
        problem, plan = self.bowl()
        assert unchanged(mended(problem, plan, StillWet(booking="bowl.1.2", minutes=120)).offers[0], plan)


class TestRefused:
    def painting(self, *spare: Any, **week: Any) -> tuple[Problem, Plan]:
        painting = activity("painting", 15, mess=Mess.WIPE_TABLE, energy=2, places=("table",))
        problem = house(painting, *spare, weeks.wish("painting"), **week)
        return problem, booked(problem, weeks.book(problem, "painting", MONDAY))

    def test_it_goes_on_without_that_child_and_is_kept_in_mind_for_it_alone(self) -> None:
        problem, plan = self.painting()
        best = mended(problem, plan, Refused(booking="painting.1.1", child="ben", reason="sticky")).offers[0]
        painting = there(best, "painting.1.1")
        assert painting is not None
        assert [a.child for a in painting.attends] == ["ada"]
        assert "Kept in mind for Ben: sticky." in best.notes
        assert not any("Ada" in note for note in best.notes)

    def test_up_to_two_things_of_its_like_stand_in(self) -> None:
        spare = tuple(
            activity(name, 15, energy=2, places=("table", "floor")) for name in ("blocks", "beads", "cards")
        )
        problem, plan = self.painting(*spare, spare=("blocks", "beads", "cards"))
        mending = mended(problem, plan, Refused(booking="painting.1.1", child="ben", reason="sticky"))
        swaps = [offer for offer in mending.offers if offer.kind == "swap"]
        assert len(swaps) == 2
        for offer in swaps:
            (name,) = offer.added
            new = there(offer, name)
            assert new is not None
            assert [a.child for a in new.attends] == ["ben"]
            assert new.day is MONDAY
            assert 9 * 60 <= new.start <= 9 * 60 + 30
            assert "instead" in offer.sentence

    @pytest.mark.parametrize(
        "changes",
        [
            {"energy": 4},
            {"minutes": 40},
            {"mess": Mess.WIPE_TABLE},
            {"needs": ({"material": "glue"},)},
        ],
    )
    def test_nothing_stands_in_that_is_not_like_it(self, changes: dict[str, Any]) -> None:
        glue = Material.model_validate({"id": "glue", "name": "Glue", "count": 0, "buyable": True})
        fields = {"minutes": 15, "energy": 2, "places": ("table", "floor"), **changes}
        other = activity("other", fields.pop("minutes"), **fields)
        problem, plan = self.painting(other, spare=("other",), house={"materials": (glue,)})
        mending = mended(problem, plan, Refused(booking="painting.1.1", child="ben", reason="sticky"))
        assert not [offer for offer in mending.offers if offer.kind == "swap"]

    def test_the_easier_version_answers_too_long_but_not_sticky(self) -> None:
        easier = Lighter(does="less", sitting=weeks.sitting(5, 1))
        painting = weeks.activity("painting", weeks.sitting(15, 1), lighter=easier)
        problem = house(painting, weeks.wish("painting", children=("ben",)))
        plan = booked(problem, weeks.book(problem, "painting", MONDAY, children=("ben",)))
        long = mended(problem, plan, Refused(booking="painting.1.1", child="ben", reason="too long"))
        in_place = [one for offer in long.offers if (one := there(offer, "painting.1.1")) and one.lighter]
        assert any(one.stretch == "morning" for one in in_place)
        sticky = mended(problem, plan, Refused(booking="painting.1.1", child="ben", reason="sticky"))
        left = [one for offer in sticky.offers if (one := there(offer, "painting.1.1"))]
        assert all(one.stretch != "morning" for one in left)

    def test_what_is_over_is_only_remembered(self) -> None:
        problem, plan = self.painting()
        refused = Refused(booking="painting.1.1", child="ben", reason="sticky")
        best = mended(problem, plan, refused, "tuesday@08:00").offers[0]
        assert unchanged(best, plan)
        assert "Kept in mind for Ben: sticky." in best.notes


class TestHooked:
    def test_the_next_thing_gives_way(self) -> None:
        problem = house(activity("sand", 20), activity("story", 10))
        plan = booked(
            problem,
            weeks.book(problem, "sand", MONDAY, "09:00"),
            weeks.book(problem, "story", MONDAY, "09:30"),
        )
        best = mended(problem, plan, Hooked(booking="sand.1.1", minutes=40)).offers[0]
        story = there(best, "story.1.1")
        assert story is not None
        assert story.start >= 10 * 60
        assert where(there(best, "sand.1.1") or story) == where(plan.bookings[0])

    def test_it_ends_where_somebody_has_to_leave(self) -> None:
        leaving = CLASS.model_copy(update={"days": (MONDAY,), "start": 600, "end": 660})
        problem = house(activity("sand", 20), fixed_points=(leaving,))
        plan = booked(problem, weeks.book(problem, "sand", MONDAY, "09:00"))
        after = aftermath(problem, plan, [Hooked(booking="sand.1.1", minutes=90)], None)
        (run,) = [p for p in after.problem.week.fixed_points if p.kind is FixedKind.LOST]
        assert run.end == leaving.taken_from

    def test_hands_on_help_stays_hands_on(self) -> None:
        for level, taken in ((Help.DIPS_IN, ()), (Help.BESIDE, ("mia",))):
            problem = house(activity("sand", 20, level))
            plan = booked(problem, weeks.book(problem, "sand", MONDAY, "09:00"))
            after = aftermath(problem, plan, [Hooked(booking="sand.1.1", minutes=30)], None)
            assert after.problem.week.fixed_points[-1].adults == taken


class TestTired:
    def test_mess_goes_and_the_quiet_things_stay(self) -> None:
        problem = house(
            activity("paint", mess=Mess.WIPE_TABLE, tired_ok=True), activity("story", tired_ok=True),
            activity("game", tired_ok=False),
        )  # fmt: skip
        plan = booked(
            problem, weeks.book(problem, "paint", MONDAY, "09:00"),
            weeks.book(problem, "story", MONDAY, "10:00"), weeks.book(problem, "game", TUESDAY),
        )  # fmt: skip
        best = mended(problem, plan, Tired(day=MONDAY)).offers[0]
        assert {b.id for b in best.plan.bookings} == {"story.1.1", "game.1.1"}

    @pytest.mark.parametrize("count", [2, 3])
    def test_two_set_ups_and_no_third(self, count: int) -> None:
        names = [f"thing{i}" for i in range(count)]
        problem = house(*(activity(name, setup_min=5, tired_ok=True) for name in names))
        starts = ("09:00", "10:00", "11:00")
        plan = booked(
            problem, *(weeks.book(problem, name, MONDAY, at) for name, at in zip(names, starts, strict=False))
        )
        best = mended(problem, plan, Tired(day=MONDAY)).offers[0]
        assert len(best.plan.bookings) == 2

    def test_no_prep_that_evening(self) -> None:
        problem = house(
            weeks.activity("game"), limits=weeks.limits(prep=(weeks.prep_evening(Evening.MONDAY),))
        )
        after = aftermath(problem, weeks.plan(problem), [Tired(day=MONDAY)], None)
        assert after.problem.household.limits.prep == ()
        other = aftermath(problem, weeks.plan(problem), [Tired(day=TUESDAY)], None)
        assert len(other.problem.household.limits.prep) == 1

    def test_what_is_promised_may_keep_its_prep_and_that_is_said(self) -> None:
        packing = PrepTask(id="pack", name="Pack the bag", minutes=15)
        trip = weeks.activity("trip", prep=(packing,))
        monday = weeks.limits(prep=(weeks.prep_evening(Evening.MONDAY),))
        problem = house(trip, weeks.wish("trip", rank=Rank.PROMISE), weeks.activity("game"), limits=monday)
        first = weeks.book(problem, "trip", WEDNESDAY)
        ready = weeks.make_ready(problem, first, "pack", Evening.MONDAY)
        plan = weeks.plan(problem, first, weeks.book(problem, "game", MONDAY), ready)
        mending = mended(problem, plan, Tired(day=MONDAY))
        kept = [offer for offer in mending.offers if there(offer, "trip.1.1")]
        assert [offer.kind for offer in kept] == ["with-prep"]
        assert "Tonight there would still be 15 minutes to pack the bag." in kept[0].notes
        assert all(offer.plan.prep == () for offer in mending.offers if offer not in kept)


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
