"""A term, week after week: what the children met too often counts on, and what was held over comes back."""

from __future__ import annotations

import time
from dataclasses import replace

from service.bench.record import TIERS, End, Run
from solver.domain.document import Document
from solver.domain.plan import Fate, Plan
from solver.domain.week import Problem, Rank, Week, Wish

HELD_OVER = 3
"""At most so many things come back next week: no pile to make up."""


def roll(run: Run, document: Document, seconds: float, workers: int) -> Run:
    """Solve the weeks one after the other, each with what the one before left."""
    from solver.check import check, costs
    from solver.search import solve

    began, marks, violations, plan = time.monotonic(), [], 0, None
    ends = {tier: End(0, 0, True) for tier in TIERS}
    sittings, first, problem = 0, None, None
    for week in document.weeks:
        week = carried(problem, plan, week) if problem and plan else week
        problem = Document(
            household=document.household, activities=document.activities, weeks=(week,)
        ).problem()
        plan = solve(problem, seconds=seconds, seed=run.instance.seed, workers=workers)
        marks.append(round(time.monotonic() - began, 3))
        first = first if first is not None else plan.first_plan_seconds
        violations += len(check(problem, plan))
        sittings += asked(problem)
        found = costs(problem, plan)
        for tier in plan.tiers:
            value = sum(cost.amount for cost in found if cost.tier == tier.name)
            before = ends.setdefault(tier.name, End(0, 0, True))
            bound = (before.bound or 0) + tier.bound
            ends[tier.name] = End(before.value + value, bound, before.proved and tier.proved)
    facts = replace(run.facts, sittings=sittings) if run.facts else None
    return replace(
        run,
        facts=facts,
        ends=ends,
        marks=tuple(marks),
        violations=violations,
        first_s=first,
        total_s=marks[-1],
    )


def asked(problem: Problem) -> int:
    """Sittings that a week wishes for."""
    from solver.outline import Outline

    return len(Outline(problem).tasks)


def carried(problem: Problem, plan: Plan, week: Week) -> Week:
    """The next week, knowing what this one did and left."""
    done = tuple(sorted({*problem.week.done_before, *(b.activity for b in plan.bookings)}))
    wishes = (*week.wishes, *_come_back(problem, plan, week))
    update = {"times_before": times_before(problem, plan), "done_before": done, "wishes": wishes}
    return week.model_copy(update=update)


def times_before(problem: Problem, plan: Plan) -> dict[str, dict[str, int]]:
    """What each child had above the least of an area counts next week, at most half of that least."""
    areas = {activity.id: activity.areas for activity in problem.activities}
    found: dict[str, dict[str, int]] = {}
    for child in (child.id for child in problem.household.children if child.learner):
        before = problem.week.times_before.get(child, {})
        found[child] = {}
        for area in problem.household.areas:
            had = before.get(area.id, 0) + sum(
                area.id in areas[booking.activity] and child in {a.child for a in booking.attends}
                for booking in plan.bookings
            )
            found[child][area.id] = min(max(0, had - area.least_times), area.least_times // 2)
    return found


def _come_back(problem: Problem, plan: Plan, week: Week) -> list[Wish]:
    """Extras that were held over, the worthiest first, unless next week wishes for them anyway."""
    wished = {wish.activity for wish in week.wishes}
    held = {left.wish for left in plan.left_over if left.fate is Fate.HELD_OVER}
    back = [
        wish
        for wish in problem.week.wishes
        if wish.id in held and wish.rank is Rank.EXTRA and wish.activity not in wished
    ]
    back = sorted(back, key=lambda wish: -wish.worth)[:HELD_OVER]
    return [wish.model_copy(update={"id": f"{wish.id}-back", "times": 1, "after": ()}) for wish in back]
