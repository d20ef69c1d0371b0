"""A place, a tool, a supply, the sky, wet paint: what a mishap may change, and where its effect ends."""

from __future__ import annotations

from typing import Any

import pytest

from solver.aftermath import aftermath
from solver.domain.activity import Wait, WaitKind, Weather
from solver.domain.base import DAYS, Day
from solver.domain.home import Holder, Material
from solver.domain.mishap import (
    Missing,
    SkyTurned,
    StillWet,
)
from solver.domain.plan import Plan
from solver.domain.week import Problem
from solver.search import solve
from tests.solver import weeks
from tests.solver.mending import where
from tests.solver.small_house import (
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
            {"id": "paint", "name": "Paint", "count": 2, "reusable": False, "substitutes": ["beetroot"]}
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

    @pytest.mark.parametrize(
        "came",
        [
            {"buyable": True, "price": 3},
            {"arrivals": ({"at": {"day": "monday", "time": "08:00"}, "count": 2},)},
        ],
        ids=["bought", "arrived"],
    )
    def test_what_was_used_stays_used_however_it_came(self, came: dict[str, Any]) -> None:
        paint = Material.model_validate(
            {"id": "paint", "name": "Paint", "count": 0, "reusable": False, **came}
        )
        painting = activity("painting", needs=({"material": "paint"},))
        problem = house(painting, weeks.wish("painting", times=2), house={"materials": (paint,)})
        plan = solve(problem, workers=1)
        assert {b.id: b.day for b in plan.bookings} == {"painting.1.1": MONDAY, "painting.2.1": TUESDAY}
        best = mended(problem, plan, Missing(what="paint"), "tuesday@07:00").offers[0]
        assert [where(b) for b in best.plan.bookings] == [where(plan.bookings[0])]
        spent = sum(one.cost for one in best.plan.shopping)
        assert spent == came.get("price", 0), "what was paid on Monday is paid"

    @pytest.mark.parametrize(
        ("days", "told"),
        [((), "this week there is no Paint to be had"), (DAYS[1:3], "on Tuesday and Wednesday there is no")],
    )
    def test_the_reason_says_when_there_is_none(self, days: tuple[Day, ...], told: str) -> None:
        paint = Material.model_validate({"id": "paint", "name": "Paint", "count": 2, "reusable": False})
        problem = house(
            activity("painting", needs=({"material": "paint"},)),
            house={"materials": (paint,)},
            overrides={"gone": ({"what": "paint", "days": days},)},
            teaching_days=DAYS[1:3],
        )
        assert [told in left.reason.sentence for left in solve(problem, workers=1).left_over] == [True]

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
