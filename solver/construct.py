"""A first week in a moment: go by go, the hardest first, each at its best place that is still free.

A heuristic, so it may be stricter than the rules (it never lays listening over busy hands, and a minder
does little else); what it finds is completed and judged by the model before anybody sees it.
"""

from __future__ import annotations

import random
from collections import defaultdict
from collections.abc import Iterator
from itertools import count, islice

from solver.assemble import Chosen
from solver.candidates import Candidate, Candidates
from solver.clock import DAY_SLOTS, PREP_SLOT, SLOT_MIN, WEEK_SLOTS, slots_up, week_slot
from solver.domain.activity import PrepTask, Wait
from solver.domain.base import Day, Evening
from solver.domain.week import Rank
from solver.masks import between
from solver.occupancy import HALVES, Facts, Key, State, empty, free_starts, half_of, is_lively_outdoors, take
from solver.outline import Go, Task
from solver.rules.timing import prep_evenings, ready_starts

TRIES = 30
BRANCHES = 6
WEEK = (1 << WEEK_SLOTS) - 1


def construct(candidates: Candidates, seed: int) -> Iterator[Chosen]:
    """First weeks without end, each the best so far: most promises, then staples, then worth."""
    chance = random.Random(seed)
    facts: dict[int, Facts] = {}
    best: tuple[tuple[int, ...], State] | None = None
    for turn in count():
        state = _one_week(candidates, chance, turn, facts)
        score = _score(candidates, state)
        if best is None or score > best[0]:
            best = (score, state)
        yield _numbered(candidates, best[1])


def _numbered(candidates: Candidates, state: State) -> Chosen:
    """Goes of one wish are alike: number those that were placed in the order of their time."""
    starts: dict[Task, tuple[Candidate, int]] = {}
    evenings: dict[tuple[Go, str], Evening] = {}
    for goes in _series(candidates.outline.goes):
        placed = [go for go in goes if Task(go, 0) in state.starts]
        if goes[0].day is None:
            placed.sort(key=lambda go: _week_slot(state, go))
        for go, as_go in zip(placed, goes if goes[0].day is None else placed, strict=False):
            for index in range(len(go.activity.sittings)):
                if Task(go, index) in state.starts:
                    candidate, slot = state.starts[Task(go, index)]
                    twin = candidates.by_task[Task(as_go, index)]
                    which = candidates.by_task[Task(go, index)].index(candidate)
                    starts[Task(as_go, index)] = (twin[which], slot)
            for prep in go.activity.prep:
                if (go, prep.id) in state.evenings:
                    evenings[as_go, prep.id] = state.evenings[go, prep.id]
    return Chosen(starts, {}, evenings)


def _series(goes: tuple[Go, ...]) -> list[list[Go]]:
    found: dict[Key, list[Go]] = defaultdict(list)
    for go in goes:
        found[(go.wish.id, *go.group)].append(go)
    return list(found.values())


def _week_slot(state: State, go: Go) -> int:
    candidate, slot = state.starts[Task(go, 0)]
    return week_slot(candidate.day, slot)


def _score(candidates: Candidates, state: State) -> tuple[int, ...]:
    kept: dict[Rank, int] = defaultdict(int)
    kept[Rank.STAPLE] = sum(state.sums.get(("out", day, half), 0) for day in Day for half in HALVES)
    for go in candidates.outline.goes:
        for index in range(len(go.activity.sittings)):
            if Task(go, index) in state.starts:
                kept[go.wish.rank] += go.wish.worth if go.wish.rank is Rank.EXTRA else 1
    return tuple(kept[rank] for rank in Rank)


def _one_week(candidates: Candidates, chance: random.Random, turn: int, facts: dict[int, Facts]) -> State:
    state = empty(candidates.outline, facts)
    state.plain = turn % 2 == 1
    goes = [go for go in candidates.outline.goes if candidates.by_task[Task(go, 0)]]
    for go in _in_turn(candidates, goes, chance, turn):
        tried = _place_go(candidates, state, go)
        if tried is not None:
            state = tried
    return state


def _in_turn(candidates: Candidates, goes: list[Go], chance: random.Random, turn: int) -> list[Go]:
    order = {Rank.PROMISE: 0, Rank.STAPLE: 1, Rank.EXTRA: 2}
    starts = {go: sum(b - a + 1 for c in candidates.by_task[Task(go, 0)] for a, b in c.starts) for go in goes}

    def urgency(go: Go) -> tuple[float, ...]:
        shake = chance.uniform(0.5, 1.5) if turn > 1 else 1.0
        late = bool(go.wish.after or go.activity.needs_first)
        worth = -go.wish.worth if go.wish.rank is Rank.EXTRA else 0
        return (order[go.wish.rank], late, worth * shake, starts[go] * shake, go.index)

    return sorted(goes, key=urgency)


def _place_go(candidates: Candidates, state: State, go: Go) -> State | None:
    if not _comes_after(state, go):
        return None
    tried = 0
    for candidate, slot in _openings(candidates, state, Task(go, 0)):
        tried += 1
        if tried > TRIES:
            return None
        placed = state.copy()
        if not _make_ready(placed, go, candidate, slot):
            continue
        take(placed, candidate, slot)
        if candidate.option.lighter:
            return placed
        whole = _place_rest(candidates, placed, go, 1)
        if whole is not None:
            return whole
    return None


