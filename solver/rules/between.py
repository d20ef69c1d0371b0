"""Hard rules between sittings: time of a child, hands of an adult, places, tools, days, order.

Every function adds its constraints to the model behind the variables.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator

from ortools.sat.python import cp_model

from solver.candidates import Candidate
from solver.clock import DAY_SLOTS, SLOT_MIN, slots_up
from solver.domain.activity import Alongside, Kind
from solver.domain.base import AdultId, ChildId, Day, Help, Mess
from solver.masks import blocks, count
from solver.options import WHOLE_HANDS, Option
from solver.outline import Outline
from solver.presence import FixedLoad
from solver.variables import Linear, Variables, total

QUIET_KINDS = {Kind.FREE_PLAY, Kind.QUIET_TIME}
LIGHT_KINDS = {
    Kind.READ_ALOUD, Kind.CIRCLE, Kind.OUTING, Kind.NATURE_WALK, Kind.MOVEMENT, Kind.FREE_PLAY,
    Kind.SECOND_LANGUAGE, Kind.LONG_WATCH,
}  # fmt: skip
SMALL_LOOK_MIN = 10


def child_span(candidate: Candidate, child: ChildId) -> tuple[int, int]:
    """(before, after) the start for which a child is taken, without the change after it."""
    minutes = next(a.minutes for a in candidate.option.attends if a.child == child)
    return candidate.option.span.child(minutes)


def own_slots(candidate: Candidate, child: ChildId) -> int:
    """Slots a child itself spends at it."""
    return slots_up(next(a.minutes for a in candidate.option.attends if a.child == child))


def padded(o: Outline, candidate: Candidate, child: ChildId) -> tuple[int, int]:
    """The child's span with the change after it."""
    before, after = child_span(candidate, child)
    return before, after + slots_up(o.limits.change_min)


def one_at_a_time(v: Variables) -> None:
    """A child is at one thing at a time, with a change between two; listening alongside counts as one."""
    taken: dict[tuple[ChildId, Day], list[cp_model.IntervalVar]] = defaultdict(list)
    at_meals: dict[tuple[ChildId, Day], list[cp_model.IntervalVar]] = defaultdict(list)
    for c in v.candidates.all:
        for child in c.option.children:
            if c.option.at_meal:
                at_meals[child, c.day].append(v.interval(c, 0, own_slots(c, child)))
            elif not c.option.alongside:
                taken[child, c.day].append(v.interval(c, *padded(v.outline, c, child)))
        for child in c.along:
            taken[child, c.day].append(v.interval(c, *_out(c)))
    for intervals in (*taken.values(), *at_meals.values()):
        v.model.add_no_overlap(intervals)
    _room_in_blocks(v)


def _out(c: Candidate) -> tuple[int, int]:
    return c.option.span.there, c.option.span.active + c.option.span.back


def _room_in_blocks(v: Variables) -> None:
    """Implied, for the bound: what lies in one free piece of a child's day is not longer than it."""
    change = slots_up(v.outline.limits.change_min)
    for child in v.outline.presence.learners:
        for day in v.days():
            free = list(blocks(v.outline.presence.free(child.id, day)))
            sums: dict[int, list[Linear]] = defaultdict(list)
            for c in v.on(day):
                if child.id in c.option.children and c.option.in_room:
                    block = next(i for i, (a, b) in enumerate(free) if a <= c.first < b)
                    sums[block].append(sum(padded(v.outline, c, child.id)) * v.chosen(c))
            for block, terms in sums.items():
                start, end = free[block]
                v.model.add(total(terms) <= end - start + change)


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
    over: dict[tuple[int, ChildId], list[cp_model.IntervalVar]] = defaultdict(list)
    for listening in v.candidates.all:
        if not listening.option.alongside:
            continue
        pairs = [(b, v.laid_over(listening, b)) for b in _busy_for(v, listening)]
        v.model.add(total(literal for _, literal in pairs) == v.chosen(listening))
        for busy, literal in pairs:
            _lay_over(v, listening, busy, literal)
            for child in listening.option.children:
                interval = v.model.new_optional_fixed_size_interval_var(
                    v.start(listening), own_slots(listening, child), literal, ""
                )
                over[busy.index, child].append(interval)
    for intervals in over.values():
        v.model.add_no_overlap(intervals)


def _busy_for(v: Variables, listening: Candidate) -> list[Candidate]:
    return [
        busy
        for busy in v.on(listening.day)
        if busy.option.task.go.activity.alongside is Alongside.BUSY_HANDS
        and busy.option.in_room
        and busy.option.place.id == listening.option.place.id
        and set(listening.option.children) <= set(busy.option.children)
        and all(own_slots(listening, k) <= own_slots(busy, k) for k in listening.option.children)
        and busy.first <= listening.last
        and listening.first <= busy.last + busy.option.span.active
    ]


