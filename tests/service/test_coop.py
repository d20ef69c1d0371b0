"""A day shared with other families: everybody's allergies, the group's own illness rule, turns, stand-ins."""

from __future__ import annotations

import datetime
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from fastapi.testclient import TestClient

from service.coop.group import clear
from service.coop.views import Complaint, CoopDay
from solver.domain.document import Document
from tests.service.house import WEEK, document_json


def day(**more: Any) -> dict[str, Any]:
    made: dict[str, Any] = {
        "id": "x",
        "date": "2027-02-05",
        "start": "09:00",
        "end": "11:30",
        "here": True,
        "host": "Hedgehogs",
        "leader": "Voles",
        "activities": ["leaf-story"],
        "guests": [
            {"id": "fir", "name": "Fir", "family": "Voles", "birth_month": "2024-05", "mouths_things": True},
            {
                "id": "alder",
                "name": "Alder",
                "family": "Shrews",
                "birth_month": "2020-11",
                "allergies": [{"allergen": "tree nuts", "level": "airborne"}],
                "conditions": ["asthma"],
            },
        ],
        "brings": [{"family": "Shrews", "what": "apples, cut"}],
        "stand_in": {"host": "Shrews", "instead": "a walk by the brook"},
    }
    return made | more


GUEST = {"id": "a", "name": "A", "family": "B"}


def nutty() -> dict[str, Any]:
    made = document_json()
    made["activities"][0] |= {"allergens": ["tree nuts"], "caution": "Shells are sharp."}
    made["household"]["children"][0]["allergies"] = [{"allergen": "milk", "level": "mild"}]
    return made


@pytest.fixture
def shared(client: TestClient) -> TestClient:
    assert client.put("/api/document", json=nutty()).status_code == 200
    assert client.put("/api/coop/feb", json=day()).json()["id"] == "feb"
    return client


def test_the_sheet_holds_the_allergies_of_everybody(shared: TestClient) -> None:
    sheet = shared.get("/api/coop/feb/sheet").json()
    assert [(one["who"], one["what"]) for one in sheet["allergies"]] == [
        ("Burr", "milk (mild)"),
        ("Alder", "tree nuts (airborne)"),
        ("Alder", "asthma"),
    ]
    assert ("Fir", "Voles", "2 y 9 m") in {
        (one["name"], one["family"], one["age"]) for one in sheet["people"]
    }
    (activity,) = sheet["activities"]
    assert "Shells are sharp. (the activity's card)" in activity["cautions"]
    assert "not medical or legal advice" in sheet["advice"].lower()


def test_the_page_says_who_brings_what_and_who_steps_in(shared: TestClient) -> None:
    html = shared.get("/api/coop/feb/page").text
    for words in (
        "apples, cut",
        "host instead: Shrews",
        "a walk by the brook",
        "Stay at home 24 hours after a fever",
    ):
        assert words in html
    assert "48 after a stomach upset" in html
    assert "<style" not in html


def test_guests_in_the_week_make_the_plan_mind_them(shared: TestClient) -> None:
    into = shared.post("/api/coop/feb/week").json()
    assert (into["week"], into["visitors"]) == (WEEK, 2)
    week = shared.get(f"/api/weeks/{WEEK}").json()
    assert {one["id"] for one in week["visitors"]} == {"fir", "alder"}
    assert week["visitors"][1]["allergies"][0]["allergen"] == "tree nuts"
    assert week["fixed_points"][0]["visitors_come"] is True
    again = shared.post("/api/coop/feb/week").json()
    assert again["visitors"] == 2, "put in again, not doubled"


def test_a_day_elsewhere_takes_us_there_and_brings_nobody_here(shared: TestClient) -> None:
    shared.put("/api/coop/feb", json=day(here=False, host="Voles"))
    assert shared.post("/api/coop/feb/week").json()["visitors"] == 0
    (point,) = shared.get(f"/api/weeks/{WEEK}").json()["fixed_points"]
    assert (point["kind"], point["children"], point["adults"]) == ("outing", ["burr", "moss"], ["bramble"])


def test_a_guest_with_the_id_of_a_child_here_is_refused_and_nothing_changes(shared: TestClient) -> None:
    shared.put("/api/coop/feb", json=day(guests=[{"id": "burr", "name": "Burr", "family": "Voles"}]))
    answer = shared.post("/api/coop/feb/week")
    assert answer.status_code == 422
    assert "choose another" in answer.text
    assert shared.get(f"/api/weeks/{WEEK}").json()["visitors"] == []


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"end": "08:00"}, "give a later end"),
        (
            {"guests": [{"id": "a", "name": "A", "family": "B", "birth_month": "2030-01"}]},
            "born after that day",
        ),
        ({"guests": [{"id": "a", "name": "A", "family": "B"}] * 2}, "two guests share the id"),
    ],
)
def test_a_day_that_makes_no_sense_is_refused(shared: TestClient, change: dict[str, Any], says: str) -> None:
    answer = shared.put("/api/coop/feb", json=day(**change))
    assert answer.status_code == 422
    assert says in answer.text


@pytest.mark.parametrize(
    ("complaint", "last", "clear_at", "in_time"),
    [
        ("fever", "2027-02-04T09:00:00+00:00", "2027-02-05T09:00:00Z", True),
        ("fever", "2027-02-04T09:01:00+00:00", "2027-02-05T09:01:00Z", False),
        ("stomach upset", "2027-02-03T09:00:00+00:00", "2027-02-05T09:00:00Z", True),
        ("stomach upset", "2027-02-03T12:00:00+02:00", "2027-02-05T10:00:00Z", False),
    ],
)
def test_clear_is_what_the_group_agreed(
    shared: TestClient, complaint: str, last: str, clear_at: str, in_time: bool
) -> None:
    found = shared.get("/api/coop/feb/clear", params={"complaint": complaint, "last": last}).json()
    assert (found["clear_at"], found["in_time"]) == (clear_at, in_time)
    assert "the group's own rule, not medical advice" in found["note"]


def test_hours_are_real_hours_when_the_clocks_change() -> None:
    made = document_json()
    made["household"]["time_zone"] = "America/New_York"
    house = Document.model_validate(made).household
    zone = ZoneInfo("America/New_York")
    monday = CoopDay.model_validate(day(date="2026-03-08", guests=[], start="09:30", end="11:00"))
    last = datetime.datetime(2026, 3, 7, 9, 0, tzinfo=zone)
    found = clear(house, monday, Complaint.FEVER, last)
    assert (found.clear_at.hour, found.in_time) == (10, False), "the night was an hour shorter"


def test_whose_turn_it_is(shared: TestClient) -> None:
    shared.put("/api/coop/jan", json=day(date="2027-01-08", host="Voles", leader="Voles"))
    shared.put("/api/coop/mar", json=day(date="2027-03-05", host="Shrews", leader="Shrews"))
    turns = shared.get("/api/coop/turns", params={"until": "2027-02-28"}).json()
    assert [(one["family"], one["hosted"], one["led"]) for one in turns] == [
        ("Shrews", 0, 0),
        ("Hedgehogs", 1, 0),
        ("Voles", 1, 2),
    ]
    assert shared.delete("/api/coop/jan").status_code == 204
    assert shared.delete("/api/coop/jan").status_code == 404
    assert shared.get("/api/coop/jan/sheet").status_code == 404
