"""What runs in the spawned process: one question after the other, until the server closes the pipe.

Only this process imports the solver's search, which takes more than a second to load; so it is kept.
"""

from __future__ import annotations

import logging
import os
import signal
from multiprocessing import connection
from typing import Literal, NamedTuple

from pydantic import BaseModel, TypeAdapter

from service.limits import allowed_mib, end_with_parent, load, stay_small
from service.log import keep_log
from service.mends.questions import Elsewhere, Instead, Question, WhatHangs, WhatNow, WhyHere
from solver.domain.base import Frozen
from solver.domain.faults import Fault, RelationError

VERY_POLITE = 10
FIND = "service.mends.worker:found"
_log = logging.getLogger("lapful.mend")
_QUESTION: TypeAdapter[Question] = TypeAdapter(Question)


class Faults(Frozen):
    """What does not fit the week."""

    faults: tuple[Fault, ...]


class Answer(NamedTuple):
    """``body`` is JSON, or a sentence when it broke."""

    kind: Literal["answer", "faults", "failed"]
    body: str


def run(pipe: connection.Connection, polite: bool, find: str) -> None:
    """Answer every question that comes through the pipe; the process ends with it.

    ``find`` names the function that knows the answers.
    """
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    keep_log()
    end_with_parent()
    stay_small(allowed_mib())
    if polite and hasattr(os, "nice"):
        os.nice(VERY_POLITE)
    while True:
        try:
            asked: str = pipe.recv()
        except (EOFError, OSError):
            return
        pipe.send(_answer(asked, find))


def _answer(asked: str, find: str) -> Answer:
    try:
        return Answer("answer", load(find)(_QUESTION.validate_json(asked)).model_dump_json())
    except RelationError as error:
        return Answer("faults", Faults(faults=tuple(error.faults)).model_dump_json())
    except Exception as error:
        _log.exception("a question to the solver broke")
        return Answer("failed", f"{type(error).__name__}: {error}"[:1000])


def found(asked: Question) -> BaseModel:
    """What the solver says to a question."""
    from service.mends.instead import lighter, swap
    from service.mends.moving import move
    from solver.mend import mend
    from solver.resilience import resilience
    from solver.why import why

    problem, plan = asked.problem, asked.plan
    match asked:
        case WhatNow():
            return mend(problem, plan, asked.mishaps, at=asked.at, seconds=asked.seconds, seed=asked.seed)
        case WhatHangs():
            return resilience(problem, plan)
        case WhyHere():
            return why(problem, plan, asked.about)
        case Elsewhere():
            return move(problem, plan, asked.booking, asked.day, asked.stretch)
        case Instead():
            by_hand = swap if asked.kind == "swap" else lighter
            return by_hand(problem, plan, asked.booking)