def _lay_over(v: Variables, listening: Candidate, busy: Candidate, literal: cp_model.IntVar) -> None:
    v.model.add_implication(literal, v.chosen(busy))
    spare = min(own_slots(busy, k) - own_slots(listening, k) for k in listening.option.children)
    later = v.start(listening) - v.start(busy)
    v.model.add(later >= 0).only_enforce_if(literal)
    v.model.add(later <= spare).only_enforce_if(literal)


def breaks(v: Variables) -> None:
    """After a focused sitting a child has a break before the next one."""
    found: dict[tuple[ChildId, Day], list[cp_model.IntervalVar]] = defaultdict(list)
    for c in v.candidates.all:
        if c.option.focused:
            for child in c.option.children:
                rest = slots_up(v.outline.presence.children[child].attention.break_min)
                found[child, c.day].append(v.interval(c, 0, own_slots(c, child) + rest))
    for intervals in found.values():
        v.model.add_no_overlap(intervals)


def focus_day(v: Variables) -> None:
    """No more focused minutes a day than the child has in it."""
    for child in v.outline.presence.learners:
        for day in v.days():
            minutes = [
                a.minutes * v.chosen(c)
                for c in v.on(day)
                if c.option.focused
                for a in c.option.attends
                if a.child == child.id
            ]
            v.model.add(total(minutes) <= child.attention.focused_min_a_day)


Piece = tuple[int, int, int]
"""(before, after, load): a piece of an adult's span around the start."""


def hand_pieces(option: Option, load: int) -> list[Piece]:
    """How an adult's hands are taken: laying out, the thing itself, clearing."""
    span = option.span
    if load >= Help.BESIDE:
        return [(span.before, span.after, load)]
    out = span.active + span.back
    pieces = [
        (span.before, -span.there, int(Help.BESIDE)),
        (span.there, out, load),
        (-out, span.after, int(Help.BESIDE)),
    ]
    return [(before, after, hands) for before, after, hands in pieces if before + after > 0 and hands > 0]


def adult_hands(v: Variables) -> None:
    """An adult has two hands: beside one thing, or dipping into two, never more."""
    for day in v.days():
        for adult in v.outline.problem.household.adults:
            fixed = [f for f in v.outline.presence.fixed_loads if f.adult == adult.id and f.day is day]
            hands = _Hands(v)
            hands.fixed(profile(fixed), WHOLE_HANDS)
            for c in v.on(day):
                for helper, load in zip(c.option.helpers, c.option.loads, strict=True):
                    if helper == adult.id:
                        hands.take(c, hand_pieces(c.option, load))
            hands.limit(WHOLE_HANDS)


def profile(fixed: Iterable[FixedLoad]) -> dict[int, int]:
    """Fixed hands by day slot."""
    found: dict[int, int] = defaultdict(int)
    for one in fixed:
        for slot in range(one.start, one.end):
            found[slot] += one.load
    return found


def level_runs(by_slot: dict[int, int]) -> Iterator[tuple[int, int, int]]:
    """Runs of neighbouring slots with one value, as (start, end, value)."""
    slots = sorted(by_slot)
    start = 0
    for index, slot in enumerate(slots):
        last = index + 1 == len(slots)
        if last or slots[index + 1] != slot + 1 or by_slot[slots[index + 1]] != by_slot[slot]:
            yield slots[start], slot + 1, by_slot[slot]
            start = index + 1


class _Hands:
    """Collects demands on hands and limits them by one cumulative."""

    def __init__(self, v: Variables) -> None:
        self.v = v
        self.intervals: list[cp_model.IntervalVar] = []
        self.demands: list[int] = []
        self.booked = False

    def fixed(self, by_slot: dict[int, int], capacity: int) -> None:
        for start, end, hands in level_runs(by_slot):
            self.intervals.append(self.v.model.new_fixed_size_interval_var(start, end - start, ""))
            self.demands.append(min(hands, capacity))

    def take(self, c: Candidate, pieces: list[Piece]) -> None:
        for before, after, hands in pieces:
            self.intervals.append(self.v.interval(c, before, after))
            self.demands.append(hands)
            self.booked = True

    def limit(self, capacity: int) -> None:
        if self.booked:
            self.v.model.add_cumulative(self.intervals, self.demands, capacity)


def baby_hands(v: Variables) -> None:
    """A baby who is awake takes a hand of somebody."""
    capacity = WHOLE_HANDS * len(v.outline.problem.household.adults)
    for day in v.days():
        by_slot = baby_profile(v.outline, day)
        if not by_slot:
            continue
        hands = _Hands(v)
        hands.fixed(by_slot, capacity)
        for c in v.on(day):
            for level, load in zip(c.option.levels, c.option.loads, strict=True):
                hands.take(c, hand_pieces(c.option, baby_load(v.outline, c.option, level, load)))
        hands.limit(capacity)


