"""Hard rules between sittings: time of a child, places, tools, and what adds up over a day.

Every function adds its constraints to the model behind the variables.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import partial
from itertools import chain

from ortools.sat.python import cp_model

from solver.candidates import Candidate
from solver.clock import slots_up
from solver.domain.activity import Alongside, Kind
from solver.domain.base import ChildId, Day, Mess, PlaceId
from solver.domain.home import Place
from solver.masks import between, blocks, count
from solver.options import Option
from solver.outline import Outline, Task
from solver.variables import Linear, Span, Variables, by_child, grouped, total

QUIET_KINDS = {Kind.FREE_PLAY, Kind.QUIET_TIME}
LIGHT_KINDS = {
    Kind.READ_ALOUD, Kind.CIRCLE, Kind.OUTING, Kind.NATURE_WALK, Kind.MOVEMENT, Kind.FREE_PLAY,
    Kind.SECOND_LANGUAGE, Kind.LONG_WATCH,
}  # fmt: skip
SMALL_LOOK_MIN = 10


def padded(o: Outline, candidate: Candidate, child: ChildId) -> tuple[int, int]:
    """The child's span with the change after it."""
    before, after = candidate.option.child_spans[child]
    return before, after + o.change_slots


def taken_slots(o: Outline, candidate: Candidate, child: ChildId) -> int:
    """Slots of the child's own time that it takes: none alongside something else or at a meal."""
    return sum(padded(o, candidate, child)) if candidate.option.in_room else 0


def one_at_a_time(v: Variables) -> None:
    """A child is at one thing at a time, with a change between two; listening alongside counts as one."""
    for child in v.outline.presence.learners:
        for day in v.days():
            v.model.add_no_overlap(_taken(v, child.id, day))
            meals = v.intervals(v.with_child(child.id, day), partial(_at_meal, child=child.id))
            v.model.add_no_overlap([interval for interval, _ in meals])
    _room_in_blocks(v)


def _taken(v: Variables, child: ChildId, day: Day) -> list[cp_model.IntervalVar]:
    """Everything that takes a child's own time on a day, outings it only comes along on included."""

    def span(c: Candidate) -> Span | None:
        return padded(v.outline, c, child) if c.option.in_room else None

    along = v.intervals((c for c in v.on(day) if child in c.along), out_span)
    return [interval for interval, _ in chain(v.intervals(v.with_child(child, day), span), along)]


def _at_meal(c: Candidate, child: ChildId) -> Span | None:
    return (0, c.option.own_slots[child]) if c.option.at_meal else None


def out_span(c: Candidate) -> tuple[int, int]:
    return c.option.span.there, c.option.span.active + c.option.span.back


def _room_in_blocks(v: Variables) -> None:
    """Implied, for the bound: what lies within a window of a child's day is not longer than its free time.

    Windows are the free pieces of the day, and the reach of what starts in one stretch.
    """
    change = slots_up(v.outline.limits.change_min)
    for child in v.outline.presence.learners:
        for day in v.days():
            free = v.outline.presence.free(child.id, day)
            mine = [c for c in v.with_child(child.id, day) if c.option.in_room]
            work = [(c, sum(padded(v.outline, c, child.id)), *_child_reach(c, child.id)) for c in mine]
            for start, end in sorted({*blocks(free), *reaches(v, work)}):
                within = free & between(start, end)
                # The change after the last thing of a free piece may lie outside it.
                room = count(within) + change * len(list(blocks(within)))
                asked = ((c, size) for c, size, first, last in work if start <= first and last <= end)
                v.model.add(v.sum_of(asked) <= room)


def _child_reach(c: Candidate, child: ChildId) -> tuple[int, int]:
    before, after = c.option.child_spans[child]
    return c.first - before, c.last + after


def reaches(v: Variables, work: list[tuple[Candidate, int, int, int]]) -> Iterator[tuple[int, int]]:
    """For each stretch the window in which everything that starts in it lies."""
    for stretch in v.outline.problem.household.stretches:
        ends = [(first, last) for c, _, first, last in work if c.stretch == stretch.id]
        if ends:
            yield min(first for first, _ in ends), max(last for _, last in ends)


def whole_go(v: Variables) -> None:
    """What is begun is finished: all sittings or none, unless it may carry on next week."""
    for task in v.outline.tasks:
        if task.sitting == 0:
            continue
        earlier = type(task)(task.go, task.sitting - 1)
        before: Linear = v.placed(earlier)
        if task.sitting == 1:
            before = v.placed_in_full(earlier)
        if task.go.wish.may_carry_on:
            v.model.add(v.placed(task) <= before)
        else:
            v.model.add(v.placed(task) == before)


