"""``lapful record``: days and hours, areas, and what to hand in."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from service.days import EVER, FOREVER
from service.errors import BadInput
from service.show.names import plain
from solver.domain.faults import Fault

if TYPE_CHECKING:
    from service.record.views import RuleProgress
    from service.store import Store
    from solver.domain.people import Child

FolderOption = Annotated[
    Path | None, typer.Option("--data", help="The data folder; the usual place for this user if not given.")
]
SinceOption = Annotated[
    datetime.datetime | None, typer.Option("--since", formats=["%Y-%m-%d"], help="The first day.")
]
UntilOption = Annotated[
    datetime.datetime | None, typer.Option("--until", formats=["%Y-%m-%d"], help="The last day.")
]
ENDINGS = (".csv", ".xlsx", ".html")


def add_to(app: typer.Typer) -> None:
    """Add the group of commands."""
    group = typer.Typer(help="What was done: hours, areas, and a file to hand in.", no_args_is_help=True)
    group.command()(hours)
    group.command()(areas)
    group.command()(export)
    app.add_typer(group, name="record")


@contextmanager
def _opened(data: Path | None) -> Iterator[Store]:
    from service.care.devices import opened
    from service.store import default_folder

    with closing(opened(data or default_folder())) as store:
        yield store


def _period(
    since: datetime.datetime | None, until: datetime.datetime | None
) -> tuple[datetime.date, datetime.date]:
    first, last = since.date() if since else EVER, until.date() if until else FOREVER
    if last < first:
        message = f"{last} lies before {first}; swap --since and --until"
        raise BadInput(message, [Fault(path="--until", message=message)])
    return first, last


def hours(data: FolderOption = None, since: SinceOption = None, until: UntilOption = None) -> None:
    """Days and hours of each child, and where it stands by the family's own rule."""
    from service.record.minutes import LAW, progress
    from service.record.routes import get_log, get_rules

    first, last = _period(since, until)
    with _opened(data) as store:
        lines = get_log(store, first, last)
        for child in store.current().document.household.children:
            mine = [one for one in lines if one.child == child.id and one.outcome.happened and one.counts]
            days, minutes = len({line.date for line in mine}), sum(line.minutes for line in mine)
            print(plain(f"{child.name}: {days} days, {minutes / 60:.2f} hours"))
            for rule in get_rules(store):
                if rule.child == child.id:
                    for said in _stands(progress(rule, get_log(store, rule.since, rule.until))):
                        print(plain(said))
    print(LAW)


def _stands(stand: RuleProgress) -> Iterator[str]:
    counts = {"days": stand.days, "hours": stand.hours}
    kind = stand.rule.kind.value
    if kind in counts:
        yield f"  own rule: {counts[kind]:g} of {stand.rule.target} {kind}"
        yield f"  {stand.note}"


def areas(data: FolderOption = None, since: SinceOption = None, until: UntilOption = None) -> None:
    """Minutes of each child by learning area; tags of our own say so."""
    from service.record.areas import OWN_MARK, SOURCE
    from service.record.minutes import by_subject
    from service.record.routes import get_log

    first, last = _period(since, until)
    with _opened(data) as store:
        house = store.current().document.household
        names = {child.id: child.name for child in house.children}
        for one in by_subject(house, get_log(store, first, last)):
            own = f" ({OWN_MARK})" if one.subject.own else ""
            who = names.get(one.child, one.child)
            print(plain(f"{who}: {one.subject.name}{own}: {one.minutes} min in {one.times} times"))
    print(f"Areas by: {SOURCE}")


def export(
    out: Annotated[Path, typer.Option(metavar="FILE", help="A file ending in .csv, .xlsx or .html.")],
    child: Annotated[
        str | None, typer.Option(metavar="CHILD", help="With .html: whose portfolio, by id.")
    ] = None,
    data: FolderOption = None,
    since: SinceOption = None,
    until: UntilOption = None,
) -> None:
    """Write log, areas and observations as tables, or one child's portfolio as a page."""
    if out.suffix.lower() not in ENDINGS:
        raise _refused("--out", f"name a file that ends in one of {', '.join(ENDINGS)}")
    period = _period(since, until)
    with _opened(data) as store:
        body = (
            _portfolio(store, child, period) if out.suffix.lower() == ".html" else _tables(store, out, period)
        )
    try:
        out.write_bytes(body)
    except OSError as error:
        raise _refused("--out", f"{out}: {error.strerror}; give a file that can be written") from error
    print(f"Written: {out} ({len(body)} bytes)")


def _tables(store: Store, out: Path, period: tuple[datetime.date, datetime.date]) -> bytes:
    from service.paper.cells import csv_bytes, xlsx_bytes
    from service.record.minutes import by_subject
    from service.record.routes import get_log, get_observations
    from service.record.tables import record_tables

    house, lines = store.current().document.household, get_log(store, *period)
    tables = record_tables(house, lines, by_subject(house, lines), get_observations(store, *period))
    return xlsx_bytes(tables) if out.suffix.lower() == ".xlsx" else csv_bytes(tables)


def _portfolio(store: Store, ident: str | None, period: tuple[datetime.date, datetime.date]) -> bytes:
    from service.record.portfolio import portfolio
    from service.record.routes import get_log, get_observations, get_rules

    house = store.current().document.household
    child = _child(house.children, ident)
    lines, seen = get_log(store, *period), get_observations(store, *period)
    dates = [one.date for one in lines if one.child == child.id]
    period = _spanned(period, dates + [one.date for one in seen if one.child == child.id])
    return portfolio(house, child, period, lines, seen, get_rules(store)).encode()


def _spanned(
    period: tuple[datetime.date, datetime.date], dates: list[datetime.date]
) -> tuple[datetime.date, datetime.date]:
    """Without a first or last day given: from the first thing written down to the last."""
    if not dates:
        return period
    first = min(dates) if period[0] == EVER else period[0]
    return first, max(dates) if period[1] == FOREVER else period[1]


def _child(children: tuple[Child, ...], ident: str | None) -> Child:
    found = next((one for one in children if one.id == ident), None)
    if found is None:
        known = ", ".join(one.id for one in children)
        raise _refused("--child", f"a portfolio is one child's; give one of {known}")
    return found


def _refused(path: str, message: str) -> BadInput:
    return BadInput(message, [Fault(path=path, message=message)])
