"""First weeks in a moment: go by go, the hardest first, each at its best place that is still free.

After a few from nothing, one of the best so far is taken apart and put together again. A heuristic, so it
may be stricter than the rules (it never lays listening over busy hands, and a minder does little else); what
it finds is completed and judged by the model before anybody sees it.
"""

from __future__ import annotations

import random
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import count

from solver.assemble import Chosen
from solver.candidates import Candidate, Candidates
from solver.clock import WEEK_SLOTS, slots_up, week_slot
from solver.domain.base import Evening
from solver.domain.week import Rank
from solver.occupancy import HALVES, Half, Key, State, empty, take
from solver.outline import Go, Task
from solver.placing import comes_after, hold, make_ready, place_go
from solver.rules.soft import could_be_out, out_anyway, worth_points

FROM_NOTHING = 4
"""Weeks made from nothing before the best of them is taken apart."""
LOOSE = 0.05
"""The share of goes taken out of a week, wherever they are."""
LOOSE_ON_A_DAY = 0.4
"""The share taken out on one day, every other time."""
LACKING = 2
"""So many times as much is taken out as long as something has no place that should have one."""
ASIDE = 0.01
"""By what share more than the best a week may cost to be gone on from: a better one may lie beyond it."""


def construct(candidates: Candidates, seed: int) -> Iterator[Chosen]:
    """First weeks without end, each the best so far (the same again when a turn brought none that is better).

    Most promises count first, then staples, then worth.
    """
    chance = random.Random(seed)
    blank = empty(candidates.outline)
    outdoors = _goes_outdoors(candidates)
    best: tuple[int, ...] = ()
    now: State | None = None
    for turn in count():
        lack = _lack(candidates.outline.goes, outdoors, now, chance) if now else Lack()
        state = blank.copy()
        state.indoors = lack.indoors
        if now is None or turn < FROM_NOTHING:
            state = _one_week(candidates, chance, turn, state, lack)
        else:
            state = _remade(candidates, chance, now, state, lack)
        score = _score(candidates, state)
        if score > best:
            best, told = score, _numbered(candidates, state)
        if now is None or _near(score, best):
            now = state
        yield told


def _near(score: tuple[int, ...], best: tuple[int, ...]) -> bool:
    """Whether to go on from a week: it keeps as much as the best one and is worth nearly as much."""
    return score[:-1] == best[:-1] and score[-1] >= best[-1] * (1 + ASIDE)


def _numbered(candidates: Candidates, state: State) -> Chosen:
    """Goes of one wish are alike: number those that were placed in the order of their time.

    One that is held firm keeps its number; what finds no number beside it is left out.
    """
    starts: dict[Task, tuple[Candidate, int]] = {}
    evenings: dict[tuple[Go, str], Evening] = {}
    for goes in _series(candidates.outline.goes):
        for go, as_go in _numbers(state, goes):
            placed = _as(candidates, state, go, as_go)
            starts |= placed
            for prep in go.activity.prep if placed else ():
                if (go, prep.id) in state.evenings:
                    evenings[as_go, prep.id] = state.evenings[go, prep.id]
    return Chosen(starts, {}, evenings)


def _numbers(state: State, goes: list[Go]) -> Iterator[tuple[Go, Go]]:
    """The placed goes of one wish, each with the go whose number it takes."""
    placed = [go for go in goes if Task(go, 0) in state.starts]
    if goes[0].day is not None:
        yield from ((go, go) for go in placed)
        return
    firm = {booking.id for booking in state.o.problem.week.firm}
    held = [go for go in goes if any(Task(go, i).name in firm for i in range(len(go.activity.sittings)))]
    loose = sorted((go for go in placed if go not in held), key=lambda go: _week_slot(state, go))
    last = -1
    for number in goes:
        ahead = [_week_slot(state, go) for go in held if go in placed and go.index > number.index]
        taking = [number] if number in held else loose
        go = next((go for go in taking if go in placed and _week_slot(state, go) > last), None)
        if go is None or (go in loose and _week_slot(state, go) >= min(ahead, default=WEEK_SLOTS)):
            continue
        yield go, number
        last = _week_slot(state, go)


def _as(candidates: Candidates, state: State, go: Go, as_go: Go) -> dict[Task, tuple[Candidate, int]]:
    """What was chosen for a go, as if it were another of its wish; nothing where that may not be there."""
    found: dict[Task, tuple[Candidate, int]] = {}
    for index in range(len(go.activity.sittings)):
        if Task(go, index) not in state.starts:
            break
        chosen, slot = state.starts[Task(go, index)]
        there = candidates.by_task[Task(as_go, index)]
        twin = next((c for c in there if _manner(c) == _manner(chosen) and c.may_start(slot)), None)
        if twin is None:
            return {}
        found[Task(as_go, index)] = (twin, slot)
    return found


def _manner(c: Candidate) -> tuple[object, ...]:
    o = c.option
    how = (o.lighter, o.alongside, o.at_meal)
    return (c.day, c.stretch, c.meal, c.along, o.children, o.place.id, o.helpers, o.minder, *how)


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
    kept[Rank.STAPLE] = sum(_out_in(state).values())
    for go in candidates.outline.goes:
        kept[go.wish.rank] += _is_whole(state, go)
    chosen = {task: candidate for task, (candidate, _) in state.starts.items()}
    return kept[Rank.PROMISE], kept[Rank.STAPLE], -worth_points(candidates.outline, chosen)


