"""Better a week by parts: some days or some goes are thought over anew, the rest stays where it is.

A part is a model of its own, of what may be done in it alone: to read a whole week in takes the engine
longer than to think a part of it over.
"""

from __future__ import annotations

import random
from collections.abc import Iterable
from dataclasses import dataclass
from itertools import cycle

from ortools.sat.python import cp_model

from solver.assemble import Chosen, decisions, read
from solver.candidates import Candidate, narrowed
from solver.domain.base import Day
from solver.domain.week import Rank
from solver.model import WeekModel
from solver.occupancy import is_lively_outdoors
from solver.outline import Task
from solver.relaxation import Floor
from solver.rules.spares import seen_by_spares
from solver.running import MOMENT, Search, fill_in, run

NEAR = 6
"""Points above the bound up to which a candidate is looked at in a part: half a unit of worth."""
ROOM = 3000
"""Candidates thought over at once, to begin with."""
SECONDS = 3.0
"""For a part of so many candidates; a bigger one gets more in proportion."""
PATIENCE = 6
"""Parts in a row without anything better, after which the whole week is looked at."""
SEEN_TO = {"promises": {Rank.PROMISE}, "staples": {Rank.PROMISE, Rank.STAPLE}}
"""Tiers in which it counts that something has a place at all, and what is seen to in them."""


