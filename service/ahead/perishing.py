"""What does not keep: bought in portions, each of them near to its use."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass, field

from service.ahead.demand import Taken
from service.paper.moments import date_of
from solver.domain.home import Material


@dataclass
class Lot:
    """So much that is there from a moment on, and the last day on which it is good."""

    date: datetime.date
    minute: int
    count: int
    good_until: datetime.date


@dataclass
class Portion:
    """So much to buy at one go, not before a day."""

    not_before: datetime.date
    count: int = 0
    uses: list[Taken] = field(default_factory=list)


def portions(
    material: Material, keeps_days: int, uses: list[Taken], monday: datetime.date, in_stock: int
) -> list[Portion]:
    """What is lacking, in as few portions as keep from the day of buying to their last use.

    What is in the cupboard is taken to be as fresh as Monday morning; the oldest is used first.
    """
    keeps = datetime.timedelta(days=keeps_days)
    lots = [Lot(monday, 0, in_stock, monday + keeps)]
    for one in material.arrivals:
        day = date_of(monday, one.at.day)
        lots.append(Lot(day, one.at.time, one.count, day + keeps))
    found: list[Portion] = []
    for use, count in _lacking(uses, sorted(lots, key=lambda lot: lot.good_until)):
        not_before = use.date - keeps
        if not found or not_before > found[-1].uses[0].date:
            found.append(Portion(not_before))
        found[-1].not_before = not_before
        found[-1].count += count
        found[-1].uses.append(use)
    return found


def _lacking(uses: list[Taken], lots: list[Lot]) -> Iterator[tuple[Taken, int]]:
    for use in uses:
        wanted = use.count
        for lot in lots:
            if (lot.date, lot.minute) <= (use.date, use.minute) and use.date <= lot.good_until:
                drawn = min(wanted, lot.count)
                lot.count, wanted = lot.count - drawn, wanted - drawn
        if wanted:
            yield use, wanted
