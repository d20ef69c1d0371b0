"""One shopping list: what plans and wishes take, less what is there."""

from __future__ import annotations

import datetime
from collections import defaultdict
from collections.abc import Iterable, Iterator

from service.ahead.demand import Plans, Taken, taken
from service.ahead.views import ToBuy, ToolShort
from service.paper.moments import date_of
from service.show.names import moment_text
from solver.domain.base import MaterialId
from solver.domain.document import Document
from solver.domain.home import Material
from solver.domain.week import Shop, Week


def to_buy(document: Document, weeks: tuple[Week, ...], plans: Plans) -> Iterator[ToBuy]:
    """Supplies that run short, in order of need."""
    materials = {one.id: one for one in document.household.materials if not one.reusable}
    uses: dict[MaterialId, list[Taken]] = defaultdict(list)
    for one in taken(document, weeks, plans):
        if one.material in materials:
            uses[one.material].append(one)
    found = [_short(materials[ident], some, weeks) for ident, some in uses.items()]
    yield from sorted((one for one in found if one), key=lambda one: (one.need_by, one.name))


def _short(material: Material, uses: list[Taken], weeks: tuple[Week, ...]) -> ToBuy | None:
    left, need_by, needed_for = material.count, None, dict[str, None]()
    arrivals = [(date_of(weeks[0].monday, one.at.day), one.at.time, one.count) for one in material.arrivals]
    for use in uses:
        here = [one for one in arrivals if (one[0], one[1]) <= (use.date, use.minute)]
        arrivals = [one for one in arrivals if one not in here]
        left += sum(count for _, _, count in here)
        left -= use.count
        if left < 0:
            need_by = need_by or use.date
            needed_for[use.title] = None
    if need_by is None or left >= 0:
        return None
    return ToBuy(
        material=material.id,
        name=material.name,
        count=-left,
        unit=material.unit,
        in_stock=material.count,
        need_by=need_by,
        needed_for=tuple(needed_for),
        shop=shop_before(weeks, need_by) if material.buyable else "",
        cost=-left * material.price,
        buyable=material.buyable,
        substitutes=material.substitutes,
    )


def shop_before(weeks: Iterable[Week], date: datetime.date) -> str:
    """The last shop before a day, in words."""
    best: tuple[datetime.date, str] | None = None
    for week in weeks:
        for shop in week.shops:
            when = week.monday if shop.at is None else date_of(week.monday, shop.at.day)
            # What is bought on a day helps only later that day, so the day itself counts for nothing.
            helps = when <= date if shop.before_week else when < date
            if helps and (best is None or when >= best[0]):
                best = when, _shop_text(week, shop)
    return best[1] if best else "before then"


def _shop_text(week: Week, shop: Shop) -> str:
    when = f"before {week.monday.isoformat()}" if shop.at is None else f"{moment_text(shop.at)}, {week.id}"
    return f"{when}; the list closes {shop.closes}" if shop.closes else when


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
