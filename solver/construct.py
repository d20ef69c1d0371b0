"""A first week in a moment: go by go, the hardest first, each at its best place that is still free.

A heuristic, so it may be stricter than the rules (it never lays listening over busy hands, and a minder
does little else); what it finds is completed and judged by the model before anybody sees it.
"""

from __future__ import annotations

import random
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import islice

from solver.assemble import Chosen
from solver.candidates import Candidate, Candidates
from solver.clock import DAY_SLOTS, PREP_SLOT, SLOT_MIN, WEEK_SLOTS, slots_up, week_slot
from solver.domain.activity import Kind, PrepTask, Wait
from solver.domain.base import Day, Evening, Mess
from solver.domain.week import Rank
from solver.levels import Level
from solver.masks import FULL, between, fits
from solver.masks import count as size_of
from solver.options import WHOLE_HANDS
from solver.outline import Go, Outline, Task
from solver.rules.alone import prep_evenings, ready_starts
from solver.rules.between import (
    MINDING,
    QUIET_KINDS,
    baby_load,
    baby_profile,
    hand_pieces,
    is_theme_thing,
    level_runs,
    own_slots,
    padded,
    profile,
    units,
)

TRIES = 30
BRANCHES = 6
OUT_OF_REACH = 10**9
WEEK = (1 << WEEK_SLOTS) - 1

Key = tuple[str, ...]


@dataclass
class State:
    """How full the week is. Copied before a go is tried, so that a failed try leaves no trace."""

    o: Outline
    taken: dict[Key, int] = field(default_factory=dict)
    levels: dict[Key, Level] = field(default_factory=dict)
    sums: dict[Key, int] = field(default_factory=dict)
    days_of: dict[Key, tuple[int, ...]] = field(default_factory=dict)
    starts: dict[Task, tuple[Candidate, int]] = field(default_factory=dict)
    evenings: dict[tuple[Go, str], Evening] = field(default_factory=dict)

    def copy(self) -> State:
        """A state to try something on."""
        return State(
            self.o,
            self.taken.copy(),
            {key: level.copy() for key, level in self.levels.items()},
            self.sums.copy(),
            self.days_of.copy(),
            self.starts.copy(),
            self.evenings.copy(),
        )

    def level(self, key: Key, capacity: int, everywhere: int = FULL) -> Level:
        """How full a resource is, empty at first."""
        if key not in self.levels:
            self.levels[key] = Level(capacity, everywhere)
        return self.levels[key]


def construct(candidates: Candidates, seed: int, rounds: int = 4) -> Chosen:
    """The best of a few first weeks: most promises, then staples, then worth."""
    chance = random.Random(seed)
    best: tuple[tuple[int, ...], State] | None = None
    for turn in range(rounds):
        state = _one_week(candidates, chance, turn)
        score = _score(candidates, state)
        if best is None or score > best[0]:
            best = (score, state)
    assert best is not None
    return _numbered(candidates, best[1])


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
    for go in candidates.outline.goes:
        for index in range(len(go.activity.sittings)):
            if Task(go, index) in state.starts:
                kept[go.wish.rank] += go.wish.worth if go.wish.rank is Rank.EXTRA else 1
    return tuple(kept[rank] for rank in Rank)


def _one_week(candidates: Candidates, chance: random.Random, turn: int) -> State:
    state = _empty(candidates.outline)
    goes = [go for go in candidates.outline.goes if candidates.by_task[Task(go, 0)]]
    for go in _in_turn(candidates, goes, chance, turn):
        tried = _place_go(candidates, state, go)
        if tried is not None:
            state = tried
    return state


def _in_turn(candidates: Candidates, goes: list[Go], chance: random.Random, turn: int) -> list[Go]:
    order = {Rank.PROMISE: 0, Rank.STAPLE: 1, Rank.EXTRA: 2}
    starts = {
        go: sum(b - a + 1 for c in candidates.by_task[Task(go, 0)] for a, b in c.starts) for go in goes
    }

    def urgency(go: Go) -> tuple[float, ...]:
        shake = chance.uniform(0.5, 1.5) if turn else 1.0
        late = bool(go.wish.after or go.activity.needs_first)
        if turn % 2 and go.wish.rank is not Rank.EXTRA:
            return (0, late, starts[go] * shake, go.index)
        worth = -go.wish.worth if go.wish.rank is Rank.EXTRA else 0
        return (order[go.wish.rank], late, worth * shake, starts[go] * shake, go.index)

    return sorted(goes, key=urgency)


def _empty(o: Outline) -> State:
    state = State(o)
    adults = o.problem.household.adults
    for fixed in {(f.adult, f.day) for f in o.presence.fixed_loads}:
        level = state.level(("adult", *fixed), WHOLE_HANDS)
        loads = profile(f for f in o.presence.fixed_loads if (f.adult, f.day) == fixed)
        for start, end, hands in level_runs(loads):
            level.add(between(start, end), hands)
    for day in Day:
        for start, end, hands in level_runs(baby_profile(o, day)):
            state.level(("baby", day), WHOLE_HANDS * len(adults)).add(between(start, end), hands)
    return state


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
        _take(placed, candidate, slot)
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
        _take(placed, candidate, slot)
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
        starts = _free_starts(state, candidate) & between(least - offset, min(most, WEEK_SLOTS) - offset + 1)
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
    odd = 2 * int(not usual) + elsewhere
    return (lost, int(c.option.minder is not None), odd, spread, c.day.index, first)


def _free_starts(state: State, c: Candidate) -> int:
    if not _day_has_room(state, c):
        return 0
    o = state.o
    starts = 0
    for first, last in c.starts:
        starts |= between(first, last + 1)
    for key, before, after in _masks(o, c):
        starts &= fits(FULL & ~state.taken.get(key, 0), before, after)
    for key, capacity, before, after, demand in _demands(o, c):
        if starts and (level := state.levels.get(key)):
            starts &= fits(level.room(demand), before, after)
        elif demand > capacity:
            return 0
    return starts


