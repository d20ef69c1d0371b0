"""Nonsense over HTTP: every answer is a problem that names the field and the mend (RFC 9457)."""

from __future__ import annotations

import json
from typing import Any

import pytest
from fastapi.testclient import TestClient

from service.errors import KINDS
from service.guard import BODY_LIMIT
from tests.service.house import WEEK, document_json

JSON = {"content-type": "application/json"}


def _problem(answer: Any, status: int) -> dict[str, Any]:
    """The body of a problem, checked against RFC 9457 section 3.1."""
    assert answer.status_code == status, answer.text
    assert answer.headers["content-type"] == "application/problem+json"
    problem: dict[str, Any] = answer.json()
    assert problem["status"] == status
    assert problem["title"]
    assert "Traceback" not in answer.text
    return problem


@pytest.mark.parametrize(
    "path",
    [
        "/api/weeks/2027-W44",
        "/api/weeks/2027-W44/view",
        "/api/weeks/2027-W44/plan",
        "/api/jobs/none",
        "/api/jobs/none/events",
        "/api/problems/none",
        "/api/nonsense",
        "/api/weeks/%00",
        "/api/weeks/" + "x" * 70,
        "/nonsense",
    ],
)
def test_unknown_addresses(client: TestClient, path: str) -> None:
    _problem(client.get(path), 404)


def test_an_unknown_week_names_the_known_ones(client: TestClient) -> None:
    assert WEEK in _problem(client.post("/api/weeks/2027-W44/solve"), 404)["detail"]


def test_a_wrong_method(client: TestClient) -> None:
    answer = client.post("/api/household", json={})
    _problem(answer, 405)
    assert "allow" in answer.headers


def test_a_missing_field_is_named(client: TestClient) -> None:
    body = document_json()
    del body["household"]["children"][1]["birth_month"]
    fault = _problem(client.put("/api/document", json=body), 422)["faults"][0]
    assert fault["path"] == "household.children[1].birth_month"
    assert "add it" in fault["message"]


def test_an_unknown_field_is_named(client: TestClient) -> None:
    body = document_json()
    body["household"]["adults"][0]["shoe_size"] = 43
    fault = _problem(client.put("/api/document", json=body), 422)["faults"][0]
    assert fault["path"] == "household.adults[0].shoe_size"
    assert "remove it" in fault["message"]


def test_an_impossible_week(client: TestClient) -> None:
    """ISO 8601: 2027 has 52 weeks (1 January 2027 is a Friday)."""
    body = document_json()
    body["weeks"][1]["id"] = "2027-W53"
    fault = _problem(client.put("/api/document", json=body), 422)["faults"][0]
    assert "W01 to W52" in fault["message"]


@pytest.mark.parametrize(
    ("field", "value"),
    [("minutes", -5), ("minutes", float("nan")), ("minutes", float("inf")), ("minutes", 10**400)],
)
def test_impossible_numbers(client: TestClient, field: str, value: float) -> None:
    body = document_json()
    body["activities"][0]["sittings"][0]["parts"]["all"][field] = value
    answer = client.put("/api/document", content=json.dumps(body), headers=JSON)
    problem = _problem(answer, 422)
    assert problem["faults"][0]["path"] == "activities[0].sittings[0].parts.all.minutes"


def test_a_share_that_is_no_number(client: TestClient) -> None:
    body = document_json()
    body["household"]["limits"] = {"free_share": float("nan")}
    answer = client.put("/api/document", content=json.dumps(body), headers=JSON)
    assert _problem(answer, 422)["faults"][0]["path"] == "household.limits.free_share"


def test_a_number_too_long_to_read(client: TestClient) -> None:
    answer = client.put("/api/household", content='{"name": ' + "9" * 6000 + "}", headers=JSON)
    _problem(answer, 400)


def test_half_a_surrogate_pair(client: TestClient) -> None:
    body = document_json()
    body["household"]["name"] = "\ud83d"
    answer = client.put("/api/document", content=json.dumps(body), headers=JSON)
    _problem(answer, 422)


def test_broken_json_says_where(client: TestClient) -> None:
    answer = client.put("/api/document", content='{\n  "household": [1,,2]}', headers=JSON)
    problem = _problem(answer, 400)
    assert problem["faults"][0]["path"] == "line 2, column 19"
    assert problem["type"] == "/api/problems/broken-json"


