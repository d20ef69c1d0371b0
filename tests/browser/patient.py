"""Serves a folder with a search that ends by hand alone: ``python -m tests.browser.patient FOLDER``.

The real one may be done before anybody can press a button; how it is shown and stopped is tested here.
"""

from __future__ import annotations

import socket
import sys
import time
from collections.abc import Callable
from pathlib import Path

import uvicorn

from service.app import create_app
from solver.domain.plan import Plan, Progress
from solver.domain.week import Problem
from solver.search import solve


def search(
    problem: Problem, *, on_progress: Callable[[Progress], None], should_stop: Callable[[], bool], **_: object
) -> Plan:
    """Gets within a tenth of the best, and then goes on until somebody has had enough."""
    bookings = len(problem.week.wishes)
    on_progress(Progress(tier="promises", seconds=0.2))
    on_progress(Progress(tier="worth", value=100, bound=90, seconds=1.0, bookings=bookings))
    while not should_stop():
        time.sleep(0.05)
    return solve(problem, seconds=1.0, should_stop=should_stop)


def main(folder: Path) -> None:
    """Serve until the process is ended."""
    app = create_app(folder, solve="tests.browser.patient:search")
    with socket.create_server(("127.0.0.1", 0)) as listener:
        print(f"http://127.0.0.1:{listener.getsockname()[1]}/", flush=True)
        config = uvicorn.Config(app, log_level="warning", timeout_graceful_shutdown=1)
        uvicorn.Server(config).run(sockets=[listener])


if __name__ == "__main__":
    main(Path(sys.argv[1]))