def alongside(v: Variables) -> None:
    """Listening is laid over busy hands of the same children, at the same place, within their time."""
    busy = {
        task: _by_place(c for c in v.of(task) if c.option.in_room)
        for task in v.outline.tasks
        if _is_busy_hands(task)
    }
    at_work = {task: _mine(v, [c for there in by.values() for c in there]) for task, by in busy.items()}
    for task in v.outline.tasks:
        laid = [c for c in v.of(task) if c.option.alongside]
        if laid:
            here = _by_place(laid)
            others = [other for other, there in busy.items() if here.keys() & there]
            pairs = [(other, v.laid_over(task, other)) for other in others]
            v.model.add(total(literal for _, literal in pairs) == v.count_of(laid))
            listeners = _mine(v, laid)
            for other, literal in pairs:
                _same_place(v, here, busy[other], literal)
                _within(v, (task, listeners), (other, at_work[other]), literal)
    for child in v.outline.presence.learners:
        for day in v.days():
            listening = v.intervals(v.with_child(child.id, day), partial(_listening, child=child.id))
            v.model.add_no_overlap([interval for interval, _ in listening])


def _is_busy_hands(task: Task) -> bool:
    return task.go.activity.alongside is Alongside.BUSY_HANDS


def _by_place(candidates: Iterable[Candidate]) -> dict[PlaceId, list[Candidate]]:
    return grouped(candidates, lambda c: c.option.place.id)


def _same_place(
    v: Variables,
    here: dict[PlaceId, list[Candidate]],
    there: dict[PlaceId, list[Candidate]],
    literal: cp_model.IntVar,
) -> None:
    """The day needs no saying: within the busy time is on its day."""
    for place, listening in here.items():
        busy = v.any_of(there[place]) if place in there else 0
        v.model.add(v.any_of(listening) + literal <= 1 + busy)


def _listening(c: Candidate, child: ChildId) -> Span | None:
    return (0, c.option.own_slots[child]) if c.option.alongside else None


@dataclass(frozen=True)
class _Mine:
    """What one child may do at one task: whether it does, and for how many slots."""

    own: tuple[tuple[int, int], ...]
    """The ways to do it by their indices, with the child's own slots."""
    everyone: bool
    """Whether there is no way to do it without this child."""
    done: Linear
    slots: Linear


NOTHING = _Mine((), True, total(()), total(()))


def _mine(v: Variables, candidates: list[Candidate]) -> dict[ChildId, _Mine]:
    found = {}
    for child, ways in by_child(candidates).items():
        by_slots: dict[int, list[Candidate]] = defaultdict(list)
        for c in ways:
            by_slots[c.option.own_slots[child]].append(c)
        own = tuple((c.index, slots) for slots, alike in by_slots.items() for c in alike)
        slots = total(slots * v.any_of(alike) for slots, alike in by_slots.items())
        found[child] = _Mine(own, len(ways) == len(candidates), v.any_of(ways), slots)
    return found


def _within(
    v: Variables,
    listening: tuple[Task, dict[ChildId, _Mine]],
    busy: tuple[Task, dict[ChildId, _Mine]],
    literal: cp_model.IntVar,
) -> None:
    """The listening lies within each listener's own busy time."""
    later = v.week_start(listening[0]) - v.week_start(busy[0])
    v.model.add(later >= 0).only_enforce_if(literal)
    told: set[tuple[object, ...]] = set()
    for child, heard in listening[1].items():
        worked = busy[1].get(child, NOTHING)
        # Children of one age do the same for as long: one of them stands for all.
        alike = (heard.own, worked.own)
        if alike in told:
            continue
        told.add(alike)
        v.model.add(heard.done + literal <= 1 + worked.done)
        enforced = [literal] if heard.everyone else [literal, heard.done]
        v.model.add(later + heard.slots <= worked.slots).only_enforce_if(enforced)


def breaks(v: Variables) -> None:
    """After a focused sitting a child has a break before the next one."""
    for child in v.outline.presence.learners:
        rest = slots_up(child.attention.break_min)

        def span(c: Candidate, who: ChildId = child.id, rest: int = rest) -> Span | None:
            return (0, c.option.own_slots[who] + rest) if c.option.focused else None

        for day in v.days():
            focused = v.intervals(v.with_child(child.id, day), span)
            v.model.add_no_overlap([interval for interval, _ in focused])


def focus_day(v: Variables) -> None:
    """No more focused minutes a day than the child has in it."""
    for child in v.outline.presence.learners:
        for day in v.days():
            minutes = [
                (c, c.option.minutes[child.id]) for c in v.with_child(child.id, day) if c.option.focused
            ]
            v.model.add(v.sum_of(minutes) <= child.attention.focused_min_a_day)