def better_by_parts(search: Search, week: WeekModel, tier: str, floor: Floor, until: float) -> None:
    """Better a tier part by part, until it meets its bound, nothing helps, or so much time is left."""
    chance = random.Random(search.seed)
    value = search.best[week.total[tier].index]
    chosen = as_it_was = best_so_far(search, week)
    rooms, patience = dict.fromkeys(KINDS, ROOM), PATIENCE
    for kind in cycle(KINDS):
        if value <= floor.value or not patience or search.left <= max(until, MOMENT):
            break
        part = kind(week, chosen, floor, chance, rooms[kind])
        found = _thought_over(search, week, tier, floor, chosen, part, _seconds(search, part, until))
        patience -= 1
        if found.value < value:
            chosen, value, patience = found.chosen, found.value, PATIENCE
        elif not found.proved:
            rooms[kind] = max(ROOM // 4, rooms[kind] * 4 // 5)
        if found.proved:
            if part.everything:
                break
            rooms[kind] = rooms[kind] * 3 // 2
    if chosen is not as_it_was:
        fill_in(search, week, decisions(week.variables, chosen))


def find_places(search: Search, week: WeekModel, tier: str, floor: Floor, until: float) -> None:
    """See to what a tier counts: it may be anywhere, while the rest stays as it is or makes way."""
    now = best_so_far(search, week)
    part = what_counts(week, tier)
    seconds = _seconds(search, part, until)
    if seconds < MOMENT:
        return
    found = _thought_over(search, week, tier, floor, now, part, seconds)
    if found.value < search.best[week.total[tier].index]:
        fill_in(search, week, decisions(week.variables, found.chosen))


@dataclass(frozen=True)
class Part:
    """What is thought over anew: tasks that may move, and the candidates they may move to."""

    loose: set[Task]
    open: set[int]
    """Indices of the variables behind the candidates."""
    everything: bool = False


def _seconds(search: Search, part: Part, until: float) -> float:
    """How long to think a part over when so much time is to be left."""
    return min(SECONDS * max(1.0, len(part.open) / ROOM), search.left - until)


@dataclass(frozen=True)
class _Found:
    """The best week with this part thought over; ``proved`` when there is no better one."""

    chosen: Chosen
    value: int
    proved: bool


def _thought_over(
    search: Search, week: WeekModel, tier: str, floor: Floor, now: Chosen, part: Part, seconds: float
) -> _Found:
    asked, small = _model_of(week, now, part)
    own = {usual.index: one for usual, one in zip(asked, small.variables.candidates.all, strict=True)}
    starts = {task: (own[usual.index], slot) for task, (usual, slot) in now.starts.items()}
    _hold(small, {task: start for task, start in starts.items() if task not in part.loose})
    whole, search.best = search.best, {}
    try:
        fill_in(search, small, decisions(small.variables, Chosen(starts, now.over, now.evenings)))
        small.model.minimize(small.total[tier])
        solver = search.solver(seconds)
        # The bound is known; what is left is to find a week.
        solver.parameters.linearization_level = 1
        status = run(search, solver, small, tier, floor.value)
        if not search.best:
            return _Found(now, whole[week.total[tier].index], proved=False)
        found, value = best_so_far(search, small), search.best[small.total[tier].index]
    finally:
        search.best = whole
    better = {task: (asked[one.index], slot) for task, (one, slot) in found.starts.items()}
    return _Found(Chosen(better, found.over, found.evenings), value, status == cp_model.OPTIMAL)


def _model_of(week: WeekModel, now: Chosen, part: Part) -> tuple[list[Candidate], WeekModel]:
    """A model of what is chosen by now and what may be instead; with the candidates in it, in order."""
    v = week.variables
    standing = {candidate.index for candidate, _ in now.starts.values()}

    def may_be(c: Candidate) -> bool:
        return c.index in standing or (c.task in part.loose and v.chosen(c).index in part.open)

    spares = seen_by_spares(v.outline)
    asked = [c for c in v.candidates.all if may_be(c) or c.task.go in spares]
    small = week.again(narrowed(v.candidates, asked))
    for usual, one in zip(asked, small.variables.candidates.all, strict=True):
        if not may_be(usual):
            small.limit(small.variables.chosen(one).index, 0, 0)
    for name, cost in week.total.items():
        small.restore(small.total[name].index, list(week.model.proto.variables[cost.index].domain))
    return asked, small


def _hold(week: WeekModel, starts: dict[Task, tuple[Candidate, int]]) -> None:
    """Let these stay as they are."""
    for candidate, slot in starts.values():
        week.limit(week.variables.chosen(candidate).index, 1, 1)
        week.limit(week.variables.start(candidate).index, slot, slot)


def best_so_far(search: Search, week: WeekModel) -> Chosen:
    """What the best solution so far says."""
    return read(week.variables, lambda var: search.best[var.index])


def what_counts(week: WeekModel, tier: str) -> Part:
    """All tasks, those of the ranks that are seen to in all their ways."""
    v = week.variables
    ranks, out = SEEN_TO[tier], tier == "staples"
    ways = [c for c in v.candidates.all if c.task.rank in ranks or (out and is_lively_outdoors(c))]
    return Part(set(v.outline.tasks), {v.chosen(c).index for c in ways})


def some_days(week: WeekModel, now: Chosen, floor: Floor, chance: random.Random, room: int) -> Part:
    """As many days as there is room for, one at least."""
    v = week.variables
    days = list(v.days())
    chance.shuffle(days)
    taken: set[Day] = set()
    free: set[int] = set()
    for day in days:
        near = _near(week, floor, v.on(day))
        if free and len(free) + len(near) > room:
            break
        taken.add(day)
        free |= near
    there = {task: candidate.day for task, (candidate, _) in now.starts.items()}
    loose = {task for task in v.outline.tasks if task not in there or there[task] in taken}
    return Part(loose, free, everything=len(taken) == len(days))


def some_goes(week: WeekModel, now: Chosen, floor: Floor, chance: random.Random, room: int) -> Part:
    """As many goes as there is room for on all days, those first that are not placed."""
    v = week.variables
    goes = list(v.outline.goes)
    chance.shuffle(goes)
    goes.sort(key=lambda go: Task(go, 0) in now.starts)
    loose: set[Task] = set()
    free: set[int] = set()
    for go in goes:
        tasks = [Task(go, i) for i in range(len(go.activity.sittings))]
        near = _near(week, floor, (c for task in tasks for c in v.of(task)))
        if not free or len(free) + len(near) <= room:
            loose |= set(tasks)
            free |= near
    return Part(loose, free, everything=len(loose) == len(v.outline.tasks))


def cheapest(week: WeekModel, now: Chosen, floor: Floor, chance: random.Random, room: int) -> Part:
    """All tasks, on the candidates that the rows think cheapest, as many as there is room for."""
    v = week.variables
    found = [v.chosen(c).index for c in v.candidates.all]
    ranked = sorted(found, key=lambda i: (floor.above(i), -round(floor.share(i), 3), chance.random()))
    # Nothing holds these in place: they are harder to think over than as many of a few tasks.
    most = room // 5
    return Part(set(v.outline.tasks), set(ranked[:most]), everything=len(ranked) <= most)


KINDS = (cheapest, some_days, some_goes)


def _near(week: WeekModel, floor: Floor, candidates: Iterable[Candidate]) -> set[int]:
    found = {week.variables.chosen(c).index for c in candidates}
    return {index for index in found if floor.near(index, NEAR)}