def _place_rest(candidates: Candidates, state: State, go: Go, index: int) -> State | None:
    """The later sittings, each at the best opening from which the rest still works out."""
    wait = go.activity.waits[index - 1] if len(go.activity.waits) >= index else None
    if index == len(go.activity.sittings):
        return state if wait is None or _hold_last(state, Task(go, index - 1), wait) else None
    early, start = state.starts[Task(go, index - 1)]
    end = week_slot(early.day, start) + early.option.span.active
    least = slots_up(wait.least_min) if wait else 0
    most = wait.most_min // SLOT_MIN if wait and wait.most_min is not None else WEEK_SLOTS
    openings = _openings(candidates, state, Task(go, index), end + least, end + most)
    for candidate, slot in islice(openings, BRANCHES):
        placed = state.copy()
        later = week_slot(candidate.day, slot)
        if wait and not _hold(placed, wait, end, later):
            continue
        take(placed, candidate, slot)
        whole = _place_rest(candidates, placed, go, index + 1)
        if whole is not None:
            return whole
    carries_on = wait is None or _hold_last(state, Task(go, index - 1), wait)
    return state if go.wish.may_carry_on and carries_on else None


def _hold_last(state: State, task: Task, wait: Wait) -> bool:
    candidate, slot = state.starts[task]
    end = week_slot(candidate.day, slot) + candidate.option.span.active
    return _hold(state, wait, end, end + slots_up(wait.least_min))


def _hold(state: State, wait: Wait, since: int, until: int) -> bool:
    return wait.holder is None or _occupy(state, wait.holder, wait.units, since, until)


def _occupy(state: State, holder: str, units_held: int, since: int, until: int) -> bool:
    capacity = next(h.capacity for h in state.o.problem.household.holders if h.id == holder)
    level = state.level(("holder", holder), capacity, WEEK)
    slots = ((1 << min(until, WEEK_SLOTS)) - (1 << max(0, since))) if until > since else 0
    if slots & ~level.room(units_held):
        return False
    level.add(slots, units_held)
    return True


def _make_ready(state: State, go: Go, candidate: Candidate, slot: int) -> bool:
    if candidate.option.lighter:
        return True
    return all(_prepare(state, go, task, candidate, slot) for task in go.activity.prep)


def _prepare(state: State, go: Go, task: PrepTask, candidate: Candidate, slot: int) -> bool:
    for evening in reversed(prep_evenings(state.o, go, task)):
        key = ("prep", evening.evening)
        ready = ready_starts(task, evening.evening, candidate.option)[candidate.day.index]
        if not ready >> slot & 1 or state.sums.get(key, 0) + task.minutes > evening.minutes:
            continue
        since = max(0, evening.evening.index * DAY_SLOTS + PREP_SLOT)
        until = week_slot(candidate.day, slot)
        if task.holder and not _occupy(state, task.holder, task.units, since, until):
            continue
        state.sums[key] = state.sums.get(key, 0) + task.minutes
        state.evenings[go, task.id] = evening.evening
        return True
    return False


def _comes_after(state: State, go: Go) -> bool:
    """Orders between wishes are left to the model, but for those whose first is not there at all."""
    finished = {task.go.wish.id for task in state.starts}
    return all(first in finished for first in go.wish.after)


def _openings(
    candidates: Candidates, state: State, task: Task, least: int = 0, most: int = WEEK_SLOTS
) -> Iterator[tuple[Candidate, int]]:
    """Free starts of a task, the best ones first."""
    least = max(least, _after_firsts(state, task))
    found: list[tuple[tuple[int, ...], Candidate, int]] = []
    for candidate in candidates.by_task[task]:
        if candidate.option.alongside or candidate.week_last < least or candidate.week_first > most:
            continue
        offset = week_slot(candidate.day, 0)
        starts = free_starts(state, candidate) & between(least - offset, min(most, WEEK_SLOTS) - offset + 1)
        if starts:
            first = (starts & -starts).bit_length() - 1
            found.append((_preference(state, candidate, first), candidate, first))
    found.sort(key=lambda item: (*item[0], item[1].index))
    for _, candidate, first in found:
        yield candidate, first


def _after_firsts(state: State, task: Task) -> int:
    """The week slot before which laying out may not begin, with some room for it."""
    go = task.go
    if task.sitting or not (go.wish.after or go.activity.needs_first):
        return 0
    ends = [0]
    for other, (candidate, slot) in state.starts.items():
        end = week_slot(candidate.day, slot) + candidate.option.span.after
        if other.go.wish.id in go.wish.after or other.go.activity.id == go.activity.needs_first:
            ends.append(end + 6)
    return max(ends)


def _preference(state: State, c: Candidate, first: int) -> tuple[int, ...]:
    o = state.o
    cast = o.cast(c.task.go, c.option.sitting)
    kind = c.task.go.activity.kind
    stretches = o.problem.household.stretches
    usual = not any(kind in s.usual_kinds for s in stretches) or any(
        kind in s.usual_kinds for s in stretches if s.id == c.stretch
    )
    lost = len(cast) - len(c.option.children) + (1 if c.option.lighter else 0)
    spread = 0 if c.task.rank is Rank.PROMISE else state.sums.get(("bookings", c.day), 0)
    elsewhere = int(c.option.place.id != c.option.sitting.places[0])
    indoors = 0 if is_lively_outdoors(c) and not state.sums.get(("out", c.day, half_of(c))) else 1
    if state.plain:
        return (lost, int(c.option.minder is not None), indoors, c.day.index, first)
    odd = 2 * int(not usual) + elsewhere
    return (lost, int(c.option.minder is not None), indoors, odd, spread, c.day.index, first)
