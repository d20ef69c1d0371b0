"""How loss-proof a week is to be: asked for once at the command or for one search, or kept with the week."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from fastapi.testclient import TestClient

from tests.service.conftest import Serve, job_in_state, load
from tests.service.house import WEEK, document_json
from tests.service.saying import Lapful

OFF, PREFER, REQUIRE = range(3)


def promised_on_friday() -> dict[str, Any]:
    """The walk can only be on Friday, so it hangs on that day."""
    house = document_json()
    walk = next(wish for wish in house["weeks"][0]["wishes"] if wish["id"] == "walk")
    walk |= {"rank": "promise", "days": ["friday"]}
    return house


def asked(client: TestClient, **settings: Any) -> int:
    job = client.post(f"/api/weeks/{WEEK}/solve", json=settings).json()
    assert job_in_state(client, job["id"], "done", "failed")["state"] == "done"
    found: int = client.get(f"/api/weeks/{WEEK}/plan").json()["plan"]["seed"]
    return found


def test_the_command_says_what_hangs_where_it_was_asked(lapful: Lapful, tmp_path: Path) -> None:
    house = tmp_path / "house.json"
    house.write_text(json.dumps(promised_on_friday()))
    said = lapful("plan", house, "--seconds", 2, "--workers", 1, "--loss-proof", "require")
    assert said.code == 0
    assert "Brook walk hangs on Friday" in " ".join(said.out.split())
    quiet = lapful("plan", house, "--seconds", 2, "--workers", 1)
    assert "If a day were lost" not in quiet.out


def test_only_known_answers_are_taken(lapful: Lapful, orchard: Path) -> None:
    assert lapful("plan", orchard, "--loss-proof", "perhaps").code == 2


def test_a_search_can_be_asked_for_once(serve: Serve) -> None:
    client = serve("tells_what_was_asked")
    load(client)
    assert asked(client) == OFF
    assert asked(client, loss_proof="prefer") == PREFER
    assert client.get(f"/api/weeks/{WEEK}").json()["loss_proof"] == "off"


def test_it_is_kept_with_the_week_and_can_be_taken_back(serve: Serve) -> None:
    client = serve("tells_what_was_asked")
    load(client)
    kept = client.put(f"/api/weeks/{WEEK}/loss-proof", json={"loss_proof": "require"})
    assert (kept.status_code, kept.json()["loss_proof"]) == (200, "require")
    assert asked(client) == REQUIRE
    assert asked(client, loss_proof="off") == OFF
    # The weeks made since are changes too, and go first.
    since = [one["what"] for one in client.get("/api/changes").json()]
    for _ in range(1 + next(i for i, what in enumerate(since) if "lost day" in what)):
        assert client.post("/api/undo").status_code == 200
    assert client.get(f"/api/weeks/{WEEK}").json()["loss_proof"] == "off"


def test_two_tablets_do_not_set_it_over_each_other(client: TestClient) -> None:
    stale = {"if-match": '"0"'}
    answer = client.put(f"/api/weeks/{WEEK}/loss-proof", json={"loss_proof": "prefer"}, headers=stale)
    assert answer.status_code == 412
