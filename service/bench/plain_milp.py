"""A plain household as a time-indexed programme for HiGHS: an independent reading of the contract.

One binary for every sitting, place, helper, minder and start. Every rule is a sum of those binaries by
five-minute slot, and every cost is linear: no interval, and no line of the solver's own model or candidates.
"""

from __future__ import annotations

import importlib
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from service.bench.plain_house import House, Piece, Span, Thing
from solver.domain.activity import Kind

SLOT = 5
DAY = 24 * 60 // SLOT
INFINITE = 1e30
Sum = dict[int, float]


def slots(start: int, end: int) -> range:
    """Slots between two clock minutes, all on the grid."""
    return range(start // SLOT, end // SLOT)


@dataclass(frozen=True, eq=False)
class Choice:
    """One sitting of one go: where, by whom, who has the others, on which day, from which slot on."""

    thing: Thing
    go: int
    number: int
    piece: Piece
    place: str
    helper: int
    day: int
    start: int
    stretch: Span
    minder: int | None = None
    minded: tuple[str, ...] = ()

    @property
    def level(self) -> int:
        """Help of the one helper."""
        return max(self.piece.help.values())

    def own(self, child: str, extra: int = 0) -> range:
        """Slots of a child's own minutes, and so many minutes more."""
        return range(self.start, self.start + (self.piece.minutes[child] + extra) // SLOT)

    @property
    def out(self) -> range:
        """Slots in which any of the children is at it."""
        return range(self.start, self.start + max(self.piece.minutes.values()) // SLOT)

    @property
    def whole(self) -> range:
        """Slots with laying out and clearing."""
        return range(self.out.start - self.piece.setup // SLOT, self.out.stop + self.piece.cleanup // SLOT)

    def load(self, slot: int) -> int:
        """What it takes of its helper in a slot of the whole."""
        return self.level if slot in self.out else max(3, self.level)


class Facts:
    """Slots of the house, the same on every day."""

    def __init__(self, house: House) -> None:
        self.house = house
        self.children = {child.id: child for child in house.children}
        self.lunch = set(slots(*house.lunch))
        self.laid = set(slots(house.lunch[0] - house.table_clear, house.lunch[1]))
        self.on_hand = [set(slots(*adult.hours)) for adult in house.adults]
        self.asleep = {c.id: set(slots(*c.nap)) if c.nap else set[int]() for c in house.children}
        self.fixed = self._fixed()

    def _fixed(self) -> list[dict[int, int]]:
        """Loads of each adult that are there anyway: 1 at lunch, 3 while somebody falls asleep."""
        found: list[dict[int, int]] = [defaultdict(int) for _ in self.house.adults]
        for i, adult in enumerate(self.house.adults):
            for slot in self.lunch & self.on_hand[i] if adult.at_lunch else ():
                found[i][slot] += 1
        for child in self.house.children:
            settling = slots(child.nap[0], child.nap[0] + self.house.settle) if child.nap else range(0)
            here = (i for i, hours in enumerate(self.on_hand) if settling and settling[0] in hours)
            for i in list(here)[:1]:
                for slot in settling:
                    found[i][slot] += 3
        return found

    def taken(self, c: Choice, child: str, extra: int = 0) -> range:
        """Slots in which a child is taken by it (washing hands after mess of 2), and a change after it."""
        return c.own(child, extra + (self.house.wash if c.piece.mess >= 2 else 0))


def choices(facts: Facts) -> Iterator[Choice]:
    """Every choice that is sound by itself."""
    for thing in facts.house.things:
        for go in range(thing.times):
            for number, piece in enumerate(thing.pieces):
                for place in piece.places:
                    for c in _starts(facts, thing, go, number, piece, place):
                        yield from _watched(facts, c) if _sound(facts, c) else ()


def _starts(facts: Facts, thing: Thing, go: int, number: int, piece: Piece, place: str) -> Iterator[Choice]:
    for day in range(facts.house.days):
        for stretch in facts.house.spans:
            for start in slots(stretch.start, stretch.end):
                for helper in range(len(facts.on_hand)):
                    yield Choice(thing, go, number, piece, place, helper, day, start, stretch)


def _sound(facts: Facts, c: Choice) -> bool:
    whole = set(c.whole)
    if not whole <= facts.on_hand[c.helper] or (c.place == "table" and whole & facts.laid):
        return False
    for name, minutes in c.piece.minutes.items():
        child = facts.children[name]
        if c.thing.focus.focused and minutes > child.longest:
            return False
        if set(facts.taken(c, name)) & (facts.lunch | facts.asleep[name]):
            return False
    asleep = any(set(c.out) & facts.asleep[name] for name in _others(facts, c))
    return c.thing.nap_ok or not asleep


def _others(facts: Facts, c: Choice) -> list[str]:
    return [name for name in facts.children if name not in c.piece.minutes]


def _watched(facts: Facts, c: Choice) -> Iterator[Choice]:
    """As it is when nobody is alone for too long; else once for each adult who may mind the others."""
    awake = {name: len(set(c.out) - facts.asleep[name]) for name in _others(facts, c)}
    if c.level < 3 or all(SLOT * n <= facts.children[name].alone for name, n in awake.items()):
        yield c
        return
    for minder, hours in enumerate(facts.on_hand):
        if minder != c.helper and set(c.whole) <= hours:
            minded = tuple(name for name, n in awake.items() if n)
            yield Choice(
                c.thing, c.go, c.number, c.piece, c.place, c.helper, c.day, c.start, c.stretch, minder, minded
            )


class Programme:
    """The programme, built once and solved tier by tier."""

    def __init__(self, house: House, seconds: float) -> None:
        self.highspy: Any = importlib.import_module("highspy")
        self.highs = self.highspy.Highs()
        for option, value in (("output_flag", False), ("mip_rel_gap", 0.0), ("threads", 1)):
            self.highs.setOptionValue(option, value)
        self.highs.setOptionValue("time_limit", seconds)
        self.columns = 0
        self.facts, self.house = Facts(house), house
        self.x = [(c, self.column()) for c in choices(self.facts)]
        self.prepared = {
            (thing.id, go, evening): self.column()
            for thing in house.things
            for go in range(thing.times)
            for evening in (house.prep or {})
            if thing.prep
        }
        for rule in (_once, _waits, _days, _prep, _by_slot, _minders, _sums):
            rule(self)

    def column(self, whole: bool = True) -> int:
        """A binary, or an amount from 0 on."""
        self.highs.addVar(0.0, 1.0 if whole else INFINITE)
        if whole:
            self.highs.changeColIntegrality(self.columns, self.highspy.HighsVarType.kInteger)
        self.columns += 1
        return self.columns - 1

    def row(self, terms: Sum, most: float = INFINITE, least: float = -INFINITE) -> None:
        """least ≤ terms ≤ most."""
        kept = {column: amount for column, amount in terms.items() if amount}
        self.highs.addRow(least, most, len(kept), list(kept), list(kept.values()))

    def placed(self, thing: Thing, go: int, number: int = 0) -> Sum:
        """1 when this sitting is placed."""
        return {x: 1.0 for c, x in self.x if c.thing is thing and c.go == go and c.number == number}

    def weighed(self, weight: Callable[[Choice], float]) -> Sum:
        """The sum of the chosen, each times its weight."""
        return {x: weight(c) for c, x in self.x}

    def over(self, amount: Sum, beyond: float, least: float = -INFINITE) -> int:
        """A column no smaller than what the amount has beyond this much, or lacks of the least."""
        column = self.column(whole=False)
        self.row({**amount, column: -1.0}, most=beyond)
        self.row({**amount, column: 1.0}, least=least)
        return column

    def least(self, cost: Sum, constant: float = 0.0) -> int | None:
        """The least of a cost, which from now on stays there; None when time ran out."""
        for column in range(self.columns):
            self.highs.changeColCost(column, cost.get(column, 0.0))
        self.highs.run()
        if self.highs.getModelStatus() != self.highspy.HighsModelStatus.kOptimal:
            return None
        value: int = round(self.highs.getInfo().objective_function_value + constant)
        self.row(cost, most=value - constant + 1e-6)
        return value


def minus(terms: Sum) -> Sum:
    """The negative of a sum."""
    return {column: -amount for column, amount in terms.items()}


def plus(sums: Iterable[tuple[float, Sum]]) -> Sum:
    """A weighted sum of sums."""
    found: Sum = defaultdict(float)
    for factor, terms in sums:
        for column, amount in terms.items():
            found[column] += factor * amount
    return dict(found)


def _goes(p: Programme) -> Iterator[tuple[Thing, int]]:
    return ((thing, go) for thing in p.house.things for go in range(thing.times))


def _once(p: Programme) -> None:
    """Each sitting at most once; all sittings of a go or none; of goes that are alike the earlier ones."""
    for thing, go in _goes(p):
        p.row(p.placed(thing, go), most=1)
        for number in range(1, len(thing.pieces)):
            p.row(p.placed(thing, go, number) | minus(p.placed(thing, go)), most=0, least=0)
        if go:
            p.row(p.placed(thing, go) | minus(p.placed(thing, go - 1)), most=0)


def _waits(p: Programme) -> None:
    """A first sitting only with a second that starts within the wait."""
    for thing in (thing for thing in p.house.things if thing.wait):
        mine = [(c, column) for c, column in p.x if c.thing is thing]
        for first, i in mine:
            if first.number == 0:
                fitting = {
                    j: -1.0
                    for then, j in mine
                    if then.number == 1 and then.go == first.go and _in_time(first, then)
                }
                p.row({i: 1.0, **fitting}, most=0)


def _in_time(first: Choice, then: Choice) -> bool:
    between = SLOT * (then.day * DAY + then.start - first.day * DAY - first.out.stop)
    least, most = first.thing.wait or (0, 0)
    return least <= between <= most


def _days(p: Programme) -> None:
    """So many goes a day."""
    for thing in p.house.things:
        for day in range(p.house.days):
            mine = {x: 1.0 for c, x in p.x if c.thing is thing and c.day == day and c.number == 0}
            p.row(mine, most=thing.most_a_day)


def _prep(p: Programme) -> None:
    """Prep is done on an earlier evening with minutes enough."""
    evenings = p.house.prep or {}
    for thing, go in _goes(p):
        if thing.prep:
            done = {p.prepared[thing.id, go, evening]: 1.0 for evening in evenings}
            p.row(done | minus(p.placed(thing, go)), most=0, least=0)
            for day in range(p.house.days):
                early = {p.prepared[thing.id, go, e]: -1.0 for e in evenings if e < day}
                there = {
                    x: 1.0
                    for c, x in p.x
                    if c.thing is thing and c.go == go and c.day == day and c.number == 0
                }
                p.row(there | early, most=0)
    prep = {thing.id: thing.prep for thing in p.house.things}
    for evening, minutes in evenings.items():
        spent = {x: float(prep[name]) for (name, _, e), x in p.prepared.items() if e == evening}
        p.row(spent, most=minutes)


def _by_slot(p: Programme) -> None:
    """At every slot: one thing for each child, four hands' worth for each adult, room, tools, breaks."""
    rows: dict[tuple[object, ...], Sum] = defaultdict(dict)
    most: dict[tuple[object, ...], float] = {}
    room = dict(p.house.rooms)
    for c, x in p.x:
        for slot in c.whole:
            adult = ("adult", c.helper, c.day, slot)
            rows[adult][x] = c.load(slot)
            most[adult] = max(0, 4 - p.facts.fixed[c.helper][slot])
            rows["place", c.place, c.day, slot][x] = 1.0
            most["place", c.place, c.day, slot] = room[c.place]
            rows["board", c.day, slot][x] = float(c.piece.tool)
        for child in c.piece.minutes:
            for slot in p.facts.taken(c, child, p.house.change):
                rows[child, c.day, slot][x] = 1.0
            if c.thing.focus.focused:
                for slot in c.own(child, p.facts.children[child].rest):
                    rows["rest", child, c.day, slot][x] = 1.0
    for key, terms in rows.items():
        if sum(terms.values()) > most.get(key, 1.0):
            p.row(terms, most=most.get(key, 1.0))


def _minders(p: Programme) -> None:
    """Who minds a child has, meanwhile, no more than 2 of load from what that child is not in."""
    minding: dict[tuple[int, str, int, int], Sum] = defaultdict(dict)
    for c, x in p.x:
        for child in c.minded:
            for slot in c.out:
                minding[c.minder or 0, child, c.day, slot][x] = 2.0
    for (adult, child, day, slot), terms in minding.items():
        other = {
            x: float(c.load(slot))
            for c, x in p.x
            if c.helper == adult and c.day == day and slot in c.whole and child not in c.piece.minutes
        }
        p.row(terms | other, most=4)


def _sums(p: Programme) -> None:
    """Mess and focused minutes of a day; a share of each child's open time stays empty."""
    for day in range(p.house.days):
        today = [(c, x) for c, x in p.x if c.day == day]
        p.row({x: float(c.piece.mess) for c, x in today}, most=p.house.mess_a_day)
        for child in p.house.children:
            mine = [(c, x) for c, x in today if child.id in c.piece.minutes]
            focused = {x: float(c.piece.minutes[child.id]) for c, x in mine if c.thing.focus.focused}
            p.row(focused, most=child.focused_a_day)
            filled = {
                x: float(len(p.facts.taken(c, child.id, p.house.change)))
                for c, x in mine
                if c.thing.kind is not Kind.FREE_PLAY
            }
            p.row(filled, most=_may_be_filled(p, child.id))


def _may_be_filled(p: Programme, child: str) -> int:
    inside = {slot for stretch in p.house.spans for slot in slots(stretch.start, stretch.end)}
    return int((1 - Fraction(str(p.house.free_share))) * len(inside - p.facts.lunch - p.facts.asleep[child]))
