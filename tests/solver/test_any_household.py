"""Random small households, drawn without care: each gets a week with reasons, or is told what is wrong."""

from __future__ import annotations

from collections import Counter
from typing import Any

from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from solver.check import check, costs
from solver.domain.activity import Activity, Hazard, Kind
from solver.domain.base import DAYS, clock_text
from solver.domain.faults import Fault, faults_of
from solver.domain.plan import Plan
from solver.domain.week import Problem, Rank
from solver.search import solve
from tests.solver.drawing import quick
from tests.solver.weeks import (
    ANY,
    MIA,
    NOAH,
    PLACES,
    activity,
    adult,
    child,
    limits,
    meal,
    point,
    problem,
    step,
    wish,
)

CLOCKS = st.integers(6 * 12, 20 * 12).map(lambda slot: clock_text(slot * 5))
LASTING = st.tuples(
    st.integers(72, 216),
    st.sampled_from([24, 1, 3, 6, 8, 12, 18, 24, 30, 36, 42, 48, 60, 72, 84, 96, 10, 14, 16, -1]),
).map(lambda of: (clock_text(of[0] * 5), clock_text((of[0] + of[1]) * 5)))
"""From and until; now and then the wrong way round, which is for the document to refuse."""
SOME_DAYS = st.lists(st.sampled_from(DAYS), max_size=3, unique=True)


def windows(most: int = 2, **also: st.SearchStrategy[Any]) -> st.SearchStrategy[list[dict[str, Any]]]:
    window = st.fixed_dictionaries({"lasts": LASTING, "days": SOME_DAYS, **also})
    return st.lists(window.map(spread), max_size=most)


def spread(window: dict[str, Any]) -> dict[str, Any]:
    start, end = window["lasts"]
    return {key: value for key, value in window.items() if key != "lasts"} | {"start": start, "end": end}


def flags(*names: str) -> dict[str, st.SearchStrategy[Any]]:
    return {name: st.booleans() for name in names}


def optional(**fields: st.SearchStrategy[Any]) -> st.SearchStrategy[dict[str, Any]]:
    return st.fixed_dictionaries({}, optional=fields)


