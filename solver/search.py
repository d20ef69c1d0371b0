"""solve(): the best week there is, tier by tier, with a bound for each and nothing unchecked."""

from __future__ import annotations

import math
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import islice

from ortools.sat.python import cp_model

from solver.assemble import Chosen, bookings, decisions, prep, purchases, read, waiting
from solver.candidates import Candidates, enumerate_candidates
from solver.check import TIERS as COUNTED
from solver.check import check, costs
from solver.construct import construct
from solver.domain.plan import Plan, Progress, TierResult
from solver.domain.week import LossProof, Problem, Rank
from solver.explain import left_over
from solver.model import WeekModel, build
from solver.outline import Outline, Task
from solver.rules.soft import TIERS, missed_outdoors
from solver.tidy import tidy
from solver.variables import total

SHARE = {
    "promises": 0.15,
    "required": 0.3,
    "preferred": 0.5,
    "staples": 0.2,
    "changes": 0.3,
    "worth": 0.75,
    "rhythm": 1.0,
}
"""The part of the time left that each tier may use before the next one starts."""

MOST = 10**9
SPARE_TIERS = ("required", "preferred")
"""What hangs is counted afterwards, day by day; the model sees a little less."""
FILL_SECONDS = 5.0
"""Completing a week is no search; it is given its moment even when the time is over."""
MORE_WEEKS = 3
"""First weeks made beyond the very first; more of them hardly get better."""
MANY_CANDIDATES = 45_000
"""Fewer first weeks are made where each takes long."""

Report = Callable[[Progress], None]
Stop = Callable[[], bool]


class PlanRejected(AssertionError):
    """The checker rejects what the solver made: a fault in Lapful, never in the household."""


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
        used = self.counted if self.workers == 1 else self.spent
        return max(0.05, self.seconds - used)

    @property
    def asking_seconds(self) -> float:
        """How long to ask why things are left over; with one worker as long as it takes."""
        return math.inf if self.workers == 1 else max(min(3.0, self.seconds / 4), self.seconds - self.spent)

    def keep(self, solver: cp_model.CpSolver, week: WeekModel) -> None:
        """Remember a solution."""
        count = len(week.model.proto.variables)
        self.best = {i: solver.value(_var(week, i)) for i in range(count)}

    def tell(self, tier: str, value: int | None, bound: int | None) -> None:
        """Report where the search stands."""
        spent = round(self.spent, 3)
        if self.first_plan is None:
            self.first_plan = spent
        self.report(Progress(tier=tier, value=value, bound=bound, seconds=spent, bookings=self.bookings))

    def solver(self, share: float) -> cp_model.CpSolver:
        """A solver with our parameters, for a share of the time left."""
        solver = cp_model.CpSolver()
        if self.workers == 1:
            solver.parameters.max_deterministic_time = self.left * share
        else:
            solver.parameters.max_time_in_seconds = self.left * share
        solver.parameters.random_seed = self.seed
        solver.parameters.num_workers = self.workers
        solver.parameters.cp_model_probing_level = 0
        solver.parameters.max_presolve_iterations = 1
        solver.parameters.symmetry_level = 0
        solver.parameters.linearization_level = 2
        # Its own handler would swallow Ctrl-C for one tier; ``stop`` ends the whole search.
        solver.parameters.catch_sigint_signal = False
        return solver


