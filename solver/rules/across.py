"""Hard rules that reach across days: waits and what holds a waiting piece, prep, order."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from itertools import combinations, pairwise

from ortools.sat.python import cp_model

from solver.candidates import Candidate
from solver.clock import DAY_SLOTS, PREP_SLOT, SLOT_MIN, WEEK_SLOTS, slots_up
from solver.domain.activity import PrepTask, Wait
from solver.domain.base import DAYS, Evening
from solver.outline import Go, Task
from solver.rules.timing import prep_evenings, ready_starts
from solver.variables import Linear, Variables, grouped, total

Window = tuple[int, int]
"""From one week slot to another."""


def _chain(v: Variables) -> list[tuple[Task, Task, Wait | None]]:
    found = []
    for task in v.outline.tasks:
        if task.sitting > 0:
            waits = task.go.activity.waits
            wait = waits[task.sitting - 1] if waits else None
            found.append((Task(task.go, task.sitting - 1), task, wait))
    return found


def waits(v: Variables) -> None:
    """What dries, rises or grows gets its time, and not too much of it."""
    for first, second, wait in _chain(v):
        least = slots_up(wait.least_min) if wait else 0
        most = wait.most_min // SLOT_MIN if wait and wait.most_min is not None else None
        gap = v.week_start(second) - v.week_end(first)
        v.model.add(gap >= least).only_enforce_if(v.placed(second))
        if most is not None:
            v.model.add(gap <= most).only_enforce_if(v.placed(second))
        _cut_days(v, first, second, least, most)


def _cut_days(v: Variables, first: Task, second: Task, least: int, most: int | None) -> None:
    """Implied: a later sitting needs an earlier one in some stretch from which the wait works out.

    Rows are few: later ones that follow alike are told together, and so are earlier ones followed alike.
    """
    ready = grouped((c for c in v.of(first) if not c.option.lighter), _ready_within)
    by_time = grouped(v.of(second), lambda c: (c.week_first, c.week_last))
    followers: dict[frozenset[Window], list[Candidate]] = defaultdict(list)
    for time, late in by_time.items():
        followers[frozenset(when for when in ready if _can_follow(when, time, least, most))] += late
    followed: dict[tuple[bool, ...], list[Candidate]] = defaultdict(list)
    for when, early in ready.items():
        followed[tuple(when in near for near in followers)] += early
    for number, late in enumerate(followers.values()):
        near = total(v.any_of(early) for by, early in followed.items() if by[number])
        v.model.add(v.any_of(late) <= near)


def _ready_within(c: Candidate) -> Window:
    active = c.option.span.active
    return c.week_first + active, c.week_last + active


def _can_follow(ready: Window, late: Window, least: int, most: int | None) -> bool:
    return ready[0] + least <= late[1] and (most is None or ready[1] + most >= late[0])


def holding(v: Variables) -> None:
    """Trays, pegs, sill, oven and freezer hold only so much at a time."""
    uses: dict[str, list[tuple[cp_model.IntervalVar, int]]] = defaultdict(list)
    for task in v.outline.tasks:
        waits = task.go.activity.waits
        wait = waits[task.sitting] if task.sitting < len(waits) else None
        if wait and wait.holder:
            for interval in _held(v, task, wait):
                uses[wait.holder].append((interval, wait.units))
    for go in v.outline.goes:
        for prep in go.activity.prep:
            if prep.holder:
                for interval in _held_prep(v, go, prep):
                    uses[prep.holder].append((interval, prep.units))
    for holder in v.outline.problem.household.holders:
        found = uses[holder.id]
        if found:
            intervals, demands = [i for i, _ in found], [d for _, d in found]
            v.model.add_cumulative(intervals, demands, holder.capacity)


def _held(v: Variables, task: Task, wait: Wait) -> list[cp_model.IntervalVar]:
    least = slots_up(wait.least_min)
    following = Task(task.go, task.sitting + 1)
    name = f"held {task.name}"
    if following.sitting == len(task.go.activity.sittings):
        full = v.model.new_bool_var(name)
        v.model.add(full == v.placed_in_full(task))
        return [v.model.new_optional_fixed_size_interval_var(v.week_end(task), least, full, name)]
    size = v.model.new_int_var(0, WEEK_SLOTS, f"{name} size")
    held = [
        v.model.new_optional_interval_var(
            v.week_end(task), size, v.week_start(following), v.placed(following), name
        )
    ]
    if task.go.wish.may_carry_on:
        alone = v.model.new_bool_var(f"{name} alone")
        v.model.add(v.placed(task) - v.placed(following) <= alone)
        end = v.week_end(task)
        held.append(v.model.new_optional_fixed_size_interval_var(end, least, alone, ""))
    return held


def _held_prep(v: Variables, go: Go, prep: PrepTask) -> list[cp_model.IntervalVar]:
    found = []
    first = Task(go, 0)
    for evening in prep_evenings(v.outline, go, prep):
        since = max(0, evening.evening.index * DAY_SLOTS + PREP_SLOT)
        done = v.prepared(go, prep, evening.evening)
        size = v.model.new_int_var(0, WEEK_SLOTS, "")
        end = v.week_start(first)
        found.append(v.model.new_optional_interval_var(since, size, end, done, ""))
    return found


def prep(v: Variables) -> None:
    """What must be made ready is made on an evening: early enough, and still good when used."""
    for go in v.outline.goes:
        first = Task(go, 0)
        for task in go.activity.prep:
            evenings = prep_evenings(v.outline, go, task)
            done = {e.evening: v.prepared(go, task, e.evening) for e in evenings}
            v.model.add(total(done.values()) == v.placed_in_full(first))
            for evening, literal in done.items():
                _ready(v, first, task, evening, literal)


def _ready(v: Variables, first: Task, task: PrepTask, evening: Evening, done: cp_model.IntVar) -> None:
    never = []
    for c in v.of(first):
        if c.option.lighter:
            continue
        mask = ready_starts(task, evening, c.option)[c.day.index]
        if not mask >> c.last & 1:
            never.append(v.chosen(c))
        elif not mask >> c.first & 1:
            earliest = (mask & -mask).bit_length() - 1
            v.model.add(v.start(c) >= earliest).only_enforce_if([done, v.chosen(c)])
    v.model.add_at_most_one([done, *never])


def prep_minutes(v: Variables) -> None:
    """An evening's prep stays within the minutes there are; like tasks share their warming up."""
    for evening in v.outline.limits.prep:
        minutes: list[Linear] = []
        batches: dict[str, list[tuple[cp_model.IntVar, int]]] = defaultdict(list)
        for go in v.outline.goes:
            for task in go.activity.prep:
                done = v.evenings(go, task).get(evening.evening)
                if done is None:
                    continue
                shared = task.warm_up_min if task.batch else 0
                minutes.append((task.minutes - shared) * done)
                if task.batch and shared:
                    batches[task.batch].append((done, shared))
        for batch, tasks in batches.items():
            warm = v.amount(f"warm-up {batch} {evening.evening}", max(m for _, m in tasks))
            for done, shared in tasks:
                v.model.add(warm >= shared * done)
            minutes.append(warm)
        v.model.add(total(minutes) <= evening.minutes)


