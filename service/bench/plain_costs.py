"""The costs of a plain household for HiGHS (``plain_milp``), and the least of each tier in turn."""

from __future__ import annotations

from service.bench.plain_house import House, PlainChild, Span, Thing
from service.bench.plain_milp import SLOT, Choice, Programme, Sum, plus, slots
from solver.domain.week import Rank

Cost = tuple[Sum, float]
"""A linear sum, and what is added to it."""


def optimum(house: House, seconds: float) -> dict[str, int | None]:
    """The least cost of each tier, one after the other; None from the one on that takes too long."""
    p = Programme(house, seconds)
    found: dict[str, int | None] = {}
    for tier, cost in (
        ("promises", unkept(p, Rank.PROMISE)),
        ("staples", unkept(p, Rank.STAPLE)),
        ("worth", worth(p)),
        ("rhythm", rhythm(p)),
    ):
        over = None in found.values()
        found[tier] = None if over else p.least(*cost)
    return found


def unkept(p: Programme, rank: Rank) -> Cost:
    """1 for each go of this rank that is not placed."""
    goes = [(thing, go) for thing in p.house.things if thing.rank is rank for go in range(thing.times)]
    return plus((-1.0, p.placed(*go)) for go in goes), len(goes)


def worth(p: Programme) -> Cost:
    """12 × worth for each sitting not placed, 6 for each occasion off a target, 3 × unfairness."""
    extras = [thing for thing in p.house.things if thing.rank is Rank.EXTRA]
    sums, constant = [], 0.0
    for thing in extras:
        points = 12 * thing.worth * len(thing.pieces)
        constant += points * thing.times
        sums += [(-float(points), p.placed(thing, go)) for go in range(thing.times)]
    off = {column: 6.0 for child in p.house.children for column in _off_target(p, child)}
    return plus([*sums, (1.0, off), (1.0, _unfair(p, extras))]), constant


def _off_target(p: Programme, child: PlainChild) -> list[int]:
    found = []
    for area, (least, most) in (p.house.areas or {}).items():
        met = {x: 1.0 for c, x in p.x if c.thing.area == area and child.id in c.piece.minutes}
        found.append(p.over(met, most, least))
    return found


def _unfair(p: Programme, extras: list[Thing]) -> Sum:
    """Columns above the most and below the least that any child goes without."""
    most, least = p.column(whole=False), p.column(whole=False)
    for child in p.house.children:
        mine = [(t, t.worth * len(t.pieces)) for t in extras if child.id in t.children]
        meant = sum(points * thing.times for thing, points in mine)
        there = plus((float(points), p.placed(t, go)) for t, points in mine for go in range(t.times))
        p.row({**there, most: 1.0}, least=meant)
        p.row({**there, least: 1.0}, most=meant)
    return {most: 3.0, least: -3.0}


def rhythm(p: Programme) -> Cost:
    """What each costs where it is, and 3 for each that crowds a stretch or makes it a long calm run."""
    sums = [(1.0, p.weighed(lambda c: _single(p, c)))]
    for child in p.house.children:
        for day in range(p.house.days):
            for stretch in p.house.spans:
                there = {x: 1.0 for c, x in p.x if _there(c, child.id, day, stretch)}
                focused = {i: a for i, a in there.items() if p.x[i][0].thing.focus.focused}
                crowded, calm = p.over(there, stretch.comfortable), p.over(focused, 2)
                sums.append((3.0, {crowded: 1.0, calm: 1.0}))
    return plus(sums), 0.0


def _there(c: Choice, child: str, day: int, stretch: Span) -> bool:
    return c.day == day and c.stretch is stretch and child in c.piece.minutes


def _single(p: Programme, c: Choice) -> float:
    """Unusual stretch 4, outside good hours 1, in low hours 2, a promise by its day, second place 1."""
    usual = any(c.thing.kind in other.kinds for other in p.house.spans)
    cost = 4 if usual and c.thing.kind not in c.stretch.kinds else 0
    cost += sum(_hours(p.facts.children[child], c.stretch) for child in _concentrating(c))
    cost += c.day if c.thing.rank is Rank.PROMISE else 0
    return cost + (c.place != c.piece.places[0])


def _concentrating(c: Choice) -> list[str]:
    return list(c.piece.minutes) if c.thing.focus.focused else []


def _hours(child: PlainChild, stretch: Span) -> int:
    poor = child.good is not None and not _half(child.good, stretch)
    low = child.low is not None and _half(child.low, stretch)
    return (1 if poor else 0) + (2 if low else 0)


def _half(hours: tuple[int, int], stretch: Span) -> bool:
    inside = set(slots(*hours)) & set(slots(stretch.start, stretch.end))
    return 2 * SLOT * len(inside) >= stretch.end - stretch.start
