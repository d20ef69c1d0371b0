"""A solution becomes a plan: bookings, prep, what waits where."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from solver.candidates import Candidate, Candidates
from solver.clock import DAY_SLOTS, PREP_SLOT, minutes_of, slots_up, week_slot
from solver.domain.activity import PrepTask
from solver.domain.base import DAYS, Evening, Moment
from solver.domain.plan import Booking, PrepBooking, State, Waiting
from solver.outline import Go, Outline, Task
from solver.variables import Variables


@dataclass(frozen=True)
class Chosen:
    """What one solution says, without the solver: candidate and day slot by task."""

    starts: dict[Task, tuple[Candidate, int]]
    over: dict[Task, Task]
    """Listening task → the busy-hands task it is laid over."""
    evenings: dict[tuple[Go, str], Evening]


Packed = tuple[list[tuple[int, int]], list[tuple[int, int]], list[tuple[int, str, Evening]]]
"""A chosen week in numbers, for a process with the same candidates: these stand for tasks and goes too."""


def packed(chosen: Chosen) -> Packed:
    """What was chosen, fit to be sent."""
    number = {task: candidate.index for task, (candidate, _) in chosen.starts.items()}
    return (
        [(candidate.index, slot) for candidate, slot in chosen.starts.values()],
        [(number[listening], number[busy]) for listening, busy in chosen.over.items()],
        [(number[Task(go, 0)], prep, evening) for (go, prep), evening in chosen.evenings.items()],
    )


def unpacked(candidates: Candidates, numbers: Packed) -> Chosen:
    """What was chosen, in terms of these candidates."""
    starts, over, evenings = numbers
    task = [c.task for c in candidates.all]
    return Chosen(
        {task[index]: (candidates.all[index], slot) for index, slot in starts},
        {task[listening]: task[busy] for listening, busy in over},
        {(task[index].go, prep): evening for index, prep, evening in evenings},
    )


def read(v: Variables, value: Callable[..., int]) -> Chosen:
    """The solution in a solver's values."""
    starts = {c.task: (c, value(v.start(c))) for c in v.candidates.all if value(v.chosen(c))}
    over = {listening: busy for (listening, busy), literal in v.pairs() if value(literal)}
    evenings = {
        (go, task.id): evening
        for go in v.outline.goes
        for task in go.activity.prep
        for evening, literal in v.evenings(go, task).items()
        if value(literal)
    }
    return Chosen(starts, over, evenings)


def decisions(v: Variables, chosen: Chosen) -> dict[int, int]:
    """The values of the decision variables, by variable index, that make a chosen week."""
    values: dict[int, int] = {}
    for c in v.candidates.all:
        taken, slot = chosen.starts.get(c.task, (None, 0))
        values[v.chosen(c).index] = int(taken is c)
        if taken is None or taken.seat is not c.seat:
            values[v.start(c).index] = c.seat.starts[0][0]
        elif taken is c:
            values[v.start(c).index] = slot
    for go in v.outline.goes:
        for task in go.activity.prep:
            for evening, literal in v.evenings(go, task).items():
                values[literal.index] = int(chosen.evenings.get((go, task.id)) is evening)
    for (listening, busy), literal in v.pairs():
        values[literal.index] = int(chosen.over.get(listening) == busy)
    return values


def bookings(outline: Outline, chosen: Chosen) -> tuple[Booking, ...]:
    """Every booking, in order of time."""
    firm = {booking.id for booking in outline.problem.week.firm}
    found = [_booking(outline, chosen, task, firm) for task in chosen.starts]
    return tuple(sorted(found, key=lambda b: (b.day.index, b.start, b.id)))


def _booking(o: Outline, chosen: Chosen, task: Task, firm: set[str]) -> Booking:
    candidate, slot = chosen.starts[task]
    option = candidate.option
    over = chosen.over.get(task)
    safe = o.needs(task, option.lighter, option.place, option.children)
    return Booking(
        id=task.name,
        wish=task.go.wish.id,
        activity=task.go.activity.id,
        go=task.go.index,
        sitting=task.sitting,
        day=candidate.day,
        start=minutes_of(slot),
        minutes=max((a.minutes for a in option.attends), default=option.sitting.adult_min),
        setup_min=option.sitting.setup_min,
        cleanup_min=option.sitting.cleanup_min,
        stretch=_stretch(o, slot),
        attends=option.attends,
        helpers=option.helpers,
        minder=option.minder,
        along=candidate.along,
        place=option.place.id,
        lighter=option.lighter,
        alongside=over.name if over else None,
        meal=candidate.meal,
        state=State.FIRM if task.name in firm else State.SETTLED,
        cautions=safe.cautions,
    )


def _stretch(o: Outline, slot: int) -> str | None:
    for stretch in o.problem.household.stretches:
        if o.presence.starts_in(stretch) >> slot & 1:
            return stretch.id
    return None


def prep(outline: Outline, chosen: Chosen) -> tuple[PrepBooking, ...]:
    """Every prep task on its evening."""
    found = []
    for (go, task_id), evening in chosen.evenings.items():
        task = next(t for t in go.activity.prep if t.id == task_id)
        warm = task.warm_up_min if task.batch else 0
        found.append(
            PrepBooking(
                wish=go.wish.id,
                go=go.index,
                task=task.id,
                name=task.name,
                minutes=task.minutes - warm,
                warm_up_min=warm,
                batch=task.batch,
                evening=evening,
                ready_for=Task(go, 0).name,
            )
        )
    return tuple(sorted(found, key=lambda p: (p.evening.index, p.batch or "", p.wish, p.task)))


def _moment(slot: int) -> Moment | None:
    if slot < 0 or slot >= len(DAYS) * DAY_SLOTS:
        return None
    return Moment(day=DAYS[slot // DAY_SLOTS], time=minutes_of(slot % DAY_SLOTS))


def waiting(outline: Outline, chosen: Chosen) -> tuple[Waiting, ...]:
    """Everything that waits between sittings or since its prep, in order of time."""
    found = [w for task in chosen.starts for w in _wait_after(chosen, task)]
    for (go, task_id), evening in chosen.evenings.items():
        task = next(t for t in go.activity.prep if t.id == task_id)
        if task.holder:
            found.append(_since_prep(chosen, go, task, evening))
    return tuple(sorted(found, key=lambda w: (w.since.week_min if w.since else -1, w.after or "")))


def _wait_after(chosen: Chosen, task: Task) -> Iterator[Waiting]:
    candidate, slot = chosen.starts[task]
    waits = task.go.activity.waits
    if candidate.option.lighter or task.sitting >= len(waits):
        return
    wait = waits[task.sitting]
    since = week_slot(candidate.day, slot + candidate.option.span.active)
    following = Task(task.go, task.sitting + 1)
    if following in chosen.starts:
        later, start = chosen.starts[following]
        until: int = week_slot(later.day, start)
    else:
        until = since + slots_up(wait.least_min)
    yield Waiting(
        after=task.name,
        before=following.name if following in chosen.starts else None,
        kind=wait.kind,
        holder=wait.holder,
        units=wait.units,
        since=_moment(since),
        until=_moment(until),
    )


def _since_prep(chosen: Chosen, go: Go, task: PrepTask, evening: Evening) -> Waiting:
    candidate, slot = chosen.starts[Task(go, 0)]
    return Waiting(
        after=None,
        before=Task(go, 0).name,
        kind=task.name,
        holder=task.holder,
        units=task.units,
        since=_moment(evening.index * DAY_SLOTS + PREP_SLOT),
        until=_moment(week_slot(candidate.day, slot)),
    )
