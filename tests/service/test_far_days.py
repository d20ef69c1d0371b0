"""Days at the ends of the calendar are refused with a mend, never with a fault of ours."""

from __future__ import annotations

from typing import Any

import pytest
from fastapi.testclient import TestClient

from tests.service.house import document_json

FAR = ("0001-01-01", "9999-12-31", "1969-12-31", "2200-01-01", "2027-02-30", "tomorrow")


@pytest.mark.parametrize("day", FAR)
def test_a_far_day_is_refused_everywhere(client: TestClient, day: str) -> None:
    line = {"id": "x", "date": day, "child": "burr", "title": "x", "outcome": "done"}
    asked: list[tuple[str, str, dict[str, Any]]] = [
        ("GET", "/api/record", {"params": {"since": day, "until": day}}),
        ("GET", "/api/log", {"params": {"since": day}}),
        ("GET", "/api/record/burr/balance.svg", {"params": {"since": day, "until": day}}),
        ("GET", "/api/record/burr/portfolio", {"params": {"since": day, "until": day}}),
        ("GET", "/api/proposals", {"params": {"today": day}}),
        ("GET", "/api/themes/x/cost", {"params": {"start": day}}),
        ("GET", "/api/activities/leaf-story/back-plan", {"params": {"by": day}}),
        ("GET", "/api/coop/turns", {"params": {"until": day}}),
        ("PUT", "/api/log/x", {"json": line}),
        ("PUT", "/api/observations/x", {"json": {**line, "skill": "x", "level": "alone"}}),
    ]
    for method, path, more in asked:
        answer = client.request(method, path, **more)
        assert answer.status_code == 422, (path, answer.text)
        assert answer.json()["faults"], path


@pytest.mark.parametrize("week", ["0001-W01", "9999-W52", "1969-W01", "2200-W01"])
def test_a_far_week_is_refused_with_its_mend(client: TestClient, week: str) -> None:
    made = document_json()
    made["weeks"][0]["id"] = week
    answer = client.put("/api/document", json=made)
    assert answer.status_code == 422
    assert "give a week from 1970 to 2199" in answer.text


def test_the_first_and_the_last_week_can_be_counted_from(client: TestClient) -> None:
    made = document_json()
    made["household"]["children"][0]["birth_month"] = "1965-01"
    made["household"]["children"][1]["birth_month"] = "1965-01"
    for first, after in (("1970-W01", 200), ("2199-W52", 422)):
        made["weeks"] = [made["weeks"][0] | {"id": first}]
        assert client.put("/api/document", json=made).status_code == 200
        assert client.get(f"/api/weeks/{first}/ahead").status_code == 200
        assert client.post(f"/api/weeks/{first}/next").status_code == after
