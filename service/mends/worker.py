"""What runs in the spawned process: one mend after the other, until the server closes the pipe.

Only this process imports the solver's search, which takes more than a second to load; so it is kept.
"""

from __future__ import annotations

import logging
import os
import signal
from multiprocessing import connection
from typing import Literal, NamedTuple

from service.limits import allowed_mib, stay_small
from service.log import keep_log
from solver.domain.base import Frozen, Moment
from solver.domain.faults import Fault, RelationError
from solver.domain.mishap import Mishap
from solver.domain.plan import Plan
from solver.domain.week import Problem

VERY_POLITE = 10
_log = logging.getLogger("lapful.mend")


class Asked(Frozen):
    """A week, what happened in it, and how long to search; or what would happen if a day were lost."""

    about: Literal["mend", "resilience"] = "mend"
    problem: Problem
    plan: Plan
    mishaps: tuple[Mishap, ...] = ()
    at: Moment | None = None
    seconds: float = 5.0


class Faults(Frozen):
    """What does not fit the week."""

    faults: tuple[Fault, ...]


class Answer(NamedTuple):
    """``body`` is JSON, or a sentence when it broke."""

    kind: Literal["mending", "resilience", "faults", "failed"]
    body: str


def run(pipe: connection.Connection, polite: bool) -> None:
    """Answer every question that comes through the pipe; the process ends with it."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    keep_log()
    stay_small(allowed_mib())
    if polite and hasattr(os, "nice"):
        os.nice(VERY_POLITE)
    while True:
        try:
            asked: str = pipe.recv()
        except (EOFError, OSError):
            return
        pipe.send(_answer(asked))


def _answer(asked: str) -> Answer:
    from solver.mend import mend
    from solver.resilience import resilience

    try:
        one = Asked.model_validate_json(asked)
        if one.about == "resilience":
            return Answer("resilience", resilience(one.problem, one.plan).model_dump_json())
        found = mend(one.problem, one.plan, one.mishaps, at=one.at, seconds=one.seconds)
    except RelationError as error:
        return Answer("faults", Faults(faults=tuple(error.faults)).model_dump_json())
    except Exception as error:
        _log.exception("a mend broke")
        return Answer("failed", f"{type(error).__name__}: {error}"[:1000])
    return Answer("mending", found.model_dump_json())
