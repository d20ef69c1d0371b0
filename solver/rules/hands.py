"""Hard rules about hands: of each adult, with a baby about, and of whoever has the others."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from functools import lru_cache, partial

from ortools.sat.python import cp_model

from solver import clock
from solver.candidates import Candidate
from solver.clock import DAY_SLOTS, SLOT_MIN
from solver.domain.base import AdultId, ChildId, Day, Help
from solver.masks import blocks
from solver.options import WHOLE_HANDS, Option
from solver.outline import Outline
from solver.presence import FixedLoad
from solver.rules.between import out_span, reaches
from solver.variables import Variables

Piece = tuple[int, int, int]
"""(before, after, load): a piece of an adult's span around the start."""
MINDING = 2
"""Hands that having the others takes."""


@lru_cache(maxsize=1000)
def hand_pieces(span: clock.Span, load: int) -> tuple[Piece, ...]:
    """How an adult's hands are taken: laying out, the thing itself, clearing."""
    if load >= Help.BESIDE:
        return ((span.before, span.after, load),)
    out = span.active + span.back
    pieces = [
        (span.before, -span.there, int(Help.BESIDE)),
        (span.there, out, load),
        (-out, span.after, int(Help.BESIDE)),
    ]
    return tuple(
        (before, after, hands) for before, after, hands in pieces if before + after > 0 and hands > 0
    )


def adult_hands(v: Variables) -> None:
    """An adult has two hands: beside one thing, or dipping into two, never more."""
    for day in v.days():
        for adult in v.outline.problem.household.adults:
            fixed = [f for f in v.outline.presence.fixed_loads if f.adult == adult.id and f.day is day]
            hands = _Hands(v)
            hands.fixed(profile(fixed), WHOLE_HANDS)
            helped = _helped(v, adult.id, day)
            hands.take(_demands(v, helped, partial(_pieces_of, adult=adult.id)))
            hands.limit(WHOLE_HANDS)
            _hands_in_blocks(v, adult.id, helped, day, fixed)


def _helped(v: Variables, adult: AdultId, day: Day) -> list[Candidate]:
    return [c for c in v.on(day) if adult in c.option.helpers]


def _hands_in_blocks(
    v: Variables, adult: AdultId, helped: list[Candidate], day: Day, fixed: list[FixedLoad]
) -> None:
    """Implied, for the bound: hands times minutes asked within a window are not more than it has.

    Windows are the pieces of the adult's day, and the reach of what starts in one stretch.
    """
    work = [(c, _work(_pieces_of(c, adult)), *_reach(c)) for c in helped]
    work = [one for one in work if one[1]]
    windows = {*blocks(v.outline.presence.on_hand(adult, day)), *reaches(v, work)}
    for start, end in sorted(windows):
        taken = sum(f.load * max(0, min(f.end, end) - max(f.start, start)) for f in fixed)
        asked = ((c, hands) for c, hands, first, last in work if start <= first and last <= end)
        v.model.add(v.sum_of(asked) <= max(0, WHOLE_HANDS * (end - start) - taken))


def _work(pieces: tuple[Piece, ...]) -> int:
    return sum((before + after) * hands for before, after, hands in pieces)


def _reach(c: Candidate) -> tuple[int, int]:
    return c.first - c.option.span.before, c.last + c.option.span.after


def _pieces_of(c: Candidate, adult: AdultId) -> tuple[Piece, ...]:
    return hand_pieces(c.option.span, c.option.loads[c.option.helpers.index(adult)])


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


Demand = tuple[cp_model.IntervalVar, int, Candidate]
"""An interval, the hands that it takes, and a candidate of those behind it (with the same children)."""


def _demands(
    v: Variables, candidates: Iterable[Candidate], pieces: Callable[[Candidate], tuple[Piece, ...]]
) -> Iterator[Demand]:
    """Demands of candidates of a day, with the pieces that an option asks for on it.

    Those of a seat with the same piece and the same children along are one.
    """
    asked: dict[tuple[int, tuple[ChildId, ...], Piece], list[Candidate]] = defaultdict(list)
    known: dict[Option, tuple[Piece, ...]] = {}
    for c in candidates:
        found = known.get(c.option)
        if found is None:
            found = known[c.option] = pieces(c)
        for piece in found:
            asked[c.seat.index, c.along, piece].append(c)
    for (_, _, (before, after, hands)), group in asked.items():
        if before + after > 0:
            yield v.interval(group, before, after), hands, group[0]


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

    def take(self, demands: Iterable[Demand]) -> None:
        for interval, hands, _ in demands:
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
            hands.take(_demands(v, v.on(day), partial(_baby_pieces, v.outline, which=which)))
        hands.limit(capacity)


def _baby_pieces(o: Outline, c: Candidate, which: int) -> tuple[Piece, ...]:
    if which >= len(c.option.helpers):
        return ()
    return hand_pieces(c.option.span, baby_load(o, c, which))


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
    for adult in v.outline.problem.household.adults:
        for day in v.days():
            watching = list(_demands(v, (c for c in v.on(day) if c.option.minder == adult.id), _minding))
            if not watching:
                continue
            helping = list(_demands(v, _helped(v, adult.id, day), partial(_pieces_of, adult=adult.id)))
            for child in v.outline.problem.household.children:
                minding = [one for one in watching if _is_without(one, child.id)]
                if minding:
                    hands = _Hands(v)
                    hands.take(minding)
                    hands.take(one for one in helping if _is_without(one, child.id))
                    hands.limit(WHOLE_HANDS)


def _minding(c: Candidate) -> tuple[Piece, ...]:
    return ((*out_span(c), MINDING),)


def _is_without(demand: Demand, child: ChildId) -> bool:
    """Whether the child neither attends nor comes along, so that somebody has to have it."""
    c = demand[2]
    return child not in c.option.children and child not in c.along
