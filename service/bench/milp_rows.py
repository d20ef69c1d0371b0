"""The hard rules of the time-indexed MILP (``service.bench.milp``), row by row."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field

from service.bench.diary import Diary
from solver.candidates import Candidate
from solver.clock import SLOT_MIN, WEEK_SLOTS, slots_up, week_slot
from solver.domain.activity import Wait
from solver.domain.base import DAYS, Evening
from solver.domain.home import Material
from solver.outline import Go, Outline, Task
from solver.rules.timing import prep_evenings, ready_starts

FREE = 1e30
COARSE = 3
"""Starts by the quarter of an hour: on the five-minute grid HiGHS finds no week at all in a minute."""
Sum = dict[int, float]
Key = tuple[object, ...]


@dataclass
class Model:
    """Columns and rows, before they are handed over."""

    outline: Outline
    by_task: dict[Task, list[Candidate]]
    cost: list[float] = field(default_factory=list)
    upper: list[float] = field(default_factory=list)
    whole: list[bool] = field(default_factory=list)
    rows: list[tuple[float, float, Sum]] = field(default_factory=list)
    x: dict[tuple[Candidate, int], int] = field(default_factory=dict)
    of: dict[Task, list[tuple[Candidate, int, int]]] = field(default_factory=lambda: defaultdict(list))
    evenings: dict[tuple[Go, str, Evening], int] = field(default_factory=dict)

    def column(self, cost: float = 0.0, upper: float = 1.0, whole: bool = True) -> int:
        """A new variable from 0 to ``upper``."""
        self.cost.append(cost)
        self.upper.append(upper)
        self.whole.append(whole)
        return len(self.cost) - 1

    def row(self, terms: Sum, least: float = -FREE, most: float = FREE) -> None:
        """least ≤ terms ≤ most."""
        if terms:
            self.rows.append((least, most, terms))

    def placed(self, task: Task, full: bool = False) -> Sum:
        """Whether a task is placed; ``full``: not in its lighter version."""
        return {i: 1.0 for c, _, i in self.of[task] if not (full and c.option.lighter)}

    def kept(self, go: Go) -> Sum:
        """Whether a go is whole."""
        last = Task(go, len(go.activity.sittings) - 1)
        light = {i: 1.0 for c, _, i in self.of[Task(go, 0)] if c.option.lighter}
        return {**light, **self.placed(last)}


def tasks_rows(m: Model) -> None:
    for task, candidates in m.by_task.items():
        for c in candidates:
            for slot in (s for first, last in c.starts for s in range(first, last + 1, COARSE)):
                m.x[c, slot] = m.column()
                m.of[task].append((c, slot, m.x[c, slot]))
        m.row(m.placed(task), most=1)


def goes_rows(m: Model) -> None:
    last: dict[Key, Go] = {}
    for go in m.outline.goes:
        for sitting in range(1, len(go.activity.sittings)):
            early, late = Task(go, sitting - 1), Task(go, sitting)
            least = 0.0 if not go.wish.may_carry_on else -FREE
            m.row({**minus(m.placed(early, full=True)), **m.placed(late)}, least, 0)
            _wait(m, early, late)
        before = last.get((go.wish.id, go.group))
        last[go.wish.id, go.group] = go
        if before and go.day is None:
            _apart(m, before, go)


def minus(terms: Sum) -> Sum:
    return {i: -a for i, a in terms.items()}


def _wait(m: Model, early: Task, late: Task) -> None:
    """By each moment: a later sitting needs an earlier one ended long enough before, but not too long."""
    waits = early.go.activity.waits
    wait = waits[early.sitting] if waits else None
    least = slots_up(wait.least_min) if wait else 0
    most = wait.most_min // SLOT_MIN if wait and wait.most_min is not None else None
    ended = [
        (week_slot(c.day, s) + c.option.span.active, i) for c, s, i in m.of[early] if not c.option.lighter
    ]
    began = [(week_slot(c.day, s), i) for c, s, i in m.of[late]]
    for moment in sorted({at for at, _ in began}):
        row = {i: 1.0 for at, i in began if at <= moment}
        row |= {i: -1.0 for at, i in ended if at + least <= moment}
        m.row(row, most=0)
        if most is not None:
            now = {i: 1.0 for at, i in began if at == moment}
            near = {i: -1.0 for at, i in ended if moment - most <= at <= moment - least}
            m.row(now | near, most=0)


def _apart(m: Model, before: Go, go: Go) -> None:
    """Goes of a wish in order, so many days apart."""
    gap = max(go.wish.least_gap_days, go.activity.least_gap_days, int(go.wish.most_a_day == 1))
    for day in range(len(DAYS)):
        row = {i: 1.0 for c, _, i in m.of[Task(go, 0)] if c.day.index <= day}
        row |= {i: -1.0 for c, _, i in m.of[Task(before, 0)] if c.day.index <= day - gap}
        m.row(row, most=0)


def resources_rows(m: Model) -> None:
    """Everything that is limited by the slot or by the day, as the careful parent's diary knows it."""
    diary = Diary(m.outline)
    slots: dict[Key, Sum] = defaultdict(dict)
    most: dict[Key, float] = {}
    for (c, slot), i in m.x.items():
        for where, before, after in diary.masks_of(c):
            for s in range(slot - before, slot + after):
                slots[where, c.day, s][i] = 1.0
                most[where, c.day, s] = 1
        for (where, before, after, amount), limit in diary.loads_of(c):
            for s in range(slot - before, slot + after) if amount else ():
                slots[where, c.day, s][i] = float(amount)
                most[where, c.day, s] = limit - diary.level(where, c.day)[s]
        for where, amount, limit in diary.sums_of(c):
            slots[where, c.day][i] = float(amount)
            most[where, c.day] = limit
    for key, terms in slots.items():
        if sum(terms.values()) > most[key]:
            m.row(terms, most=most[key])
    week = {i: float(c.option.sitting.mess) for (c, _), i in m.x.items() if c.option.sitting.mess}
    m.row(week, most=m.outline.limits.mess_sum_a_week)


