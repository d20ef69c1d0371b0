"""How full the week is while it is being made: time, hands, places, tools, and what adds up.

Stricter than the rules where that is simpler; the model and the checker judge what comes of it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from solver.candidates import Candidate, Kin
from solver.clock import NOON_SLOT, SLOT_MIN, slots_up
from solver.domain.activity import Kind
from solver.domain.base import Day, Evening, Mess, StretchId
from solver.domain.home import Material
from solver.levels import Level, filled, nothing_in, room
from solver.masks import FULL, between, fits
from solver.masks import count as size_of
from solver.options import WHOLE_HANDS
from solver.outline import Go, Outline, Task
from solver.rules.between import QUIET_KINDS, is_theme_thing, padded
from solver.rules.hands import MINDING, baby_load, baby_profile, hand_pieces, level_runs, profile
from solver.rules.soft import LIVELY

OUT_OF_REACH = 10**9
HALVES = ("morning", "afternoon")

Key = tuple[str, ...]
Half = tuple[Day, str]
"""A day, and one of ``HALVES``."""


@dataclass(frozen=True, slots=True)
class Facts:
    """What is taken and added by candidates that are kin."""

    masks: tuple[tuple[Key, int, int], ...]
    demands: tuple[tuple[Key, int, int, int, int], ...]
    sums: tuple[tuple[Key, int, int], ...]
    uses: tuple[tuple[Material, int], ...]
    """What it uses up, and how many units."""
    money: int
    """What doing it costs, apart from what is bought for it."""
    lost: int
    """Those who would take part but do not here; a lighter version loses one more."""
    elsewhere: bool
    """Not in the place that is named first for it."""
    lively: bool
    """It counts as being out and about."""
    unusual: frozenset[StretchId]
    """Stretches in which such things are not usual."""


Known = dict[Kin, Facts]


@dataclass
class State:
    """How full the week is. Copied before a go is tried, so that a failed try leaves no trace."""

    o: Outline
    facts: Known = field(default_factory=dict)
    """The same for all copies."""
    taken: dict[Key, int] = field(default_factory=dict)
    levels: dict[Key, Level] = field(default_factory=dict)
    sums: dict[Key, int] = field(default_factory=dict)
    days_of: dict[Key, tuple[int, ...]] = field(default_factory=dict)
    starts: dict[Task, tuple[Candidate, int]] = field(default_factory=dict)
    evenings: dict[tuple[Go, str], Evening] = field(default_factory=dict)
    plain: bool = False
    """Earliest first, whatever the usual place and stretch."""
    indoors: frozenset[Half] = frozenset()
    """Halves of days that an earlier week left without anything outdoors."""

    def copy(self) -> State:
        """A state to try something on."""
        return State(
            self.o,
            self.facts,
            self.taken.copy(),
            self.levels.copy(),
            self.sums.copy(),
            self.days_of.copy(),
            self.starts.copy(),
            self.evenings.copy(),
            self.plain,
            self.indoors,
        )

    def of(self, c: Candidate) -> Facts:
        """What a candidate asks for, worked out once."""
        found = self.facts.get(c.kin)
        if found is None:
            found = self.facts[c.kin] = Facts(
                tuple(_masks(self.o, c)), tuple(_demands(self.o, c)),
                # What adds nothing has room wherever the week has.
                tuple(one for one in _day_sums(self.o, c) if one[1]),
                tuple(_uses(self.o, c)),
                c.task.go.activity.cost if c.task.sitting == 0 else 0,
                _lost(self.o, c),
                c.option.place.id != c.option.sitting.places[0],
                is_lively_outdoors(c),
                _unusual(self.o, c.task.go.activity.kind),
            )  # fmt: skip
        return found

    def level(self, key: Key, capacity: int, everywhere: int = FULL) -> Level:
        """How full a resource is, empty at first."""
        return self.levels.get(key) or nothing_in(capacity, everywhere)

    def fill(self, key: Key, capacity: int, slots: int, demand: int) -> None:
        """Fill some slots of a day further."""
        self.levels[key] = filled(self.level(key, capacity), slots, demand)


def empty(o: Outline) -> State:
    """A week with nothing in it but what is fixed."""
    state = State(o)
    adults = o.problem.household.adults
    for fixed in {(f.adult, f.day) for f in o.presence.fixed_loads}:
        loads = profile(f for f in o.presence.fixed_loads if (f.adult, f.day) == fixed)
        for start, end, hands in level_runs(loads):
            state.fill(("adult", *fixed), WHOLE_HANDS, between(start, end), hands)
    for day in Day:
        for start, end, hands in level_runs(baby_profile(o, day)):
            state.fill(("baby", day), WHOLE_HANDS * len(adults), between(start, end), hands)
    return state


def free_starts(state: State, c: Candidate) -> int:
    """The day slots at which the week has room for what a candidate and its kin ask for, supplies apart."""
    facts = state.of(c)
    if not _day_has_room(state, c, facts):
        return 0
    starts = c.kin.mask
    for key, before, after in facts.masks:
        if taken := state.taken.get(key):
            starts &= fits(FULL & ~taken, before, after)
            if not starts:
                return 0
    for key, capacity, before, after, demand in facts.demands:
        if not starts or demand > capacity:
            return 0
        if level := state.levels.get(key):
            starts &= fits(room(level, demand), before, after)
    return starts


def _masks(o: Outline, c: Candidate) -> Iterator[tuple[Key, int, int]]:
    """What can be taken once: each child's time, and its rest after something focused."""
    for child in c.option.children:
        if c.option.at_meal:
            yield ("meal", child, c.day), 0, c.option.own_slots[child]
            continue
        before, after = padded(o, c, child)
        yield ("child", child, c.day), before, after
        if c.option.focused:
            rest = slots_up(o.presence.children[child].attention.break_min)
            yield ("focus", child, c.day), 0, c.option.own_slots[child] + rest
    for child in c.along:
        yield ("child", child, c.day), c.option.span.there, c.option.span.active + c.option.span.back


