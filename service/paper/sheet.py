"""The week on one side of one sheet, for the refrigerator."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator
from itertools import groupby

from service.paper.html import ADVICE, Read, each, listed, page, section, tag, text
from service.paper.lines import Line, by_day, evening_name, fixed_points, lines_of, used_days
from service.paper.moments import date_of
from service.show.names import Names, moment_text
from service.show.week import Footnotes
from solver.domain.base import Day, Evening, clock_text
from solver.domain.plan import Fate, Plan
from solver.domain.week import Problem

_SIZES = (
    (9.0, 1.28, ""),
    (8.0, 1.28, "fine"),
    (7.0, 1.22, "finer"),
    (6.2, 1.18, "finest"),
    (5.4, 1.15, "crowded"),
)
"""Sizes of print in points, with the height of a line, and what the style sheet calls them."""
_WIDTH_MM, _HEIGHT_MM = 279.0, 174.0
"""What A4 landscape leaves between margins, below the headline and above the last line."""
_PT_MM = 25.4 / 72
_TAGS = re.compile(r"<[^>]*>")


def week_sheet(problem: Problem, plan: Plan, *, linked: bool = False, as_read: Read = str) -> str:
    """The whole sheet as a document of its own."""
    lines, notes = lines_of(problem, plan), Footnotes()
    days = used_days(problem, lines)
    grouped = by_day(lines)
    columns = [_day(problem, day, grouped.get(day, []), notes) for day in days]
    rest = _rest(problem, plan, lines, notes)
    read = [as_read(column) for column in columns]
    size = _size(read, as_read(rest))
    if size is None:
        # Too much for one side: what was held over keeps its names, the reasons stay on the page.
        rest = _rest(problem, plan, lines, notes, brief=True)
        size = _size(read, as_read(rest)) or _SIZES[-1][2]
    body = _head(problem) + tag("main", "".join(columns), "days") + tag("div", rest, "rest")
    body += tag("p", _advice(notes), "advice")
    title = f"{problem.household.name}, {plan.week}"
    return page(title, body, "week", linked=linked, size=size)


def _size(columns: list[str], rest: str) -> str | None:
    """The largest print in which the week stays on one side, or None."""
    for points, line, size in _SIZES:
        wide = _WIDTH_MM / max(1, len(columns)) - 4
        days = [_lines(one, wide, points) * line + _air(one) for one in columns]
        below = (_lines(rest, _WIDTH_MM / 4 - 4, points) * line + 0.5 * rest.count("<section")) / 4
        if (max(days, default=0.0) + 1.25 * below) * points * _PT_MM <= _HEIGHT_MM:
            return size
    return None


def _air(column: str) -> float:
    """Space between the entries of a day, in heights of its letters."""
    return 0.22 * column.count("<li") + 0.35 * column.count("<h3")


def _lines(html: str, width: float, points: float) -> int:
    """About how many lines so much text takes; a letter is a little more than half as wide as high."""
    letters = max(8, int(width / (0.53 * points * _PT_MM)))
    pieces = _TAGS.sub("", re.sub(r"<(li|h2|h3|br)", r"\n<\1", html)).splitlines()
    return sum(math.ceil(len(piece) / letters) for piece in pieces)


def _head(problem: Problem) -> str:
    week = problem.week
    last = date_of(week.monday, Day.SUNDAY)
    dates = f"{week.monday.day} {week.monday:%B} to {last.day} {last:%B %Y}"
    theme = f"{week.theme}: " if week.theme else ""
    return tag(
        "header",
        tag("h1", text(f"{theme}{dates}"))
        + tag("span", text(problem.household.name))
        + tag("span", text("Order first, the clock second. What does not happen can wait.")),
        "head",
    )


def _advice(notes: Footnotes) -> str:
    return text(ADVICE if notes.cautions else "The rules of where you live come first.")


def _day(problem: Problem, day: Day, lines: list[Line], notes: Footnotes) -> str:
    date = date_of(problem.week.monday, day)
    heading = tag("h2", text(f"{day.value.capitalize()} {date.day} {date:%b}"))
    blocks = [(line.booking.start, line.stretch, _entry(line, notes)) for line in lines]
    blocks += [(point.start, "", _fixed(point.title, point.start)) for point in fixed_points(problem, day)]
    blocks.sort(key=lambda block: block[0])
    return tag("section", heading + "".join(_stretches(blocks)), "day")


def _stretches(blocks: list[tuple[int, str, str]]) -> Iterator[str]:
    before = ""
    for stretch, some in groupby(blocks, key=lambda block: block[1]):
        items = "".join(block[2] for block in some)
        yield (tag("h3", text(stretch)) if stretch not in ("", before) else "") + tag("ul", items)
        before = stretch or before


def _fixed(title: str, start: int) -> str:
    return tag("li", f"<time>{clock_text(start)}</time> {text(title)}", "fixed")


def _entry(line: Line, notes: Footnotes) -> str:
    marks = text(notes.marks(line.booking))
    first = f"<time>{clock_text(line.booking.start)}</time> "
    first += tag("span", text(line.title), "promise" if line.promise else "tick") + marks
    who = tag("span", text(line.children), "who")
    adult = f" · {text(line.adults)}" if line.adults else ""
    return tag("li", f"{first}<br>{who}{adult} · {tag('span', text(line.place), 'soft')}")


def _rest(
    problem: Problem, plan: Plan, lines: tuple[Line, ...], notes: Footnotes, *, brief: bool = False
) -> str:
    names = Names(problem)
    titles = {line.booking.id: line.title for line in lines}
    parts = (
        ("To make ready", listed(_prep(plan, titles))),
        ("To buy", listed(_shopping(plan))),
        ("Waiting meanwhile", listed(_waiting(plan, names, titles))),
        ("Books to give back", listed(_books(problem))),
        ("Held over or let go", _titles(plan) if brief else listed(_left_over(plan))),
        ("Take care", _cautions(notes)),
    )
    return "".join(section(heading, inner) for heading, inner in parts)


def _prep(plan: Plan, titles: dict[str, str]) -> Iterator[str]:
    for evening in Evening:
        tasks = sorted((one for one in plan.prep if one.evening is evening), key=lambda one: one.batch or "")
        if tasks:
            said = "; ".join(f"{one.name} ({one.minutes} min)" for one in tasks)
            yield f"{tag('strong', text(evening_name(evening)))}: {text(said)}"


def _shopping(plan: Plan) -> Iterator[str]:
    for one in plan.shopping:
        yield each((one.count, one.unit, one.name), " ") + text(f", needed {moment_text(one.need_by)}")


def _waiting(plan: Plan, names: Names, titles: dict[str, str]) -> Iterator[str]:
    for one in plan.waiting:
        what = titles.get(one.after or one.before or "", "")
        where = f", {names.of(one.holder)}" if one.holder else ""
        until = f", until {moment_text(one.until)}" if one.until else ", past the week"
        yield text(f"{what} {one.kind}{where}{until}".strip())


def _books(problem: Problem) -> Iterator[str]:
    wanted = {one.book for one in problem.activities if one.book}
    for book in problem.household.books:
        if book.due and book.id in wanted:
            yield text(f"{book.title}: {moment_text(book.due)}")


def _titles(plan: Plan) -> str:
    return text(", ".join(dict.fromkeys(one.title for one in plan.left_over)))


def _left_over(plan: Plan) -> Iterable[str]:
    said = (_fate(one.title, one.fate, one.until, one.reason.sentence) for one in plan.left_over)
    return dict.fromkeys(said)


def _fate(title: str, fate: Fate, until: str, because: str) -> str:
    word = "held over" if fate is Fate.HELD_OVER else "let go"
    return text(f"{title}, {word}{f' {until}' if until else ''}: {because}")


def _cautions(notes: Footnotes) -> str:
    items = (
        f"[{number}] {tag('span', text(one.text))}" + (f" <em>{text(one.source)}</em>" if one.source else "")
        for number, one in enumerate(notes.cautions, 1)
    )
    return listed(items, "care")