def holders_rows(m: Model) -> None:
    """A piece holds its place from the end of one sitting to the start of the next, or for the least wait."""
    held: dict[str, dict[int, Sum]] = defaultdict(lambda: defaultdict(dict))
    for task in m.by_task:
        waits = task.go.activity.waits
        wait = waits[task.sitting] if task.sitting < len(waits) else None
        if wait and wait.holder:
            for slot, terms in _held(m, task, wait).items():
                add(held[wait.holder][slot], terms, wait.units)
    for holder in m.outline.problem.household.holders:
        for terms in held[holder.id].values():
            m.row(terms, most=holder.capacity)


def add(row: Sum, terms: Sum, factor: float) -> None:
    for i, amount in terms.items():
        row[i] = row.get(i, 0.0) + factor * amount


def _held(m: Model, task: Task, wait: Wait) -> dict[int, Sum]:
    """By the half hour: ended by then, minus the next one begun by then."""
    following = Task(task.go, task.sitting + 1)
    least = slots_up(wait.least_min)
    found: dict[int, Sum] = {}
    for moment in range(0, WEEK_SLOTS, 6):
        row: Sum = {}
        for c, slot, i in m.of[task]:
            end = week_slot(c.day, slot) + c.option.span.active
            until = WEEK_SLOTS if following in m.by_task else end + least
            if end <= moment < until and not c.option.lighter:
                row[i] = 1.0
        for c, slot, i in m.of[following] if following in m.by_task else ():
            if week_slot(c.day, slot) <= moment:
                row[i] = -1.0
        found[moment] = row
    return found


def prep_rows(m: Model) -> None:
    used: dict[Evening, Sum] = defaultdict(dict)
    for go in m.outline.goes:
        for task in go.activity.prep:
            row = m.placed(Task(go, 0), full=True)
            for evening in prep_evenings(m.outline, go, task):
                done = m.evenings[go, task.id, evening.evening] = m.column()
                row[done] = -1.0
                used[evening.evening][done] = float(task.minutes)
                late = [
                    i
                    for c, slot, i in m.of[Task(go, 0)]
                    if not c.option.lighter
                    and not ready_starts(task, evening.evening, c.option)[c.day.index] >> slot & 1
                ]
                m.row({done: 1.0, **dict.fromkeys(late, 1.0)}, most=1)
            m.row(row, 0, 0)
    for evening in m.outline.limits.prep:
        m.row(used[evening.evening], most=evening.minutes)


def money_rows(m: Model) -> None:
    """What a go costs, and what its supplies cost beyond the stock of Monday."""
    row: Sum = {}
    for go in m.outline.goes:
        if go.activity.cost:
            add(row, m.placed(Task(go, 0)), go.activity.cost)
    for material in m.outline.problem.household.materials:
        if not material.reusable:
            _bought(m, row, material)
    m.row(row, most=m.outline.limits.money_a_week)


def _bought(m: Model, row: Sum, material: Material) -> None:
    used: Sum = {}
    for (c, _), i in m.x.items():
        heads = max(1, len(c.option.attends))
        for need in c.option.sitting.needs:
            if need.material == material.id:
                used[i] = used.get(i, 0.0) + need.count * (heads if need.each_child else 1)
    stock = material.count + sum(arrival.count for arrival in material.arrivals)
    bought = m.column(upper=1000.0 if material.buyable else 0.0)
    m.row({**used, bought: -1.0}, most=stock)
    row[bought] = float(material.price)


ROWS = (tasks_rows, goes_rows, resources_rows, holders_rows, prep_rows, money_rows)
