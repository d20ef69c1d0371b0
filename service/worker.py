"""What runs in the spawned process: one solve, told to the server through a pipe.

The server says one thing only: that somebody has had enough.

Only this process imports the solver's search, which takes more than a second to load. Here the plan is
held against the checker too: in the server, that would keep the tablets waiting meanwhile.
"""

from __future__ import annotations

import logging
import signal
import threading
from collections.abc import Sequence
from multiprocessing import connection
from typing import Literal, NamedTuple

from service.limits import end_with_parent, load, stay_small
from service.log import keep_log
from service.views import SolveSettings
from solver.check import Violation, check
from solver.domain.in_force import asked_for
from solver.domain.plan import Plan, Progress
from solver.domain.week import Problem

SOLVE = "solver.search:solve"
ENOUGH = "enough"
_log = logging.getLogger("lapful.search")


class Message(NamedTuple):
    """One thing the worker says; ``body`` is JSON, or a sentence when it failed."""

    kind: Literal["started", "progress", "plan", "failed"]
    body: str = ""


def run(pipe: connection.Connection, problem: str, settings: str, solve_name: str, limit_mib: int) -> None:
    """Solve the problem and send what happens; the process ends with it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    keep_log()
    end_with_parent()
    stay_small(limit_mib)
    try:
        wanted = SolveSettings.model_validate_json(settings)
        given = asked_for(Problem.model_validate_json(problem), wanted.loss_proof)
        plan = _solve(pipe, given, wanted, solve_name)
        broken = check(given, plan)
    except MemoryError:
        pipe.send(Message("failed", f"it needed more than the {limit_mib} MiB of memory that it may use"))
    except Exception as error:
        _log.exception("a search broke")
        pipe.send(Message("failed", f"{type(error).__name__}: {error}"))
    else:
        pipe.send(_refused(broken) if broken else Message("plan", plan.model_dump_json()))


def _refused(broken: Sequence[Violation]) -> Message:
    said = "; ".join(violation.sentence for violation in broken[:3])
    return Message("failed", f"the plan found does not hold: {said}")


def _solve(pipe: connection.Connection, problem: Problem, wanted: SolveSettings, solve_name: str) -> Plan:
    solve = load(solve_name)
    enough = _told_enough(pipe)
    pipe.send(Message("started"))

    def tell(progress: Progress) -> None:
        pipe.send(Message("progress", progress.model_dump_json()))

    plan: Plan = solve(
        problem,
        seconds=wanted.seconds,
        seed=wanted.seed,
        workers=wanted.workers,
        on_progress=tell,
        should_stop=enough.is_set,
    )
    return plan


def _told_enough(pipe: connection.Connection) -> threading.Event:
    """Set once the server says that somebody has had enough."""
    told = threading.Event()

    def wait() -> None:
        try:
            heard = pipe.recv()
        except (EOFError, OSError):
            # The server is gone, and this process ends with it.
            return
        if heard == ENOUGH:
            told.set()

    threading.Thread(target=wait, daemon=True, name="told-enough").start()
    return told