def _demands(o: Outline, c: Candidate) -> Iterator[tuple[Key, int, int, int, int]]:
    """What is shared: hands, places, tools; as (key, capacity, before, after, demand)."""
    option, span = c.option, c.option.span
    adults = WHOLE_HANDS * len(o.problem.household.adults)
    for which, (helper, load) in enumerate(zip(option.helpers, option.loads, strict=True)):
        for before, after, hands in hand_pieces(span, load):
            yield ("adult", helper, c.day), WHOLE_HANDS, before, after, hands
        for before, after, hands in hand_pieces(span, baby_load(o, c, which)):
            yield ("baby", c.day), adults, before, after, hands
    if option.minder:
        out = (span.there, span.active + span.back)
        yield ("adult", option.minder, c.day), WHOLE_HANDS, *out, MINDING
    if option.in_room and not option.place.away:
        at_once = option.place.sittings_at_once
        yield ("place", option.place.id, c.day), at_once, span.setup, span.active + span.cleanup, 1
    for name, used in option.uses.items():
        material = o.materials[name]
        if material.reusable:
            yield ("tool", material.id, c.day), material.count, span.before, span.after, used


def is_lively_outdoors(c: Candidate) -> bool:
    """Whether it counts as being out and about."""
    return c.option.place.outdoors and c.task.go.activity.energy >= LIVELY


def _lost(o: Outline, c: Candidate) -> int:
    return len(o.cast(c.task.go, c.option.sitting)) - len(c.option.children) + int(c.option.lighter)


def _unusual(o: Outline, kind: Kind) -> frozenset[StretchId]:
    stretches = o.problem.household.stretches
    usual = {s.id for s in stretches if kind in s.usual_kinds}
    return frozenset(s.id for s in stretches if usual and s.id not in usual)


def half_of(c: Candidate) -> str:
    """Morning or afternoon."""
    return HALVES[int(c.first >= NOON_SLOT)]


def take(state: State, c: Candidate, slot: int) -> None:
    facts = state.of(c)
    for key, before, after in facts.masks:
        state.taken[key] = state.taken.get(key, 0) | between(slot - before, slot + after)
    for key, capacity, before, after, demand in facts.demands:
        state.fill(key, capacity, between(slot - before, slot + after), demand)
    for key, amount, _ in facts.sums:
        state.sums[key] = state.sums.get(key, 0) + amount
    state.sums["money",] = state.sums.get(("money",), 0) + _spends(state, c)
    for material, used in facts.uses:
        state.sums["used", material.id] = state.sums.get(("used", material.id), 0) + used
    state.sums["bookings", c.day] = state.sums.get(("bookings", c.day), 0) + 1
    if facts.lively:
        state.sums["out", c.day, half_of(c)] = 1
    if c.task.sitting == 0:
        series = ("days", c.task.go.wish.id, *c.task.go.group)
        state.days_of[series] = (*state.days_of.get(series, ()), c.day.index)
    state.starts[c.task] = (c, slot)


def is_supplied(state: State, c: Candidate) -> bool:
    """Whether stock and money reach; bought are only things with a shop before the week."""
    spends = _spends(state, c)
    return not spends or state.sums.get(("money",), 0) + spends <= state.o.limits.money_a_week


def _spends(state: State, c: Candidate) -> int:
    """The money one more sitting takes; out of reach when something cannot be had."""
    facts = state.of(c)
    money = facts.money
    for material, used in facts.uses:
        have = material.count if _good(state, c, material, 0) else 0
        short = used - max(0, have - state.sums.get(("used", material.id), 0))
        if short > 0:
            shops = (shop for shop in state.o.problem.week.shops if shop.before_week)
            shop = any(_good(state, c, material, shop.day_index) for shop in shops)
            money += material.price * short if material.buyable and shop else OUT_OF_REACH
    return money


def _good(state: State, c: Candidate, material: Material, day: int) -> bool:
    """Whether what came into the house on a day has kept; what has begun by now had it."""
    now = state.o.problem.week.now
    begun = now and (c.week_first - c.option.span.before) * SLOT_MIN < now.week_min
    return material.keeps_days is None or bool(begun) or c.day.index <= material.good_until(day)


def _uses(o: Outline, c: Candidate) -> Iterator[tuple[Material, int]]:
    for name, used in c.option.uses.items():
        if not o.materials[name].reusable:
            yield o.materials[name], used


def _day_has_room(state: State, c: Candidate, facts: Facts) -> bool:
    sums = state.sums
    for key, amount, most in facts.sums:
        if sums.get(key, 0) + amount > most:
            return False
    if c.task.sitting:
        return True
    wish, activity = c.task.go.wish, c.task.go.activity
    days = state.days_of.get(("days", wish.id, *c.task.go.group))
    if not days:
        return True
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
