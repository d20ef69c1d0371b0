"""What runs in the spawned process: one solve, told to the server through a pipe.

Only this process imports the solver's search, which takes more than a second to load. Here the plan is
held against the checker too: in the server, that would keep the tablets waiting meanwhile.
"""

from __future__ import annotations

import importlib
import logging
import os
import signal
import threading
from collections.abc import Callable, Sequence
from multiprocessing import connection, parent_process
from typing import Any, Literal, NamedTuple

from service.limits import stay_small
from service.log import keep_log
from service.views import SolveSettings
from solver.check import Violation, check
from solver.domain.in_force import asked_for
from solver.domain.plan import Plan, Progress
from solver.domain.week import Problem

SOLVE = "solver.search:solve"
_log = logging.getLogger("lapful.search")


class Message(NamedTuple):
    """One thing the worker says; ``body`` is JSON, or a sentence when it failed."""

    kind: Literal["started", "progress", "plan", "failed"]
    body: str = ""


def run(sender: connection.Connection, problem: str, settings: str, solve_name: str, limit_mib: int) -> None:
    """Solve the problem and send what happens; the process ends with it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    keep_log()
    _end_with_parent()
    stay_small(limit_mib)
    try:
        wanted = SolveSettings.model_validate_json(settings)
        given = asked_for(Problem.model_validate_json(problem), wanted.loss_proof)
        plan = _solve(sender, given, wanted, solve_name)
        broken = check(given, plan)
    except MemoryError:
        sender.send(Message("failed", f"it needed more than the {limit_mib} MiB of memory that it may use"))
    except Exception as error:
        _log.exception("a search broke")
        sender.send(Message("failed", f"{type(error).__name__}: {error}"))
    else:
        sender.send(_refused(broken) if broken else Message("plan", plan.model_dump_json()))


def _refused(broken: Sequence[Violation]) -> Message:
    said = "; ".join(violation.sentence for violation in broken[:3])
    return Message("failed", f"the plan found does not hold: {said}")


def _solve(sender: connection.Connection, problem: Problem, wanted: SolveSettings, solve_name: str) -> Plan:
    solve = load(solve_name)
    sender.send(Message("started"))

    def tell(progress: Progress) -> None:
        sender.send(Message("progress", progress.model_dump_json()))

    plan: Plan = solve(
        problem,
        seconds=wanted.seconds,
        seed=wanted.seed,
        workers=wanted.workers,
        on_progress=tell,
    )
    return plan


def load(name: str) -> Callable[..., Any]:
    """The function that ``package.module:function`` names."""
    module, _, function = name.partition(":")
    found: Callable[..., Any] = getattr(importlib.import_module(module), function)
    return found


def _end_with_parent() -> None:
    # A server killed outright cannot stop us; its end of this sentinel closes all the same.
    parent = parent_process()
    if parent is None:
        return

    def watch() -> None:
        connection.wait([parent.sentinel])
        os._exit(1)

    threading.Thread(target=watch, daemon=True, name="watch-parent").start()
