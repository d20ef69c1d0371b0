"""The week as one table a day: stretches and what is in them, between the fixed points."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from rich.console import Console
from rich.table import Table
from rich.text import Text

from service.show.names import Names, plain
from service.show.rest import show_rest
from solver.domain.base import DAYS, Day, clock_text
from solver.domain.plan import Booking, Caution, Plan
from solver.domain.week import Problem

_FIXED = "dim"
_COLUMNS = {"stretch": 3, "time": None, "what": 7, "who": 2, "adult": 2, "place": 3}
"""Shares of the width; the time takes what it needs."""


@dataclass(frozen=True)
class Row:
    """One line of a day; ``fixed`` lines are what the week is planned around."""

    start: int
    end: int
    what: str
    who: str = ""
    adult: str = ""
    place: str = ""
    stretch: str = ""
    fixed: bool = False


class Footnotes:
    """Numbers the cautions of a week, each text once."""

    def __init__(self) -> None:
        self.cautions: list[Caution] = []

    def marks(self, booking: Booking) -> str:
        """`` [1] [3]`` behind a booking with cautions."""
        return "".join(f" [{self._number(caution)}]" for caution in booking.cautions)

    def _number(self, caution: Caution) -> int:
        if caution not in self.cautions:
            self.cautions.append(caution)
        return self.cautions.index(caution) + 1


def show_plan(console: Console, problem: Problem, plan: Plan) -> None:
    """Print the whole week."""
    names, notes = Names(problem), Footnotes()
    console.print(_headline(problem, plan), style="bold", markup=False)
    for day in DAYS:
        rows = list(_rows(problem, plan, day, names, notes))
        if any(not row.fixed for row in rows) or day in problem.week.teaching_days:
            console.print()
            console.print(_day_table(day, rows))
    _show_footnotes(console, notes)
    show_rest(console, problem, plan, names)


def _headline(problem: Problem, plan: Plan) -> str:
    week = problem.week
    theme = f" · {plain(week.theme)}" if week.theme else ""
    monday = f"Monday {week.monday.day} {week.monday:%B %Y}"
    return f"{plain(problem.household.name)} · {plan.week}, from {monday}{theme}"


def _day_table(day: Day, rows: list[Row]) -> Table:
    name = day.value.capitalize()
    table = Table(title=name, title_justify="left", title_style="bold", box=None, expand=True)
    for heading, ratio in _COLUMNS.items():
        table.add_column(heading, header_style=_FIXED, overflow="fold", ratio=ratio, no_wrap=ratio is None)
    before = ""
    for row in sorted(rows, key=lambda row: (row.start, row.end)):
        shown = "" if row.fixed or row.stretch == before else row.stretch
        before = before if row.fixed else row.stretch
        times = f"{clock_text(row.start)}–{clock_text(row.end)}"
        cells = (shown, times, row.what, row.who, row.adult, row.place)
        table.add_row(*(Text(cell) for cell in cells), style=_FIXED if row.fixed else "")
    return table


def _rows(problem: Problem, plan: Plan, day: Day, names: Names, notes: Footnotes) -> Iterator[Row]:
    yield from _fixed_rows(problem, day, names)
    yield from _nap_rows(problem, day)
    titles = {booking.id: names.title(booking) for booking in plan.bookings}
    for booking in sorted(plan.bookings, key=lambda one: (one.start, one.id)):
        if booking.day == day:
            yield _booking_row(booking, titles, names, notes)


def _fixed_rows(problem: Problem, day: Day, names: Names) -> Iterator[Row]:
    for point in problem.household.fixed_points + problem.week.fixed_points:
        if point.on(day):
            yield Row(
                point.start,
                point.end,
                plain(point.title),
                who=names.who(point.children),
                adult=names.all(point.adults),
                place=names.of(point.place) if point.place else "",
                fixed=True,
            )


def _nap_rows(problem: Problem, day: Day) -> Iterator[Row]:
    for child in problem.household.children:
        for nap in child.naps:
            if not nap.days or day in nap.days:
                yield Row(nap.start, nap.end, "nap", who=plain(child.name), fixed=True)


def _booking_row(booking: Booking, titles: dict[str, str], names: Names, notes: Footnotes) -> Row:
    what = titles[booking.id]
    if booking.alongside:
        what += f", alongside {titles.get(booking.alongside, booking.alongside)}"
    adult = names.all(booking.helpers)
    if booking.minder:
        adult += f"; {names.of(booking.minder)} has the others"
    who = names.who(tuple(one.child for one in booking.attends))
    if booking.along:
        who += f"; {names.all(booking.along)} along"
    return Row(
        booking.start,
        booking.start + booking.minutes,
        what + notes.marks(booking),
        who=who or "adult's step",
        adult=adult,
        place=names.of(booking.place),
        stretch=names.of(booking.stretch) if booking.stretch else "at the meal",
    )


def _show_footnotes(console: Console, notes: Footnotes) -> None:
    if not notes.cautions:
        return
    console.print("\nTake care", style="bold")
    for number, caution in enumerate(notes.cautions, 1):
        source = f" ({plain(caution.source)})" if caution.source else ""
        console.print(f"[{number}] {plain(caution.text)}{source}", markup=False, highlight=False)