def place_room(v: Variables) -> None:
    """A place holds so many sittings at once, laying out and clearing included."""
    for place in v.outline.problem.household.places:
        for day in v.days():
            inside = [c for c in v.on(day) if c.option.place is place and c.option.in_room]
            if place.away or not inside:
                continue
            _room_at(v, place, inside)
            intervals = [interval for interval, _ in v.intervals(inside, _in_place)]
            if place.sittings_at_once == 1:
                v.model.add_no_overlap(intervals)
            else:
                v.model.add_cumulative(intervals, [1] * len(intervals), place.sittings_at_once)


def _room_at(v: Variables, place: Place, inside: list[Candidate]) -> None:
    """Implied, for the bound: what happens at a place in one stretch and what may run over from it."""
    for group in grouped(inside, lambda c: c.stretch).values():
        first = min(c.first - c.option.span.setup for c in group)
        last = max(c.last + sum(_in_place(c)) - c.option.span.setup for c in group)
        work = v.sum_of((c, sum(_in_place(c))) for c in group)
        v.model.add(work <= (last - first) * place.sittings_at_once)


def _in_place(c: Candidate) -> Span:
    return c.option.span.setup, c.option.span.active + c.option.span.cleanup


def tools(v: Variables) -> None:
    """A tool of which there is one is used by one sitting at a time."""
    uses: dict[tuple[str, Day], list[Candidate]] = defaultdict(list)
    for c in v.candidates.all:
        for material in c.option.uses:
            if v.outline.materials[material].reusable:
                uses[material, c.day].append(c)
    for (material, _), using in uses.items():
        have = v.outline.materials[material].count
        by_units: dict[int, list[Candidate]] = defaultdict(list)
        for c in using:
            by_units[c.option.uses[material]].append(c)
        found = [
            (interval, used)
            for used, group in by_units.items()
            for interval, _ in v.intervals(group, lambda c: (c.option.span.before, c.option.span.after))
        ]
        v.model.add_cumulative([i for i, _ in found], [used for _, used in found], have)


def _day_sum(v: Variables, day: Day, amount: Callable[[Candidate], int]) -> Linear:
    return v.sum_of((c, amount(c)) for c in v.on(day))


def mess_day(v: Variables) -> None:
    """One big mess a day, and no more in all than the adult can bear."""
    for day in v.days():
        v.model.add(_day_sum(v, day, lambda c: int(c.option.sitting.mess)) <= v.outline.limits.mess_sum_a_day)
        v.model.add(_day_sum(v, day, _is_big_mess) <= v.outline.limits.big_mess_a_day)


def _is_big_mess(c: Candidate) -> int:
    return int(c.option.sitting.mess >= Mess.FLOOR_AND_CLOTHES)


def mess_week(v: Variables) -> None:
    """No more mess in a week than the adult can bear."""
    week = total(_day_sum(v, day, lambda c: int(c.option.sitting.mess)) for day in v.days())
    v.model.add(week <= v.outline.limits.mess_sum_a_week)


def theme_day(v: Variables) -> None:
    """Not more theme things a day than wished, besides books, songs and outdoors."""
    for day in v.days():
        v.model.add(
            _day_sum(v, day, lambda c: int(is_theme_thing(v.outline, c.option)))
            <= v.outline.limits.theme_things_a_day
        )


def is_theme_thing(o: Outline, option: Option) -> bool:
    """Whether it counts as one of the day's theme things."""
    activity = option.task.go.activity
    theme = o.problem.week.theme
    longest = max((a.minutes for a in option.attends), default=0)
    return (
        theme is not None
        and activity.theme == theme
        and activity.kind not in LIGHT_KINDS
        and longest > SMALL_LOOK_MIN
    )


def screen(v: Variables) -> None:
    """No more screen a day than the family has set."""
    for child in v.outline.presence.learners:
        for day in v.days():
            minutes = [
                (c, c.option.minutes[child.id])
                for c in v.with_child(child.id, day)
                if c.task.go.activity.kind is Kind.SCREEN
            ]
            v.model.add(v.sum_of(minutes) <= v.outline.limits.screen_min_a_day)


def white_space(v: Variables) -> None:
    """A good part of the open time stays empty."""
    for child in v.outline.presence.learners:
        for day in v.outline.problem.week.teaching_days:
            open_slots = count(v.outline.presence.open_time(child.id, day))
            most = int((1 - v.outline.limits.free_share) * open_slots + 1e-9)
            taken = [
                (c, taken_slots(v.outline, c, child.id))
                for c in v.with_child(child.id, day)
                if c.task.go.activity.kind not in QUIET_KINDS
            ]
            v.model.add(v.sum_of(taken) <= most)