PERSON = {
    "allergies": st.lists(st.fixed_dictionaries({"allergen": st.sampled_from(["milk", "wheat"])}), max_size=1)
}
CHILD = optional(
    naps=st.lists(
        st.fixed_dictionaries(
            {
                "start": st.sampled_from(["09:15", "12:40", "13:02", "14:00"]),
                "length_min": st.integers(20, 120),
                "days_of_seven": st.integers(0, 7),
            }
        ),
        max_size=1,
    ),
    alone_min=st.integers(0, 60),
    good_hours=windows(1),
    low_hours=windows(1),
    **flags("mouths_things", "crawls"),
    **PERSON,
)
ADULT = optional(
    hours=windows(2, duty=st.sampled_from(["on_hand", "on_hand", "on_call", "asleep", "quiet_call"])),
    low_hours=windows(1),
    **flags("leads", "may_lift", "minds_water"),
    **PERSON,
)
PARTS = st.fixed_dictionaries({"minutes": st.integers(1, 60), "help": st.integers(0, 4)})
NAMES = [place.id for place in PLACES]
SITTING = st.fixed_dictionaries(
    {
        "name": st.just("do it"),
        "places": st.lists(st.sampled_from(NAMES), min_size=1, max_size=2, unique=True),
    },
    optional={
        "setup_min": st.integers(0, 20),
        "cleanup_min": st.integers(0, 20),
        "mess": st.integers(0, 4),
        "meals": st.sampled_from([[], [], [], ["lunch"]]),
        "needs": st.lists(
            st.fixed_dictionaries({"material": st.just("flour"), "each_child": st.booleans()}), max_size=1
        ),
    },
).flatmap(
    lambda one: st.one_of(
        PARTS.map(lambda part: one | {"parts": {"any": part}}),
        PARTS.map(lambda part: one | {"parts": {"any": part}}),
        st.integers(1, 30).map(lambda minutes: one | {"adult_min": minutes}),
    )
)
WAIT = st.fixed_dictionaries(
    {"kind": st.just("dry"), "least_min": st.integers(0, 3000)},
    optional={
        "holder": st.just("tray"),
        "units": st.integers(1, 2),
        "spare": st.sampled_from([600, 0, 60, 5000]),
    },
).map(
    lambda wait: (
        {k: v for k, v in wait.items() if k != "spare"}
        | ({"most_min": wait["least_min"] + wait["spare"]} if "spare" in wait else {})
    )
)
PREP = st.fixed_dictionaries(
    {"id": st.just("cut"), "name": st.just("Cut"), "minutes": st.integers(1, 40)},
    optional={
        "lead_min": st.integers(0, 2000),
        "keeps_days": st.integers(0, 5),
        "batch": st.just("hob"),
        "holder": st.just("tray"),
        **flags("noisy"),
    },
)
ACTIVITY = optional(
    kind=st.sampled_from(list(Kind)),
    theme=st.sampled_from(["pond", None]),
    areas=st.lists(st.sampled_from(["LL", "MA"]), max_size=2, unique=True),
    prep=st.lists(PREP, max_size=1),
    together=st.sampled_from(["same", "own way", "apart", "one child only"]),
    focus=st.sampled_from(["free", "hands", "table", "listening"]),
    alongside=st.sampled_from([None, "listening", "busy hands"]),
    energy=st.integers(1, 5),
    weather=st.sampled_from(["any", "any", "dry", "wet wanted", "not icy"]),
    adults_needed=st.integers(1, 2),
    cost=st.integers(0, 5),
    hazards=st.lists(st.sampled_from(list(Hazard)), max_size=1),
    allergens=st.lists(st.sampled_from(["milk", "wheat"]), max_size=1),
    least_gap_days=st.integers(0, 2),
    lighter=SITTING.map(lambda one: {"does": "Less of it", "sitting": one}),
    **flags("nap_ok"),
)
WISH = optional(
    rank=st.sampled_from(list(Rank)),
    worth=st.integers(1, 10),
    times=st.integers(1, 3),
    most_a_day=st.integers(1, 2),
    least_gap_days=st.integers(0, 2),
    days=SOME_DAYS,
    stretches=st.lists(st.sampled_from(["morning", "afternoon"]), max_size=1),
    hours=windows(1),
    **flags("may_split", "lighter_ok", "may_carry_on", "opens_theme", "told"),
)
LIMITS = optional(
    mess_sum_a_day=st.integers(0, 8),
    big_mess_a_day=st.integers(0, 2),
    money_a_week=st.integers(0, 20),
    theme_things_a_day=st.integers(0, 3),
    free_share=st.sampled_from([0, 0.2, 0.9]),
    change_min=st.integers(0, 10),
    mess_hours=windows(1),
    screen_min_a_day=st.integers(0, 30),
)
CLASS = st.fixed_dictionaries(
    {
        "days": SOME_DAYS,
        "children": st.sampled_from([(), ("ada",)]),
        "adults": st.sampled_from([(), ("mia",)]),
    },
    optional={"travel_before_min": st.integers(0, 40), **flags("outdoors", "visitors_come")},
)
WEEK = optional(
    theme=st.just("pond"),
    sky=windows(2, wet=st.booleans(), icy=st.booleans(), too_hot=st.booleans()),
    now=st.fixed_dictionaries({"day": st.sampled_from(DAYS), "time": CLOCKS}),
    teaching_days=SOME_DAYS,
    ill=windows(1).map(lambda found: [{"child": "ada", "when": found}]),
    naps=st.lists(
        st.fixed_dictionaries(
            {
                "child": st.just("ada"),
                "day": st.sampled_from(DAYS),
                "usual_start": st.sampled_from(["09:15", "12:40"]),
                "start": st.sampled_from([None, "10:00"]),
            }
        ),
        max_size=1,
    ),
    visitors=windows(1).map(lambda here: [{"id": "sam", "name": "Sam", "here": here, "mouths_things": True}]),
)