def order(v: Variables) -> None:
    """What must come first comes first."""
    _goes_in_order(v)
    for go in v.outline.goes:
        for wish in go.wish.after:
            _starts_after(v, go, [_first_go(v, wish)])
        needed = go.activity.needs_first
        if needed and needed not in v.outline.problem.week.done_before:
            firsts = [g for g in v.outline.goes if g.activity.id == needed and g.index == 0]
            _starts_after(v, go, firsts)
    _opening_first(v)


def _first_go(v: Variables, wish: str) -> Go:
    return next(go for go in v.outline.goes if go.wish.id == wish)


def _series(v: Variables) -> Iterable[list[Go]]:
    """The goes of each wish, where the wish does not pin them to days."""
    found: dict[tuple[str, tuple[str, ...]], list[Go]] = defaultdict(list)
    for go in v.outline.goes:
        if go.day is None:
            found[go.wish.id, go.group].append(go)
    return found.values()


def _goes_in_order(v: Variables) -> None:
    """Each before all later ones: the one between two may have no place."""
    for goes in _series(v):
        for before, go in combinations(goes, 2):
            first, second = Task(before, 0), Task(go, 0)
            both = [v.placed(first), v.placed(second)]
            v.model.add(v.week_start(second) > v.week_start(first)).only_enforce_if(both)


def number_goes(v: Variables) -> None:
    """Goes of one wish are alike: those that are placed get the first numbers (cuts off copies).

    One that is held firm is like no other: it stays, whatever finds a place before it.
    """
    firm = {booking.id for booking in v.outline.problem.week.firm}
    for goes in _series(v):
        for before, go in pairwise(goes):
            if Task(go, 0).name not in firm:
                v.model.add_implication(v.placed(Task(go, 0)), v.placed(Task(before, 0)))


def _starts_after(v: Variables, go: Go, firsts: list[Go]) -> None:
    """``go`` starts after one of ``firsts`` is finished (the first of them that is placed whole)."""
    first_task = Task(go, 0)
    if not firsts:
        v.model.add(v.placed(first_task) == 0)
        return
    followed = [v.model.new_bool_var(f"{go.name} follows {first.name}") for first in firsts]
    v.model.add_bool_or([*followed, v.placed(first_task).negated()])
    for first, literal in zip(firsts, followed, strict=True):
        v.model.add_implication(literal, v.whole(first))
        last = Task(first, len(first.activity.sittings) - 1)
        begun, light = v.begun(first_task), v.lighter(first)
        v.model.add(begun >= v.cleared(Task(first, 0))).only_enforce_if(literal)
        if last.sitting:
            late = v.cleared(last) - 2 * WEEK_SLOTS * light
            v.model.add(begun >= late).only_enforce_if(literal)


def _opening_first(v: Variables) -> None:
    for opener in v.outline.goes:
        if not opener.wish.opens_theme or opener.index:
            continue
        opening = Task(opener, 0)
        for go in v.outline.goes:
            if go.wish.id != opener.wish.id and go.activity.theme == opener.activity.theme:
                first = Task(go, 0)
                v.model.add_implication(v.placed(first), v.placed(opening))
                v.model.add(v.begun(first) >= v.week_start(opening)).only_enforce_if(v.placed(first))


def often(v: Variables) -> None:
    """A wish comes no more often a day, and no sooner again, than it should."""
    series: dict[tuple[str, tuple[str, ...]], list[Go]] = defaultdict(list)
    for go in v.outline.goes:
        series[go.wish.id, go.group].append(go)
    for goes in series.values():
        on_day = [_firsts_on(v, goes, index) for index in range(len(DAYS))]
        gap = max(goes[0].wish.least_gap_days, goes[0].activity.least_gap_days)
        if len(goes) > 1:
            for firsts in on_day:
                v.model.add(firsts <= goes[0].wish.most_a_day)
            for start in range(len(DAYS) - gap + 1 if gap else 0):
                v.model.add(total(on_day[start : start + gap]) <= 1)


def _firsts_on(v: Variables, goes: list[Go], day: int) -> Linear:
    return v.count_of(c for go in goes for c in v.of(Task(go, 0)) if c.day.index == day)
