"""What goes otherwise today: naps, time, a child who will not, a tired adult; and where its effect ends."""

from __future__ import annotations

from typing import Any

import pytest

from solver.aftermath import aftermath
from solver.domain.activity import Lighter, PrepTask
from solver.domain.base import DAYS, Evening, Help, Mess
from solver.domain.faults import RelationError
from solver.domain.home import Material
from solver.domain.mishap import (
    Hooked,
    Late,
    NapFailed,
    NapGone,
    Refused,
    Tired,
)
from solver.domain.people import Hours
from solver.domain.plan import Plan
from solver.domain.week import FixedKind, NapChange, Problem, Rank
from solver.mend import mend
from tests.solver import weeks
from tests.solver.mending import moment, where
from tests.solver.small_house import (
    CLASS,
    MONDAY,
    TUESDAY,
    WEDNESDAY,
    activity,
    booked,
    house,
    mended,
    there,
    unchanged,
)


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