def test_text_that_is_not_utf_8(client: TestClient) -> None:
    _problem(client.put("/api/document", content=b'{"household": "\xff\xfe"}', headers=JSON), 400)


@pytest.mark.parametrize("bracket", ["[", '{"a":'])
def test_json_nested_too_deep(client: TestClient, bracket: str) -> None:
    _problem(client.put("/api/document", content=bracket * 200_000, headers=JSON), 400)


@pytest.mark.parametrize("body", ["null", "[]", '"x"', "7", "{}", ""])
def test_json_of_another_shape(client: TestClient, body: str) -> None:
    problem = _problem(client.put("/api/document", content=body, headers=JSON), 422)
    assert problem["faults"]


def test_a_form_is_not_taken_for_json(client: TestClient) -> None:
    _problem(client.put("/api/household", data={"name": "x"}), 422)


def test_a_body_that_says_it_is_too_large(client: TestClient) -> None:
    answer = client.put("/api/document", content=b" " * (BODY_LIMIT + 1), headers=JSON)
    assert _problem(answer, 413)["type"] == "/api/problems/too-large"


def test_a_body_that_turns_out_too_large(client: TestClient) -> None:
    """Sent in pieces, without saying how long it will be."""
    pieces = (b" " * 1024 * 1024 for _ in range(9))
    _problem(client.put("/api/document", content=pieces, headers=JSON), 413)


def test_a_body_just_within_the_limit_is_read(client: TestClient) -> None:
    text = json.dumps(document_json()).encode()
    answer = client.put("/api/document", content=text + b" " * (BODY_LIMIT - len(text)), headers=JSON)
    assert answer.status_code == 200


@pytest.mark.parametrize("length", ["abc", "-1", "1e3"])
def test_a_strange_content_length(client: TestClient, length: str) -> None:
    answer = client.put("/api/document", content=b"{}", headers=JSON | {"content-length": length})
    assert 400 <= answer.status_code < 500


@pytest.mark.parametrize(
    "settings",
    [{"seconds": 0}, {"seconds": 1e9}, {"workers": 0}, {"seed": -1}, {"seed": 1.5}, {"speed": 1}, []],
)
def test_settings_out_of_range(client: TestClient, settings: Any) -> None:
    problem = _problem(client.post(f"/api/weeks/{WEEK}/solve", json=settings), 422)
    assert problem["faults"]


def test_every_kind_of_problem_is_explained_at_its_address(client: TestClient) -> None:
    for kind in KINDS:
        answer = client.get(f"/api/problems/{kind.name}")
        assert answer.status_code == 200
        assert kind.title in answer.text


def test_many_faults_are_cut_off(client: TestClient) -> None:
    wishes = [{"id": f"w{number}", "activity": "none"} for number in range(300)]
    problem = _problem(client.put(f"/api/weeks/{WEEK}/wishes", json=wishes), 422)
    assert len(problem["faults"]) == 50


@pytest.mark.parametrize("day", ["0001-01-01", "0001-01-13", "9999-12-31"])
def test_the_ends_of_the_calendar(client: TestClient, day: str) -> None:
    """The fuzz asked for the weeks before the year 1, and had a 500."""
    answer = client.get("/api/record", params={"since": day, "until": day, "weeks": 2})
    assert _problem(answer, 422)["faults"]


@pytest.mark.parametrize("person", ["ø", "\x0c", 'x"; filename="y', "\U0005932e"])
def test_a_strange_name_in_an_address_spoils_no_header(client: TestClient, person: str) -> None:
    """The fuzz asked for the page of somebody that no header can name (RFC 9110, section 5.5): a 500."""
    job = client.post(f"/api/weeks/{WEEK}/solve").json()
    client.get(f"/api/jobs/{job['id']}/events")
    asked = {"format": "html", "day": "monday", "for": person}
    answer = client.get(f"/api/weeks/{WEEK}/export", params=asked)
    assert answer.status_code < 500
    assert all(
        sign.isprintable() and sign.isascii() for sign in answer.headers.get("content-disposition", "")
    )
