"""Mending as a service: asked for, accepted, taken back, and ready before it is asked."""

from __future__ import annotations

import datetime
import multiprocessing
import os
import signal
import threading
from collections.abc import Iterator
from contextlib import closing
from typing import Any

import pytest
from fastapi.testclient import TestClient

from service.mends.likely import likely, next_waking_day
from service.mends.mender import Mender
from service.mends.questions import WhatHangs, WhatNow
from service.mends.ready import Ahead
from service.store.hanging import keep_hangs
from service.store.offers import RestsOn
from solver.check import check
from solver.domain.base import DAYS
from solver.domain.document import Document
from solver.domain.mishap import Mending
from solver.domain.plan import Plan
from solver.domain.week import Problem
from solver.search import solve
from tests.service.conftest import until
from tests.service.house import NEXT_WEEK, WEEK, document, document_json
from tests.within import within

MONDAY = DAYS[0]
LOST = {"mishaps": [{"kind": "day-lost", "day": "monday"}], "seconds": 2}
EARLY_IN_THE_WEEK = datetime.datetime(2027, 2, 1, 8, tzinfo=datetime.UTC)
A_TOUCH_S = 0.1


@pytest.fixture(scope="module")
def problem() -> Problem:
    return document().problem(WEEK)


@pytest.fixture(scope="module")
def plan(problem: Problem) -> Plan:
    return solve(problem, seconds=1, workers=1)


@pytest.fixture
def planned(client: TestClient, plan: Plan) -> TestClient:
    """A served household whose week has a plan."""
    put_plan(client, plan)
    return client


def put_plan(client: TestClient, plan: Plan) -> int:
    store = client.app.state.store  # type: ignore[attr-defined]
    return int(store.add_plan(plan, store.current().made_from(WEEK)))


def asked(client: TestClient, body: dict[str, Any] | None = None) -> dict[str, Any]:
    answer = client.post(f"/api/weeks/{WEEK}/mend", json=body or LOST)
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json()
    return found


def week_with(client: TestClient, offer: dict[str, Any]) -> Problem:
    kept = client.get("/api/document").json()
    kept["weeks"] = [offer["week"]]
    return Document.model_validate(kept).problem(WEEK)


