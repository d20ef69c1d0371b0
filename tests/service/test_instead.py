"""Something else in a booking's place: a spare thing like for like, the lighter version, or why not."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from service.app import create_app
from service.store import Store
from solver.check import check
from solver.domain.document import Document
from solver.domain.plan import Plan
from solver.search import solve
from tests.service.house import WEEK, document_json
from tests.service.papers import booking

ALL = "all"


def _like(ident: str, title: str, like: dict[str, Any], **more: Any) -> dict[str, Any]:
    return {**like, "id": ident, "title": title, **more}


def _messy(sitting: dict[str, Any]) -> dict[str, Any]:
    return {**sitting, "mess": 4}


def spare_document() -> Document:
    """The orchard with a lighter story, one spare like it, and one spare that is far too messy."""
    made = document_json()
    story, _, walk = made["activities"]
    part = {ALL: {"minutes": 5, "help": 1}}
    story["lighter"] = {"does": "looks at the pictures", "sitting": {**story["sittings"][0], "parts": part}}
    riddles = _like("riddles", "Snail riddles", story, lighter=None)
    mud = _like("mud", "Mud pictures", story, lighter=None, sittings=[_messy(story["sittings"][0])])
    steps = [walk["sittings"][0], {**walk["sittings"][0], "name": "look at what was found"}]
    hunt = _like("hunt", "Cone hunt", walk, sittings=steps, waits=[{"kind": "rest", "least_min": 60}])
    puddles = _like("puddles", "Puddle walk", walk)
    made["activities"] += [riddles, mud, hunt, puddles]
    week = made["weeks"][0]
    week["wishes"] += [{"id": "hunt", "activity": "hunt"}]
    week["spare"] = ["mud", "riddles", "puddles"]
    made["household"]["limits"] = {"mess_sum_a_day": 2}
    return Document.model_validate(made)


@pytest.fixture(scope="module")
def found() -> Plan:
    """Its week."""
    return solve(spare_document().problem(WEEK), seconds=3, seed=1, workers=1)


@pytest.fixture
def client(tmp_path: Path, found: Plan) -> Iterator[TestClient]:
    """A server that holds it."""
    with TestClient(create_app(tmp_path / "data"), base_url="http://127.0.0.1:8027") as client:
        store: Store = client.app.state.store  # type: ignore[attr-defined]
        store.put_document(spare_document())
        store.add_plan(found, store.current().made_from(WEEK))
        yield client


def stored(client: TestClient) -> Any:
    """The latest plan."""
    return client.get(f"/api/weeks/{WEEK}/plan").json()


def bookings(client: TestClient) -> dict[str, Any]:
    """Its bookings by id."""
    return {one["id"]: one for one in stored(client)["plan"]["bookings"]}


def asked(client: TestClient, booking: str, how: str) -> Any:
    """What the service says to a swap, or to the lighter version."""
    answer = client.post(f"/api/weeks/{WEEK}/bookings/{booking}/{how}")
    assert answer.status_code == 200, answer.text
    return answer.json()


def accept(client: TestClient, verdict: Any) -> None:
    """Take the first way."""
    way = verdict["offers"][0]["id"]
    assert client.post(f"/api/weeks/{WEEK}/offers/{way}/accept").status_code == 200


def holds(client: TestClient) -> None:
    """The checker finds nothing in what is stored."""
    whole = Document.model_validate(client.get("/api/document").json())
    assert stored(client)["is_current"]
    assert check(whole.problem(WEEK), Plan.model_validate(stored(client)["plan"])) == []


class TestSwapping:
    def test_a_spare_takes_the_place_and_goes_again(self, client: TestClient) -> None:
        before = bookings(client)
        was = before["story.1.1"]
        verdict = asked(client, "story.1.1", "swap")
        assert (verdict["fits"], verdict["in_the_way"]) == (True, [])
        offer = verdict["offers"][0]["offer"]
        assert offer["sentence"].startswith("Snail riddles instead of Leaf story, ")
        assert bookings(client) == before, "nothing changes until it is accepted"
        accept(client, verdict)
        after = bookings(client)
        assert "story.1.1" not in after
        (there,) = (one for one in after.values() if one["activity"] == "riddles")
        assert (there["day"], there["start"], there["place"]) == (was["day"], was["start"], was["place"])
        assert {one["child"] for one in there["attends"]} == {one["child"] for one in was["attends"]}
        assert {ident: one for ident, one in after.items() if ident != there["id"]} == {
            ident: one for ident, one in before.items() if ident != "story.1.1"
        }, "nothing else moves"
        left = [one for one in stored(client)["plan"]["left_over"] if one["wish"] == "story"]
        assert left, "what was swapped out is told, not lost"
        holds(client)
        client.post("/api/undo")
        assert bookings(client) == before

    def test_what_breaks_a_rule_is_not_offered(self, client: TestClient) -> None:
        titles = [one["offer"]["sentence"] for one in asked(client, "story.1.1", "swap")["offers"]]
        assert not [title for title in titles if "Mud pictures" in title]

    def test_and_when_nothing_fits_the_rule_is_told(self, client: TestClient) -> None:
        document = spare_document()
        week = document.weeks[0].model_copy(update={"spare": ("mud",)})
        store: Store = client.app.state.store  # type: ignore[attr-defined]
        plan = Plan.model_validate(stored(client)["plan"])
        others = tuple(one for one in document.activities if one.id not in ("riddles", "acorn-count"))
        weeks = tuple(one for one in document.weeks[1:] if one.id == WEEK)
        store.put_document(document.model_copy(update={"weeks": (week, *weeks), "activities": others}))
        store.add_plan(plan, store.current().made_from(WEEK))
        verdict = asked(client, "story.1.1", "swap")
        assert (verdict["fits"], verdict["offers"]) == (False, [])
        (reason,) = verdict["in_the_way"]
        assert reason.startswith("Mud pictures does not fit here. ")
        assert "mess" in reason

    def test_half_of_a_thing_is_not_swapped_away(self, client: TestClient) -> None:
        verdict = asked(client, "hunt.1.2", "swap")
        assert not verdict["fits"]
        assert "half done" in verdict["in_the_way"][0]

    def test_a_thing_of_two_sittings_goes_as_a_whole(self, client: TestClient) -> None:
        verdict = asked(client, "hunt.1.1", "swap")
        assert verdict["fits"], verdict
        accept(client, verdict)
        assert not [one for one in bookings(client) if one.startswith("hunt.")]
        holds(client)

    def test_what_is_not_in_the_week(self, client: TestClient) -> None:
        assert client.post(f"/api/weeks/{WEEK}/bookings/none.1.1/swap").status_code == 404


def laid_over(put: TestClient) -> dict[str, Any]:
    """A week in which the story is read while hands are busy with the second step of the clay."""
    made = document_json()
    made["activities"][0]["alongside"] = "listening"
    step = made["activities"][0]["sittings"][0]
    part = {ALL: {"minutes": 20, "help": 1}}
    steps = [{**step, "name": name, "parts": part} for name in ("shape", "paint")]
    lighter = {"does": "presses a leaf in", "sitting": {**step, "parts": part}}
    clay = _like("clay", "Clay snail", made["activities"][1], kind="craft", alongside="busy hands")
    clay |= {"sittings": steps, "lighter": lighter, "waits": [{"kind": "dry", "least_min": 600}]}
    beads = _like("beads", "Acorn beads", clay, sittings=steps[:1], lighter=None, waits=[])
    made["activities"] += [clay, beads]
    week = made["weeks"][0]
    week |= {"wishes": [{"id": "clay", "activity": "clay"}], "spare": ["beads"]}
    week["wishes"].append({"id": "story", "activity": "leaf-story", "rank": "staple"})
    document = Document.model_validate(made)
    laid = (
        booking("clay", "clay", "monday", "09:00", minutes=20),
        booking("clay", "clay", "wednesday", "09:00", minutes=20, id="clay.1.2", sitting=1),
        booking("story", "leaf-story", "wednesday", "09:05", alongside="clay.1.2"),
    )
    plan = Plan(week=WEEK, bookings=laid)
    assert {one.key for one in check(document.problem(WEEK), plan)} <= {"holding"}, (
        "only what waits is not listed"
    )
    store: Store = put.app.state.store  # type: ignore[attr-defined]
    store.put_document(document)
    store.add_plan(plan, store.current().made_from(WEEK))
    return bookings(put)


class TestWhatWasLaidOverIt:
    """A story laid over a later step of the same thing once named a booking that was not there any more."""

    @pytest.mark.parametrize("how", ["swap", "lighter"])
    def test_it_stands_alone_when_that_step_goes(self, client: TestClient, how: str) -> None:
        before = laid_over(client)
        verdict = asked(client, "clay.1.1", how)
        assert (verdict["fits"], verdict["in_the_way"]) == (True, []), verdict
        accept(client, verdict)
        after = bookings(client)
        assert "clay.1.2" not in after
        assert after["story.1.1"] == before["story.1.1"] | {"alongside": None}
        holds(client)


class TestTheLighterWay:
    def test_it_takes_the_place_and_goes_again(self, client: TestClient) -> None:
        before = bookings(client)
        verdict = asked(client, "story.1.1", "lighter")
        assert verdict["fits"]
        assert "the lighter way" in verdict["offers"][0]["offer"]["sentence"]
        accept(client, verdict)
        there = bookings(client)["story.1.1"]
        assert there["lighter"]
        assert there["minutes"] == 5
        assert (there["day"], there["start"]) == (before["story.1.1"]["day"], before["story.1.1"]["start"])
        holds(client)
        assert not asked(client, "story.1.1", "lighter")["fits"], "it is already"
        client.post("/api/undo")
        assert bookings(client) == before

    @pytest.mark.parametrize(
        ("booking", "said"), [("walk.1.1", "has no lighter version"), ("hunt.1.2", "no lighter version")]
    )
    def test_where_there_is_none_it_says_so(self, client: TestClient, booking: str, said: str) -> None:
        verdict = asked(client, booking, "lighter")
        assert (verdict["fits"], verdict["offers"]) == (False, [])
        assert said in verdict["in_the_way"][0]
