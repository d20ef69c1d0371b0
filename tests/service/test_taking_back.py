"""Undo over HTTP, and both versions for a writer who came late."""

from __future__ import annotations

from typing import Any

import pytest
from fastapi.testclient import TestClient

from service.store import Store, history
from service.store.undoing import Changes
from solver.domain.plan import Plan
from tests.service.conftest import Serve, job_in_state
from tests.service.house import NEXT_WEEK, WEEK, document, document_json


def _rename(client: TestClient, name: str) -> None:
    household = client.get("/api/household").json() | {"name": name}
    assert client.put("/api/household", json=household).status_code == 200


def _name(client: TestClient) -> str:
    name: str = client.get("/api/household").json()["name"]
    return name


def test_at_least_ten_steps_back_and_forth(client: TestClient) -> None:
    before = client.get("/api/document").json()
    for number in range(12):
        _rename(client, f"Name {number}")
    after = client.get("/api/document").json()
    for _ in range(12):
        assert client.post("/api/undo").json()["undone"] is True
    assert client.get("/api/document").json() == before
    for number in range(12):
        assert client.post("/api/redo").json()["undone"] is False
        assert _name(client) == f"Name {number}"
    assert client.get("/api/document").json() == after
    assert client.post("/api/redo").status_code == 404


def test_a_taken_back_version_never_comes_again(client: TestClient) -> None:
    """A page that read the renamed household must not write over the one that came back."""
    seen = {client.get("/api/household").headers["etag"]}
    for turn in (lambda: _rename(client, "Other"), lambda: client.post("/api/undo")):
        turn()
        etag = client.get("/api/household").headers["etag"]
        assert etag not in seen
        seen.add(etag)


def test_versions_outlive_an_emptied_store(client: TestClient) -> None:
    etag = client.get("/api/household").headers["etag"]
    assert client.post("/api/undo").status_code == 200
    assert client.get("/api/household").status_code == 404, "the first file was taken back"
    client.put("/api/document", json=document_json())
    assert client.get("/api/household").headers["etag"] != etag


def test_a_change_after_undo_ends_redo(client: TestClient) -> None:
    _rename(client, "First")
    client.post("/api/undo")
    _rename(client, "Second")
    assert client.post("/api/redo").status_code == 404
    assert _name(client) == "Second"


def test_what_was_changed_is_said_in_words(client: TestClient) -> None:
    client.put(f"/api/weeks/{WEEK}/wishes", json=[])
    newest, first = client.get("/api/changes").json()
    assert WEEK in newest["what"]
    assert "household file" in first["what"]


def test_another_household_in_place_of_this_one_is_marked_as_such(client: TestClient) -> None:
    """The page's way back ends before it, in whatever language it is told."""
    _rename(client, "First")
    client.put("/api/whole", json=client.get("/api/whole").json() | {"entries": []})
    assert [one["whole"] for one in client.get("/api/changes").json()][-2:] == [False, True]
    whole = client.get("/api/whole").json()
    whole["document"]["household"]["name"] = "Elsewhere"
    client.put("/api/whole", json=whole)
    assert client.get("/api/changes").json()[0]["whole"]


def test_a_write_that_changes_nothing_is_no_step(client: TestClient) -> None:
    before = client.get("/api/changes").json()
    client.put("/api/document", json=client.get("/api/document").json())
    assert client.get("/api/changes").json() == before


def test_only_the_change_that_was_meant_is_taken_back(client: TestClient) -> None:
    """Another device changed something while this one's undo was under way."""
    _rename(client, "First")
    mine = client.get("/api/changes").json()[0]["id"]
    _rename(client, "Second")
    late = client.post("/api/undo", json={"change": mine})
    assert late.status_code == 412
    assert _name(client) == "Second"
    newest = client.get("/api/changes").json()[0]["id"]
    assert client.post("/api/undo", json={"change": newest}).status_code == 200
    assert _name(client) == "First"


