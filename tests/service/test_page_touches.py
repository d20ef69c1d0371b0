"""What the page asks beyond the week: ticks and notes taken once, why, moves, the plan before."""

from __future__ import annotations

from typing import Any

import pytest
from fastapi.testclient import TestClient

from service.store import Store
from solver.check import check
from solver.domain.document import Document
from solver.domain.plan import Plan
from solver.search import solve
from tests.service.house import WEEK, document

MONDAY, LATER = "2027-02-01T09:00:00Z", "2027-02-01T10:00:00Z"


@pytest.fixture(scope="module")
def found() -> Plan:
    """The orchard's week, as the solver finds it."""
    return solve(document().problem(WEEK), seconds=3, seed=1, workers=1)


@pytest.fixture
def planned(client: TestClient, found: Plan) -> TestClient:
    """A server that holds it."""
    store: Store = client.app.state.store  # type: ignore[attr-defined]
    store.add_plan(found, store.current().made_from(WEEK))
    return client


def item(ident: str, at: str = MONDAY, **more: Any) -> dict[str, Any]:
    """Something ticked or noted."""
    return {"id": ident, "at": at, "week": WEEK} | more


def send(client: TestClient, *items: dict[str, Any]) -> list[str]:
    """As the outbox does; the ids that the page may forget."""
    answer = client.post("/api/outbox", json=list(items))
    assert answer.status_code == 200, answer.text
    ids: list[str] = answer.json()["ids"]
    return ids


def marks(client: TestClient) -> Any:
    """Ticks and notes of the week."""
    return client.get(f"/api/weeks/{WEEK}/marks").json()


def outcomes(client: TestClient) -> dict[str, str]:
    """How each booking was ticked."""
    return {one["booking"]: one["outcome"] for one in marks(client)["ticks"]}


def bookings(client: TestClient) -> dict[str, Any]:
    """The latest plan's bookings by id."""
    return {one["id"]: one for one in client.get(f"/api/weeks/{WEEK}/plan").json()["plan"]["bookings"]}


class TestOutbox:
    def test_what_is_sent_twice_is_taken_once(self, planned: TestClient) -> None:
        note = item("note-0001", note="asked for more")
        assert send(planned, note) == send(planned, note) == ["note-0001"]
        assert [one["text"] for one in marks(planned)["notes"]] == ["asked for more"]
        assert len(planned.get("/api/changes").json()) == 2, "the household and one note"

    def test_the_later_tick_is_right_in_whatever_order_they_come(self, planned: TestClient) -> None:
        send(planned, item("tick-0002", LATER, booking="story.1.1", outcome="loved"))
        send(planned, item("tick-0001", booking="story.1.1", outcome="no"))
        assert outcomes(planned) == {"story.1.1": "loved"}

    def test_two_devices_merge(self, planned: TestClient) -> None:
        send(planned, item("tick-one-1", booking="story.1.1", outcome="done"))
        send(planned, item("tick-two-1", booking="walk.1.1", outcome="fine"))
        assert outcomes(planned) == {"story.1.1": "done", "walk.1.1": "fine"}

    def test_a_tick_taken_away(self, planned: TestClient) -> None:
        send(planned, item("tick-0001", booking="story.1.1", outcome="done"))
        send(planned, item("tick-0002", LATER, booking="story.1.1", outcome=None))
        assert outcomes(planned) == {}

    def test_undone_it_does_not_come_back_when_sent_again(self, planned: TestClient) -> None:
        tick = item("tick-0001", booking="story.1.1", outcome="done")
        send(planned, tick)
        assert planned.post("/api/undo").json()["what"] == "a tick was set"
        send(planned, tick)
        assert outcomes(planned) == {}

    @pytest.mark.parametrize(
        "wrong",
        [
            item("short"),
            item("tick-0001", booking="story.1.1", outcome="hated"),
            item("tick-0001", at="yesterday"),
            item("tick-0001", at="2027-02-01T09:00:00"),
            item("note-0001", note="x" * 2001),
        ],
    )
    def test_what_is_no_tick_is_refused_with_its_field(
        self, planned: TestClient, wrong: dict[str, Any]
    ) -> None:
        answer = planned.post("/api/outbox", json=[wrong])
        assert answer.status_code == 422
        assert answer.json()["faults"][0]["path"]
        assert marks(planned) == {"ticks": [], "notes": []}

    def test_marks_of_an_unknown_week(self, planned: TestClient) -> None:
        assert planned.get("/api/weeks/2027-W40/marks").status_code == 404