def _is_whole(state: State, go: Go) -> bool:
    last = Task(go, len(go.activity.sittings) - 1)
    first = state.starts.get(Task(go, 0))
    return last in state.starts or (first is not None and first[0].option.lighter)


@dataclass(frozen=True)
class Lack:
    """What a week left over and should not have: the next one sees to it before anything else."""

    goes: frozenset[Go] = frozenset()
    indoors: frozenset[Half] = frozenset()


def _lack(goes: Sequence[Go], outdoors: dict[Half, list[Go]], week: State, chance: random.Random) -> Lack:
    unkept = {go.wish.id for go in goes if go.wish.rank is not Rank.EXTRA and not _is_whole(week, go)}
    indoors = [half for half, out in _out_in(week).items() if not out and half in outdoors]
    out = {chance.choice(outdoors[half]) for half in indoors}
    return Lack(frozenset(out | {go for go in goes if go.wish.id in unkept}), frozenset(indoors))


def _goes_outdoors(candidates: Candidates) -> dict[Half, list[Go]]:
    """For each half of a day in which something could be outdoors: what that could be."""
    found = {}
    for day in candidates.outline.problem.week.teaching_days:
        for half in HALVES:
            out = could_be_out(candidates, day, half == HALVES[1])
            if goes := [*dict.fromkeys(c.task.go for c in out if c.task.sitting == 0)]:
                found[day, half] = goes
    return found


def _out_in(week: State) -> dict[Half, bool]:
    """For the halves of days in which it would count whether something is outdoors."""
    o = week.o
    return {
        (day, half): out_anyway(o, day, half == HALVES[1]) or ("out", day, half) in week.sums
        for day in o.problem.week.teaching_days
        for half in HALVES
        if o.limits.outdoor_times_a_day
    }


def _one_week(candidates: Candidates, chance: random.Random, turn: int, state: State, lack: Lack) -> State:
    state.plain = turn % 2 == 1
    for go in _in_turn(candidates, lack, chance, turn):
        state = place_go(candidates, state, go) or state
    return state


def _in_turn(candidates: Candidates, lack: Lack, chance: random.Random, turn: int) -> list[Go]:
    goes = [go for go in candidates.outline.goes if candidates.by_task[Task(go, 0)]]
    order = {Rank.PROMISE: 0, Rank.STAPLE: 1, Rank.EXTRA: 2}
    starts = candidates.starts_of

    def urgency(go: Go) -> tuple[float, ...]:
        shake = chance.uniform(0.5, 1.5) if turn > 1 else 1.0
        late = bool(go.wish.after or go.activity.needs_first)
        worth = -go.wish.worth if go.wish.rank is Rank.EXTRA else 0
        here = (late, worth * shake, starts[go] * shake, go.index)
        return (go not in lack.goes, order[go.wish.rank], *here)

    return sorted(goes, key=urgency)


def _remade(candidates: Candidates, chance: random.Random, week: State, state: State, lack: Lack) -> State:
    """A week with a part of its goes taken out, and then everything put in that has a place."""
    loose = _loose(chance, week, LACKING if lack.goes else 1)
    placed = [go for go in candidates.outline.goes if Task(go, 0) in week.starts and go not in loose]
    for go in sorted(placed, key=lambda go: _week_slot(week, go)):
        # Only what is made ready or waits can be out of place now: that hangs on what came before it.
        spare = state.copy() if go.activity.prep or go.activity.waits else state
        if not _put_back(state, go, week):
            state = spare
    # Any turn beyond the first two shakes the order.
    for go in _in_turn(candidates, lack, chance, turn=2):
        if Task(go, 0) not in state.starts:
            state = place_go(candidates, state, go) or state
    return state


def _loose(chance: random.Random, week: State, much: int) -> set[Go]:
    days = sorted({candidate.day for candidate, _ in week.starts.values()}, key=lambda day: day.index)
    day = chance.choice([*days, *[None] * len(days)]) if days else None
    return {
        task.go
        for task, (candidate, _) in week.starts.items()
        if chance.random() < much * (LOOSE_ON_A_DAY if candidate.day is day else LOOSE)
    }


def _put_back(state: State, go: Go, week: State) -> bool:
    """Take a go as it was in another week; whether what it follows and what it waits in is still there."""
    candidate, slot = week.starts[Task(go, 0)]
    if not comes_after(state, go) or not make_ready(state, go, candidate, slot):
        return False
    take(state, candidate, slot)
    if candidate.option.lighter:
        return True
    for index, wait in enumerate(go.activity.waits):
        early, at = state.starts[Task(go, index)]
        end = week_slot(early.day, at) + early.option.span.active
        following = week.starts.get(Task(go, index + 1))
        until = week_slot(following[0].day, following[1]) if following else end + slots_up(wait.least_min)
        if not hold(state, wait, end, until):
            return False
        if following is None:
            return True
        take(state, *following)
    return True
