"""Better a week by parts: some days are thought over anew while the rest stays where and when it is."""

from __future__ import annotations

import random
from collections.abc import Iterable, Iterator
from contextlib import contextmanager

from ortools.sat.python import cp_model

from solver.candidates import Candidate
from solver.domain.base import Day
from solver.model import WeekModel
from solver.outline import Task
from solver.relaxation import Floor
from solver.running import Search, run

NEAR = 6
"""Points above the bound up to which a candidate is looked at in a part: half a unit of worth."""
ROOM = 3000
"""Candidates thought over at once, to begin with."""
SECONDS = 2.0
"""For a part of so many candidates; a bigger one gets more in proportion."""
PATIENCE = 8
"""Parts in a row without anything better, after which the whole week is looked at."""


def better_by_parts(search: Search, week: WeekModel, tier: str, floor: Floor, until: float) -> None:
    """Better a tier part by part, until it meets its bound, nothing helps, or so much time is left."""
    chance = random.Random(search.seed)
    cost = week.total[tier].index
    room, patience = ROOM, PATIENCE
    while search.best[cost] > floor.value and search.left > until and patience and not search.stopped:
        before = search.best[cost]
        free, everything = _part(search, week, floor, chance, room)
        with _only(week, search.best, free):
            seconds = SECONDS * max(1.0, len(free) / ROOM)
            solver = search.solver(min(seconds, search.left - until))
            # The bound is known; what is left is to find a week.
            solver.parameters.linearization_level = 1
            status = run(search, solver, week, tier, floor.value)
        patience = PATIENCE if search.best[cost] < before else patience - 1
        if status == cp_model.OPTIMAL:
            if everything:
                return
            room = room * 3 // 2
        elif search.best[cost] == before:
            room = max(ROOM // 4, room * 4 // 5)


def _part(
    search: Search, week: WeekModel, floor: Floor, chance: random.Random, room: int
) -> tuple[list[Candidate], bool]:
    """The candidates of as many days as there is room for, one at least, and whether that is all of them."""
    v = week.variables
    free: list[Candidate] = []
    days = list(v.days())
    chance.shuffle(days)
    for day in days:
        near = [c for c in v.on(day) if floor.near(v.chosen(c).index, NEAR)]
        if free and len(free) + len(near) > room:
            return free, False
        free += near
    return free, True


@contextmanager
def _only(week: WeekModel, best: dict[int, int], free: Iterable[Candidate]) -> Iterator[None]:
    """Whatever lies outside the days of these candidates stays as it is, for a while."""
    v = week.variables
    open_to = {v.chosen(c).index for c in free}
    days = {c.day for c in free}
    saved: list[tuple[int, list[int]]] = []
    for task in v.outline.tasks:
        for index, least, most in _held(week, best, task, open_to, days):
            saved.append((index, week.limit(index, least, most)))
    try:
        yield
    finally:
        for index, domain in saved:
            week.restore(index, domain)


def _held(
    week: WeekModel, best: dict[int, int], task: Task, open_to: set[int], days: set[Day]
) -> Iterator[tuple[int, int, int]]:
    v = week.variables
    now = next((c for c in v.of(task) if best[v.chosen(c).index]), None)
    stays = now is not None and now.day not in days
    for c in v.of(task):
        index = v.chosen(c).index
        if stays:
            yield index, int(c is now), int(c is now)
        elif c is not now and index not in open_to:
            yield index, 0, 0
    if stays and now is not None:
        start = v.start(now).index
        yield start, best[start], best[start]
