"""A server in a process of its own, for tests that kill it."""

from __future__ import annotations

import threading
from pathlib import Path

from service.jobs import Jobs
from service.mends.mender import Mender
from service.mends.questions import WhatHangs
from service.store import Store
from service.views import SolveSettings
from solver.domain.plan import Plan
from tests.service.conftest import until
from tests.service.house import WEEK, document


def serve_and_start(folder: str) -> None:
    """Begin an endless solve, say so, and stay until killed."""
    store = Store(Path(folder))
    store.put_document(document())
    jobs = Jobs(store, solve="tests.service.solves:endless")
    job = jobs.start(WEEK, SolveSettings())
    until(lambda: jobs.get(job.id).state == "running")
    print("running", flush=True)
    threading.Event().wait()


def serve_and_ask(_: str) -> None:
    """Ask a question that is never answered; whoever was asked says so."""
    week = document().problem(WEEK)
    asked = WhatHangs(problem=week, plan=Plan(week=WEEK))
    Mender(find="tests.service.solves:lingers").hanging(asked)
