"""The small house again, as a time-indexed programme for HiGHS: an independent reading of the contract.

One binary for every sitting, place and start. Every rule is a sum of those binaries by five-minute slot, and
every cost is linear: no interval, and no line of the solver's own model, is in it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import Any

import highspy

from solver.domain.activity import Focus, Kind
from solver.domain.week import Rank
from tests.outside import small_house as house
from tests.outside.small_house import Piece, Span, Thing

SLOT = 5
DAY = 24 * 60 // SLOT
CHILDREN = ("ann", "bo")
FOCUSED = (Focus.LISTENING, Focus.TABLE)


@dataclass(frozen=True)
class Choice:
    """One sitting of one go, at a place, on a day, from a slot on."""

    thing: Thing
    go: int
    number: int
    piece: Piece
    place: str
    day: int
    start: int
    stretch: Span

    @property
    def active(self) -> int:
        """Slots of the longest version."""
        return max(self.piece.minutes.values()) // SLOT

    @property
    def level(self) -> int:
        """Help of the one helper."""
        return max(self.piece.help.values())

    @property
    def focused(self) -> bool:
        """Whether it is focused."""
        return self.thing.focus in FOCUSED

    def child_span(self, child: str, extra: int = 0) -> range:
        """Slots in which a child is taken by it (washing hands after mess of 2)."""
        wash = house.WASH_MIN if self.piece.mess >= 2 else 0
        return range(self.start, self.start + (self.piece.minutes[child] + wash + extra) // SLOT)

    @property
    def out_span(self) -> range:
        """Slots in which the children are at it."""
        return range(self.start, self.start + self.active)

    @property
    def whole_span(self) -> range:
        """Slots with laying out and clearing."""
        first = self.start - self.piece.setup // SLOT
        return range(first, self.start + self.active + self.piece.cleanup // SLOT)


def slots(start: int, end: int) -> range:
    """Slots between two clock minutes, all on the grid."""
    return range(start // SLOT, end // SLOT)


LUNCH = set(slots(*house.LUNCH))
NAP = set(slots(*house.NAP))
ON_HAND = set(slots(*house.ADULT_HOURS))
LAID = set(slots(house.LUNCH[0] - house.TABLE_CLEAR_MIN, house.LUNCH[1]))
SETTLING = set(slots(house.NAP[0], house.NAP[0] + house.SETTLE_MIN))
ASLEEP = {"ann": set(), "bo": NAP}


def choices() -> Iterator[Choice]:
    """Every choice that is sound by itself."""
    for thing in house.THINGS:
        for go in range(thing.times):
            for number, piece in enumerate(thing.pieces):
                for place in piece.places:
                    yield from (c for c in _starts(thing, go, number, piece, place) if _sound(c))


def _starts(thing: Thing, go: int, number: int, piece: Piece, place: str) -> Iterator[Choice]:
    for day in range(len(house.DAYS)):
        for stretch in house.STRETCHES:
            for start in slots(stretch.start, stretch.end):
                yield Choice(thing, go, number, piece, place, day, start, stretch)


def _sound(choice: Choice) -> bool:
    whole = set(choice.whole_span)
    if not whole <= ON_HAND or (choice.place == "table" and whole & LAID):
        return False
    for child in choice.piece.minutes:
        if set(choice.child_span(child)) & (LUNCH | ASLEEP[child]):
            return False
    others = [child for child in CHILDREN if child not in choice.piece.minutes]
    if choice.level >= 3 and any(_alone(choice, child) > house.ALONE_MIN[child] for child in others):
        return False
    asleep_about = any(set(choice.out_span) & ASLEEP[child] for child in others)
    return choice.thing.nap_ok or not asleep_about


def _alone(choice: Choice, child: str) -> int:
    return SLOT * len(set(choice.out_span) - ASLEEP[child])


class Programme:
    """The programme, built once and solved tier by tier."""

    def __init__(self) -> None:
        self.highs = highspy.Highs()
        self.highs.setOptionValue("output_flag", False)
        self.highs.setOptionValue("mip_rel_gap", 0.0)
        self.choices = list(choices())
        self.chosen = [self.highs.addBinary() for _ in self.choices]
        self.prepared = {
            (thing.id, evening): self.highs.addBinary()
            for thing in house.THINGS
            if thing.prep
            for evening in house.PREP
        }
        for rule in (_once, _order, _days, _prep, _children, _adult, _places, _focus, _mess, _white_space):
            rule(self)

    def total(self, when: Callable[[Choice], Any]) -> Any:
        """The sum of the chosen, each times what ``when`` says of it (False leaves it out)."""
        return self.sum_of((int(when(c)), x) for c, x in zip(self.choices, self.chosen, strict=True))

    def sum_of(self, terms: Iterable[tuple[int, Any]]) -> Any:
        """A linear sum without its empty terms."""
        return sum((factor * var for factor, var in terms if factor), highspy.highs_linear_expression())

    def at_most(self, left: Any, right: Any) -> None:
        """left <= right."""
        expression = left - right
        if expression.idxs:
            self.highs.addConstr(expression <= 0)

    def whole(self, thing: Thing, go: int) -> Any:
        """1 when the first sitting of a go is placed (then all are)."""
        return self.total(lambda c: c.thing is thing and c.go == go and c.number == 0)

    def over(self, amount: Any) -> Any:
        """A variable no smaller than the amount and 0."""
        most = self.highs.addVariable(lb=0)
        self.at_most(amount, most)
        return most

    def least(self, cost: Any) -> int:
        """The least of a cost; from now on the cost stays there."""
        self.highs.minimize(cost)
        assert self.highs.getModelStatus() == highspy.HighsModelStatus.kOptimal
        value = round(self.highs.getObjectiveValue())
        self.highs.addConstr(cost <= value)
        return value


def _once(p: Programme) -> None:
    """Each sitting at most once; all sittings of a go or none."""
    for thing in house.THINGS:
        for go in range(thing.times):
            p.highs.addConstr(p.whole(thing, go) <= 1)
            for number in range(1, len(thing.pieces)):
                later = p.total(
                    lambda c, t=thing, g=go, n=number: c.thing is t and c.go == g and c.number == n
                )
                p.highs.addConstr(later - p.whole(thing, go) == 0)


def _order(p: Programme) -> None:
    """A first sitting fits only if the second starts within the wait, and the other way round."""
    for thing in house.THINGS:
        if not thing.wait:
            continue
        firsts = [i for i, c in enumerate(p.choices) if c.thing is thing and c.number == 0]
        seconds = [i for i, c in enumerate(p.choices) if c.thing is thing and c.number == 1]
        for i in firsts:
            fitting = [j for j in seconds if _waits(p.choices[i], p.choices[j], thing.wait)]
            p.at_most(p.chosen[i], p.sum_of((1, p.chosen[j]) for j in fitting))


def _waits(first: Choice, second: Choice, wait: tuple[int, int]) -> bool:
    end = first.day * DAY + first.start + first.active
    between = SLOT * (second.day * DAY + second.start - end)
    return wait[0] <= between <= wait[1]


def _days(p: Programme) -> None:
    """At most two goes a day."""
    for thing in house.THINGS:
        for day in range(len(house.DAYS)):
            p.highs.addConstr(
                p.total(lambda c, t=thing, d=day: c.thing is t and c.day == d and c.number == 0) <= 2
            )


def _prep(p: Programme) -> None:
    """Prep is done on an earlier evening with minutes enough."""
    for thing in house.THINGS:
        if thing.prep:
            done = p.sum_of((1, p.prepared[thing.id, evening]) for evening in house.PREP)
            p.highs.addConstr(done - p.whole(thing, 0) == 0)
            for day in range(len(house.DAYS)):
                in_time = p.sum_of((1, p.prepared[thing.id, e]) for e in house.PREP if e < day)
                p.at_most(p.total(lambda c, t=thing, d=day: c.thing is t and c.day == d), in_time)
    for evening, minutes in house.PREP.items():
        spent = ((t.prep, p.prepared[t.id, evening]) for t in house.THINGS if t.prep)
        p.highs.addConstr(p.sum_of(spent) <= minutes)


def _each_slot(p: Programme, limit: int, weight: Callable[[Choice, int], int]) -> None:
    """At every slot of every day the weights sum to no more than the limit."""
    for day in range(len(house.DAYS)):
        for slot in range(house.ADULT_HOURS[0] // SLOT, house.ADULT_HOURS[1] // SLOT + 4):
            load = p.total(lambda c, d=day, s=slot: weight(c, s) if c.day == d else 0)
            if load.idxs:
                p.highs.addConstr(load <= limit)


def _children(p: Programme) -> None:
    """One thing at a time for each child, with the change after it."""
    for child in CHILDREN:
        _each_slot(p, 1, lambda c, s, k=child: _taken(c, s, k, house.CHANGE_MIN))


def _taken(choice: Choice, slot: int, child: str, extra: int) -> int:
    return int(child in choice.piece.minutes and slot in choice.child_span(child, extra))


def _adult(p: Programme) -> None:
    """Loads of the adult, with lunch (1) and the nap's start (3), sum to 4 at most."""
    _each_slot(p, 4, lambda c, s: _load(c, s))
    for slots_taken, load in ((LUNCH, 1), (SETTLING, 3)):
        _each_slot(p, 4 - load, lambda c, s, t=slots_taken: _load(c, s) if s in t else 0)


