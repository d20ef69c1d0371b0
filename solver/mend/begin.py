"""Where a mend begins: as much of the old week as still holds, so that there is an answer at any time."""

from __future__ import annotations

from solver.assemble import Chosen
from solver.candidates import Candidates
from solver.check import Violation, check
from solver.domain.plan import Plan
from solver.domain.week import Problem
from solver.outline import Task
from solver.search import make_plan

MOST_ROUNDS = 60


def what_holds(problem: Problem, candidates: Candidates, chosen: Chosen, keep: set[str]) -> Chosen:
    """The chosen week without what breaks a rule by now, found with the checker; ``keep`` goes last."""
    for _ in range(MOST_ROUNDS):
        plan = make_plan(candidates, chosen, [])
        broken = check(problem, plan)
        if not broken:
            return chosen
        chosen = without(chosen, _one_in_the_way(chosen, plan, broken[0], keep))
    return Chosen({}, {}, {})


def _one_in_the_way(chosen: Chosen, plan: Plan, broken: Violation, keep: set[str]) -> Task:
    """The booking that a broken rule names, or that lies there; what stands is kept if it can be."""
    named = [task for task in chosen.starts if task.name in broken.ids or task.go.name in broken.ids]
    day = [b for b in plan.bookings if b.day is broken.day]
    here = [b.id for b in day if broken.start is None or b.start - b.setup_min - 60 <= broken.start]
    there = [task for task in chosen.starts if task.name in here and task.name not in keep]
    wished = [task for task in chosen.starts if task.go.wish.id in broken.ids]
    for found in (named, there, wished, list(chosen.starts)):
        ranked = sorted(found, key=lambda task: (task.name in keep, plan_index(plan, task)))
        loose = [task for task in ranked if task.name not in keep]
        if loose:
            return loose[-1]
    return next(reversed(chosen.starts))


def plan_index(plan: Plan, task: Task) -> int:
    """The place of a task in the order of time."""
    return next((index for index, b in enumerate(plan.bookings) if b.id == task.name), -1)


def without(chosen: Chosen, gone: Task) -> Chosen:
    """Without a task, and without what cannot be without it: later sittings, and what is laid over it."""
    go = gone.go
    whole = go.wish.may_carry_on
    out = {t for t in chosen.starts if t.go is go and (t.sitting >= gone.sitting or not whole)}
    out |= {listening for listening, busy in chosen.over.items() if busy in out}
    starts = {task: start for task, start in chosen.starts.items() if task not in out}
    over = {listening: busy for listening, busy in chosen.over.items() if listening not in out}
    first = Task(go, 0)
    evenings = {
        (one, task): evening
        for (one, task), evening in chosen.evenings.items()
        if one is not go or first in starts
    }
    return Chosen(starts, over, evenings)
