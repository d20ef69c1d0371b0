"""Decision variables behind readable questions: is it placed, when does it start, which evening."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator
from functools import cached_property
from typing import TypeVar

from ortools.sat.python import cp_model

from solver.candidates import Candidate, Candidates, Seat
from solver.clock import WEEK_SLOTS, week_slot
from solver.domain.activity import PrepTask
from solver.domain.base import DAYS, ChildId, Day, Evening
from solver.outline import Go, Outline, Task

K = TypeVar("K")
Literal = cp_model.IntVar
Linear = cp_model.LinearExpr


Span = tuple[int, int]
"""(before, after) a start, in slots."""


def grouped(candidates: Iterable[Candidate], key: Callable[[Candidate], K]) -> dict[K, list[Candidate]]:
    """Candidates gathered by what the key says of them, in order."""
    found: dict[K, list[Candidate]] = defaultdict(list)
    for c in candidates:
        found[key(c)].append(c)
    return found


def by_seat(candidates: Iterable[Candidate]) -> list[list[Candidate]]:
    """Candidates gathered by their seat, in order."""
    return list(grouped(candidates, lambda c: c.seat).values())


def by_child(candidates: Iterable[Candidate]) -> dict[ChildId, list[Candidate]]:
    """Candidates gathered by each child who attends, in order."""
    found: dict[ChildId, list[Candidate]] = defaultdict(list)
    for c in candidates:
        for child in c.option.children:
            found[child].append(c)
    return found


def _key(candidates: list[Candidate]) -> tuple[int, ...]:
    return tuple([c.index for c in candidates])


def _domain(runs: tuple[tuple[int, int], ...]) -> cp_model.Domain:
    return cp_model.Domain.from_intervals([list(run) for run in runs])


def total(terms: Iterable[Linear | int]) -> Linear:
    """The sum of expressions and numbers, as one flat expression."""
    found: Linear = cp_model.LinearExpr.sum(list(terms))
    return found


class Variables:
    """Everything the solver decides. Rules ask; they never reach inside."""

    def __init__(self, model: cp_model.CpModel, candidates: Candidates) -> None:
        self.model = model
        self.candidates = candidates
        self.outline: Outline = candidates.outline
        self._chosen = [model.new_bool_var(f"x{c.index}") for c in candidates.all]
        self._start: dict[Seat, Literal] = {}
        self._size = Counter(c.seat.index for c in candidates.all)
        self._seated: dict[int, Literal] = {}
        self._any: dict[tuple[int, ...], Literal] = {}
        self._placed: dict[Task, Literal] = {}
        self._whole: dict[Go, Literal] = {}
        self._week_start: dict[Task, Literal] = {}
        self._week_end: dict[Task, Literal] = {}
        self._intervals: dict[tuple[int, int, int], cp_model.IntervalVar] = {}
        self._pairs: dict[tuple[Task, Task], Literal] = {}
        self._prep: dict[tuple[Go, str], dict[Evening, Literal]] = defaultdict(dict)
        self._amounts: dict[str, Literal] = {}
        for c in candidates.all:
            self._narrow_start(c)
        for task in self.outline.tasks:
            self._placed[task] = self._count_placed(task)

    def _narrow_start(self, c: Candidate) -> None:
        start = self._start.get(c.seat)
        if start is None:
            start = self.model.new_int_var_from_domain(_domain(c.seat.starts), f"s{c.seat.index}")
            self._start[c.seat] = start
        if c.starts != c.seat.starts:
            self.model.add_linear_expression_in_domain(start, _domain(c.starts)).only_enforce_if(
                self.chosen(c)
            )

    def _count_placed(self, task: Task) -> Literal:
        literals = [self.chosen(c) for c in self.of(task)]
        placed = self.model.new_bool_var(f"placed {task.name}")
        self.model.add_exactly_one([*literals, placed.negated()])
        return placed

    def of(self, task: Task) -> list[Candidate]:
        """The candidates of a task."""
        return self.candidates.by_task[task]

    def on(self, day: Day) -> list[Candidate]:
        """The candidates on a day."""
        return self.candidates.by_day[day]

    def with_child(self, child: ChildId, day: Day) -> list[Candidate]:
        """The candidates on a day that the child attends."""
        return self._with_child[day].get(child, [])

    @cached_property
    def _with_child(self) -> dict[Day, dict[ChildId, list[Candidate]]]:
        return {day: by_child(self.on(day)) for day in DAYS}

    def chosen(self, candidate: Candidate) -> Literal:
        """Whether the task is done in this way, on this day, in this stretch."""
        return self._chosen[candidate.index]

    def start(self, candidate: Candidate) -> Literal:
        """The day slot at which it starts, if chosen; shared by all candidates of its seat."""
        return self._start[candidate.seat]

    def any_of(self, candidates: list[Candidate]) -> Literal:
        """Whether one of these candidates of one task is chosen."""
        if len(candidates) == 1:
            return self.chosen(candidates[0])
        key = _key(candidates)
        literal = self._any.get(key)
        if literal is None:
            task = candidates[0].task
            literal = self.placed(task)
            if len(candidates) < len(self.of(task)):
                literal = self.model.new_bool_var("")
                seat = candidates[0].seat
                across = any(c.seat is not seat for c in candidates)
                parts = self.count_of(candidates) if across else total(map(self.chosen, candidates))
                self.model.add(literal == parts)
            self._any[key] = literal
        return literal

    def _any_seated(self, some: list[Candidate]) -> Literal:
        """The same of candidates of one seat; a whole one, asked for most, is known by its number."""
        if len(some) == 1:
            return self._chosen[some[0].index]
        seat = some[0].seat.index
        if len(some) < self._size[seat]:
            return self.any_of(some)
        if seat not in self._seated:
            self._seated[seat] = self.any_of(some)
        return self._seated[seat]

    def placed(self, task: Task) -> Literal:
        """Whether the task is placed at all."""
        return self._placed[task]

    def placed_in_full(self, task: Task) -> Linear:
        """Whether the task is placed in its usual, not its lighter version."""
        return self.count_of(c for c in self.of(task) if not c.option.lighter)

    def lighter(self, go: Go) -> Linear:
        """Whether the lighter version stands in for the go."""
        return self.count_of(c for c in self.of(Task(go, 0)) if c.option.lighter)

    def whole(self, go: Go) -> Literal:
        """Whether a go is done from the first to the last sitting (or in its lighter version)."""
        if go not in self._whole:
            last = Task(go, len(go.activity.sittings) - 1)
            if last.sitting == 0:
                self._whole[go] = self.placed(last)
            else:
                whole = self.model.new_bool_var(f"whole {go.name}")
                self.model.add(whole == self.placed(last) + self.lighter(go))
                self._whole[go] = whole
        return self._whole[go]

    def week_start(self, task: Task) -> Literal:
        """The week slot at which a task starts, if placed."""
        if task not in self._week_start:
            start = self.model.new_int_var(0, WEEK_SLOTS, f"S {task.name}")
            for seat in by_seat(self.of(task)):
                at = self.start(seat[0]) + week_slot(seat[0].day, 0)
                self.model.add(start == at).only_enforce_if(self.any_of(seat))
            self._week_start[task] = start
        return self._week_start[task]

    def week_end(self, task: Task) -> Linear:
        """The week slot at which its active time ends, if placed (affine: fit for intervals)."""
        lengths = {c.option.span.active for c in self.of(task)}
        if len(lengths) <= 1:
            return self.week_start(task) + sum(lengths)
        if task not in self._week_end:
            end = self.model.new_int_var(0, WEEK_SLOTS + max(lengths), f"E {task.name}")
            active = self.weighed(task, lambda c: c.option.span.active)
            self.model.add(end == self.week_start(task) + active)
            self._week_end[task] = end
        return self._week_end[task]

    def cleared(self, task: Task) -> Linear:
        """The week slot at which everything is put away, if placed."""
        return self.week_start(task) + self.weighed(task, lambda c: c.option.span.after)

    def begun(self, task: Task) -> Linear:
        """The week slot at which laying out begins, if placed."""
        return self.week_start(task) - self.weighed(task, lambda c: c.option.span.before)

    def weighed(self, task: Task, amount: Callable[[Candidate], int]) -> Linear:
        """The amount of the chosen candidate (0 when none is)."""
        return self.sum_of((c, amount(c)) for c in self.of(task))

    def sum_of(self, amounts: Iterable[tuple[Candidate, int]]) -> Linear:
        """The sum of the amounts of those that are chosen; each candidate is named once.

        Where one literal stands for several of a seat, it is used: rows stay short.
        """
        told: dict[tuple[int, int], list[Candidate]] = defaultdict(list)
        for c, amount in amounts:
            if amount:
                told[c.seat.index, amount].append(c)
        literals, factors = [], []
        for (seat, amount), alike in told.items():
            known = len(alike) == self._size[seat]
            found = [self._any_seated(alike)] if known else [self._chosen[c.index] for c in alike]
            literals += found
            factors += [amount] * len(found)
        summed: Linear = cp_model.LinearExpr.weighted_sum(literals, factors)
        return summed

    def count_of(self, candidates: Iterable[Candidate]) -> Linear:
        """How many of these are chosen; each is named once."""
        return self.sum_of((c, 1) for c in candidates)

    def intervals(
        self, candidates: Iterable[Candidate], span: Callable[[Candidate], Span | None]
    ) -> Iterator[tuple[cp_model.IntervalVar, Candidate]]:
        """Optional intervals of candidates around their starts, one for all of a seat that agree.

        ``span`` gives (before, after) in slots for a candidate, or None to leave it out. The candidate
        that comes with an interval stands for all that share it.
        """
        groups: dict[tuple[int, Span], list[Candidate]] = defaultdict(list)
        for c in candidates:
            found = span(c)
            if found is not None and found[0] + found[1] > 0:
                groups[c.seat.index, found].append(c)
        for (_, (before, after)), group in groups.items():
            yield self.interval(group, before, after), group[0]

    def interval(self, group: list[Candidate], before: int, after: int) -> cp_model.IntervalVar:
        """An optional interval around the start that candidates of one seat share."""
        literal = self._any_seated(group)
        key = (literal.index, before, after)
        if key not in self._intervals:
            start = self.start(group[0]) - before
            self._intervals[key] = self.model.new_optional_fixed_size_interval_var(
                start, before + after, literal, ""
            )
        return self._intervals[key]

    def laid_over(self, listening: Task, busy: Task) -> Literal:
        """Whether one task is laid over the other."""
        key = (listening, busy)
        if key not in self._pairs:
            self._pairs[key] = self.model.new_bool_var(f"{listening.name} over {busy.name}")
        return self._pairs[key]

    def pairs(self) -> Iterable[tuple[tuple[Task, Task], Literal]]:
        """Every alongside pair that was asked for."""
        return self._pairs.items()

    def prepared(self, go: Go, task: PrepTask, evening: Evening) -> Literal:
        """Whether a prep task of a go is done on an evening."""
        known = self._prep[go, task.id]
        if evening not in known:
            known[evening] = self.model.new_bool_var(f"prep {go.name} {task.id} {evening}")
        return known[evening]

    def evenings(self, go: Go, task: PrepTask) -> dict[Evening, Literal]:
        """The evenings that were asked for."""
        return self._prep[go, task.id]

    def amount(self, name: str, most: int) -> Literal:
        """A named whole number from 0 to ``most`` (bought units, warm-up minutes, shortfalls)."""
        if name not in self._amounts:
            self._amounts[name] = self.model.new_int_var(0, max(0, most), name)
        return self._amounts[name]

    @cached_property
    def first_tasks(self) -> list[Task]:
        """The first sitting of every go."""
        return [task for task in self.outline.tasks if task.sitting == 0]

    def days(self) -> tuple[Day, ...]:
        """Days that have candidates."""
        return tuple(day for day in DAYS if self.on(day))
