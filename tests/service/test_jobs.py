"""Solves as jobs: every way they can end, and that each end is written down."""

from __future__ import annotations

import json
import multiprocessing
import os
import subprocess
import sys
import threading
import time
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from service.errors import Busy
from service.jobs import Jobs
from service.store import Store
from service.views import Job, JobState, SolveSettings
from tests.service.conftest import PATIENCE_S, Serve, job_in_state, load
from tests.service.house import NEXT_WEEK, WEEK, document

FINAL = ("done", "cancelled", "failed")


def _start(client: TestClient, week: str = WEEK, **settings: Any) -> dict[str, Any]:
    answer = client.post(f"/api/weeks/{week}/solve", json=settings)
    assert answer.status_code == 202, answer.text
    job: dict[str, Any] = answer.json()
    assert answer.headers["location"] == f"/api/jobs/{job['id']}"
    return job


def _events(client: TestClient, job_id: str) -> list[dict[str, Any]]:
    """Every event of a job until the stream ends by itself."""
    answer = client.get(f"/api/jobs/{job_id}/events")
    assert answer.headers["content-type"].startswith("text/event-stream")
    names = [line[7:] for line in answer.text.splitlines() if line.startswith("event: ")]
    assert set(names) == {"job"}
    return [json.loads(line[6:]) for line in answer.text.splitlines() if line.startswith("data: ")]


def test_a_job_ends_with_a_stored_plan(client: TestClient) -> None:
    job = _start(client, seed=4)
    events = _events(client, job["id"])
    assert events[-1]["state"] == "done", events[-1]
    assert events[-1]["progress"]["tier"] == "promises"
    assert events[-1]["ended_at"] is not None
    stored = client.get(f"/api/weeks/{WEEK}/plan").json()
    assert stored["id"] == events[-1]["plan_id"]
    assert stored["plan"]["week"] == WEEK
    assert stored["plan"]["seed"] == 4
    assert stored["is_current"] is True
    view = client.get(f"/api/weeks/{WEEK}/view").json()
    assert view["stored"] == stored
    assert view["job"] == events[-1]
    assert client.get("/api/weeks").json()[0]["has_plan"] is True


def test_a_late_listener_gets_the_end(client: TestClient) -> None:
    job = _start(client)
    job_in_state(client, job["id"], *FINAL)
    assert [event["state"] for event in _events(client, job["id"])] == ["done"]


def test_settings_have_defaults(client: TestClient) -> None:
    answer = client.post(f"/api/weeks/{WEEK}/solve")
    assert answer.status_code == 202
    assert answer.json()["settings"] == SolveSettings().model_dump()


def test_a_plan_is_marked_old_when_its_week_changes(client: TestClient) -> None:
    job = _start(client)
    job_in_state(client, job["id"], "done")
    client.put(f"/api/weeks/{NEXT_WEEK}/wishes", json=[])
    assert client.get(f"/api/weeks/{WEEK}/plan").json()["is_current"] is True
    client.put(f"/api/weeks/{WEEK}/wishes", json=[])
    assert client.get(f"/api/weeks/{WEEK}/plan").json()["is_current"] is False


def test_cancelling_takes_less_than_a_second(serve: Serve) -> None:
    client = serve("endless")
    load(client)

    def cancelled() -> float:
        job = _start(client)
        job_in_state(client, job["id"], "running")
        begun = time.monotonic()
        client.delete(f"/api/jobs/{job['id']}")
        took = time.monotonic() - begun
        assert job_in_state(client, job["id"], *FINAL)["state"] == "cancelled"
        assert client.get(f"/api/jobs/{job['id']}").json()["reason"]
        return took

    # A busy machine may be late once; a fault of ours is late each time.
    assert any(cancelled() < 1 for _ in range(3))
    assert client.get(f"/api/weeks/{WEEK}/plan").status_code == 404


def test_who_has_had_enough_gets_the_best_so_far(serve: Serve) -> None:
    client = serve("patient")
    load(client)
    job = _start(client)
    job_in_state(client, job["id"], "running")
    assert client.get(f"/api/weeks/{WEEK}/plan").status_code == 404
    assert client.post(f"/api/jobs/{job['id']}/enough").json()["state"] in ("running", "done")
    done = job_in_state(client, job["id"], "done")
    assert client.get(f"/api/weeks/{WEEK}/plan").json()["plan"]["stopped"] is True
    assert client.post(f"/api/jobs/{job['id']}/enough").json() == done