class TestWhy:
    def test_answers_in_sentences(self, planned: TestClient) -> None:
        answer = planned.get(f"/api/weeks/{WEEK}/why/story.1.1").json()
        assert answer["sentences"][0].startswith("Leaf story is on ")

    def test_names_what_it_does_not_know(self, planned: TestClient) -> None:
        assert planned.get(f"/api/weeks/{WEEK}/why/nothing").status_code == 422


class TestMoving:
    def test_a_move_that_fits_is_done_and_undone(self, planned: TestClient, found: Plan) -> None:
        before = bookings(planned)
        spot = {"day": "friday", "stretch": "afternoon"}
        verdict = planned.post(f"/api/weeks/{WEEK}/bookings/walk.1.1/move", json=spot).json()
        assert (verdict["fits"], verdict["in_the_way"]) == (True, [])
        first = verdict["offers"][0]
        assert first["offer"]["moved"][0]["booking"] == "walk.1.1"
        assert bookings(planned) == before, "nothing moves until it is accepted"
        assert planned.post(f"/api/weeks/{WEEK}/offers/{first['id']}/accept").status_code == 200
        there = bookings(planned)["walk.1.1"]
        assert (there["day"], there["stretch"], there["state"]) == ("friday", "afternoon", "firm")
        self._holds(planned)
        planned.post("/api/undo")
        assert bookings(planned) == before

    def _holds(self, client: TestClient) -> None:
        whole = Document.model_validate(client.get("/api/document").json())
        stored = client.get(f"/api/weeks/{WEEK}/plan").json()
        assert stored["is_current"]
        assert check(whole.problem(WEEK), Plan.model_validate(stored["plan"])) == []

    def test_a_move_outside_the_rules_is_refused_in_a_sentence(self, planned: TestClient) -> None:
        wishes = planned.get(f"/api/weeks/{WEEK}").json()["wishes"]
        only = [one | {"stretches": ["morning"]} if one["id"] == "walk" else one for one in wishes]
        assert planned.put(f"/api/weeks/{WEEK}/wishes", json=only).status_code == 200
        spot = {"day": "friday", "stretch": "afternoon"}
        verdict = planned.post(f"/api/weeks/{WEEK}/bookings/walk.1.1/move", json=spot).json()
        assert (verdict["fits"], verdict["offers"]) == (False, [])
        assert verdict["in_the_way"][0].endswith(".")

    def test_a_move_worked_out_for_an_older_week_is_refused(self, planned: TestClient) -> None:
        spot = {"day": "friday", "stretch": "afternoon"}
        verdict = planned.post(f"/api/weeks/{WEEK}/bookings/walk.1.1/move", json=spot).json()
        planned.put(f"/api/weeks/{WEEK}/bookings/story.1.1/firm", json={"firm": True})
        answer = planned.post(f"/api/weeks/{WEEK}/offers/{verdict['offers'][0]['id']}/accept")
        assert answer.status_code == 412
        assert bookings(planned)["story.1.1"]["state"] == "firm"

    def test_a_move_worked_out_for_other_wishes_is_refused(self, planned: TestClient) -> None:
        """Another device wished for something else meanwhile; that must not be lost."""
        spot = {"day": "friday", "stretch": "afternoon"}
        verdict = planned.post(f"/api/weeks/{WEEK}/bookings/walk.1.1/move", json=spot).json()
        wishes = planned.get(f"/api/weeks/{WEEK}").json()["wishes"]
        other = [one | {"times": 3} if one["id"] == "story" else one for one in wishes]
        assert planned.put(f"/api/weeks/{WEEK}/wishes", json=other).status_code == 200
        answer = planned.post(f"/api/weeks/{WEEK}/offers/{verdict['offers'][0]['id']}/accept")
        assert answer.status_code == 412
        assert planned.get(f"/api/weeks/{WEEK}").json()["wishes"] == other

    @pytest.mark.parametrize("change", ["move", "swap", "lighter"])
    def test_a_week_that_does_not_hold_any_more_is_made_anew_first(
        self, planned: TestClient, change: str
    ) -> None:
        wishes = planned.get(f"/api/weeks/{WEEK}").json()["wishes"]
        fewer = [one for one in wishes if one["id"] != "walk"]
        assert planned.put(f"/api/weeks/{WEEK}/wishes", json=fewer).status_code == 200
        spot = {"json": {"day": "friday", "stretch": "afternoon"}} if change == "move" else {}
        for booking in ("walk.1.1", "story.1.1"):
            answer = planned.post(f"/api/weeks/{WEEK}/bookings/{booking}/{change}", **spot)
            assert answer.status_code == 412, answer.text
            assert "anew" in answer.json()["detail"]

    def test_what_is_not_in_the_week_cannot_move(self, planned: TestClient) -> None:
        spot = {"day": "friday", "stretch": "afternoon"}
        assert planned.post(f"/api/weeks/{WEEK}/bookings/none.1.1/move", json=spot).status_code == 404
        assert planned.post(f"/api/weeks/{WEEK}/offers/none/accept").status_code == 404