def _masks(o: Outline, c: Candidate) -> Iterator[tuple[Key, int, int]]:
    """What can be taken once: each child's time, and its rest after something focused."""
    for child in c.option.children:
        if c.option.at_meal:
            yield ("meal", child, c.day), 0, own_slots(c, child)
            continue
        before, after = padded(o, c, child)
        yield ("child", child, c.day), before, after
        if c.option.focused:
            rest = slots_up(o.presence.children[child].attention.break_min)
            yield ("focus", child, c.day), 0, own_slots(c, child) + rest
    for child in c.along:
        yield ("child", child, c.day), c.option.span.there, c.option.span.active + c.option.span.back


def _demands(o: Outline, c: Candidate) -> Iterator[tuple[Key, int, int, int, int]]:
    """What is shared: hands, places, tools; as (key, capacity, before, after, demand)."""
    option, span = c.option, c.option.span
    adults = WHOLE_HANDS * len(o.problem.household.adults)
    for which, (helper, load) in enumerate(zip(option.helpers, option.loads, strict=True)):
        for before, after, hands in hand_pieces(option, load):
            yield ("adult", helper, c.day), WHOLE_HANDS, before, after, hands
        for before, after, hands in hand_pieces(option, baby_load(o, c, which)):
            yield ("baby", c.day), adults, before, after, hands
    if option.minder:
        out = (span.there, span.active + span.back)
        yield ("adult", option.minder, c.day), WHOLE_HANDS, *out, MINDING
    if option.in_room and not option.place.away:
        room = option.place.sittings_at_once
        yield ("place", option.place.id, c.day), room, span.setup, span.active + span.cleanup, 1
    for need in option.sitting.needs:
        material = o.materials[need.material]
        if material.reusable:
            used = units(option, material.id)
            yield ("tool", material.id, c.day), material.count, span.before, span.after, used


def _take(state: State, c: Candidate, slot: int) -> None:
    o = state.o
    for key, before, after in _masks(o, c):
        state.taken[key] = state.taken.get(key, 0) | between(slot - before, slot + after)
    for key, capacity, before, after, demand in _demands(o, c):
        state.level(key, capacity).add(between(slot - before, slot + after), demand)
    for key, amount, _ in _day_sums(o, c):
        state.sums[key] = state.sums.get(key, 0) + amount
    state.sums["money",] = state.sums.get(("money",), 0) + _spends(state, c)
    for name in {need.material: None for need in c.option.sitting.needs}:
        state.sums["used", name] = state.sums.get(("used", name), 0) + units(c.option, name)
    state.sums["bookings", c.day] = state.sums.get(("bookings", c.day), 0) + 1
    if c.task.sitting == 0:
        series = ("days", c.task.go.wish.id, *c.task.go.group)
        state.days_of[series] = (*state.days_of.get(series, ()), c.day.index)
    state.starts[c.task] = (c, slot)


def _supplied(state: State, c: Candidate) -> bool:
    """Whether stock and money reach; bought are only things with a shop before the week."""
    return state.sums.get(("money",), 0) + _spends(state, c) <= state.o.limits.money_a_week


def _spends(state: State, c: Candidate) -> int:
    """The money one more sitting takes; out of reach when something cannot be had."""
    o = state.o
    money = c.task.go.activity.cost if c.task.sitting == 0 else 0
    shop = any(shop.before_week for shop in o.problem.week.shops)
    for name in {need.material: None for need in c.option.sitting.needs}:
        material = o.materials[name]
        if material.reusable:
            continue
        have = material.count - state.sums.get(("used", name), 0)
        short = units(c.option, name) - max(0, have)
        if short > 0:
            money += material.price * short if material.buyable and shop else OUT_OF_REACH
    return money


def _day_has_room(state: State, c: Candidate) -> bool:
    if not _supplied(state, c):
        return False
    if any(state.sums.get(key, 0) + amount > most for key, amount, most in _day_sums(state.o, c)):
        return False
    if c.task.sitting:
        return True
    wish, activity = c.task.go.wish, c.task.go.activity
    days = state.days_of.get(("days", wish.id, *c.task.go.group), ())
    gap = max(wish.least_gap_days, activity.least_gap_days)
    return days.count(c.day.index) < wish.most_a_day and all(abs(d - c.day.index) >= gap for d in days)


def _day_sums(o: Outline, c: Candidate) -> Iterator[tuple[Key, int, int]]:
    """What adds up over a day or the week, as (key, amount, most)."""
    limits, activity = o.limits, c.task.go.activity
    mess = int(c.option.sitting.mess)
    yield ("mess", c.day), mess, limits.mess_sum_a_day
    yield ("mess",), mess, limits.mess_sum_a_week
    yield ("big mess", c.day), int(mess >= Mess.FLOOR_AND_CLOTHES), limits.big_mess_a_day
    yield ("theme", c.day), int(is_theme_thing(o, c.option)), limits.theme_things_a_day
    for a in c.option.attends:
        if c.option.focused:
            most = o.presence.children[a.child].attention.focused_min_a_day
            yield ("focused", a.child, c.day), a.minutes, most
        if activity.kind is Kind.SCREEN:
            yield ("screen", a.child, c.day), a.minutes, limits.screen_min_a_day
        if c.option.in_room and activity.kind not in QUIET_KINDS:
            free = size_of(o.presence.open_time(a.child, c.day))
            most = int((1 - limits.free_share) * free + 1e-9)
            yield ("white", a.child, c.day), sum(padded(o, c, a.child)), most
