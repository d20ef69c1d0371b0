"""Hard rules between sittings: time of a child, hands of an adult, places, tools, days, order.

Every function adds its constraints to the model behind the variables.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from functools import partial

from ortools.sat.python import cp_model

from solver.candidates import Candidate
from solver.clock import DAY_SLOTS, SLOT_MIN, slots_up
from solver.domain.activity import Alongside, Kind
from solver.domain.base import AdultId, ChildId, Day, Help, Mess
from solver.masks import blocks, count
from solver.options import WHOLE_HANDS, Option
from solver.outline import Outline, Task
from solver.presence import FixedLoad
from solver.variables import Linear, Span, Variables, total

QUIET_KINDS = {Kind.FREE_PLAY, Kind.QUIET_TIME}
LIGHT_KINDS = {
    Kind.READ_ALOUD, Kind.CIRCLE, Kind.OUTING, Kind.NATURE_WALK, Kind.MOVEMENT, Kind.FREE_PLAY,
    Kind.SECOND_LANGUAGE, Kind.LONG_WATCH,
}  # fmt: skip
SMALL_LOOK_MIN = 10
MINDING = 2
"""Hands that having the others takes."""


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
    for child in v.outline.presence.learners:
        for day in v.days():
            v.model.add_no_overlap(_taken(v, child.id, day))
            meals = v.intervals(v.on(day), partial(_at_meal, child=child.id))
            v.model.add_no_overlap([interval for interval, _ in meals])
    _room_in_blocks(v)


def _taken(v: Variables, child: ChildId, day: Day) -> list[cp_model.IntervalVar]:
    """Everything that takes a child's own time on a day, outings it only comes along on included."""

    def span(c: Candidate) -> Span | None:
        if child in c.along:
            return _out(c)
        return padded(v.outline, c, child) if child in c.option.children and c.option.in_room else None

    return [interval for interval, _ in v.intervals(v.on(day), span)]


def _at_meal(c: Candidate, child: ChildId) -> Span | None:
    return (0, own_slots(c, child)) if child in c.option.children and c.option.at_meal else None


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
                    inside = [i for i, (a, b) in enumerate(free) if a <= c.first and c.last < b]
                    for block in inside:
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
    for task in v.outline.tasks:
        laid = [c for c in v.of(task) if c.option.alongside]
        if laid:
            pairs = [(busy, v.laid_over(task, busy)) for busy in _busy_for(v, laid)]
            v.model.add(total(literal for _, literal in pairs) == total(v.chosen(c) for c in laid))
            for busy, literal in pairs:
                _lay_over(v, task, laid, busy, literal)
    for child in v.outline.presence.learners:
        for day in v.days():
            listening = v.intervals(v.on(day), partial(_listening, child=child.id))
            v.model.add_no_overlap([interval for interval, _ in listening])


def _listening(c: Candidate, child: ChildId) -> Span | None:
    return (0, own_slots(c, child)) if child in c.option.children and c.option.alongside else None


def _busy_for(v: Variables, laid: list[Candidate]) -> list[Task]:
    where = {(c.day, c.option.place.id) for c in laid}
    return [
        task
        for task in v.outline.tasks
        if task.go.activity.alongside is Alongside.BUSY_HANDS
        and any(c.option.in_room and (c.day, c.option.place.id) in where for c in v.of(task))
    ]


def _lay_over(v: Variables, task: Task, laid: list[Candidate], busy: Task, literal: cp_model.IntVar) -> None:
    """The pair shares day and place, and the listening lies within each listener's own busy time."""
    hands = [c for c in v.of(busy) if c.option.in_room]
    for day, place in {(c.day, c.option.place.id): None for c in laid}:
        there = [v.chosen(c) for c in hands if (c.day, c.option.place.id) == (day, place)]
        here = [v.chosen(c) for c in laid if (c.day, c.option.place.id) == (day, place)]
        v.model.add(total(here) + literal <= 1 + total(there))
    later = v.week_start(task) - v.week_start(busy)
    v.model.add(later >= 0).only_enforce_if(literal)
    for child in {child: None for c in laid for child in c.option.children}:
        listeners = [c for c in laid if child in c.option.children]
        partners = [c for c in hands if child in c.option.children]
        v.model.add(
            total(v.chosen(c) for c in listeners) + literal <= 1 + total(v.chosen(c) for c in partners)
        )
        heard = total(own_slots(c, child) * v.chosen(c) for c in listeners)
        worked = total(own_slots(c, child) * v.chosen(c) for c in partners)
        enforced = [literal] if len(listeners) == len(laid) else [literal, v.any_of(listeners)]
        v.model.add(later + heard <= worked).only_enforce_if(enforced)