@st.composite
def anything(draw: st.DrawFn) -> dict[str, Any]:
    """The parts of a small household, for ``built``; not all of them make sense together."""
    made = []
    for number in range(draw(st.integers(1, 4))):
        sittings = draw(st.lists(SITTING, min_size=1, max_size=3))
        waits = draw(st.lists(WAIT, min_size=len(sittings) - 1, max_size=len(sittings) - 1))
        fields = draw(ACTIVITY) | {"sittings": sittings, "waits": waits}
        made.append({"id": f"a{number}", "title": f"A{number}", "kind": "game", "versions": ANY} | fields)
    return {
        "activities": made,
        "wishes": [draw(WISH) for _ in made],
        "children": [draw(CHILD) for _ in range(draw(st.integers(1, 3)))],
        "adults": [draw(ADULT) for _ in range(draw(st.integers(1, 2)))],
        "limits": draw(LIMITS),
        "class": draw(CLASS),
        "lasts": draw(LASTING),
        "week": draw(WEEK),
    }


def built(drawn: dict[str, Any]) -> Problem:
    """The household, as far as it is one."""
    known = (("Ada", "2022-02", True), ("Ben", "2024-02", True), ("Cleo", "2026-05", False))
    children = tuple(
        child(name, born, learner=learns, **more)
        for (name, born, learns), more in zip(known, drawn["children"], strict=False)
    )
    adults = tuple(adult(name, **more) for name, more in zip(("Mia", "Noah"), drawn["adults"], strict=False))
    activities = [Activity.model_validate(one) for one in drawn["activities"]]
    start, end = drawn["lasts"]
    ids = tuple(one.id for one in children)
    return problem(
        *activities,
        *(wish(one.id, **more) for one, more in zip(activities, drawn["wishes"], strict=True)),
        children=children,
        adults=adults,
        limits=limits(**drawn["limits"]),
        house={
            "fixed_points": (
                meal("lunch", "12:00", "12:30", children=ids),
                point("class", start, end, **drawn["class"]),
            ),
            "materials": ({"id": "flour", "name": "flour", "reusable": False, "count": 3},),
            "holders": ({"id": "tray", "name": "the tray", "capacity": 2},),
            "areas": ({"id": "LL", "name": "Talk", "least_times": 1}, {"id": "MA", "name": "Number"}),
        },
        **drawn["week"],
    )


@quick(100)
@given(anything(), st.sampled_from([0.0, 0.05, 0.5, 2.0]))
def test_any_household_gets_a_week_with_reasons_or_is_told_what_is_wrong(
    drawn: dict[str, Any], seconds: float
) -> None:
    week = answered(drawn)
    if isinstance(week, list):
        assert week
        assert all(fault.path and fault.message for fault in week)
        return
    found = solve(week, seconds=seconds, workers=1)
    assert check(week, found) == []
    assert found.costs == costs(week, found)
    assert all(tier.bound <= tier.value for tier in found.tiers)
    everything_is_accounted_for(week, found)


def answered(drawn: dict[str, Any]) -> Problem | list[Fault]:
    """The household, or what is wrong with it."""
    try:
        return built(drawn)
    except ValidationError as error:
        return faults_of(error)


def everything_is_accounted_for(week: Problem, found: Plan) -> None:
    """A go is placed, left over with a reason, or partly both; nothing is booked that was not wished."""
    placed = {(b.wish, b.go) for b in found.bookings}
    left = {(one.wish, one.go) for one in found.left_over}
    for one in week.week.wishes:
        for go in range(one.times):
            assert (one.id, go) in placed | left
    assert {wish_id for wish_id, _ in placed} <= {one.id for one in week.week.wishes}
    for over in found.left_over:
        assert over.reason.sentence
        assert over.sittings


def test_an_adults_step_wants_one_adult_even_where_the_activity_wants_two() -> None:
    """Two were sent to put the rolls in the oven, and the checker threw the whole week out."""
    rolls = activity("rolls", step(5, places=("sofa",)), adults_needed=2)
    week = problem(rolls, activity("post", step(19, places=("yard",))), adults=(MIA, NOAH))
    found = solve(week, seconds=1, workers=1)
    assert check(week, found) == []
    assert [len(b.helpers) for b in found.bookings] == [1, 1]


def test_most_of_what_is_drawn_is_a_household() -> None:
    """Else the property above would say little."""
    sound: Counter[bool] = Counter()

    @quick(100)
    @given(anything())
    def look(drawn: dict[str, Any]) -> None:
        sound[isinstance(answered(drawn), Problem)] += 1

    look()
    assert sound[True] > sound[False] > 0