def baby_profile(o: Outline, day: Day) -> dict[int, int]:
    """By slot with a baby awake: hands that are not there, the babies', and those taken anyway."""
    in_arms = [mask for mask in o.presence.in_arms(day).values() if mask]
    here = [o.presence.on_hand(adult.id, day) for adult in o.problem.household.adults]
    taken = profile(f for f in o.presence.fixed_loads if f.day is day)
    found: dict[int, int] = {}
    for slot in range(DAY_SLOTS if in_arms else 0):
        babies = sum(mask >> slot & 1 for mask in in_arms)
        if babies:
            missing = sum(1 - (mask >> slot & 1) for mask in here)
            found[slot] = WHOLE_HANDS * missing + babies + taken.get(slot, 0)
    return found


def baby_load(o: Outline, option: Option, level: int, load: int) -> int:
    """A whole adult can still have the baby on the hip, or put it down for a short while."""
    held = [c for c in o.problem.household.children if not c.learner or _is_ill(o, c.id)]
    short = all(option.span.active * SLOT_MIN <= child.alone_min for child in held)
    return load - 1 if load == WHOLE_HANDS and (level < Help.HANDS_ON or short) else load


def _is_ill(o: Outline, child: ChildId) -> bool:
    return any(illness.child == child for illness in o.problem.week.ill)


def minder(v: Variables) -> None:
    """The adult who has the others is not deep in something without them."""
    minding: dict[tuple[AdultId, ChildId, Day], list[Candidate]] = defaultdict(list)
    for c in v.candidates.all:
        if c.option.minder:
            for other in v.outline.problem.household.children:
                if other.id not in c.option.children and other.id not in c.along:
                    minding[c.option.minder, other.id, c.day].append(c)
    for (adult, child, day), watching in minding.items():
        hands = _Hands(v)
        for c in watching:
            hands.take(c, [(*_out(c), 2)])
        for c in v.on(day):
            for helper, load in zip(c.option.helpers, c.option.loads, strict=True):
                if helper == adult and child not in c.option.children and child not in c.along:
                    hands.take(c, hand_pieces(c.option, load))
        hands.limit(WHOLE_HANDS)


def place_room(v: Variables) -> None:
    """A place holds so many sittings at once, laying out and clearing included."""
    found: dict[tuple[str, Day], list[cp_model.IntervalVar]] = defaultdict(list)
    for c in v.candidates.all:
        if c.option.in_room and not c.option.place.away:
            span = c.option.span
            found[c.option.place.id, c.day].append(v.interval(c, span.setup, span.active + span.cleanup))
    for (place, _), intervals in found.items():
        room = v.outline.places[place].sittings_at_once
        if room == 1:
            v.model.add_no_overlap(intervals)
        else:
            v.model.add_cumulative(intervals, [1] * len(intervals), room)


def units(option: Option, material: str) -> int:
    """How much of a material a sitting uses."""
    heads = max(1, len(option.attends))
    return sum(
        need.count * (heads if need.each_child else 1)
        for need in option.sitting.needs
        if need.material == material
    )


def tools(v: Variables) -> None:
    """A tool of which there is one is used by one sitting at a time."""
    found: dict[tuple[str, Day], list[tuple[Candidate, int]]] = defaultdict(list)
    for c in v.candidates.all:
        for material in {need.material for need in c.option.sitting.needs}:
            if v.outline.materials[material].reusable:
                found[material, c.day].append((c, units(c.option, material)))
    for (material, _), uses in found.items():
        have = v.outline.materials[material].count
        intervals = [v.interval(c, c.option.span.before, c.option.span.after) for c, _ in uses]
        v.model.add_cumulative(intervals, [used for _, used in uses], have)


def _day_sum(v: Variables, day: Day, amount: Callable[[Candidate], int]) -> Linear:
    return total(amount(c) * v.chosen(c) for c in v.on(day))


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
                a.minutes * v.chosen(c)
                for c in v.on(day)
                if c.task.go.activity.kind is Kind.SCREEN
                for a in c.option.attends
                if a.child == child.id
            ]
            v.model.add(total(minutes) <= v.outline.limits.screen_min_a_day)


def white_space(v: Variables) -> None:
    """A good part of the open time stays empty."""
    for child in v.outline.presence.learners:
        for day in v.outline.problem.week.teaching_days:
            open_slots = count(v.outline.presence.open_time(child.id, day))
            most = int((1 - v.outline.limits.free_share) * open_slots + 1e-9)
            taken = [
                sum(padded(v.outline, c, child.id)) * v.chosen(c)
                for c in v.on(day)
                if child.id in c.option.children
                and c.option.in_room
                and c.task.go.activity.kind not in QUIET_KINDS
            ]
            v.model.add(total(taken) <= most)
