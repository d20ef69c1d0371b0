"""Stand-ins for the solver, run in the worker process by name: each ends, or fails to, in its own way."""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Callable

from pydantic import BaseModel

from service.mends.questions import Question
from solver.domain.plan import Attendance, Booking, Plan, Progress
from solver.domain.week import LossProof, Problem

Tell = Callable[[Progress], None]


def empty(problem: Problem, *, on_progress: Tell, seed: int, **_: object) -> Plan:
    """Says where it stands once and gives an empty week."""
    on_progress(Progress(tier="promises", value=0, bound=0, seconds=0.1))
    return Plan(week=problem.week.id, seed=seed)


def endless(problem: Problem, *, on_progress: Tell, **_: object) -> Plan:
    """Never gives an answer."""
    on_progress(Progress(tier="worth", value=9, bound=1, seconds=0.1))
    while True:
        time.sleep(60)


def patient(problem: Problem, *, on_progress: Tell, should_stop: Callable[[], bool], **_: object) -> Plan:
    """Goes on until somebody has had enough, and then gives an empty week."""
    on_progress(Progress(tier="worth", value=9, bound=1, seconds=0.1))
    while not should_stop():
        time.sleep(0.01)
    return Plan(week=problem.week.id, stopped=True)


def endless_for_the_first_seed(problem: Problem, *, on_progress: Tell, seed: int, **more: object) -> Plan:
    """Seed 1 never ends, any other gives an empty week at once."""
    if seed == 1:
        return endless(problem, on_progress=on_progress)
    return empty(problem, on_progress=on_progress, seed=seed)


def dies(problem: Problem, **_: object) -> Plan:
    """Takes its process down without a word."""
    os._exit(7)


def raises(problem: Problem, **_: object) -> Plan:
    """Breaks as a bug would."""
    raise RuntimeError("the acorns rolled away")


def unsound(problem: Problem, **_: object) -> Plan:
    """Gives a plan that the checker must refuse: a walk in the middle of the night."""
    attends = (Attendance(child="burr", version="all", minutes=30, help=1),)
    walk = Booking(
        id="walk.1.1",
        wish="walk",
        activity="brook-walk",
        day="monday",
        start="02:00",
        minutes=30,
        setup_min=5,
        attends=attends,
        helpers=("bramble",),
        place="brook",
    )
    return Plan(week=problem.week.id, bookings=(walk,))


def faults_for_the_first_seed(problem: Problem, *, on_progress: Tell, seed: int, **_: object) -> Plan:
    """Seed 1 ends by a fault of memory, any other gives an empty week."""
    if seed == 1:
        os.kill(os.getpid(), signal.SIGSEGV)
    return empty(problem, on_progress=on_progress, seed=seed)


def faults(problem: Problem, **_: object) -> Plan:
    """Ends by a fault of memory each time."""
    os.kill(os.getpid(), signal.SIGSEGV)
    raise AssertionError("no process outlives this")


def hungry(problem: Problem, **_: object) -> Plan:
    """Asks for more and more memory."""
    kept = []
    while True:
        kept.append(bytearray(16 * 1024 * 1024))


def aborts(problem: Problem, **_: object) -> Plan:
    """Ends as C++ does when memory is refused."""
    os.abort()


def real(problem: Problem, *, seed: int, **_: object) -> Plan:
    """The solver itself, in a hurry."""
    from solver.search import solve

    return solve(problem, seconds=0.5, seed=seed, workers=1)


def tells_what_was_asked(problem: Problem, **_: object) -> Plan:
    """An empty week, with the answer to how loss-proof it was to be where a seed would be."""
    return Plan(week=problem.week.id, seed=list(LossProof).index(problem.week.loss_proof))


def lingers(asked: Question) -> BaseModel:
    """Says that it was asked, and never answers."""
    print("running", flush=True)
    while True:
        time.sleep(60)
