"""Where one go of a week in the making still fits: its sittings, its prep, what holds it meanwhile."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import islice

from solver.candidates import Candidate, Candidates
from solver.clock import DAY_SLOTS, PREP_SLOT, SLOT_MIN, WEEK_SLOTS, slots_up, week_slot
from solver.domain.activity import PrepTask, Wait
from solver.domain.week import Rank
from solver.levels import filled, room
from solver.masks import FULL, between
from solver.occupancy import State, free_starts, half_of, is_supplied, take
from solver.outline import Go, Task
from solver.rules.timing import prep_evenings, ready_starts

TRIES = 30
BRANCHES = 6
WEEK = (1 << WEEK_SLOTS) - 1


def place_go(candidates: Candidates, state: State, go: Go) -> State | None:
    """The state with a go at its best place that is still free; None when there is none."""
    if not comes_after(state, go):
        return None
    tried = 0
    for candidate, slot in _openings(candidates, state, Task(go, 0)):
        tried += 1
        if tried > TRIES:
            return None
        placed = state.copy()
        if not make_ready(placed, go, candidate, slot):
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
        return state if wait is None or hold_last(state, Task(go, index - 1), wait) else None
    early, start = state.starts[Task(go, index - 1)]
    end = week_slot(early.day, start) + early.option.span.active
    least = slots_up(wait.least_min) if wait else 0
    most = wait.most_min // SLOT_MIN if wait and wait.most_min is not None else WEEK_SLOTS
    openings = _openings(candidates, state, Task(go, index), end + least, end + most)
    for candidate, slot in islice(openings, BRANCHES):
        placed = state.copy()
        later = week_slot(candidate.day, slot)
        if wait and not hold(placed, wait, end, later):
            continue
        take(placed, candidate, slot)
        whole = _place_rest(candidates, placed, go, index + 1)
        if whole is not None:
            return whole
    carries_on = wait is None or hold_last(state, Task(go, index - 1), wait)
    return state if go.wish.may_carry_on and carries_on else None


def hold_last(state: State, task: Task, wait: Wait) -> bool:
    """Take the holder of a wait that no further sitting ends; whether it could be taken."""
    candidate, slot = state.starts[task]
    end = week_slot(candidate.day, slot) + candidate.option.span.active
    return hold(state, wait, end, end + slots_up(wait.least_min))


def hold(state: State, wait: Wait, since: int, until: int) -> bool:
    """Take the holder of a wait between these week slots; whether it could be taken."""
    return wait.holder is None or _occupy(state, wait.holder, wait.units, since, until)


def _occupy(state: State, holder: str, units_held: int, since: int, until: int) -> bool:
    capacity = next(h.capacity for h in state.o.problem.household.holders if h.id == holder)
    level = state.level(("holder", holder), capacity, WEEK)
    slots = ((1 << min(until, WEEK_SLOTS)) - (1 << max(0, since))) if until > since else 0
    if slots & ~room(level, units_held):
        return False
    state.levels["holder", holder] = filled(level, slots, units_held)
    return True


def make_ready(state: State, go: Go, candidate: Candidate, slot: int) -> bool:
    """Take the prep of a go that begins then; whether it could be taken."""
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


def comes_after(state: State, go: Go) -> bool:
    """Whether what must come first is there at all; that it ends in time is left to the model."""
    needed = go.activity.needs_first
    if not go.wish.after and needed is None:
        return True
    there = {task.go.wish.id for task in state.starts}
    return all(first in there for first in go.wish.after) and (
        needed is None
        or needed in state.o.problem.week.done_before
        or any(task.go.activity.id == needed for task in state.starts)
    )


def _openings(
    candidates: Candidates, state: State, task: Task, least: int = 0, most: int = WEEK_SLOTS
) -> Iterator[tuple[Candidate, int]]:
    """Free starts of a task, the best ones first."""
    least = max(least, _after_firsts(state, task))
    found: list[tuple[tuple[int, ...], Candidate, int]] = []
    bounded = least > 0 or most < WEEK_SLOTS
    for kin in candidates.kin_of[task]:
        if kin[0].option.alongside:
            continue
        offset = week_slot(kin[0].day, 0)
        wanted = between(least - offset, min(most, WEEK_SLOTS) - offset + 1) if bounded else FULL
        if not kin[0].kin.mask & wanted:
            continue
        free = free_starts(state, kin[0]) & wanted
        if not free:
            continue
        for candidate in kin:
            starts = free & candidate.mask
            if starts and is_supplied(state, candidate):
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
    facts = state.of(c)
    spread = 0 if c.task.rank is Rank.PROMISE else state.sums.get(("bookings", c.day), 0)
    half = half_of(c)
    indoors = 0 if facts.lively and not state.sums.get(("out", c.day, half)) else 1
    first_of_all = int(indoors or (c.day, half) not in state.indoors)
    minded = int(c.option.minder is not None)
    if state.plain:
        return (first_of_all, facts.lost, minded, indoors, c.day.index, first)
    odd = 2 * int(c.stretch in facts.unusual) + facts.elsewhere
    return (first_of_all, facts.lost, minded, indoors, odd, spread, c.day.index, first)