def breaks(v: Variables) -> None:
    """After a focused sitting a child has a break before the next one."""
    for child in v.outline.presence.learners:
        rest = slots_up(child.attention.break_min)

        def span(c: Candidate, who: ChildId = child.id, rest: int = rest) -> Span | None:
            attends = c.option.focused and who in c.option.children
            return (0, own_slots(c, who) + rest) if attends else None

        for day in v.days():
            v.model.add_no_overlap([interval for interval, _ in v.intervals(v.on(day), span)])


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
            hands.take(v.on(day), partial(_pieces_of, adult=adult.id))
            hands.limit(WHOLE_HANDS)


def _pieces_of(c: Candidate, adult: AdultId) -> list[Piece]:
    for helper, load in zip(c.option.helpers, c.option.loads, strict=True):
        if helper == adult:
            return hand_pieces(c.option, load)
    return []


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


def _always(_: Candidate, span: Span) -> Span:
    return span


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

    def take(self, candidates: Iterable[Candidate], pieces: Callable[[Candidate], list[Piece]]) -> None:
        """Demands of candidates; those of a seat with the same piece take it once."""
        asked: dict[Piece, list[Candidate]] = defaultdict(list)
        for c in candidates:
            for piece in pieces(c):
                asked[piece].append(c)
        for (before, after, hands), group in asked.items():
            for interval, _ in self.v.intervals(group, partial(_always, span=(before, after))):
                self.intervals.append(interval)
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
        for which in range(max((len(c.option.helpers) for c in v.on(day)), default=0)):
            hands.take(v.on(day), partial(_baby_pieces, v.outline, which=which))
        hands.limit(capacity)


def _baby_pieces(o: Outline, c: Candidate, which: int) -> list[Piece]:
    if which >= len(c.option.helpers):
        return []
    return hand_pieces(c.option, baby_load(o, c, which))


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


def baby_load(o: Outline, c: Candidate, which: int) -> int:
    """A whole adult can still have the baby on the hip, or put it down for a short while."""
    level, load = c.option.levels[which], c.option.loads[which]
    if load < WHOLE_HANDS:
        return load
    held = [child for child, mask in o.presence.in_arms(c.day).items() if mask]
    minutes = c.option.span.active * SLOT_MIN
    short = all(minutes <= o.presence.children[child].alone_min for child in held)
    return load - 1 if level < Help.HANDS_ON or short else load


def minder(v: Variables) -> None:
    """The adult who has the others is not deep in something without them."""
    minding: dict[tuple[AdultId, ChildId, Day], list[Candidate]] = defaultdict(list)
    for c in v.candidates.all:
        if c.option.minder:
            for other in v.outline.problem.household.children:
                if other.id not in c.option.children and other.id not in c.along:
                    minding[c.option.minder, other.id, c.day].append(c)
    for (adult, child, day), watching in minding.items():
        without = [c for c in v.on(day) if child not in c.option.children and child not in c.along]
        hands = _Hands(v)
        hands.take(watching, lambda c: [(*_out(c), MINDING)])
        hands.take(without, partial(_pieces_of, adult=adult))
        hands.limit(WHOLE_HANDS)


def place_room(v: Variables) -> None:
    """A place holds so many sittings at once, laying out and clearing included."""
    for place in v.outline.problem.household.places:
        for day in v.days():
            inside = [c for c in v.on(day) if c.option.place is place and c.option.in_room]
            if place.away or not inside:
                continue
            intervals = [interval for interval, _ in v.intervals(inside, _in_place)]
            if place.sittings_at_once == 1:
                v.model.add_no_overlap(intervals)
            else:
                v.model.add_cumulative(intervals, [1] * len(intervals), place.sittings_at_once)


def _in_place(c: Candidate) -> Span:
    return c.option.span.setup, c.option.span.active + c.option.span.cleanup


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
    uses: dict[tuple[str, Day], list[Candidate]] = defaultdict(list)
    for c in v.candidates.all:
        for material in {need.material: None for need in c.option.sitting.needs}:
            if v.outline.materials[material].reusable:
                uses[material, c.day].append(c)
    for (material, _), using in uses.items():
        have = v.outline.materials[material].count
        by_units: dict[int, list[Candidate]] = defaultdict(list)
        for c in using:
            by_units[units(c.option, material)].append(c)
        found = [
            (interval, used)
            for used, group in by_units.items()
            for interval, _ in v.intervals(group, lambda c: (c.option.span.before, c.option.span.after))
        ]
        v.model.add_cumulative([i for i, _ in found], [used for _, used in found], have)


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
