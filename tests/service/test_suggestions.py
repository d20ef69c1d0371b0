"""Gentle suggestions: from what the store has of the last weeks, taken up or put aside, and taken back."""

from __future__ import annotations

from typing import Any

import pytest
from fastapi.testclient import TestClient

from solver.check import check
from solver.domain.document import Document
from solver.domain.plan import Plan
from solver.search import solve
from tests.service.house import NEXT_WEEK, WEEK, document_json

MONDAY_OF_THE_WEEK = "2027-02-01"


def house(up: tuple[str, ...] = (), tired: tuple[str, ...] = (), **next_week: Any) -> dict[str, Any]:
    """Moss sleeps from one to two, when Burr counts acorns alone; what went otherwise in the first week."""
    made = document_json()
    moss = next(child for child in made["household"]["children"] if child["id"] == "moss")
    moss["naps"] = [{"start": "13:00", "length_min": 60}]
    made["household"]["stretches"].append({"id": "nap", "name": "Nap", "start": "13:00", "end": "14:00"})
    made["household"]["adults"].append(
        {
            "id": "teasel",
            "name": "Teasel",
            "hours": [{"days": ["thursday"], "start": "12:00", "end": "18:00"}],
        }
    )
    first, second = made["weeks"]
    first["naps"] = [{"child": "moss", "day": day, "usual_start": "13:00"} for day in up]
    first["easy_days"] = list(tired)
    alone = {
        "id": "count", "activity": "acorn-count", "rank": "staple", "children": ["burr"], "times": 5,
        "days": ["monday", "tuesday", "wednesday", "thursday", "friday"], "stretches": ["nap"],
    }  # fmt: skip
    first["wishes"] = [alone]
    second |= {"wishes": [alone], **next_week}
    return made


def served(client: TestClient, made: dict[str, Any]) -> TestClient:
    assert client.put("/api/document", json=made).status_code == 200
    store = client.app.state.store  # type: ignore[attr-defined]
    for week in (WEEK, NEXT_WEEK):
        problem = Document.model_validate(made).problem(week)
        store.add_plan(solve(problem, seconds=1, workers=1), store.current().made_from(week))
    return client


def told(client: TestClient, week: str = WEEK) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = client.get(f"/api/weeks/{week}/view").json()["suggestions"]
    return found


class TestANapOnItsWayOut:
    @pytest.fixture
    def going(self, client: TestClient) -> TestClient:
        return served(client, house(up=("monday", "tuesday", "wednesday")))

    def test_after_three_in_eight_days_the_time_alone_may_go_elsewhere(self, going: TestClient) -> None:
        (one,) = told(going)
        assert (one["kind"], one["child"], one["titles"]) == ("nap-going", "moss", ["Acorn count"])
        assert one["days"] == ["2027-02-01", "2027-02-02", "2027-02-03"]
        assert one["until"] == "2027-02-11"
        assert one["helped"] == [{"day": "thursday", "adult": "teasel"}]

    def test_across_the_end_of_a_week(self, client: TestClient) -> None:
        up = [{"child": "moss", "day": "monday", "usual_start": "13:00"}]
        served(client, house(up=("thursday", "friday"), naps=up))
        assert [one["days"][-1] for one in told(client, NEXT_WEEK)] == ["2027-02-08"]

    @pytest.mark.parametrize("up", [("monday", "tuesday"), ()])
    def test_not_before(self, client: TestClient, up: tuple[str, ...]) -> None:
        assert told(served(client, house(up=up))) == []

    def test_taken_up_it_is_a_mend_with_the_fewest_changes(self, going: TestClient) -> None:
        gone = {"kind": "nap-gone", "child": "moss", "day": "thursday"}
        kept = going.post(f"/api/weeks/{WEEK}/mend", json={"mishaps": [gone], "seconds": 2}).json()
        best = kept["offers"][0]
        assert going.post(f"/api/weeks/{WEEK}/offers/{best['id']}/accept").status_code == 200
        whole = Document.model_validate(going.get("/api/document").json())
        plan = Plan.model_validate(going.get(f"/api/weeks/{WEEK}/plan").json()["plan"])
        assert check(whole.problem(WEEK), plan) == []
        naps = going.get(f"/api/weeks/{WEEK}").json()["naps"]
        assert {one["day"] for one in naps if one["start"] is None} >= {"thursday", "friday"}
        assert told(going) == [], "there is no sleep left in this week to lean on"

    def test_put_aside_it_is_not_said_again_and_that_can_be_taken_back(self, going: TestClient) -> None:
        assert going.delete(f"/api/weeks/{WEEK}/suggestions/nap-going:moss").status_code == 204
        assert told(going) == told(going, NEXT_WEEK) == []
        assert going.get(f"/api/weeks/{WEEK}/plan").json()["is_current"], "the week itself is as it was"
        assert going.delete(f"/api/weeks/{WEEK}/suggestions/nap-going:moss").status_code == 404
        going.post("/api/undo")
        assert [one["id"] for one in told(going)] == ["nap-going:moss"]


class TestTooManyTiredDays:
    @pytest.fixture
    def tired(self, client: TestClient) -> TestClient:
        return served(client, house(tired=("monday", "wednesday", "thursday")))

    def test_the_third_in_two_weeks_suggests_a_smaller_week(self, tired: TestClient) -> None:
        (one,) = told(tired)
        assert (one["kind"], one["days"][-1], one["until"]) == ("smaller-week", "2027-02-04", "2027-02-18")

    def test_two_do_not(self, client: TestClient) -> None:
        assert told(served(client, house(tired=("monday", "wednesday")))) == []

    def test_taken_up_the_coming_week_is_smaller_and_this_one_stays(self, tired: TestClient) -> None:
        assert tired.post(f"/api/weeks/{WEEK}/smaller").status_code == 200
        assert tired.get(f"/api/weeks/{NEXT_WEEK}").json()["smaller"]
        assert not tired.get(f"/api/weeks/{WEEK}").json()["smaller"]
        assert tired.get(f"/api/weeks/{WEEK}/plan").json()["is_current"]
        assert told(tired) == []
        whole = Document.model_validate(tired.get("/api/document").json())
        limits = whole.problem(NEXT_WEEK).household.limits
        assert (limits.free_share, limits.theme_things_a_day, limits.mess_sum_a_day) == (0.35, 1, 3)
        tired.post("/api/undo")
        assert not tired.get(f"/api/weeks/{NEXT_WEEK}").json()["smaller"]
        assert len(told(tired)) == 1

    def test_it_cannot_be_taken_up_where_nothing_is_suggested(self, client: TestClient) -> None:
        assert client.post(f"/api/weeks/{WEEK}/smaller").status_code == 404
        assert client.delete(f"/api/weeks/{WEEK}/suggestions/smaller-week").status_code == 404


def test_a_tired_day_that_was_mended_is_remembered(client: TestClient) -> None:
    served(client, house())
    tired = {"mishaps": [{"kind": "tired", "day": "tuesday"}], "seconds": 2}
    kept = client.post(f"/api/weeks/{WEEK}/mend", json=tired).json()
    client.post(f"/api/weeks/{WEEK}/offers/{kept['offers'][0]['id']}/accept")
    assert client.get(f"/api/weeks/{WEEK}").json()["easy_days"] == ["tuesday"]