class TestHoldingFirm:
    def test_held_let_loose_and_taken_back(self, planned: TestClient) -> None:
        address = f"/api/weeks/{WEEK}/bookings/walk.1.1/firm"
        before = bookings(planned)
        assert planned.put(address, json={"firm": True}).json()["is_current"]
        assert bookings(planned)["walk.1.1"]["state"] == "firm"
        assert [one["id"] for one in planned.get(f"/api/weeks/{WEEK}").json()["firm"]] == ["walk.1.1"]
        planned.put(address, json={"firm": False})
        assert bookings(planned) == before
        planned.post("/api/undo")
        planned.post("/api/undo")
        assert planned.get(f"/api/weeks/{WEEK}").json()["firm"] == []

    def test_an_overtaken_week_does_not_become_current_by_it(self, planned: TestClient) -> None:
        wishes = planned.get(f"/api/weeks/{WEEK}").json()["wishes"]
        fewer = [one for one in wishes if one["id"] != "walk"]
        assert planned.put(f"/api/weeks/{WEEK}/wishes", json=fewer).status_code == 200
        held = planned.put(f"/api/weeks/{WEEK}/bookings/story.1.1/firm", json={"firm": True})
        assert (held.status_code, held.json()["is_current"]) == (200, False)
        gone = planned.put(f"/api/weeks/{WEEK}/bookings/walk.1.1/firm", json={"firm": True})
        assert gone.status_code == 412


class TestThePlanBefore:
    def test_there_is_none_at_first(self, planned: TestClient) -> None:
        assert planned.get(f"/api/weeks/{WEEK}/plan-before").status_code == 404

    def test_it_comes_back_and_can_be_taken_back(self, planned: TestClient) -> None:
        before = bookings(planned)
        planned.put(f"/api/weeks/{WEEK}/bookings/walk.1.1/firm", json={"firm": True})
        old = planned.get(f"/api/weeks/{WEEK}/plan-before").json()["id"]
        latest = planned.get(f"/api/weeks/{WEEK}/plan").json()["id"]
        address = f"/api/weeks/{WEEK}/plans/{old}/back"
        assert planned.post(address, json={"latest": latest + 1}).status_code == 412
        assert planned.post(address, json={"latest": latest}).status_code == 200
        assert bookings(planned) == before
        planned.post("/api/undo")
        assert bookings(planned)["walk.1.1"]["state"] == "firm"

    def test_one_that_is_not_kept(self, planned: TestClient) -> None:
        latest = planned.get(f"/api/weeks/{WEEK}/plan").json()["id"]
        answer = planned.post(f"/api/weeks/{WEEK}/plans/99999/back", json={"latest": latest})
        assert answer.status_code == 404