class TestAsking:
    def test_up_to_three_offers_that_the_checker_accepts(self, planned: TestClient) -> None:
        found = asked(planned)
        assert 1 <= len(found["offers"]) <= 3
        assert found["happened"]["mishaps"][0]["day"] == "monday"
        for kept in found["offers"]:
            assert kept["offer"]["sentence"]
            assert check(week_with(planned, kept["offer"]), Plan.model_validate(kept["offer"]["plan"])) == []

    def test_nothing_changes_by_asking(self, planned: TestClient) -> None:
        before = planned.get(f"/api/weeks/{WEEK}/plan").json()
        asked(planned)
        assert planned.get(f"/api/weeks/{WEEK}/plan").json() == before

    def test_what_does_not_fit_is_said_with_its_field(self, planned: TestClient) -> None:
        body = {"mishaps": [{"kind": "nap-failed", "child": "bur", "day": "monday"}]}
        answer = planned.post(f"/api/weeks/{WEEK}/mend", json=body)
        assert answer.status_code == 422
        (fault,) = answer.json()["faults"]
        assert fault["path"] == "mishaps[0].child"
        assert "did you mean 'burr'" in fault["message"]

    def test_an_unknown_kind_is_refused(self, planned: TestClient) -> None:
        answer = planned.post(f"/api/weeks/{WEEK}/mend", json={"mishaps": [{"kind": "flood"}]})
        assert answer.status_code == 422

    @pytest.mark.parametrize("week", [NEXT_WEEK, "2027-W40"])
    def test_without_a_plan_there_is_nothing_to_mend(self, planned: TestClient, week: str) -> None:
        assert planned.post(f"/api/weeks/{week}/mend", json=LOST).status_code == 404

    def test_the_process_that_mends_may_be_waited_for_by_somebody_else(
        self, problem: Problem, plan: Plan
    ) -> None:
        """Starting any process reaps all that ended, in whatever thread: others then find nothing left."""
        mender, asked = Mender(), WhatHangs(problem=problem, plan=plan)
        mender.hanging(asked)
        (process,) = (one for one in multiprocessing.active_children() if one.name == "mend")
        assert process.pid is not None
        process.kill()
        _, status = os.waitpid(process.pid, 0)
        mender.rest()
        # As the other thread does a moment later.
        process._popen.returncode = os.waitstatus_to_exitcode(status)
        assert mender.hanging(asked) == mender.hanging(asked)
        mender.close()

    def test_the_process_that_mends_may_die_and_comes_back(self, planned: TestClient) -> None:
        asked(planned)
        mender = planned.app.state.mender  # type: ignore[attr-defined]
        mender._process.kill()
        mender._process.join()
        assert asked(planned)["offers"]

    def test_a_process_that_ends_halfway_is_asked_once_more(self, planned: TestClient) -> None:
        asked(planned)
        process = planned.app.state.mender._process  # type: ignore[attr-defined]
        os.kill(process.pid, signal.SIGSTOP)
        threading.Timer(0.2, process.kill).start()
        assert asked(planned)["offers"]

    def test_a_question_that_ends_every_process_is_given_up(
        self, planned: TestClient, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        ours, theirs = multiprocessing.Pipe()
        theirs.close()
        monkeypatch.setattr(Mender, "_running", lambda _: ours)
        answer = planned.post(f"/api/weeks/{WEEK}/mend", json=LOST)
        assert answer.status_code == 500
        assert "ended twice" in answer.json()["detail"]


class TestAccepting:
    def accept(self, client: TestClient, offer: str, tag: str | None = None) -> Any:
        headers = {"if-match": tag} if tag else {}
        return client.post(f"/api/weeks/{WEEK}/offers/{offer}/accept", headers=headers)

    def tag(self, client: TestClient) -> str:
        return str(client.get(f"/api/weeks/{WEEK}").headers["etag"])

    def test_week_and_plan_change_together(self, planned: TestClient) -> None:
        kept = asked(planned)["offers"][0]
        answer = self.accept(planned, kept["id"], self.tag(planned))
        assert answer.status_code == 200, answer.text
        assert answer.json()["plan"] == kept["offer"]["plan"]
        assert answer.json()["is_current"]
        assert answer.headers["etag"] == self.tag(planned)
        assert planned.get(f"/api/weeks/{WEEK}").json() == kept["offer"]["week"]
        assert planned.get(f"/api/weeks/{WEEK}/plan").json()["plan"] == kept["offer"]["plan"]

    def test_it_can_be_taken_back(self, planned: TestClient) -> None:
        week = planned.get(f"/api/weeks/{WEEK}").json()
        before = planned.get(f"/api/weeks/{WEEK}/plan").json()["plan"]
        kept = asked(planned)["offers"][0]
        assert self.accept(planned, kept["id"]).status_code == 200
        assert planned.post("/api/undo").status_code == 200
        assert planned.get(f"/api/weeks/{WEEK}").json() == week
        assert planned.get(f"/api/weeks/{WEEK}/plan").json()["plan"] == before

    def test_only_once(self, planned: TestClient) -> None:
        kept = asked(planned)["offers"][0]
        assert self.accept(planned, kept["id"]).status_code == 200
        assert self.accept(planned, kept["id"]).status_code == 412

    def test_not_when_the_week_was_read_before_a_change(self, planned: TestClient) -> None:
        kept = asked(planned)["offers"][0]
        assert self.accept(planned, kept["id"], '"0"').status_code == 412

    def test_not_for_a_plan_that_is_not_the_latest(self, planned: TestClient, plan: Plan) -> None:
        kept = asked(planned)["offers"][0]
        put_plan(planned, plan)
        assert self.accept(planned, kept["id"]).status_code == 412
        assert planned.get(f"/api/weeks/{WEEK}").json() != kept["offer"]["week"]

    def test_not_when_the_wishes_changed(self, planned: TestClient) -> None:
        kept = asked(planned)["offers"][0]
        planned.put(f"/api/weeks/{WEEK}/wishes", json=[])
        assert self.accept(planned, kept["id"]).status_code == 412

    def test_not_when_the_wishes_changed_while_it_was_worked_out(
        self, planned: TestClient, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        """Another device wished for something else meanwhile; that must not be lost."""
        mender = planned.app.state.mender  # type: ignore[attr-defined]
        work_out = mender.mend

        def meanwhile(asked: WhatNow) -> Mending:
            found: Mending = work_out(asked)
            assert planned.put(f"/api/weeks/{WEEK}/wishes", json=[]).status_code == 200
            return found

        monkeypatch.setattr(mender, "mend", meanwhile)
        kept = asked(planned)["offers"][0]
        assert self.accept(planned, kept["id"]).status_code == 412
        assert planned.get(f"/api/weeks/{WEEK}").json()["wishes"] == []

    def test_an_offer_that_was_never_made(self, planned: TestClient) -> None:
        assert self.accept(planned, "nothing").status_code == 404


class TestReady:
    @pytest.fixture
    def ahead(self, planned: TestClient) -> Iterator[TestClient]:
        state = planned.app.state  # type: ignore[attr-defined]
        with closing(Ahead(state.store, state.jobs, every_s=0.01, clock=lambda: EARLY_IN_THE_WEEK)):
            yield planned

    def ready(self, client: TestClient) -> list[dict[str, Any]]:
        answer = client.get(f"/api/weeks/{WEEK}/ready")
        assert answer.status_code == 200
        found: list[dict[str, Any]] = answer.json()
        return found

    def test_the_likely_mishaps_of_the_next_day_are_mended_ahead(
        self, ahead: TestClient, problem: Problem, plan: Plan
    ) -> None:
        wanted = [one.title for one in likely(problem, plan, MONDAY)]
        found = until(lambda: len(self.ready(ahead)) == len(wanted) and self.ready(ahead), 60)
        assert [one["title"] for one in found] == wanted
        assert all(one["offers"] for one in found)
        assert within(A_TOUCH_S, lambda: self.ready(ahead)) == found

    def test_they_can_be_accepted(self, ahead: TestClient) -> None:
        kept = until(lambda: self.ready(ahead), 60)[0]["offers"][0]
        answer = ahead.post(f"/api/weeks/{WEEK}/offers/{kept['id']}/accept")
        assert answer.status_code == 200
        assert answer.json()["plan"] == kept["offer"]["plan"]

    def test_those_of_an_older_plan_are_never_shown(self, ahead: TestClient, plan: Plan) -> None:
        old = {offer["id"] for one in until(lambda: self.ready(ahead), 60) for offer in one["offers"]}
        put_plan(ahead, plan)
        assert not old & {offer["id"] for one in self.ready(ahead) for offer in one["offers"]}

    def test_nor_those_of_other_wishes(self, ahead: TestClient) -> None:
        until(lambda: self.ready(ahead), 60)
        ahead.put(f"/api/weeks/{WEEK}/wishes", json=[])
        assert self.ready(ahead) == []

    def test_nothing_is_ready_where_nothing_was_made(self, planned: TestClient) -> None:
        assert self.ready(planned) == []
        assert planned.get("/api/weeks/2027-W40/ready").status_code == 404


class TestWhatHangs:
    """Told with the view once it was worked out in an idle moment."""

    def hangs(self, client: TestClient) -> Any:
        return client.get(f"/api/weeks/{WEEK}/view").json()["hangs"]

    def planned_for_friday(self, client: TestClient) -> None:
        house = document_json()
        house["weeks"][0]["wishes"] = [
            {"id": "walk", "activity": "brook-walk", "rank": "promise", "days": ["friday"]}
        ]
        assert client.put("/api/document", json=house).status_code == 200
        problem = Document.model_validate(house).problem(WEEK)
        put_plan(client, solve(problem, seconds=1, workers=1))

    def test_a_promise_with_one_day_only(self, client: TestClient) -> None:
        self.planned_for_friday(client)
        assert self.hangs(client) is None, "not known yet"
        state = client.app.state  # type: ignore[attr-defined]
        with closing(Ahead(state.store, state.jobs, every_s=0.01, clock=lambda: EARLY_IN_THE_WEEK)):
            (hang,) = until(lambda: self.hangs(client), 60)
        assert (hang["title"], hang["day"], hang["proved"]) == ("Brook walk", "friday", True)
        assert hang["why"]

    def test_it_is_not_told_of_a_week_that_has_changed(self, client: TestClient) -> None:
        self.planned_for_friday(client)
        store = client.app.state.store  # type: ignore[attr-defined]
        keep_hangs(store, RestsOn(WEEK, store.latest_plan(WEEK).id, store.current().made_from(WEEK)), ())
        assert self.hangs(client) == []
        client.put(f"/api/weeks/{WEEK}/wishes", json=[])
        assert self.hangs(client) is None

    def test_a_plan_that_was_asked_for_brings_it_along(self, client: TestClient, plan: Plan) -> None:
        put_plan(client, plan.model_copy(update={"hangs": ()}))
        assert self.hangs(client) == []


class TestTheNextWakingDay:
    @pytest.mark.parametrize(
        ("now", "day"),
        [
            ("2027-01-20T08:00", "monday"),
            ("2027-02-01T08:00", "monday"),
            ("2027-02-01T18:00", "tuesday"),
            ("2027-02-07T08:00", "sunday"),
            ("2027-02-07T13:00", None),
            ("2027-03-01T08:00", None),
        ],
    )
    def test_today_until_noon_then_tomorrow(self, problem: Problem, now: str, day: str | None) -> None:
        moment = datetime.datetime.fromisoformat(now).replace(tzinfo=datetime.UTC)
        assert next_waking_day(problem, moment) == day

    def test_a_day_without_bookings_needs_no_mend(self, problem: Problem, plan: Plan) -> None:
        assert list(likely(problem, plan, DAYS[6])) == []
