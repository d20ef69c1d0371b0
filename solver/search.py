"""solve(): the best week there is, tier by tier, with a bound for each and nothing unchecked."""

from __future__ import annotations

import math
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from itertools import islice

from solver.assemble import Chosen, bookings, packed, prep, unpacked, waiting
from solver.beside import COPIES, Beside
from solver.candidates import Allowed, Candidates, enumerate_candidates
from solver.check import TIERS as COUNTED
from solver.check import Facts, check, costs
from solver.construct import construct
from solver.domain.plan import LeftOver, Plan, Progress, TierResult
from solver.domain.week import LossProof, Problem
from solver.explain import left_over
from solver.model import build
from solver.outline import Outline
from solver.running import Report, Search, Stop, few_collections
from solver.shopping import purchases
from solver.tidy import tidy
from solver.tiers import best_week

SPARE_TIERS = ("required", "preferred")
"""What hangs is counted afterwards, day by day; the model sees a little less."""
FEW_WAYS = 2
"""Ways of doing a sitting that the very first week chooses among."""
MORE_WEEKS = 150
"""First weeks made beyond the very first, at most, where the rest waits for them."""
TURNS = 30
"""So many in a row without a better one are enough."""
A_TURN_FOR = 300
"""Candidates for which one more turn is worth its time: few are soon searched as a whole."""
TO_BEGIN = 0.2
"""The share of the time for first weeks; with one worker they are counted alone."""


class PlanRejected(AssertionError):
    """The checker rejects what the solver made: a fault in Lapful, never in the household."""


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
    with few_collections():
        outline = Outline(problem)
        allowed = Allowed(outline)
        _tell_first(search, enumerate_candidates(outline, allowed=allowed, ways=FEW_WAYS))
        candidates = enumerate_candidates(outline, allowed=allowed)
        apart = workers > 1 and COPIES
        weeks = construct(candidates, seed) if apart else first_weeks(search, candidates)
        first = next(weeks)
        with Beside(map(packed, weeks), packed(first), apart) as beside:
            week = build(candidates)
    first = unpacked(candidates, beside.latest)
    search.bookings = len(first.starts)
    chosen, tiers = best_week(search, week, first)
    plan = _tidy_plan(search, candidates, chosen, tiers)
    if problem.week.loss_proof is not LossProof.OFF:
        # A mend stands on a search, so it is not known before it is wanted.
        from solver.resilience import with_spares

        plan = with_spares(problem, plan, seed)
    return finished(problem, plan, search)


def _tell_first(search: Search, few: Candidates) -> None:
    """Say that there is a week that fits, made of a few ways alone: there is a better one in a moment."""
    first = next(construct(few, search.seed))
    search.bookings = len(first.starts)
    if not check(few.outline.problem, make_plan(few, first, [])):
        search.tell("first", None, None)


def first_weeks(search: Search, candidates: Candidates) -> Iterator[Chosen]:
    """First weeks while all else waits, each the best so far, as long as turns still bring better ones."""
    patience = min(TURNS, len(candidates.all) // A_TURN_FOR)
    until = math.inf if search.workers == 1 else search.seconds * TO_BEGIN
    idle, last = 0, None
    for week in islice(construct(candidates, search.seed), 1 + MORE_WEEKS):
        idle = idle + 1 if week is last else 0
        last = week
        yield week
        if idle >= patience or search.enough or search.spent > until:
            return


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


def _tidy_plan(search: Search, candidates: Candidates, chosen: Chosen, tiers: list[TierResult]) -> Plan:
    """The plan of a week set in order; why something is left over hangs on the days alone."""
    with ThreadPoolExecutor(1) as beside:
        tidied = beside.submit(tidy, candidates, chosen, search.seed)
        why = left_over(candidates, chosen, time.monotonic() + search.asking_seconds)
        return make_plan(candidates, tidied.result(), tiers, why)


def make_plan(
    candidates: Candidates, chosen: Chosen, tiers: list[TierResult], why: tuple[LeftOver, ...] | None = None
) -> Plan:
    """The plan of a solution, with ``why`` it leaves something over; else that is told without asking."""
    outline = candidates.outline
    return Plan(
        week=outline.problem.week.id,
        bookings=bookings(outline, chosen),
        prep=prep(outline, chosen),
        waiting=waiting(outline, chosen),
        shopping=purchases(outline, chosen),
        left_over=left_over(candidates, chosen, -math.inf) if why is None else why,
        tiers=tuple(tiers),
    )


def _checked(problem: Problem, plan: Plan) -> Plan:
    """The plan with its costs, as the checker counts them; both counts must agree."""
    facts = Facts(problem, plan, ())
    violations = check(problem, plan, facts)
    if violations:
        told = "; ".join(f"{v.key}: {v.sentence}" for v in violations[:5])
        raise PlanRejected(f"the checker rejects the plan: {told}")
    found = costs(problem, plan, facts)
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