def solve(
    problem: Problem,
    *,
    seconds: float = 15.0,
    seed: int = 1,
    workers: int = 2,
    on_progress: Report | None = None,
    should_stop: Stop | None = None,
) -> Plan:
    """The best week that was found, with bound and proof for each tier of costs.

    Always gives a plan: what does not fit is left over with its reason.

    Raises
    ------
    PlanRejected
        When the independent checker finds a fault in the plan (a bug here).
    """
    search = Search(seconds, seed, workers, on_progress or _silent, should_stop or _never)
    candidates = enumerate_candidates(Outline(problem))
    weeks = construct(candidates, seed)
    first = next(weeks)
    search.bookings = len(first.starts)
    if not check(problem, make_plan(candidates, first, [], 0)):
        search.tell("first", None, None)
    for better in islice(weeks, min(MORE_WEEKS, MANY_CANDIDATES // max(1, len(candidates.all)))):
        first = better
    chosen, tiers = best_week(search, build(candidates), first)
    plan = make_plan(candidates, tidy(candidates, chosen, seed), tiers, search.asking_seconds)
    if problem.week.loss_proof is not LossProof.OFF:
        # A mend stands on a search, so it is not known before it is wanted.
        from solver.resilience import with_spares

        plan = with_spares(problem, plan, seed)
    return finished(problem, plan, search)


def best_week(search: Search, week: WeekModel, first: Chosen) -> tuple[Chosen, list[TierResult]]:
    """Search a built model tier by tier, from a first week."""
    _fill_in(search, week, decisions(week.variables, first))
    tiers = [_solve_tier(search, week, tier, first) for tier in TIERS if week.terms[tier]]
    return _chosen(search, week, first), tiers


def finished(problem: Problem, plan: Plan, search: Search) -> Plan:
    """The plan as it may leave the solver: accepted by the checker, with its costs and its times.

    Raises
    ------
    PlanRejected
        When the checker finds a fault or counts other costs.
    """
    return _checked(problem, plan).model_copy(
        update={
            "seed": search.seed,
            "seconds": round(search.spent, 3),
            "first_plan_seconds": search.first_plan,
            "stopped": search.stopped,
        }
    )


def _silent(_: Progress) -> None:
    return None


def _never() -> bool:
    return False


def _chosen(search: Search, week: WeekModel, first: Chosen) -> Chosen:
    """The best solution so far; the first week when the search had no time for any."""
    if not search.best:
        return first
    return read(week.variables, lambda var: search.best[var.index])


def make_plan(candidates: Candidates, chosen: Chosen, tiers: list[TierResult], asking_seconds: float) -> Plan:
    """The plan of a solution, with what it leaves over and, as far as there is time, why."""
    outline = candidates.outline
    return Plan(
        week=outline.problem.week.id,
        bookings=bookings(outline, chosen),
        prep=prep(outline, chosen),
        waiting=waiting(outline, chosen),
        shopping=purchases(outline, chosen),
        left_over=left_over(candidates, chosen, time.monotonic() + asking_seconds),
        tiers=tuple(tiers),
    )


def _checked(problem: Problem, plan: Plan) -> Plan:
    """The plan with its costs, as the checker counts them; both counts must agree."""
    violations = check(problem, plan)
    if violations:
        told = "; ".join(f"{v.key}: {v.sentence}" for v in violations[:5])
        raise PlanRejected(f"the checker rejects the plan: {told}")
    found = costs(problem, plan)
    tiers: list[TierResult] = []
    open_now = False
    for tier in plan.tiers:
        if tier.name not in COUNTED:
            tiers.append(tier)
            continue
        value = sum(cost.amount for cost in found if cost.tier == tier.name)
        in_spares = tier.name in SPARE_TIERS
        if not in_spares and (value > tier.value or (tier.proved and value < tier.value)):
            raise PlanRejected(f"tier {tier.name}: the solver says {tier.value}, the checker {value}")
        # More hangs than the model could see: what comes below was searched among too few weeks.
        bound = 0 if open_now else min(tier.bound, value)
        proved = bound >= value or (tier.proved and not open_now and not in_spares)
        tiers.append(TierResult(name=tier.name, value=value, bound=bound, proved=proved))
        open_now = open_now or (in_spares and value > tier.value)
    return plan.model_copy(update={"costs": found, "tiers": tuple(tiers)})


def _fill_in(search: Search, week: WeekModel, values: dict[int, int]) -> None:
    """Keep the week that these decisions make, with the least of every cost that follows from them."""
    week.model.clear_hints()  # type: ignore[no-untyped-call]
    for index, value in values.items():
        week.model.add_hint(_var(week, index), value)
    week.model.minimize(total(week.total.values()))
    solver = search.solver(1.0)
    solver.parameters.max_time_in_seconds = max(FILL_SECONDS, search.left)
    solver.parameters.fix_variables_to_their_hinted_value = True
    solver.parameters.num_workers = 1
    status = solver.solve(week.model)
    search.counted += solver.response_proto.deterministic_time
    week.model.clear_objective()  # type: ignore[no-untyped-call]
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        search.keep(solver, week)


def _solve_tier(search: Search, week: WeekModel, tier: str, first: Chosen) -> TierResult:
    cost = week.total[tier]
    floor = least(week, tier)
    found = search.best.get(cost.index)
    if found is None or found > floor:
        bound, proved = _improve(search, week, tier, first)
    else:
        bound, proved = floor, True
    value = search.best.get(cost.index, MOST)
    week.model.add(cost <= value)
    search.tell(tier, value, bound)
    return TierResult(name=tier, value=value, bound=bound, proved=proved)


def _improve(search: Search, week: WeekModel, tier: str, first: Chosen) -> tuple[int, bool]:
    """Better a tier; gives its bound, and whether the value is proved best."""
    week.model.minimize(week.total[tier])
    _hint(week, search.best)
    solver = search.solver(SHARE[tier])
    status = _run(search, solver, week, tier)
    search.counted += solver.response_proto.deterministic_time
    if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        search.keep(solver, week)
        _fill_in(search, week, decisions(week.variables, _chosen(search, week, first)))
    week.model.clear_objective()  # type: ignore[no-untyped-call]
    bound = max(0, math.ceil(solver.best_objective_bound - 1e-6))
    return bound, status == cp_model.OPTIMAL


def least(week: WeekModel, tier: str) -> int:
    """A bound that needs no search: goes that have no place at all stay unkept."""
    rank = {"promises": Rank.PROMISE, "staples": Rank.STAPLE}.get(tier)
    v = week.variables
    indoors = missed_outdoors(v) if tier == "staples" else 0
    return indoors + sum(
        go.wish.rank is rank
        and not any(c.option.lighter for c in v.of(Task(go, 0)))
        and any(not v.of(Task(go, i)) for i in range(len(go.activity.sittings)))
        for go in v.outline.goes
    )


def _var(week: WeekModel, index: int) -> cp_model.IntVar:
    return week.model.get_int_var_from_proto_index(index)


def _hint(week: WeekModel, best: dict[int, int]) -> None:
    week.model.clear_hints()  # type: ignore[no-untyped-call]
    for index, value in best.items():
        week.model.add_hint(_var(week, index), value)


class _Tell(cp_model.CpSolverSolutionCallback):
    """Passes on every better solution."""

    def __init__(self, search: Search, week: WeekModel, tier: str) -> None:
        super().__init__()
        self.search, self.tier = search, tier
        self.placed = [week.variables.placed(task) for task in week.variables.outline.tasks]

    def on_solution_callback(self) -> None:
        """Called by CP-SAT."""
        self.search.bookings = sum(self.value(placed) for placed in self.placed)
        # CP-SAT's own bound callback is left alone: with it a process once ended in a fault of memory.
        bound = max(0, math.ceil(self.best_objective_bound - 1e-6))
        self.search.tell(self.tier, round(self.objective_value), bound)


def _run(search: Search, solver: cp_model.CpSolver, week: WeekModel, tier: str) -> int:
    done = threading.Event()

    def watch() -> None:
        while not done.wait(0.1):
            if search.stop():
                search.stopped = True
                solver.stop_search()

    telling = _Tell(search, week, tier)
    watcher = threading.Thread(target=watch, daemon=True)
    watcher.start()
    try:
        return int(solver.solve(week.model, telling))
    finally:
        done.set()
        watcher.join()
