"""A served household in a folder of its own."""

from __future__ import annotations

import multiprocessing
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient

from service.app import create_app
from tests.service.house import document_json
from tests.service.saying import lapful, orchard

__all__ = ["lapful", "orchard"]

Serve = Callable[..., TestClient]
PATIENCE_S = 60
OURS = ("job-", "mend-ahead")


@pytest.fixture(autouse=True)
def nothing_runs_on() -> Iterator[None]:
    """What a server started ends with it: no thread of ours, no process, outlives its test."""
    yield
    assert [one.name for one in threading.enumerate() if one.name.startswith(OURS)] == []
    assert [one.name for one in multiprocessing.active_children()] == []


@pytest.fixture
def serve(tmp_path: Path) -> Iterator[Serve]:
    """Starts servers with a stand-in solver; all are stopped at the end of the test."""
    with ExitStack() as stack:

        def start(solve: str = "empty", folder: Path = tmp_path / "data", **more: Any) -> TestClient:
            app = create_app(folder, solve=f"tests.service.solves:{solve}", page=tmp_path / "no-page", **more)
            client = TestClient(app, base_url="http://localhost", raise_server_exceptions=False)
            return stack.enter_context(client)

        yield start


@pytest.fixture
def client(serve: Serve) -> TestClient:
    """A server that holds the orchard household."""
    client = serve()
    load(client)
    return client


def load(client: TestClient) -> None:
    """Put the orchard household in."""
    assert client.put("/api/document", json=document_json()).status_code == 200


def until(answers: Callable[[], Any], patience_s: float = PATIENCE_S) -> Any:
    """The first true answer; bounded, and each question waits a little for the answer itself."""
    deadline = time.monotonic() + patience_s
    while time.monotonic() < deadline:
        answer = answers()
        if answer:
            return answer
        time.sleep(0.02)
    raise AssertionError("it did not come about in time")


def job_in_state(client: TestClient, job_id: str, *states: str) -> dict[str, Any]:
    """The job once it is in one of these states."""

    def ask() -> dict[str, Any] | None:
        job: dict[str, Any] = client.get(f"/api/jobs/{job_id}").json()
        return job if job["state"] in states else None

    found: dict[str, Any] = until(ask)
    return found
