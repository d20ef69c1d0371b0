"""One method on one instance, measured inside a process of its own."""

from __future__ import annotations

import resource
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass, replace

from service.bench.ablation import WITHOUT, left_out
from service.bench.generate import make
from service.bench.record import OURS, TIERS, End, Event, Facts, Instance, Run
from solver.domain.document import Document
from solver.domain.plan import Plan, Progress
from solver.domain.week import Problem


@dataclass(frozen=True, slots=True)
class Limits:
    """What every method gets."""

    seconds: float
    workers: int
    mends: int = 0
    """How many mishaps befall our week."""
    upper: tuple[int, int] = (0, 0)
    """Our promises and staples, which the general-purpose solver must reach."""


def document_of(instance: Instance) -> Document:
    """The household of an instance."""
    if instance.path is None:
        return make(instance.label, instance.seed)
    return Document.model_validate_json(instance.path.read_text(encoding="utf-8"))


def facts_of(document: Document, sittings: int) -> Facts:
    """How big it is."""
    home = document.household
    learners = sum(child.learner for child in home.children)
    return Facts(learners, len(home.adults), len(document.activities), sittings, len(document.weeks))


def measure(method: str, instance: Instance, limits: Limits) -> Run:
    """A finished run, with the most memory its process ever held."""
    document = document_of(instance)
    method = "term" if method == OURS and len(document.weeks) > 1 else method
    run = Run(instance, OURS if method == "term" else method)
    with left_out(method):
        run = METHODS[OURS if method.startswith(WITHOUT) else method](run, document, limits)
    return run if run.peak_mb else replace(run, peak_mb=_peak_mb())


def _peak_mb() -> float:
    """The most memory this process ever held (kilobytes on Linux, bytes on macOS)."""
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return round(peak / (1024**2 if sys.platform == "darwin" else 1024), 1)


def _ours(run: Run, document: Document, limits: Limits) -> Run:
    from solver.search import solve

    run = _built(run, document)
    events: list[Event] = []
    began = time.monotonic()
    plan = solve(
        document.problem(),
        seconds=limits.seconds,
        seed=run.instance.seed,
        workers=limits.workers,
        on_progress=lambda told: _note(events, told),
    )
    total = time.monotonic() - began
    proofs = {tier.name: tier for tier in plan.tiers}
    ended = _judged(run, document.problem(), plan, total)
    ends = {
        name: replace(end, bound=proofs[name].bound, proved=proofs[name].proved) if name in proofs else end
        for name, end in ended.ends.items()
    }
    run = replace(ended, ends=ends, events=tuple(events), first_s=plan.first_plan_seconds, peak_mb=_peak_mb())
    return _befallen(run, document.problem(), plan, limits) if limits.mends else run


def _befallen(run: Run, problem: Problem, plan: Plan, limits: Limits) -> Run:
    """The run with its mends; should one of them break, the figures of the solve stay."""
    from service.bench.mends import mends

    try:
        return replace(run, mended=mends(problem, plan, run.instance.seed, limits.mends, limits.workers))
    except Exception as error:  # shown with the run, and the command then ends with 1
        return replace(run, failure=f"mend: {type(error).__name__}: {error}"[:500])


def _note(events: list[Event], told: Progress) -> None:
    if told.value is not None:
        events.append(Event(told.tier, told.value, told.bound or 0, told.seconds))


def _built(run: Run, document: Document) -> Run:
    """Size and build time of the model, which ``solve`` then builds again for itself."""
    from solver.candidates import enumerate_candidates
    from solver.model import build
    from solver.outline import Outline

    began = time.monotonic()
    candidates = enumerate_candidates(Outline(document.problem()))
    enumerated = time.monotonic()
    proto = build(candidates).model.proto
    return replace(
        run,
        facts=facts_of(document, len(candidates.outline.tasks)),
        candidates=len(candidates.all),
        variables=len(proto.variables),
        constraints=len(proto.constraints),
        candidates_s=round(enumerated - began, 3),
        build_s=round(time.monotonic() - enumerated, 3),
    )


def _judged(run: Run, problem: Problem, plan: Plan, seconds: float) -> Run:
    """The run with what the independent checker says of its plan."""
    from solver.check import check, costs

    found = costs(problem, plan)
    ends = {tier: End(sum(cost.amount for cost in found if cost.tier == tier)) for tier in TIERS}
    return replace(run, ends=ends, violations=len(check(problem, plan)), total_s=round(seconds, 3))


def _careful(run: Run, document: Document, limits: Limits) -> Run:
    from service.bench.careful import careful_plan

    return _timed(run, document, careful_plan)


def _blended(run: Run, document: Document, limits: Limits) -> Run:
    from service.bench.blended import blended_plan

    return _timed(run, document, lambda p: blended_plan(p, limits.seconds, limits.workers, run.instance.seed))


def _milp(run: Run, document: Document, limits: Limits) -> Run:
    from service.bench.milp import milp_plan

    return _timed(run, document, lambda p: milp_plan(p, limits.seconds, limits.upper))


def _timed(run: Run, document: Document, plan_of: Callable[[Problem], Plan | None]) -> Run:
    problem = document.problem()
    began = time.monotonic()
    plan = plan_of(problem)
    seconds = time.monotonic() - began
    if plan is None:
        return replace(run, total_s=round(seconds, 3), failure="no week found in time")
    return replace(_judged(run, problem, plan, seconds), first_s=round(seconds, 3))


def _term(run: Run, document: Document, limits: Limits) -> Run:
    from service.bench.term import roll

    return roll(_built(run, document), document, limits.seconds, limits.workers)


METHODS: dict[str, Callable[[Run, Document, Limits], Run]] = {
    OURS: _ours,
    "term": _term,
    "careful": _careful,
    "blended": _blended,
    "milp": _milp,
}
