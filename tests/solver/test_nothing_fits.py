"""What is sound but hopeless, or very large, gets a week with reasons.

Nothing here measures time: that nothing hangs is seen from each test ending, with limits given to the solver.
"""

from __future__ import annotations

import json
from collections.abc import Callable

import pytest

from solver.check import check
from solver.domain.base import DAYS, Window
from solver.domain.document import Document
from solver.domain.home import Place
from solver.domain.people import Allergy, Hours
from solver.domain.plan import Plan
from solver.domain.week import Illness, Problem
from solver.search import solve
from tests.solver.demo_weeks import raw
from tests.solver.weeks import (
    ADA,
    BEN,
    CLEO,
    LUNCH,
    MIA,
    PLACES,
    STRETCHES,
    activity,
    adult,
    book,
    limits,
    meal,
    moment,
    point,
    problem,
    sitting,
    wish,
)


def planned(of: Problem, seconds: float = 2.0) -> Plan:
    plan = solve(of, seconds=seconds, workers=1)
    assert check(of, plan) == []
    accounted(of, plan)
    return plan


def accounted(of: Problem, plan: Plan) -> None:
    """Every go is placed or left over with a reason in a sentence."""
    placed = {(b.wish, b.go) for b in plan.bookings}
    left = {(one.wish, one.go) for one in plan.left_over}
    for one in of.week.wishes:
        for go in range(one.times):
            assert (one.id, go) in placed | left, (one.id, go)
    for over in plan.left_over:
        assert over.reason.sentence.endswith(".")


def nothing(of: Problem) -> Plan:
    plan = planned(of)
    assert plan.bookings == ()
    assert plan.left_over
    return plan


GAME = activity("game")
ALL_DAY = {"start": "00:00", "end": "24:00"}


def test_a_household_with_no_adult_on_hand() -> None:
    """The one adult sleeps, calls, or is away all week."""
    for duty in ("asleep", "quiet_call"):
        away = adult("Mia", hours=(Hours.model_validate(ALL_DAY | {"duty": duty}),))
        assert "helper_on_hand" in nothing(problem(GAME, adults=(away,))).left_over[0].reason.rules
    plan = nothing(problem(GAME, adults=(adult("Mia", hours=()),)))
    assert "an adult" in plan.left_over[0].reason.sentence


def test_a_child_with_no_free_minute() -> None:
    class_all_day = point("school", "00:00", "24:00", children=("ada", "ben"))
    plan = nothing(problem(GAME, house={"fixed_points": (LUNCH, class_all_day)}))
    assert "child_free" in plan.left_over[0].reason.rules


def test_one_child_with_no_free_minute_may_be_left_out_if_wished() -> None:
    away = point("school", "00:00", "24:00", children=("ada",))
    house = {"fixed_points": (away,)}
    assert not planned(problem(GAME, house=house)).bookings
    (alone,) = planned(problem(GAME, wish("game", may_split=True), house=house)).bookings
    assert [a.child for a in alone.attends] == ["ben"]


HOPELESS: dict[str, Callable[[], Problem]] = {
    "nobody leads": lambda: problem(GAME, adults=(adult("Mia", leads=False),)),
    "nobody wants to": lambda: problem(GAME, adults=(adult("Mia", wont_do=("game",)),)),
    "nobody speaks it": lambda: problem(GAME, wish("game", language="Welsh")),
    "all are too young": lambda: problem(
        activity("game", versions=({"id": "any", "age_from_months": 150, "age_to_months": 200},))
    ),
    "an allergy": lambda: problem(
        activity("game", allergens=("milk",)),
        children=tuple(
            one.model_copy(update={"allergies": (Allergy.model_validate({"allergen": "milk"}),)})
            for one in (ADA, BEN)
        ),
    ),
    "never for a household": lambda: problem(activity("game", hazards=("water beads",))),
    "only babies": lambda: problem(
        GAME, children=(CLEO,), house={"fixed_points": (meal("lunch", "12:00", "12:30", children=("cleo",)),)}
    ),
    "everybody is ill": lambda: problem(
        GAME,
        ill=tuple(Illness(child=one, when=(Window.model_validate(ALL_DAY),)) for one in ("ada", "ben")),
    ),
    "every place is closed": lambda: problem(
        GAME,
        house={
            "places": tuple(Place.model_validate(one.model_dump() | {"closed": [ALL_DAY]}) for one in PLACES)
        },
    ),
    "the week is over": lambda: problem(GAME, now=moment(DAYS[6], "24:00")),
    "no day is a teaching day": lambda: problem(GAME, teaching_days=()),
    "longer than any day": lambda: problem(activity("game", sitting(480))),
    "hours that no sitting fits": lambda: problem(
        GAME, wish("game", hours=(Window.model_validate({"start": "09:00", "end": "09:05"}),))
    ),
    "rain is wanted and none comes": lambda: problem(activity("game", weather="wet wanted")),
    "it opens a theme that waits for it": lambda: problem(
        activity("game", needs_first="before"), activity("before", sitting(480))
    ),
    "no mess at all": lambda: problem(activity("game", sitting(mess=1)), limits=limits(mess_sum_a_day=0)),
    "no money": lambda: problem(activity("game", cost=1), limits=limits(money_a_week=0)),
    "four adults": lambda: problem(activity("game", adults_needed=4)),
    "wait longer than a week": lambda: problem(
        activity("game", sitting(), sitting(), waits=({"kind": "dry", "least_min": 20_000},))
    ),
    "screen before sleep": lambda: problem(
        activity("game", kind="screen"), limits=limits(screen_min_a_day=0)
    ),
}


