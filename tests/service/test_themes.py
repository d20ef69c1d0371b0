"""Before a theme, and after a week: what it costs, what falls off, what comes first next week."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from service.catalogue.shelf import activity_of
from service.errors import BadInput, NotFound
from service.themes.backplan import back_plan
from service.themes.cost import theme_cost
from service.themes.rollover import Wanted, next_week, week_after, weeks_on
from solver.domain.document import Document
from solver.domain.plan import Fate, LeftOver, Plan, Reason
from solver.domain.week import Rank
from tests.service.house import NEXT_WEEK, WEEK, document_json
from tests.service.papers import booking
from tests.service.test_record import line

POND = Document.model_validate_json((Path(__file__).parents[2] / "demo" / "pond-week.json").read_text())
APRIL = datetime.date(2027, 4, 19)


def test_what_the_pond_costs_this_house_is_added_up_by_hand() -> None:
    cost = theme_cost(POND, "pond life", APRIL, set())
    pond = [one for one in POND.activities if one.theme == "pond life"]
    assert cost.activities == len(pond) == 26
    assert cost.prep_min == sum(task.minutes for one in pond for task in one.prep)
    assert cost.prep_a_week == 65, "household A's evenings"
    assert cost.money == sum(one.cost for one in pond)
    assert cost.two_adult_slots == 1, "only the pond-dipping visit takes two"
    assert cost.big_messes == sum(sitting.mess >= 3 for one in pond for sitting in one.sittings)
    # the frog bowl's three least waits of a day each are in it
    assert cost.drying_days > 3
    assert [(one.title, one.by) for one in cost.reserve] == [
        ("Who lives in our pond?", datetime.date(2027, 4, 5))
    ], "a fortnight before"


def test_a_shorter_theme_keeps_less_and_says_what_falls_off_and_why() -> None:
    sizes = theme_cost(POND, "pond life", APRIL, set()).sizes
    assert [size.weeks for size in sizes] == [1, 2, 3, 4]
    assert [len(size.kept) for size in sizes] == sorted(len(size.kept) for size in sizes)
    for size in sizes:
        assert size.prep_min <= 65 * size.weeks
        assert size.money <= 18 * size.weeks
        assert len(size.kept) + len(size.falls_off) == 26
        assert {one.activity for one in size.falls_off}.isdisjoint(size.kept)
    assert "P04" in sizes[0].kept, "the headline falls off last"
    assert {one.because for one in sizes[0].falls_off} <= {
        "no evening minutes left",
        "no money left",
        "no room for more of the theme",
        "no day left for that much mess",
    }


def test_the_theme_says_which_areas_it_leaves_thin() -> None:
    thin = {(one.child, one.area) for one in theme_cost(POND, "pond life", APRIL, set()).thin}
    assert ("wren", "SE") in thin, "two a week are wanted, the pond has one"
    assert not {area for _, area in thin} & {"PR", "PL"}, "nothing is wanted of these"


def test_what_is_put_away_or_too_old_does_not_count() -> None:
    assert theme_cost(POND, "pond life", APRIL, {"P04"}).two_adult_slots == 0
    with pytest.raises(NotFound, match="bread and grain, pond life"):
        theme_cost(POND, "volcanoes", APRIL, set())


def test_a_bowl_is_planned_back_from_its_day() -> None:
    """The paper-pulp bowl (catalogue P10): a day between layers, paste cooked an evening before."""
    steps = back_plan(activity_of(POND, "P10"), datetime.date(2027, 4, 23))
    names = [step.what for step in steps]
    assert names[-4:] == [sitting.name for sitting in activity_of(POND, "P10").sittings]
    days = [step.latest for step in steps]
    assert days == sorted(days)
    assert days[-1] == datetime.date(2027, 4, 22), "finished the day before"
    assert days[-4] <= datetime.date(2027, 4, 20), "two nights to dry at least"
    assert days[0] < days[-4], "made ready on an evening before"


def week_json(week: str, *ranks: str, **more: Any) -> dict[str, Any]:
    wishes = [{"id": f"w{n}", "activity": "leaf-story", "rank": rank} for n, rank in enumerate(ranks)]
    return {"id": week, "wishes": wishes, **more}


def left(wish: str, fate: str, go: int = 0) -> LeftOver:
    because = Reason(sentence="rain")
    return LeftOver(
        wish=wish,
        activity="brook-walk",
        title="Brook walk",
        go=go,
        sittings=(0,),
        fate=Fate(fate),
        reason=because,
    )


def test_what_was_held_over_comes_first_and_weighs_more() -> None:
    made = document_json()
    made["weeks"] = made["weeks"][:1]
    made["weeks"][0]["wishes"] += [
        {"id": "lost", "activity": "acorn-count", "worth": 9, "told": True},
        {"id": "gone", "activity": "acorn-count"},
    ]
    document = Document.model_validate(made)
    plan = Plan(
        week=WEEK,
        bookings=(booking("story", "leaf-story", "monday", "09:00"),),
        left_over=(
            left("walk", "held_over"),
            left("lost", "held_over"),
            left("gone", "let_go"),
            left("story", "held_over"),
        ),
    )
    after = next_week(document, document.weeks[0], plan, (line(areas=("LL",)),), Wanted())
    wishes = {wish.id: wish for wish in after.week.wishes}
    assert after.week.id == NEXT_WEEK
    assert set(wishes) == {"story", "walk", "lost"}, "the staple, what was held over, not what was let go"
    assert (wishes["walk"].worth, wishes["lost"].worth) == (7, 10)
    assert (wishes["story"].times, wishes["lost"].told) == (2, False)
    assert after.held_over == ("Brook walk", "Acorn count")
    assert after.week.done_before == ("leaf-story",)
    assert after.week.times_before == {"burr": {"LL": 1}}
    assert not after.break_proposed


def test_a_break_is_offered_after_six_weeks_and_never_pressed() -> None:
    made = document_json()
    made["weeks"] = [week_json(f"2027-W{n:02d}", "extra") for n in range(1, 7)]
    document = Document.model_validate(made)
    assert weeks_on(document, document.weeks[4]) == 5
    fifth = document.model_copy(update={"weeks": document.weeks[:5]})
    assert not next_week(fifth, document.weeks[4], None, (), Wanted()).break_proposed
    sixth = next_week(document, document.weeks[5], None, (), Wanted())
    assert sixth.break_proposed
    assert "Nothing is lost by it" in sixth.note
    quiet = next_week(document, document.weeks[5], None, (), Wanted(take_break=True))
    assert [wish.rank for wish in quiet.week.wishes] == []
    made["weeks"][3] = week_json("2027-W04", "staple")
    assert weeks_on(Document.model_validate(made), document.weeks[5]) == 2, "the quiet week was a break"


def test_the_year_turns_with_the_iso_week() -> None:
    assert week_after("2026-W52") == "2026-W53"
    assert week_after("2026-W53") == "2027-W01"


def test_a_week_that_is_there_is_not_made_again() -> None:
    document = Document.model_validate(document_json())
    with pytest.raises(BadInput, match="there is a week 2027-W06 already"):
        next_week(document, document.weeks[0], None, (), Wanted())


def test_themes_and_the_next_week_over_http(client: TestClient) -> None:
    made = document_json()
    made["weeks"] = made["weeks"][:1]
    for activity in made["activities"]:
        activity["theme"] = "Autumn leaves"
    client.put("/api/document", json=made)
    cost = client.get("/api/themes/Autumn leaves/cost", params={"start": "2027-02-08"})
    assert cost.json()["activities"] == 3
    assert client.get("/api/themes/moon/cost", params={"start": "2027-02-08"}).status_code == 404
    shown = client.post(f"/api/weeks/{WEEK}/next", json={"theme": "Snow"}).json()
    assert (shown["week"]["id"], shown["week"]["theme"]) == (NEXT_WEEK, "Snow")
    assert len(client.get("/api/weeks").json()) == 1, "only shown"
    client.post(f"/api/weeks/{WEEK}/next", params={"keep": True})
    assert [one["id"] for one in client.get("/api/weeks").json()] == [WEEK, NEXT_WEEK]
    assert client.post(f"/api/weeks/{WEEK}/next").status_code == 422
    steps = client.get("/api/activities/leaf-story/back-plan", params={"by": "2027-03-01"}).json()
    assert steps == [{"what": "Leaf story", "latest": "2027-02-28"}]
    assert {wish["rank"] for wish in client.get(f"/api/weeks/{NEXT_WEEK}").json()["wishes"]} == {
        Rank.STAPLE.value
    }
