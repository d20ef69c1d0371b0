"""The careful parent: promises first, then staples, then extras by worth, each at the first time that fits.

The first baseline of the bench. It knows what it has put where (``diary``), asks the independent checker
after every go, and takes the go back when the checker objects.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import islice

from service.bench.diary import Diary
from solver.assemble import Chosen, bookings, prep, waiting
from solver.candidates import Candidate, Candidates, enumerate_candidates
from solver.check import check, costs
from solver.clock import DAY_SLOTS, SLOT_MIN, slots_up, week_slot
from solver.domain.activity import Together
from solver.domain.base import Evening
from solver.domain.plan import Plan
from solver.domain.week import Problem, Rank
from solver.outline import Go, Outline, Task
from solver.rules.timing import prep_evenings, ready_starts
from solver.shopping import purchases

TRIES, ALIKE = 24, 2
"""Ways to place a go that are shown to the checker before it is left out; and how many of them may lie in
the same stretches of the same days."""
NO_BETTER_LATER = {"money", "mess_week"}
"""Rules about the week's sum: no other day helps."""
ORDER = (Rank.PROMISE, Rank.STAPLE, Rank.EXTRA)

Placing = list[tuple[Task, Candidate, int]]


@dataclass
class Parent:
    """A week being filled by hand."""

    problem: Problem
    candidates: Candidates
    diary: Diary
    chosen: Chosen = field(default_factory=lambda: Chosen({}, {}, {}))
    last_day: dict[tuple[str, tuple[str, ...]], int] = field(default_factory=lambda: defaultdict(lambda: -99))
    prep_left: dict[Evening, int] = field(default_factory=dict)

    def plan(self) -> Plan:
        """What has been put down so far."""
        outline = self.candidates.outline
        return Plan(
            week=self.problem.week.id,
            bookings=bookings(outline, self.chosen),
            prep=prep(outline, self.chosen),
            waiting=waiting(outline, self.chosen),
            shopping=purchases(outline, self.chosen),
        )


def careful_plan(problem: Problem) -> Plan:
    """The week as a careful parent would fill it, with its costs."""
    plan = careful_week(problem).plan()
    return plan.model_copy(update={"costs": costs(problem, plan)})


def careful_week(problem: Problem) -> Parent:
    """A parent who has filled the week."""
    outline = Outline(problem)
    parent = Parent(problem, enumerate_candidates(outline), Diary(outline))
    parent.prep_left = {e.evening: e.minutes for e in outline.limits.prep}
    for go in sorted(outline.goes, key=lambda go: (ORDER.index(go.wish.rank), -go.wish.worth)):
        _place(parent, go)
    return parent


def _place(parent: Parent, go: Go) -> None:
    for way in islice(_unlike(_ways(parent, go)), TRIES):
        evenings = _evenings(parent, go, way)
        if evenings is None:
            continue
        parent.chosen.starts.update({task: (c, slot) for task, c, slot in way})
        parent.chosen.evenings.update({(go, task): evening for task, evening in evenings.items()})
        broken = {violation.key for violation in check(parent.problem, parent.plan())}
        if not broken:
            _settle(parent, go, way, evenings)
            return
        for task, _, _ in way:
            del parent.chosen.starts[task]
        for made_ready in evenings:
            del parent.chosen.evenings[go, made_ready]
        if broken & NO_BETTER_LATER:
            return


def _unlike(ways: Iterator[Placing]) -> Iterator[Placing]:
    """The ways, but not many that differ only by place, helper or minute."""
    seen: Counter[tuple[object, ...]] = Counter()
    for way in ways:
        where = tuple((c.day, c.stretch) for _, c, _ in way)
        seen[where] += 1
        if seen[where] <= ALIKE:
            yield way


def _settle(parent: Parent, go: Go, way: Placing, evenings: dict[str, Evening]) -> None:
    for _, c, slot in way:
        parent.diary.put(c, slot)
    parent.last_day[_series(go)] = way[0][1].day.index
    for task in go.activity.prep:
        if task.id in evenings:
            parent.prep_left[evenings[task.id]] -= task.minutes


def _series(go: Go) -> tuple[str, tuple[str, ...]]:
    """Goes that must keep their distance: those of one wish, child by child where each has its own."""
    return go.wish.id, go.group if go.activity.together is Together.APART else ()


def _ways(parent: Parent, go: Go) -> Iterator[Placing]:
    """Ways to place a go, the earliest first: whole, then the lighter version."""
    gap = max(go.wish.least_gap_days, go.activity.least_gap_days, int(go.wish.most_a_day == 1))
    earliest = (parent.last_day[_series(go)] + gap) * DAY_SLOTS
    yield from _from(parent, go, 0, earliest, None, [])
    for c, slot in _starts(parent, Task(go, 0), earliest, None, lighter=True):
        yield [(Task(go, 0), c, slot)]


def _from(
    parent: Parent, go: Go, sitting: int, earliest: int, latest: int | None, so_far: Placing
) -> Iterator[Placing]:
    if sitting == len(go.activity.sittings):
        yield list(so_far)
        return
    task, found = Task(go, sitting), False
    for c, slot in _starts(parent, task, earliest, latest, lighter=False):
        found = True
        parent.diary.put(c, slot)
        so_far.append((task, c, slot))
        end = week_slot(c.day, slot + c.option.span.active)
        least, most = _wait(go, sitting)
        yield from _from(parent, go, sitting + 1, end + least, None if most is None else end + most, so_far)
        so_far.pop()
        parent.diary.put(c, slot, -1)
    if not found and so_far and go.wish.may_carry_on:
        yield list(so_far)


def _wait(go: Go, sitting: int) -> tuple[int, int | None]:
    if sitting >= len(go.activity.waits):
        return 0, None
    wait = go.activity.waits[sitting]
    return slots_up(wait.least_min), None if wait.most_min is None else wait.most_min // SLOT_MIN


def _starts(
    parent: Parent, task: Task, earliest: int, latest: int | None, lighter: bool
) -> Iterator[tuple[Candidate, int]]:
    """Each candidate with the first time at which it fits: by day, all children before some of them."""
    wanted = [
        c
        for c in parent.candidates.by_task[task]
        if c.option.lighter == lighter and not c.option.alongside and c.week_last >= earliest
    ]
    for c in sorted(wanted, key=lambda c: (c.day.index, -len(c.option.children), c.first, c.index)):
        slot = parent.diary.first_start(c, max(0, earliest - week_slot(c.day, 0)))
        if slot is not None and (latest is None or week_slot(c.day, slot) <= latest):
            yield c, slot


def _evenings(parent: Parent, go: Go, way: Placing) -> dict[str, Evening] | None:
    """The last evening with time for each thing to make ready; None when there is none."""
    task, c, slot = way[0]
    found: dict[str, Evening] = {}
    left = dict(parent.prep_left)
    for one in () if c.option.lighter else task.go.activity.prep:
        fitting = [
            e.evening
            for e in prep_evenings(parent.candidates.outline, go, one)
            if left[e.evening] >= one.minutes
            and ready_starts(one, e.evening, c.option)[c.day.index] >> slot & 1
        ]
        if not fitting:
            return None
        found[one.id] = max(fitting, key=lambda e: e.index)
        left[found[one.id]] -= one.minutes
    return found
