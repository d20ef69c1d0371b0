"""``lapful ahead``: what to make ready, buy and borrow."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from service.files import read_document, read_plan
from service.show.names import plain
from solver.domain.base import clock_text

if TYPE_CHECKING:
    from collections.abc import Iterator

    from service.ahead.views import Ahead, EveningList


NOTHING = "Nothing to make ready, to buy or to borrow: all of it is in the house."


def add_to(app: typer.Typer) -> None:
    """Add the command."""
    app.command("ahead")(look_ahead)


def look_ahead(
    household: Annotated[Path, typer.Argument(metavar="HOUSEHOLD.json", help="The household file.")],
    plans: Annotated[
        list[Path], typer.Argument(metavar="PLAN.json …", help="Plans of its weeks, the first first.")
    ],
    weeks: Annotated[int, typer.Option(min=1, max=8, help="How many weeks to look ahead.")] = 3,
    as_json: Annotated[bool, typer.Option("--json", help="Print the lists as JSON.")] = False,
) -> None:
    """List what to make ready by evening, one shopping list, and what to do about books."""
    from service.ahead.lists import ahead
    from service.files import pick_problem

    document = read_document(household)
    found = {plan.week: plan for plan in map(read_plan, plans)}
    first = next(iter(found))
    pick_problem(document, first)
    lists = ahead(document, found, first, weeks)
    if as_json:
        print(lists.model_dump_json(indent=2))
        return
    for line in list(_lines(lists)) or [NOTHING]:
        print(plain(line))


def _lines(lists: Ahead) -> Iterator[str]:
    for evening in lists.evenings:
        yield from _evening(evening)
    for later in lists.later:
        yield f"Later, {later.week}: {later.title} will take {later.minutes} min to make ready"
    for one in lists.to_buy:
        instead = f"; or {', '.join(one.substitutes)}" if one.substitutes else ""
        where = one.shop if one.buyable else "not at the weekly shop: ask around"
        fresh = f", not before {one.not_before}" if one.not_before else ""
        yield f"Buy {one.count} {one.unit} {one.name} by {one.need_by}{fresh} ({where}){instead}"
    for tool in lists.tools:
        yield f"Too few: {tool.name}, {tool.have} of {tool.want} for {tool.needed_for} on {tool.need_by}"
    for book in lists.books:
        yield f"{book.title}: {book.advice.value} by {book.by}{f'; {book.note.value}' if book.note else ''}"


def _evening(evening: EveningList) -> Iterator[str]:
    quiet = ", quietly" if evening.quiet else ""
    yield f"{evening.date} evening{quiet}: {evening.minutes} of {evening.budget} min"
    for batch in evening.batches:
        warm = f" (warm-up {batch.warm_up_min} min once)" if batch.warm_up_min else ""
        for item in batch.items:
            latest = f"{item.latest.date} {clock_text(item.latest.time)}"
            yield f"  {item.name} ({item.minutes} min){warm}, for {item.wanted_for}, at the latest {latest}"
