"""A refusal told on the page: in the log once, for one child, with its reason; the week's pass knows it."""

from __future__ import annotations

from typing import Any

import pytest
from fastapi.testclient import TestClient

from service.store import Store
from solver.domain.plan import Plan
from solver.search import solve
from tests.service.house import WEEK, document

SEEN = "2027-02-05T12:00:00Z"


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


def refusal(ident: str, child: str = "moss", booking: str = "story.1.1", **more: Any) -> dict[str, Any]:
    """What the page sends."""
    return {"id": ident, "at": SEEN, "week": WEEK, "booking": booking, "refused": {"child": child} | more}


def send(client: TestClient, *items: dict[str, Any]) -> None:
    """As the outbox does."""
    answer = client.post("/api/outbox", json=list(items))
    assert answer.status_code == 200, answer.text
    assert answer.json()["ids"] == [one["id"] for one in items]


def log(client: TestClient) -> Any:
    """The log."""
    return client.get("/api/log").json()


@pytest.mark.parametrize(
    ("said", "kept"),
    [("sticky", "sticky"), ("too long", "too long"), ("tired", "tired"), ("not today", "other")],
)
def test_it_is_in_the_log_with_its_reason(planned: TestClient, said: str, kept: str) -> None:
    send(planned, refusal("refused-01", reason=said, minutes=4))
    (line,) = log(planned)
    assert (line["child"], line["outcome"], line["reason"], line["minutes"]) == ("moss", "no", kept, 4)
    assert (line["activity"], line["booking"], line["planned_min"]) == ("leaf-story", "story.1.1", 10)
    assert planned.get(f"/api/weeks/{WEEK}/marks").json()["ticks"] == []


def test_sent_twice_it_is_there_once_and_goes_again(planned: TestClient) -> None:
    send(planned, refusal("refused-01", reason="sticky"))
    send(planned, refusal("refused-01", reason="sticky"))
    assert len(log(planned)) == 1
    assert planned.post("/api/undo").json()["what"] == "a refusal was noted"
    assert log(planned) == []
    send(planned, refusal("refused-01", reason="sticky"))
    assert log(planned) == [], "what was taken back does not come again"


def test_a_tick_of_the_same_thing_stays(planned: TestClient) -> None:
    tick = {"id": "tick-0001", "at": SEEN, "week": WEEK, "booking": "story.1.1", "outcome": "fine"}
    send(planned, tick, refusal("refused-01", reason="sticky"))
    assert [one["outcome"] for one in planned.get(f"/api/weeks/{WEEK}/marks").json()["ticks"]] == ["fine"]


def test_the_weeks_pass_still_asks_about_the_other_child(planned: TestClient) -> None:
    send(planned, refusal("refused-01", reason="too hard"))
    drafts = {one["booking"]: one for one in planned.get(f"/api/weeks/{WEEK}/friday").json()}
    assert not drafts["story.1.1"]["logged"]
    assert drafts["story.1.1"]["outcome"] is None
    assert planned.post(f"/api/weeks/{WEEK}/friday", json={"rest": "done"}).status_code == 200
    of_story = {one["child"]: one for one in log(planned) if one["booking"] == "story.1.1"}
    assert (of_story["moss"]["outcome"], of_story["moss"]["reason"]) == ("no", "too hard")
    assert of_story["burr"]["outcome"] == "done"
    assert all(one["logged"] for one in planned.get(f"/api/weeks/{WEEK}/friday").json())


def test_a_line_of_the_pass_speaks_for_everybody(planned: TestClient) -> None:
    send(planned, refusal("refused-01", reason="too hard"))
    line = {"booking": "story.1.1", "outcome": "loved"}
    assert planned.post(f"/api/weeks/{WEEK}/friday", json={"lines": [line]}).status_code == 200
    assert {one["outcome"] for one in log(planned)} == {"loved"}


def test_three_times_the_same_reason_is_a_question(planned: TestClient) -> None:
    for index, booking in enumerate(("story.1.1", "story.2.1", "walk.1.1")):
        send(planned, refusal(f"refused-{index}", booking=booking, reason="sticky"))
    asked = planned.get("/api/proposals", params={"today": "2027-02-06"}).json()
    assert [one["kind"] for one in asked] == ["dislike"]
    assert asked[0]["sentence"].startswith("Moss would not 3 times because it was sticky")


def test_told_after_the_thing_was_planned_away(planned: TestClient, found: Plan) -> None:
    store: Store = planned.app.state.store  # type: ignore[attr-defined]
    rest = tuple(one for one in found.bookings if one.id != "story.1.1")
    store.add_plan(found.model_copy(update={"bookings": rest}), store.current().made_from(WEEK))
    send(planned, refusal("refused-01", reason="tired"))
    (line,) = log(planned)
    assert (line["title"], line["date"], line["planned_min"]) == ("Leaf story", SEEN[:10], None)


@pytest.mark.parametrize("wrong", [{"child": "nobody"}, {"booking": "nothing.1.1"}])
def test_what_nobody_knows_is_heard_and_not_kept(planned: TestClient, wrong: dict[str, Any]) -> None:
    """Else the page would send it for ever."""
    send(planned, refusal("refused-01", **wrong))
    assert log(planned) == []