@pytest.mark.parametrize("build", HOPELESS.values(), ids=HOPELESS)
def test_what_cannot_be_is_left_over_with_its_reason(build: Callable[[], Problem]) -> None:
    plan = nothing(build())
    for one in plan.left_over:
        assert one.reason.rules, one.reason.sentence


def test_no_wishes_at_all() -> None:
    plan = planned(problem())
    assert plan.bookings == plan.left_over == ()


def test_a_firm_booking_where_nothing_fits_is_left_over() -> None:
    """At lunch, and twice at once: what was set by hand and cannot be is said, not quietly moved."""
    first = problem(GAME, activity("story"))
    at_lunch = book(first, "game", start="12:00", state="firm")
    at_once = book(first, "story", start="12:00", state="firm")
    week = problem(GAME, activity("story"), firm=(at_lunch, at_once))
    plan = nothing(week)
    assert {one.wish for one in plan.left_over} == {"game", "story"}


@pytest.mark.parametrize("seconds", [0.0, 0.05])
@pytest.mark.parametrize("workers", [1, 2])
def test_hardly_any_time(seconds: float, workers: int) -> None:
    of = Document.model_validate(raw("pond-week")).problem()
    plan = solve(of, seconds=seconds, workers=workers)
    assert check(of, plan) == []
    accounted(of, plan)


def test_ten_thousand_activities() -> None:
    """Only what is wished reaches the solver."""
    document = raw("small")
    one = next(a for a in document["activities"] if a["id"] == "P02")
    document["activities"] += [one | {"id": f"song-{i}"} for i in range(10_000)]
    document["weeks"][0]["wishes"] = [{"id": "it", "activity": "song-9999"}]
    whole = Document.model_validate_json(json.dumps(document))
    assert len(whole.activities) > 10_000
    of = whole.problem()
    assert [a.id for a in of.activities] == ["song-9999"]
    assert len(planned(of).bookings) == 1


def test_far_more_wishes_than_a_week_can_hold() -> None:
    """A hundred and twenty different hours in the yard; asking why each is left out must come to an end."""
    document = raw("small")
    one = next(a for a in document["activities"] if a["id"] == "E04")
    document["activities"] = [one | {"id": f"play-{i}"} for i in range(120)]
    document["weeks"][0]["wishes"] = [{"id": f"w{i}", "activity": f"play-{i}"} for i in range(120)]
    plan = planned(Document.model_validate(document).problem(), seconds=0.5)
    assert plan.bookings
    assert len(plan.left_over) > 60


def test_the_largest_household_there_may_be() -> None:
    """Twenty children, twelve adults and sixty places, and one game for all."""
    children = tuple(ADA.model_copy(update={"id": f"c{i}", "name": f"C{i}"}) for i in range(20))
    adults = tuple(MIA.model_copy(update={"id": f"a{i}", "name": f"A{i}"}) for i in range(12))
    places = tuple(Place(id=f"p{i}", name=f"P{i}") for i in range(60))
    lunch = meal("lunch", "12:00", "12:30", children=("c0",), adults=("a0",), place="p0")
    house = {"places": places, "fixed_points": (lunch,), "stretches": STRETCHES}
    of = problem(activity("game", sitting(places=("p1",))), children=children, adults=adults, house=house)
    (game,) = planned(of).bookings
    assert len(game.attends) == 20
