"""The lists as tables."""

from __future__ import annotations

from service.ahead.views import Ahead
from service.paper.cells import Table
from service.paper.lines import evening_name
from solver.domain.base import clock_text


def ahead_tables(lists: Ahead) -> tuple[Table, ...]:
    """Every list as a table."""
    prep = tuple(
        (
            evening.date.isoformat(),
            evening_name(evening.evening),
            batch.tool or "",
            item.name,
            item.minutes,
            item.wanted_for,
            f"{item.latest.date.isoformat()} {clock_text(item.latest.time)}",
            "yes" if item.done else "",
        )
        for evening in lists.evenings
        for batch in evening.batches
        for item in batch.items
    )
    buy = tuple(
        (
            one.name,
            one.count,
            one.unit,
            one.need_by.isoformat(),
            one.not_before.isoformat() if one.not_before else "",
            one.shop,
            one.cost,
            ", ".join(one.substitutes),
        )
        for one in lists.to_buy
    )
    books = tuple((one.title, one.advice.value, one.by.isoformat(), one.note.value) for one in lists.books)
    head = ("date", "evening", "tool", "what", "minutes", "for", "latest", "done")
    return (
        Table("to make ready", head, prep),
        Table(
            "to buy", ("what", "count", "unit", "need by", "not before", "shop", "cost", "or instead"), buy
        ),
        Table("books", ("title", "what to do", "by", "note"), books),
    )