def _load(choice: Choice, slot: int) -> int:
    if slot not in choice.whole_span:
        return 0
    return choice.level if slot in choice.out_span else max(3, choice.level)


def _places(p: Programme) -> None:
    """Room at each place, and one board."""
    for place, room in (("table", 1), ("sofa", 1), ("floor", 2)):
        _each_slot(p, room, lambda c, s, w=place: int(c.place == w and s in c.whole_span))
    _each_slot(p, 1, lambda c, s: int(c.piece.tool and s in c.whole_span))


def _focus(p: Programme) -> None:
    """A break between focused sittings, and so many focused minutes a day."""
    for child in CHILDREN:
        _each_slot(p, 1, lambda c, s, k=child: int(c.focused and _own(c, s, k)))
        for day in range(len(house.DAYS)):
            minutes = p.total(
                lambda c, k=child, d=day: c.focused and c.day == d and c.piece.minutes.get(k, 0)
            )
            p.highs.addConstr(minutes <= house.FOCUSED_A_DAY[child])


def _own(choice: Choice, slot: int, child: str) -> bool:
    until = choice.start + (choice.piece.minutes.get(child, 0) + house.BREAK_MIN) // SLOT
    return child in choice.piece.minutes and choice.start <= slot < until


def _mess(p: Programme) -> None:
    """So much mess a day."""
    for day in range(len(house.DAYS)):
        p.highs.addConstr(p.total(lambda c, d=day: c.day == d and c.piece.mess) <= house.MESS_A_DAY)


