"""A process that searches for answers, started when it is first needed and kept until the server stops."""

from __future__ import annotations

import json
import threading
from multiprocessing import connection, get_context
from multiprocessing.context import SpawnProcess

from pydantic import TypeAdapter

from service.errors import BadInput, MendFailed
from service.mends.questions import Elsewhere, Instead, MoveAnswer, Question, WhatHangs, WhatNow, WhyHere
from service.mends.worker import FIND, Answer, Faults, run
from solver.domain.mishap import Mending
from solver.domain.plan import Hang, WhyAnswer

_HANGS = TypeAdapter(tuple[Hang, ...])
STARTS_WITHIN_S = 20.0
GRACE_S = 25.0
"""How long an answer may take beyond the search that was asked for."""


class Mender:
    """Asks one process, one question at a time; ``polite`` ones step back behind everything else.

    ``find`` names the function that knows the answers.
    """

    def __init__(self, polite: bool = False, find: str = FIND) -> None:
        self._polite, self._find = polite, find
        self._turn = threading.Lock()
        self._process: SpawnProcess | None = None
        self._pipe: connection.Connection | None = None
        self._closed = False

    def mend(self, asked: WhatNow) -> Mending:
        """The offers for what happened.

        Raises
        ------
        BadInput
            When what happened does not fit the week.
        MendFailed
            When no answer came.
        """
        return Mending.model_validate_json(self._answer(asked))

    def hanging(self, asked: WhatHangs) -> tuple[Hang, ...]:
        """Which promises would break if a single day were lost; raises as ``mend``."""
        return _HANGS.validate_python(json.loads(self._answer(asked))["hangs"])

    def why(self, asked: WhyHere) -> WhyAnswer:
        """Why here, why not; raises as ``mend``, also when what is asked about is not there."""
        return WhyAnswer.model_validate_json(self._answer(asked))

    def by_hand(self, asked: Elsewhere | Instead) -> MoveAnswer:
        """What a change by hand comes to; raises as ``mend``."""
        return MoveAnswer.model_validate_json(self._answer(asked))

    def _answer(self, asked: Question) -> str:
        with self._turn:
            # A question changes nothing, so it may be asked again when its process ended halfway.
            answer = self._ask(asked) or self._ask(_otherwise(asked))
        if answer is None:
            raise MendFailed("the process that searches ended twice without an answer; try again later")
        if answer.kind == "faults":
            raise BadInput("what was asked needs mending", Faults.model_validate_json(answer.body).faults)
        if answer.kind == "failed":
            raise MendFailed(f"it broke: {answer.body}")
        return answer.body

    def _ask(self, asked: Question) -> Answer | None:
        """The answer, or None when the process ended without one."""
        pipe = self._running()
        if self._closed:
            self._end()
            raise MendFailed("the server is stopping")
        try:
            pipe.send(asked.model_dump_json())
            searching = asked.seconds if isinstance(asked, WhatNow) else 0.0
            if pipe.poll(searching + STARTS_WITHIN_S + GRACE_S):
                answer: Answer = pipe.recv()
                return answer
        except (EOFError, OSError):
            self._end()
            return None
        self._end()
        raise MendFailed("no answer came in time; try again")

    def _running(self) -> connection.Connection:
        if self._closed:
            raise MendFailed("the server is stopping")
        if self._pipe is None or self._process is None or not self._process.is_alive():
            self._end()
            context = get_context("spawn")
            self._pipe, theirs = context.Pipe()
            self._process = context.Process(
                target=run, args=(theirs, self._polite, self._find), daemon=True, name="mend"
            )
            self._process.start()
            theirs.close()
        return self._pipe

    def _end(self) -> None:
        if self._pipe is not None:
            self._pipe.close()
        if self._process is not None:
            self._process.kill()
            self._process.join()
        self._pipe = self._process = None

    def rest(self) -> None:
        """Let the process go until it is needed again."""
        with self._turn:
            self._end()

    def close(self) -> None:
        """End it at once, also in the middle of a mend."""
        self._closed = True
        process = self._process
        if process is not None and process.is_alive():
            process.kill()
        self.rest()


def _otherwise(asked: Question) -> Question:
    """The same question for another course of the search: the old one may end its process each time."""
    return asked.model_copy(update={"seed": asked.seed + 1}) if isinstance(asked, WhatNow) else asked
