"""Better a week by parts: some days or some goes are thought over anew, the rest stays where it is."""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from itertools import cycle

from ortools.sat.python import cp_model

from solver.candidates import Candidate
from solver.domain.base import Day
from solver.model import WeekModel
from solver.outline import Task
from solver.relaxation import Floor
from solver.running import MOMENT, Search, run

NEAR = 6
"""Points above the bound up to which a candidate is looked at in a part: half a unit of worth."""
ROOM = 3000
"""Candidates thought over at once, to begin with."""
SECONDS = 3.0
"""For a part of so many candidates; a bigger one gets more in proportion."""
PATIENCE = 6
"""Parts in a row without anything better, after which the whole week is looked at."""


def better_by_parts(search: Search, week: WeekModel, tier: str, floor: Floor, until: float) -> None:
    """Better a tier part by part, until it meets its bound, nothing helps, or so much time is left."""
    chance = random.Random(search.seed)
    cost = week.total[tier].index
    rooms, patience = dict.fromkeys(KINDS, ROOM), PATIENCE
    for kind in cycle(KINDS):
        over = search.left <= max(until, MOMENT)
        if search.best[cost] <= floor.value or over or not patience:
            return
        before = search.best[cost]
        part = kind(search, week, floor, chance, rooms[kind])
        seconds = SECONDS * max(1.0, len(part.open) / ROOM)
        with _only(week, search.best, part):
            solver = search.solver(min(seconds, search.left - until))
            # The bound is known; what is left is to find a week.
            solver.parameters.linearization_level = 1
            status = run(search, solver, week, tier, floor.value)
        patience = PATIENCE if search.best[cost] < before else patience - 1
        if status == cp_model.OPTIMAL:
            if part.everything:
                return
            rooms[kind] = rooms[kind] * 3 // 2
        elif search.best[cost] == before:
            rooms[kind] = max(ROOM // 4, rooms[kind] * 4 // 5)


@dataclass(frozen=True)
class Part:
    """What is thought over anew: tasks that may move, and the candidates they may move to."""

    loose: set[Task]
    open: set[int]
    """Indices of the variables behind the candidates."""
    everything: bool = False


def some_days(search: Search, week: WeekModel, floor: Floor, chance: random.Random, room: int) -> Part:
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
    now = {task: _now(week, search.best, task) for task in v.outline.tasks}
    loose = {task for task, c in now.items() if c is None or c.day in taken}
    return Part(loose, free, everything=len(taken) == len(days))


def some_goes(search: Search, week: WeekModel, floor: Floor, chance: random.Random, room: int) -> Part:
    """As many goes as there is room for on all days, those first that are not placed."""
    v = week.variables
    goes = list(v.outline.goes)
    chance.shuffle(goes)
    goes.sort(key=lambda go: _now(week, search.best, Task(go, 0)) is not None)
    loose: set[Task] = set()
    free: set[int] = set()
    for go in goes:
        tasks = [Task(go, i) for i in range(len(go.activity.sittings))]
        near = _near(week, floor, (c for task in tasks for c in v.of(task)))
        if not free or len(free) + len(near) <= room:
            loose |= set(tasks)
            free |= near
    return Part(loose, free, everything=len(loose) == len(v.outline.tasks))


def cheapest(search: Search, week: WeekModel, floor: Floor, chance: random.Random, room: int) -> Part:
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


def _now(week: WeekModel, best: dict[int, int], task: Task) -> Candidate | None:
    return next((c for c in week.variables.of(task) if best[week.variables.chosen(c).index]), None)


@contextmanager
def _only(week: WeekModel, best: dict[int, int], part: Part) -> Iterator[None]:
    """Whatever does not belong to the part stays as it is, for a while."""
    v = week.variables
    so, saved = [], []
    for task in v.outline.tasks:
        now, loose = _now(week, best, task), task in part.loose
        for c in v.of(task):
            index = v.chosen(c).index
            if c is now:
                so += [] if loose else [index]
            elif not loose or index not in part.open:
                so.append(-index - 1)
        if now is not None and not loose:
            start = v.start(now).index
            saved.append((start, week.limit(start, best[start], best[start])))
    week.so.extend(so)
    try:
        yield
    finally:
        week.so.clear()
        for index, domain in saved:
            week.restore(index, domain)