def _white_space(p: Programme) -> None:
    """A share of each child's open time stays empty."""
    inside = {slot for stretch in house.STRETCHES for slot in slots(stretch.start, stretch.end)}
    for child in CHILDREN:
        open_slots = inside - LUNCH - ASLEEP[child]
        limit = int((1 - house.FREE_SHARE) * len(open_slots))
        for day in range(len(house.DAYS)):
            filled = p.total(
                lambda c, k=child, d=day: (
                    c.day == d
                    and k in c.piece.minutes
                    and c.thing.kind is not Kind.FREE_PLAY
                    and len(c.child_span(k, house.CHANGE_MIN))
                )
            )
            p.highs.addConstr(filled <= limit)


def unkept(p: Programme, rank: Rank) -> Any:
    """1 for each go of this rank that is not placed."""
    goes = [(thing, go) for thing in house.THINGS if thing.rank is rank for go in range(thing.times)]
    return len(goes) - sum((p.whole(*go) for go in goes), highspy.highs_linear_expression())


def worth_lost(p: Programme) -> Any:
    """12 times the worth of what is not placed, areas below target (6 each), unfairness (3 a point)."""
    extras = [thing for thing in house.THINGS if thing.rank is Rank.EXTRA]
    missing = {
        thing.id: thing.times - sum((p.whole(thing, go) for go in range(thing.times)), _nothing())
        for thing in extras
    }
    lost = sum((12 * thing.worth * missing[thing.id] for thing in extras), _nothing())
    for child in CHILDREN:
        for area, least in house.AREAS.items():
            met = p.total(lambda c, k=child, a=area: c.thing.area == a and k in c.piece.minutes)
            lost = lost + 6 * p.over(least - met)
    ann, bo = (
        sum((thing.worth * missing[thing.id] for thing in extras if child in thing.children), _nothing())
        for child in CHILDREN
    )
    apart = p.over(ann - bo)
    p.at_most(bo - ann, apart)
    return lost + 3 * apart


def rhythm(p: Programme) -> Any:
    """Unusual stretch 4, outside good hours 1, promise by day, second place 1, crowded 3, calm run 3."""
    cost = p.total(_single)
    for child in CHILDREN:
        for day in range(len(house.DAYS)):
            for stretch in house.STRETCHES:
                there = p.total(lambda c, k=child, d=day, s=stretch: _there(c, k, d, s))
                focused = p.total(lambda c, k=child, d=day, s=stretch: c.focused and _there(c, k, d, s))
                cost = cost + 3 * p.over(there - stretch.comfortable) + 3 * p.over(focused - 2)
    return cost


def _there(choice: Choice, child: str, day: int, stretch: Span) -> bool:
    return choice.day == day and choice.stretch is stretch and child in choice.piece.minutes


def _single(choice: Choice) -> int:
    kind, stretch = choice.thing.kind, choice.stretch
    usual_somewhere = any(kind in other.kinds for other in house.STRETCHES)
    cost = 4 if usual_somewhere and kind not in stretch.kinds else 0
    good = set(slots(*house.GOOD_HOURS)) & set(slots(stretch.start, stretch.end))
    in_good_hours = 2 * len(good) >= len(slots(stretch.start, stretch.end))
    if choice.focused and "ann" in choice.piece.minutes and not in_good_hours:
        cost += 1
    if choice.thing.rank is Rank.PROMISE:
        cost += choice.day
    return cost + (choice.place != choice.piece.places[0])


def _nothing() -> Any:
    return highspy.highs_linear_expression()


def optimum() -> dict[str, int]:
    """The least cost of each tier, one after the other."""
    p = Programme()
    return {
        "promises": p.least(unkept(p, Rank.PROMISE)),
        "staples": p.least(unkept(p, Rank.STAPLE)),
        "worth": p.least(worth_lost(p)),
        "rhythm": p.least(rhythm(p)),
    }
