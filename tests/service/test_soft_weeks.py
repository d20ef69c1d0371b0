"""One week firm, two soft: planned all the same, what is held over first, never over what the family did."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from service.errors import BadInput, NotFound
from service.store import Store
from service.themes.backplan import week_for, with_celebration
from service.themes.taking import Take, spread, theme_taken
from solver.check import check
from solver.domain.document import Document
from solver.domain.plan import Fate, LeftOver, Plan, Reason
from solver.domain.week import Rank
from tests.service.conftest import Serve
from tests.service.house import NEXT_WEEK, WEEK, document_json
from tests.service.papers import booking

THIRD = "2027-W07"
POND = Document.model_validate_json((Path(__file__).parents[2] / "demo" / "pond-week.json").read_text())


def kept(serve: Serve, solve: str = "empty") -> TestClient:
    """One firm week, in which the walk was held over."""
    client = serve(solve=solve)
    made = document_json()
    made["weeks"] = made["weeks"][:1]
    client.put("/api/document", json=made)
    store: Store = client.app.state.store  # type: ignore[attr-defined]
    held = LeftOver(
        wish="walk",
        activity="brook-walk",
        title="Brook walk",
        sittings=(0,),
        fate=Fate.HELD_OVER,
        reason=Reason(sentence="it rained"),
    )
    bookings = tuple(
        booking("story", "leaf-story", day, "09:00", go=n) for n, day in enumerate(("monday", "tuesday"))
    )
    plan = Plan(week=WEEK, bookings=bookings, left_over=(held,))
    store.add_plan(plan, store.current().made_from(WEEK))
    return client


def ahead(client: TestClient) -> list[dict[str, Any]]:
    answer = client.post(f"/api/weeks/{WEEK}/soft")
    assert answer.status_code == 200, answer.text
    weeks: list[dict[str, Any]] = answer.json()
    return weeks


def wishes(client: TestClient, week: str) -> list[str]:
    return [one["id"] for one in client.get(f"/api/weeks/{week}").json()["wishes"]]


def test_two_weeks_are_really_planned_and_hold(serve: Serve) -> None:
    client = kept(serve, "real")
    first, second = ahead(client)
    assert [(one["week"], one["soft"]) for one in (first, second)] == [(NEXT_WEEK, True), (THIRD, True)]
    assert first["held_over"] == ["Brook walk"]
    assert second["held_over"] == [], "it has its place in the week before"
    store: Store = client.app.state.store  # type: ignore[attr-defined]
    for week, placed in ((NEXT_WEEK, first["placed"]), (THIRD, second["placed"])):
        stored = store.latest_plan(week)
        assert stored is not None
        assert (stored.plan.soft, len(stored.plan.bookings)) == (True, placed)
        assert check(store.current().document.problem(week), stored.plan) == []
    assert first["placed"] == 3, "two stories and the walk"
    assert client.get(f"/api/weeks/{NEXT_WEEK}/view").json()["stored"]["plan"]["soft"]


def test_looking_again_makes_them_anew_and_doubles_nothing(serve: Serve) -> None:
    client = kept(serve)
    ahead(client)
    before = wishes(client, NEXT_WEEK)
    assert before == ["story", "walk"]
    ahead(client)
    assert wishes(client, NEXT_WEEK) == before
    assert [one["week"] for one in client.get(f"/api/weeks/{WEEK}/soft").json()] == [NEXT_WEEK, THIRD]


def test_what_the_family_planned_is_left_alone(serve: Serve) -> None:
    client = kept(serve)
    ahead(client)
    job = client.post(f"/api/weeks/{NEXT_WEEK}/solve").json()
    client.app.state.jobs.wait(job["id"], 20)  # type: ignore[attr-defined]
    version = client.get(f"/api/weeks/{NEXT_WEEK}").headers["etag"]
    first, second = ahead(client)
    assert (first["soft"], second["soft"]) == (False, True)
    assert client.get(f"/api/weeks/{NEXT_WEEK}").headers["etag"] == version


def test_wishes_of_the_familys_own_stay_and_what_is_held_over_comes_on_top(serve: Serve) -> None:
    client = kept(serve)
    ahead(client)
    own = [{"id": "sum", "activity": "acorn-count"}]
    assert client.put(f"/api/weeks/{NEXT_WEEK}/wishes", json=own).status_code == 200
    ahead(client)
    assert wishes(client, NEXT_WEEK) == ["walk", "sum"]
    ahead(client)
    assert wishes(client, NEXT_WEEK) == ["walk", "sum"]


def test_what_is_held_over_waits_through_a_quiet_week(serve: Serve) -> None:
    client = kept(serve)
    answer = client.post(f"/api/weeks/{WEEK}/soft", params={"rest": True}).json()
    assert [one["held_over"] for one in answer] == [[], ["Brook walk"]]
    assert wishes(client, NEXT_WEEK) == ["story"]
    assert wishes(client, THIRD) == ["story", "walk"]


def test_a_firm_week_is_not_made_quiet_but_the_one_after_it(serve: Serve) -> None:
    client = kept(serve)
    ahead(client)
    job = client.post(f"/api/weeks/{NEXT_WEEK}/solve").json()
    client.app.state.jobs.wait(job["id"], 20)  # type: ignore[attr-defined]
    before = wishes(client, NEXT_WEEK)
    assert client.post(f"/api/weeks/{WEEK}/soft", params={"rest": True}).status_code == 200
    assert (wishes(client, NEXT_WEEK), wishes(client, THIRD)) == (before, ["story"])


def test_a_quiet_week_is_proposed_after_six(serve: Serve) -> None:
    client = serve()
    made = document_json()
    busy = made["weeks"][1]["wishes"]
    made["weeks"] = [{"id": f"2027-W0{n}", "wishes": busy} for n in range(1, 8)]
    client.put("/api/document", json=made)
    asked = client.get("/api/weeks/2027-W01/soft").json()
    assert [(one["weeks_on"], one["break_proposed"]) for one in asked] == [
        (1, False), (2, False), (3, False), (4, False), (5, False), (6, True),
    ]  # fmt: skip


def test_planning_ahead_is_taken_back(serve: Serve) -> None:
    client = kept(serve)
    ahead(client)
    for _ in range(2):
        assert client.post("/api/undo").status_code == 200
    assert [one["id"] for one in client.get("/api/weeks").json()] == [WEEK]
    assert client.post("/api/weeks/2031-W01/soft").status_code == 404


def pond(*activities: str, weeks: int = 2) -> Document:
    return theme_taken(POND, "pond life", Take(week="2027-W17", weeks=weeks, activities=activities))


def test_a_theme_is_taken_for_two_weeks() -> None:
    """The second week is begun from the first; one headline each is promised, staples go on."""
    names = ("P04", "P10", "P01", "P03", "P05", "P06")
    taken = pond(*names)
    first, second = taken.weeks[-2:]
    assert (first.id, second.id) == ("2027-W17", "2027-W18")
    assert first.theme == second.theme == "pond life"
    themes = {one.id: one.theme for one in POND.activities}
    new = [{w.activity for w in week.wishes if themes[w.activity] == "pond life"} for week in (first, second)]
    assert set(names) <= new[0] | new[1]
    staples = [wish.activity for wish in POND.weeks[0].wishes if wish.rank is Rank.STAPLE]
    assert [wish.activity for wish in second.wishes if wish.rank is Rank.STAPLE] == staples
    assert second.wishes[-1].activity in names


def test_another_themes_extras_make_room_and_promises_stay() -> None:
    made = document_json()
    for activity, theme in zip(made["activities"], ("leaves", "snow", "snow"), strict=True):
        activity["theme"] = theme
    made["weeks"][0]["wishes"] = [
        {"id": "a", "activity": "leaf-story"},
        {"id": "b", "activity": "leaf-story", "rank": "promise"},
    ]
    document = Document.model_validate(made)
    week = theme_taken(document, "snow", Take(week=WEEK, activities=("acorn-count", "brook-walk"))).weeks[0]
    assert [(wish.id, wish.rank) for wish in week.wishes] == [
        ("b", Rank.PROMISE),
        ("acorn-count", Rank.EXTRA),
        ("brook-walk", Rank.EXTRA),
    ]
    with pytest.raises(BadInput, match="belongs to leaves"):
        theme_taken(document, "snow", Take(week=WEEK, activities=("leaf-story",)))
    with pytest.raises(NotFound):
        theme_taken(document, "snow", Take(week=WEEK, activities=("moon",)))


def test_nothing_stands_before_what_it_needs() -> None:
    chain = [one for one in POND.activities if one.needs_first]
    assert chain, "the catalogue has such pairs"
    for one in chain:
        first = next(other for other in POND.activities if other.id == one.needs_first)
        others = [other for other in POND.activities if other.theme == first.theme][:6]
        weeks = spread([one, *(other for other in others if other.id not in (one.id, first.id)), first], 3)
        at = {each.id: number for number, some in enumerate(weeks) for each in some}
        assert at[first.id] <= at[one.id]


@pytest.mark.parametrize(
    ("by", "week", "finish"),
    [
        # the bowl's four sittings with a night between: from Monday on it is ready for Friday
        (datetime.date(2027, 4, 23), "2027-W16", ("thursday", "24:00")),
        # for a Tuesday it belongs into the week before, all of it
        (datetime.date(2027, 4, 27), "2027-W16", None),
    ],
)
def test_a_celebration_is_planned_back_into_its_week(
    by: datetime.date, week: str, finish: tuple[str, str] | None
) -> None:
    bowl = next(one for one in POND.activities if one.id == "P10")
    base = POND.model_copy(update={"weeks": (POND.weeks[0].model_copy(update={"id": week}),)})
    assert week_for(bowl, by) == week
    wish = with_celebration(base, bowl, by).weeks[0].wishes[-1]
    assert (wish.activity, wish.rank) == ("P10", Rank.PROMISE)
    given = wish.finish_by.model_dump(mode="json") if wish.finish_by else None
    assert given == ({"day": finish[0], "time": finish[1]} if finish else None)


def test_theme_and_celebration_over_http(client: TestClient) -> None:
    taken = client.post(
        "/api/themes/leaves/take", json={"week": WEEK, "weeks": 2, "activities": ["leaf-story"]}
    )
    assert [one["theme"] for one in taken.json()] == ["leaves", "leaves"]
    client.post("/api/undo")
    assert client.get(f"/api/weeks/{WEEK}").json()["theme"] == "Autumn leaves"
    planned = client.post("/api/activities/acorn-count/back-plan", params={"by": "2027-02-05"})
    assert planned.json()["wishes"][-1]["rank"] == "promise"
    assert (
        client.post("/api/activities/acorn-count/back-plan", params={"by": "2031-02-05"}).status_code == 404
    )
