"""Prep and shopping on one page, to hang by the door: what to make ready when, what to buy where."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator
from itertools import groupby

from service.ahead.views import Ahead, Batch, BookLine, EveningList, PrepItem, ToBuy, ToolShort
from service.paper.html import Read, each, listed, page, section, tag, text
from service.paper.lines import evening_name
from solver.domain.base import clock_text
from solver.domain.week import Problem

_SIZES = ((2400, ""), (4600, "full"), (6400, "fuller"))
"""So many signs go on an A4 page in each print, as the browser tests count the pages."""
_TAGS = re.compile(r"<[^>]*>")


def beforehand_sheet(problem: Problem, lists: Ahead, *, linked: bool = False, as_read: Read = str) -> str:
    """The lists of the weeks ahead as a document of its own."""
    parts = (
        section("To make ready", "".join(_evening(one) for one in lists.evenings)),
        section("To buy", "".join(_shops(lists.to_buy))),
        section("Too few of", listed(_tool(one) for one in lists.tools)),
        section("Books", listed(_book(one) for one in lists.books)),
        section("In the weeks after", listed(_later(lists))),
    )
    theme = f"{problem.week.theme}: " if problem.week.theme else ""
    said = f"{theme}prep and shopping"
    head = tag("h1", text(said[:1].upper() + said[1:])) + tag("span", text(problem.household.name))
    body = tag("header", head, "head") + ("".join(parts) or tag("p", text("Nothing to make ready or buy.")))
    body += tag(
        "p", text("An evening that does not happen is no fault: touch “Something happened”."), "advice"
    )
    title = f"Prep and shopping, {problem.week.id}"
    return page(title, body, "upright beforehand", linked=linked, size=_size(as_read(body)))


def _size(body: str) -> str:
    signs = len(_TAGS.sub("", body))
    return next((name for most, name in _SIZES if signs <= most), "fullest")


def _evening(evening: EveningList) -> str:
    budget = f" of {evening.budget}" if evening.budget else ""
    quiet = " · quietly, somebody sleeps" if evening.quiet else ""
    when = f"{evening_name(evening.evening)}, {evening.date.day} {evening.date:%B}"
    heading = tag("h3", text(f"{when}: {evening.minutes}{budget} min{quiet}"))
    return heading + listed((_batch(one) for one in evening.batches), "ticks")


def _batch(batch: Batch) -> str:
    """Things made with one tool stand together, so that it warms up once."""
    if batch.tool is None or len(batch.items) < 2:
        return "<br>".join(_item(one) for one in batch.items)
    together = text(f"{batch.tool} (warm it up once, {batch.warm_up_min} min)")
    return together + listed((_item(one) for one in batch.items), "ticks")


def _item(item: PrepItem) -> str:
    done = " · done" if item.done else ""
    latest = f"{_date(item.latest.date)} {clock_text(item.latest.time)}"
    more = tag("span", text(f" for {item.wanted_for}; at the latest {latest}{done}"), "soft")
    return f"{text(f'{item.name} ({item.minutes} min)')}{more}"


def _shops(wanted: tuple[ToBuy, ...]) -> Iterator[str]:
    ordered = sorted(wanted, key=lambda one: (not one.buyable, one.shop))
    for (buyable, shop), some in groupby(ordered, key=lambda one: (one.buyable, one.shop)):
        heading = shop[:1].upper() + shop[1:] if buyable else "Ask around, or take what can stand in"
        yield tag("h3", text(heading)) + listed((_buy(one) for one in some), "ticks")


def _buy(one: ToBuy) -> str:
    parts = [f"for {', '.join(one.needed_for)}", f"needed {_date(one.need_by)}"]
    parts += [f"not before {_date(one.not_before)}: it would not keep"] if one.not_before else []
    parts += [f"{one.in_stock} in the house"] if one.in_stock else []
    parts += [f"or {', '.join(one.substitutes)}"] if one.substitutes else []
    return each((one.count, one.unit, one.name), " ") + tag("span", text(f" {'; '.join(parts)}"), "soft")


def _tool(one: ToolShort) -> str:
    instead = f"; or {', '.join(one.substitutes)}" if one.substitutes else ""
    return text(f"{one.name}: {one.have} of {one.want}, {_date(one.need_by)}, for {one.needed_for}{instead}")


def _book(one: BookLine) -> str:
    note = f" ({one.note})" if one.note else ""
    return text(f"{one.title}: {one.advice.value}, by {_date(one.by)}{note}")


def _later(lists: Ahead) -> Iterator[str]:
    for one in lists.later:
        yield text(f"{one.week}: {one.title}, {one.minutes} min")


def _date(day: datetime.date) -> str:
    return f"{day:%A} {day.day} {day:%B}"