def test_a_week_comes_back_with_its_plans(client: TestClient) -> None:
    job = client.post(f"/api/weeks/{NEXT_WEEK}/solve").json()
    job_in_state(client, job["id"], "done")
    plan = client.get(f"/api/weeks/{NEXT_WEEK}/plan").json()
    whole = client.get("/api/document").json()
    client.put("/api/document", json=whole | {"weeks": whole["weeks"][:1]})
    assert client.get(f"/api/weeks/{NEXT_WEEK}/plan").status_code == 404
    client.post("/api/undo")
    assert client.get(f"/api/weeks/{NEXT_WEEK}/plan").json() == plan
    assert plan["is_current"] is True


def test_taking_back_makes_the_plan_of_before_current_again(client: TestClient) -> None:
    job = client.post(f"/api/weeks/{WEEK}/solve").json()
    job_in_state(client, job["id"], "done")
    client.put(f"/api/weeks/{WEEK}/wishes", json=[])
    assert client.get(f"/api/weeks/{WEEK}/plan").json()["is_current"] is False
    client.post("/api/undo")
    assert client.get(f"/api/weeks/{WEEK}/plan").json()["is_current"] is True


@pytest.fixture
def store(serve: Serve, tmp_path: Any) -> Any:
    store = Store(tmp_path / "alone")
    store.put_document(document())
    yield store
    store.close()


def test_a_chosen_plan_can_be_taken_back(store: Store) -> None:
    store.add_plan(Plan(week=WEEK, seed=1), "x")
    store.add_plan(Plan(week=WEEK, seed=2), "x", what="a mend was chosen")
    Changes(store).undo()
    kept = store.latest_plan(WEEK)
    assert kept is not None
    assert kept.plan.seed == 1
    Changes(store).redo()
    kept = store.latest_plan(WEEK)
    assert kept is not None
    assert kept.plan.seed == 2


def test_history_is_bounded_but_never_below_ten(store: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    house = store.current().document.household
    for number in range(history.STEPS_KEPT + 5):
        store.put_household(house.model_copy(update={"name": f"n{number}"}))
    assert len(Changes(store).all()) == history.STEPS_KEPT
    monkeypatch.setattr(history, "BYTES_KEPT", 1)
    monkeypatch.setattr(history, "SMALL", 0)
    store.put_household(house.model_copy(update={"name": "last"}))
    assert len(Changes(store).all()) == history.STEPS_AT_LEAST


def test_a_late_writer_is_told_both_versions(client: TestClient) -> None:
    etag = client.get("/api/household").headers["etag"]
    _rename(client, "Ours meanwhile")
    mine = client.get("/api/household").json() | {"name": "Mine"}
    late = client.put("/api/household", json=mine, headers={"if-match": etag})
    assert late.status_code == 412
    told = late.json()
    assert f'"{told["yours"]}"' == etag
    assert f'"{told["current"]}"' == client.get("/api/household").headers["etag"]
    assert told["kept"]["name"] == "Ours meanwhile"
    again = client.put("/api/household", json=mine, headers={"if-match": f'"{told["current"]}"'})
    assert again.status_code == 200


@pytest.mark.parametrize(
    ("path", "body", "part"),
    [("/api/document", document_json(), "weeks"), (f"/api/weeks/{WEEK}/wishes", [], "wishes")],
)
def test_every_late_write_tells_what_is_kept(client: TestClient, path: str, body: Any, part: str) -> None:
    late = client.put(path, json=body, headers={"if-match": '"987654"'})
    assert late.status_code == 412
    assert late.json()["yours"] == 987654
    assert part in late.json()["kept"]


def test_the_contract_tells_of_both_versions(client: TestClient) -> None:
    paths = client.get("/api/openapi.json").json()["paths"]
    answers = paths["/api/household"]["put"]["responses"]
    assert "StaleProblem" in str(answers["412"])
    assert "412" not in paths["/api/household"]["get"]["responses"]