def test_a_search_that_waits_its_turn_has_nothing_to_give_yet(serve: Serve) -> None:
    client = serve("patient")
    load(client)
    first = _start(client)
    job_in_state(client, first["id"], "running")
    second = client.post(f"/api/weeks/{NEXT_WEEK}/solve").json()
    assert client.post(f"/api/jobs/{second['id']}/enough").json()["state"] == "waiting"
    client.post(f"/api/jobs/{first['id']}/enough")
    job_in_state(client, first["id"], "done")
    job_in_state(client, second["id"], "running")
    client.post(f"/api/jobs/{second['id']}/enough")
    job_in_state(client, second["id"], "done")


def test_enough_of_a_job_that_is_not_there(client: TestClient) -> None:
    assert client.post("/api/jobs/nobody/enough").status_code == 404


def test_cancelling_twice_changes_nothing(serve: Serve) -> None:
    client = serve("endless")
    load(client)
    job = _start(client)
    first = client.delete(f"/api/jobs/{job['id']}").json()
    assert client.delete(f"/api/jobs/{job['id']}").json() == first


def test_a_job_that_is_over_cannot_be_cancelled(client: TestClient) -> None:
    job = _start(client)
    done = job_in_state(client, job["id"], "done")
    assert client.delete(f"/api/jobs/{job['id']}").json() == done


def test_the_newest_solve_of_a_week_wins(serve: Serve) -> None:
    client = serve("endless_for_the_first_seed")
    load(client)
    first = _start(client, seed=1)
    job_in_state(client, first["id"], "running")
    second = _start(client, seed=2)
    assert job_in_state(client, first["id"], *FINAL)["state"] == "cancelled"
    assert "newer" in client.get(f"/api/jobs/{first['id']}").json()["reason"]
    assert job_in_state(client, second["id"], *FINAL)["state"] == "done"
    assert client.get(f"/api/weeks/{WEEK}/view").json()["job"]["id"] == second["id"]


def test_another_week_waits_for_its_turn(serve: Serve) -> None:
    client = serve("endless_for_the_first_seed")
    load(client)
    first = _start(client, seed=1)
    job_in_state(client, first["id"], "running")
    other = _start(client, NEXT_WEEK, seed=2)
    assert client.get(f"/api/jobs/{other['id']}").json()["state"] == "waiting"
    client.delete(f"/api/jobs/{first['id']}")
    assert job_in_state(client, other["id"], *FINAL)["state"] == "done"


def test_a_waiting_job_can_be_cancelled(serve: Serve) -> None:
    client = serve("endless")
    load(client)
    first = _start(client)
    other = _start(client, NEXT_WEEK)
    assert client.delete(f"/api/jobs/{other['id']}").json()["state"] == "cancelled"
    assert client.delete(f"/api/jobs/{first['id']}").json()["state"] == "cancelled"


@pytest.mark.parametrize(
    ("solve", "reason"),
    [("dies", "exit code 7"), ("raises", "the acorns rolled away"), ("nothing_of_that_name", "attribute")],
)
def test_a_broken_worker_is_a_failed_job_with_a_reason(serve: Serve, solve: str, reason: str) -> None:
    client = serve(solve)
    load(client)
    last = _events(client, _start(client)["id"])[-1]
    assert last["state"] == "failed"
    assert reason in last["reason"]


def test_a_search_that_wants_too_much_memory(serve: Serve) -> None:
    """The system refuses the memory (setrlimit, POSIX.1-2017), and the API answers all the while."""
    client = serve("hungry", limit_mib=700)
    load(client)
    last = _events(client, _start(client)["id"])[-1]
    assert last["state"] == "failed"
    assert "700 MiB" in last["reason"]
    assert client.get("/api/health").json()["ok"] is True


def test_a_search_that_aborts_may_have_lacked_memory(serve: Serve) -> None:
    client = serve("aborts", limit_mib=900)
    load(client)
    last = _events(client, _start(client)["id"])[-1]
    assert last["state"] == "failed"
    assert "signal 6" in last["reason"]
    assert "900 MiB" in last["reason"]


def test_a_fault_of_memory_is_not_the_end_of_a_search(serve: Serve) -> None:
    """The engine's own: another course of the search does not meet it again."""
    client = serve("faults_for_the_first_seed")
    load(client)
    last = _events(client, _start(client)["id"])[-1]
    assert last["state"] == "done"
    assert client.get(f"/api/weeks/{WEEK}/plan").json()["plan"]["seed"] == 2


def test_a_fault_of_memory_each_time_is_told(serve: Serve) -> None:
    client = serve("faults")
    load(client)
    last = _events(client, _start(client)["id"])[-1]
    assert last["state"] == "failed"
    assert "signal 11" in last["reason"]


