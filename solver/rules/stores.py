"""Hard rules about what is used up: that it is in the house, that it is still good, what it costs."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from solver.candidates import Candidate
from solver.clock import SLOT_MIN
from solver.domain.base import DAY_MIN, DAYS
from solver.domain.home import Material, Shop
from solver.outline import Task
from solver.variables import Linear, Variables, total

Uses = list[tuple[Candidate, int]]


def supplies(v: Variables) -> None:
    """Nothing is used before it is in the house."""
    for material, uses in _used_up(v):
        most = _total(uses)
        for moment in _moments(v, material):
            _enough(v, material, uses, most, moment)


def fresh(v: Variables) -> None:
    """Nothing is used that has not kept from the day it came into the house."""
    now = v.outline.problem.week.now
    fresh_from(v, now.week_min if now else 0)


def fresh_from(v: Variables, minute: int) -> None:
    """The same for what begins at or after a minute of the week: what has begun had what it needed.

    Whatever is used after some of it has spoilt, and before more of it comes, must be covered by what
    comes between: with the rule *supplies* that is enough, since what comes later is good for longer (Hall).
    """
    for material, uses in _used_up(v):
        if material.keeps_days is not None:
            most = _total(uses)
            late = [(c, used) for c, used in uses if not _begins_before(c, minute)]
            for spoilt in sorted({material.good_until(day) for day in _days_it_comes(v, material)}):
                over = [(c, used) for c, used in late if c.day.index > spoilt]
                for moment in _moments(v, material) if over else ():
                    _enough(v, material, over, most, moment, spoilt)


def _used_up(v: Variables) -> Iterator[tuple[Material, Uses]]:
    using: dict[str, Uses] = defaultdict(list)
    for c in v.candidates.all:
        for name, used in c.option.uses.items():
            using[name].append((c, used))
    for name, uses in using.items():
        if not v.outline.materials[name].reusable:
            yield v.outline.materials[name], uses


def _enough(
    v: Variables, material: Material, uses: Uses, most: int, moment: int, spoilt: int | None = None
) -> None:
    """What begins before a moment has enough in what came before it and is good after the day ``spoilt``.

    ``most`` is what all candidates together would use: no shop needs to sell more.
    """

    def good(day: int) -> bool:
        return spoilt is None or material.good_until(day) > spoilt

    early = [used * v.chosen(c) for c, used in uses if _begins_before(c, moment)]
    have = material.count if good(0) else 0
    have += sum(a.count for a in material.arrivals if a.at.week_min < moment and good(a.at.day.index))
    bought: list[Linear] = []
    if material.buyable:
        shops = (s for s in v.outline.problem.week.shops if _open_before(s, moment) and good(s.day_index))
        bought = [v.amount(_bought(material, shop), most) for shop in shops]
    v.model.add(total(early) <= have + total(bought))


def _days_it_comes(v: Variables, material: Material) -> Iterator[int]:
    """Days from which its keeping is counted; what is in the cupboard is as fresh as on Monday."""
    yield 0
    yield from (arrival.at.day.index for arrival in material.arrivals)
    if material.buyable:
        yield from (shop.day_index for shop in v.outline.problem.week.shops)


def _moments(v: Variables, material: Material) -> list[int]:
    """Week minutes just before which stock may have grown, and the end of the week."""
    grown = {a.at.week_min for a in material.arrivals}
    if material.buyable:
        grown |= {s.at.week_min for s in v.outline.problem.week.shops if s.at}
    return [*sorted(grown), len(DAYS) * DAY_MIN]


def _begins_before(c: Candidate, moment: int) -> bool:
    return (c.week_first - c.option.span.before) * SLOT_MIN < moment


def _open_before(shop: Shop, moment: int) -> bool:
    return shop.at is None or shop.at.week_min < moment


def _bought(material: Material, shop: Shop) -> str:
    when = "before the week" if shop.at is None else f"{shop.at.day}:{shop.at.time}"
    return f"buy {material.id} {when}"


def money(v: Variables) -> None:
    """The week costs no more than was set aside."""
    spent: list[Linear] = [go.activity.cost * v.placed(Task(go, 0)) for go in v.outline.goes]
    for material, uses in _used_up(v):
        if material.buyable and material.price:
            most = _total(uses)
            shops = v.outline.problem.week.shops
            spent += [material.price * v.amount(_bought(material, shop), most) for shop in shops]
    v.model.add(total(spent) <= v.outline.limits.money_a_week)


def _total(uses: Uses) -> int:
    return sum(used for _, used in uses)
