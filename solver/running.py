"""A running search: its limits, its solver with our parameters, and the best found so far."""

from __future__ import annotations

import gc
import math
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from ortools.sat.python import cp_model

from solver.domain.plan import Progress
from solver.engine import engine
from solver.model import WeekModel
from solver.variables import total

FILL_SECONDS = 5.0
"""Completing a week is no search; it is given its moment even when the time is over."""
REASONS_SECONDS = 2.5
"""What setting in order and reasons take for a week of three children on two cores."""
REASONS_LEAST, REASONS_MOST = 0.1, 0.2
"""The shares of the time between which that is kept back from the search."""
ASK_SECONDS = 2.0
"""For the reasons when there is no time left."""
LEAST_SECONDS = 0.05
MOMENT = 0.1
"""Less time than this is none: the engine needs it to take in a week."""
THOROUGH = ("max_lp", "quick_restart")
"""CP-SAT's workers: one keeps every row and cut it can; from three on one begins anew again and again."""
MANY_NEW = 50_000
"""New objects before Python looks for circles in them: after its usual 700 that took half of a first week."""
FOUND = (cp_model.OPTIMAL, cp_model.FEASIBLE)

Report = Callable[[Progress], None]
Stop = Callable[[], bool]


@dataclass
class Search:
    """One running search: its limits, and the best found so far.

    With one worker time is counted in CP-SAT's deterministic time (near to seconds), so that the same
    seed gives the same plan on any machine.
    """

    seconds: float
    seed: int
    workers: int
    report: Report
    stop: Stop
    asks: bool = True
    """Whether time is kept back for the reasons why something is left over."""
    began: float = field(default_factory=time.monotonic)
    counted: float = 0.0
    best: dict[int, int] = field(default_factory=dict)
    first_plan: float | None = None
    stopped: bool = False
    bookings: int = 0

    @property
    def spent(self) -> float:
        """Seconds since the search began."""
        return time.monotonic() - self.began

    @property
    def left(self) -> float:
        """Seconds (one worker: deterministic ones) left."""
        if self.enough:
            return LEAST_SECONDS
        if self.workers == 1:
            return max(LEAST_SECONDS, self.seconds - self.counted)
        kept_back = max(REASONS_LEAST * self.seconds, min(REASONS_MOST * self.seconds, REASONS_SECONDS))
        return max(LEAST_SECONDS, self.seconds - kept_back * self.asks - self.spent)

    @property
    def asking_seconds(self) -> float:
        """How long to ask why things are left over; with one worker as long as it takes."""
        least = min(ASK_SECONDS, self.seconds / 4)
        if self.enough:
            return least
        return math.inf if self.workers == 1 else max(least, self.seconds - self.spent)

    @property
    def enough(self) -> bool:
        """Whether somebody has had enough: what there is now is wanted, and soon."""
        self.stopped = self.stopped or self.stop()
        return self.stopped

    def keep(self, solver: cp_model.CpSolver) -> None:
        """Remember a solution."""
        self.best = dict(enumerate(solver.response_proto.solution))

    def tell(self, tier: str, value: int | None, bound: int | None) -> None:
        """Report where the search stands."""
        spent = round(self.spent, 3)
        if self.first_plan is None:
            self.first_plan = spent
        self.report(Progress(tier=tier, value=value, bound=bound, seconds=spent, bookings=self.bookings))

    def solver(self, seconds: float) -> cp_model.CpSolver:
        """A solver with our parameters, for so many of the seconds left."""
        solver = engine(self.workers)
        if self.workers == 1:
            solver.parameters.max_deterministic_time = min(seconds, self.left)
        else:
            solver.parameters.max_time_in_seconds = min(seconds, self.left)
        solver.parameters.random_seed = self.seed
        solver.parameters.symmetry_level = 0
        solver.parameters.linearization_level = 2
        solver.parameters.subsolvers.extend(THOROUGH)
        return solver


@contextmanager
def few_collections() -> Iterator[None]:
    """While a great many things are made that all stay: Python seldom looks for what could be thrown away."""
    was = gc.get_threshold()
    gc.set_threshold(MANY_NEW, *was[1:])
    try:
        yield
    finally:
        gc.set_threshold(*was)


def fill_in(search: Search, week: WeekModel, values: dict[int, int]) -> None:
    """Keep the week that these decisions make, with the least of every cost that follows from them."""
    hint(week, values)
    week.model.minimize(total(week.total.values()))
    solver = search.solver(search.left)
    solver.parameters.max_time_in_seconds = max(FILL_SECONDS, search.left)
    solver.parameters.fix_variables_to_their_hinted_value = True
    solver.parameters.num_workers = 1
    status = solver.solve(week.model)
    search.counted += solver.response_proto.deterministic_time
    week.model.clear_objective()  # type: ignore[no-untyped-call]
    if status in FOUND:
        search.keep(solver)


def hint(week: WeekModel, values: dict[int, int]) -> None:
    """Let the next search start from these values, by variable index."""
    week.model.clear_hints()  # type: ignore[no-untyped-call]
    hints = week.model.proto.solution_hint
    hints.vars.extend(list(values))
    hints.values.extend(list(values.values()))


def run(search: Search, solver: cp_model.CpSolver, week: WeekModel, tier: str, floor: int | None) -> int:
    """Search from the best week so far, tell and keep what is better; gives CP-SAT's status.

    ``floor`` is the bound to tell where the search's own holds only for a part of the week.
    """
    hint(week, search.best)
    done = threading.Event()

    def watch() -> None:
        while not done.wait(0.1):
            if search.enough:
                solver.stop_search()

    watcher = threading.Thread(target=watch, daemon=True)
    watcher.start()
    try:
        status = int(solver.solve(week.model, _Tell(search, week, tier, floor)))
    finally:
        done.set()
        watcher.join()
    search.counted += solver.response_proto.deterministic_time
    # What is only as good may be loose in the tiers to come.
    if status in FOUND and solver.objective_value < search.best.get(week.total[tier].index, math.inf):
        search.keep(solver)
    return status


class _Tell(cp_model.CpSolverSolutionCallback):
    """Passes on every better solution."""

    def __init__(self, search: Search, week: WeekModel, tier: str, floor: int | None) -> None:
        super().__init__()
        self.search, self.tier, self.floor = search, tier, floor
        self.so_far = search.best.get(week.total[tier].index)
        self.placed = [week.variables.placed(task) for task in week.variables.outline.tasks]

    def on_solution_callback(self) -> None:
        """Called by CP-SAT."""
        value = round(self.objective_value)
        if self.so_far is not None and value >= self.so_far:
            return
        self.so_far = value
        self.search.bookings = sum(self.value(placed) for placed in self.placed)
        # CP-SAT's own bound callback is left alone: with it a process once ended in a fault of memory.
        bound = self.floor if self.floor is not None else bound_of(self)
        self.search.tell(self.tier, value, bound)


def bound_of(found: cp_model.CpSolver | cp_model.CpSolverSolutionCallback) -> int:
    """The least whole cost that a search still thinks possible."""
    return max(0, math.ceil(found.best_objective_bound - 1e-6))
