"""One shopping list: what plans and wishes take, less what is there."""

from __future__ import annotations

import datetime
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from service.ahead.demand import Plans, Taken, taken
from service.ahead.perishing import portions
from service.ahead.views import ToBuy, ToolShort
from service.paper.moments import date_of
from service.show.names import moment_text
from solver.domain.base import MaterialId
from solver.domain.document import Document
from solver.domain.home import Material, Shop
from solver.domain.week import Week


@dataclass(frozen=True)
class Cupboard:
    """What is there, and what the weeks in view took or ticked since their Mondays."""

    weeks: tuple[Week, ...]
    ticked: Mapping[MaterialId, int]

    def on_monday(self, material: Material) -> int:
        """As the weeks in view found it."""
        return material.count + sum(week.taken.get(material.id, 0) for week in self.weeks)

    def now(self, material: Material) -> int:
        """As whoever opens it finds it."""
        return max(0, material.count - self.ticked.get(material.id, 0))


def to_buy(
    document: Document, weeks: tuple[Week, ...], plans: Plans, ticked: Mapping[MaterialId, int] | None = None
) -> Iterator[ToBuy]:
    """Supplies that run short, in order of need; what perishes in portions that keep."""
    cupboard = Cupboard(weeks, ticked or {})
    materials = {one.id: one for one in document.household.materials if not one.reusable}
    uses: dict[MaterialId, list[Taken]] = defaultdict(list)
    for one in taken(document, weeks, plans):
        if one.material in materials:
            uses[one.material].append(one)
    found = [line for ident, some in uses.items() for line in _lines(materials[ident], some, cupboard)]
    yield from sorted(found, key=lambda one: (one.need_by, one.name))


def _lines(material: Material, uses: list[Taken], cupboard: Cupboard) -> Iterator[ToBuy]:
    if material.keeps_days is None:
        yield from _short(material, uses, cupboard)
        return
    for portion in portions(
        material, material.keeps_days, uses, cupboard.weeks[0].monday, cupboard.on_monday(material)
    ):
        yield _line(material, portion.count, portion.uses, cupboard, portion.not_before)


def _short(material: Material, uses: list[Taken], cupboard: Cupboard) -> Iterator[ToBuy]:
    left, lacking = cupboard.on_monday(material), list[Taken]()
    arrivals = arrivals_of(material, cupboard.weeks[0].monday)
    for use in uses:
        here = [one for one in arrivals if (one[0], one[1]) <= (use.date, use.minute)]
        arrivals = [one for one in arrivals if one not in here]
        left += sum(count for _, _, count in here)
        left -= use.count
        if left < 0:
            lacking.append(use)
    if lacking and left < 0:
        yield _line(material, -left, lacking, cupboard, None)


def arrivals_of(material: Material, monday: datetime.date) -> list[tuple[datetime.date, int, int]]:
    """What comes into the house: day, minute, how much."""
    return [(date_of(monday, one.at.day), one.at.time, one.count) for one in material.arrivals]


def _line(
    material: Material,
    count: int,
    uses: list[Taken],
    cupboard: Cupboard,
    not_before: datetime.date | None,
) -> ToBuy:
    need_by = uses[0].date
    trip = trip_before(cupboard.weeks, need_by, not_before) if material.buyable else None
    return ToBuy(
        material=material.id,
        name=material.name,
        count=count,
        unit=material.unit,
        in_stock=cupboard.now(material),
        need_by=need_by,
        not_before=not_before,
        needed_for=tuple(dict.fromkeys(use.title for use in uses)),
        shop=(trip.text if trip else _without_trip(not_before)) if material.buyable else "",
        shop_on=trip.date if trip else None,
        closes=trip.shop.closes if trip else "",
        cost=count * material.price,
        buyable=material.buyable,
        substitutes=material.substitutes,
    )


@dataclass(frozen=True)
class Trip:
    """A shop on a day."""

    date: datetime.date
    week: Week
    shop: Shop

    @property
    def text(self) -> str:
        """In words."""
        at = self.shop.at
        when = f"{moment_text(at)}, {self.week.id}" if at else f"before {self.week.monday.isoformat()}"
        return f"{when}; the list closes {self.shop.closes}" if self.shop.closes else when


def trip_before(
    weeks: Iterable[Week], date: datetime.date, not_before: datetime.date | None = None
) -> Trip | None:
    """The last shop before a day; with ``not_before``, one after which it still keeps."""
    trips = [
        Trip(week.monday + datetime.timedelta(days=shop.day_index), week, shop)
        for week in weeks
        for shop in week.shops
    ]
    # What is bought on a day helps only later that day, so the day itself counts for nothing.
    helping = [one for one in trips if one.date < date and (not_before is None or one.date >= not_before)]
    return max(helping, key=lambda one: one.date, default=None)


def _without_trip(not_before: datetime.date | None) -> str:
    return "before then" if not_before is None else "no weekly shop in time: buy it fresh"


def short_tools(document: Document, weeks: tuple[Week, ...], plans: Plans) -> Iterator[ToolShort]:
    """Tools of which one thing takes more than there are."""
    tools = {one.id: one for one in document.household.materials if one.reusable}
    seen: set[tuple[str, str]] = set()
    for use in taken(document, weeks, plans):
        tool = tools.get(use.material)
        if tool and use.count > tool.count and (tool.id, use.title) not in seen:
            seen.add((tool.id, use.title))
            yield ToolShort(
                material=tool.id,
                name=tool.name,
                have=tool.count,
                want=use.count,
                need_by=use.date,
                needed_for=use.title,
                substitutes=tool.substitutes,
            )