def test_a_search_steps_back_behind_the_server(serve: Serve) -> None:
    client = serve("endless")
    load(client)
    job = _start(client)
    job_in_state(client, job["id"], "running")
    (worker,) = multiprocessing.active_children()
    assert worker.pid
    assert os.getpriority(os.PRIO_PROCESS, worker.pid) > os.getpriority(os.PRIO_PROCESS, 0)


def test_a_system_without_room_for_a_process(serve: Serve, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(*_: object) -> None:
        raise OSError(11, "Resource temporarily unavailable")

    client = serve()
    load(client)
    monkeypatch.setattr(Jobs, "_spawn", refused)
    last = _events(client, _start(client)["id"])[-1]
    assert last["state"] == "failed"
    assert "could not be started" in last["reason"]


def test_a_killed_worker_is_a_failed_job(serve: Serve) -> None:
    client = serve("endless")
    load(client)
    job = _start(client)
    job_in_state(client, job["id"], "running")
    (worker,) = multiprocessing.active_children()
    worker.kill()
    assert "signal 9" in job_in_state(client, job["id"], *FINAL)["reason"]


def test_a_search_that_hangs_is_stopped(serve: Serve) -> None:
    client = serve("endless", grace_s=0.5)
    load(client)
    job = _start(client, seconds=1)
    ended = job_in_state(client, job["id"], *FINAL)
    assert ended["state"] == "failed"
    assert "no answer within" in ended["reason"]


def test_a_plan_that_does_not_hold_is_not_stored(serve: Serve) -> None:
    client = serve("unsound")
    load(client)
    last = _events(client, _start(client)["id"])[-1]
    assert last["state"] == "failed"
    assert "does not hold" in last["reason"]
    assert client.get(f"/api/weeks/{WEEK}/plan").status_code == 404


def test_a_week_taken_out_while_it_is_planned(serve: Serve) -> None:
    client = serve("endless_for_the_first_seed")
    load(client)
    job = _start(client, NEXT_WEEK, seed=1)
    job_in_state(client, job["id"], "running")
    whole = client.get("/api/document").json()
    client.put("/api/document", json=whole | {"weeks": whole["weeks"][:1]})
    assert client.get(f"/api/weeks/{NEXT_WEEK}/view").status_code == 404
    assert client.delete(f"/api/jobs/{job['id']}").json()["state"] == "cancelled"


def test_stopping_the_server_ends_its_jobs(serve: Serve, tmp_path: Path) -> None:
    client = serve("endless")
    load(client)
    job = _start(client)
    job_in_state(client, job["id"], "running")
    client.__exit__(None, None, None)
    again = serve("endless")
    ended = again.get(f"/api/jobs/{job['id']}").json()
    assert (ended["state"], ended["reason"]) == ("failed", "the server was stopped")


def test_stopping_ends_the_threads_too(tmp_path: Path) -> None:
    """Before the store is closed, and whether the process began, waits its turn, or is about to begin."""
    with closing(Store(tmp_path)) as store:
        store.put_document(document())
        jobs = Jobs(store, solve="tests.service.solves:endless")
        begun = [jobs.start(week, SolveSettings()) for week in (WEEK, NEXT_WEEK, WEEK)]
        jobs.close()
        assert not [one for one in threading.enumerate() if one.name.startswith("job-")]
        assert [jobs.get(one.id).state for one in begun] == ["cancelled", "failed", "failed"]
        with pytest.raises(Busy):
            jobs.start(WEEK, SolveSettings())


def test_jobs_left_running_by_a_dead_server_are_closed(serve: Serve, tmp_path: Path) -> None:
    folder = tmp_path / "left"
    store = Store(folder)
    moment = "2027-02-01T08:00:00Z"
    left = Job(id="left", week=WEEK, state=JobState.RUNNING, settings=SolveSettings(), created_at=moment)
    store.add_job(left)
    store.close()
    client = serve("empty", folder=folder)
    ended = client.get("/api/jobs/left").json()
    assert (ended["state"], ended["reason"]) == ("failed", "the server was stopped")
    assert ended["ended_at"]


@pytest.mark.parametrize("busy", ["serve_and_start", "serve_and_ask"])
def test_the_worker_dies_with_a_server_that_is_killed(tmp_path: Path, busy: str) -> None:
    """The server gets no chance to clean up; whoever searches for it must notice by itself."""
    code = f"from tests.service.serving import {busy}; {busy}({str(tmp_path / 'data')!r})"
    server = subprocess.Popen([sys.executable, "-c", code], stdout=subprocess.PIPE, text=True)
    assert server.stdout is not None
    assert server.stdout.readline() == "running\n"
    server.kill()
    # The worker holds the same pipe: reading ends only when it is gone too.
    assert server.communicate(timeout=PATIENCE_S) == ("", None)
