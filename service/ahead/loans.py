"""Books: what is due, what to renew, what to reserve in time."""

from __future__ import annotations

import datetime
from collections.abc import Iterator

from service.ahead.demand import Ask, Plans, books_wanted
from service.ahead.views import BookAdvice, BookLine, BookNote
from service.paper.moments import date_of
from solver.domain.document import Document
from solver.domain.home import Book, BookState
from solver.domain.week import Week

HOLD_DAYS = 14
"""A hold takes 3 to 14 days (common practice, no source), so it is placed a fortnight before."""


def book_lines(document: Document, weeks: tuple[Week, ...], plans: Plans) -> Iterator[BookLine]:
    """The next thing to do about each book, soonest first; what is due later than these weeks can wait."""
    wanted = books_wanted(document, weeks, plans)
    monday, end = weeks[0].monday, weeks[-1].monday + datetime.timedelta(days=13)
    lines = [_line(book, wanted.get(book.id, []), monday) for book in document.household.books]
    soon = [line for line in lines if line and line.by <= end]
    yield from sorted(soon, key=lambda line: (line.by, line.title))


def _line(book: Book, asks: list[Ask], monday: datetime.date) -> BookLine | None:
    if book.state is BookState.OWNED:
        return None
    if book.state is BookState.RESERVED:
        return _reserved(book, asks, monday)
    due = due_date(book, monday)
    if due is None:
        return None
    late = [ask for ask in asks if ask.date > due]
    early = [ask for ask in asks if ask.date <= due]
    if late and book.renewals_left:
        return _said(book, BookAdvice.RENEW, due, asks, BookNote.AFTER_DUE, due)
    if late:
        by = max(monday, late[0].date - datetime.timedelta(days=HOLD_DAYS))
        return _said(book, BookAdvice.RESERVE, by, late, BookNote.NO_RENEWAL, due)
    return _said(book, BookAdvice.READ if early else BookAdvice.GIVE_BACK, due, asks, due=due)


def due_date(book: Book, monday: datetime.date) -> datetime.date | None:
    """When a loan goes back; one without a date is meant in the week of this Monday."""
    return book.due_on or (date_of(monday, book.due.day) if book.due else None)


def _reserved(book: Book, asks: list[Ask], monday: datetime.date) -> BookLine | None:
    arrives = book.arrives_on or (date_of(monday, book.arrives.day) if book.arrives else None)
    if arrives:
        missing = [ask for ask in asks if ask.date < arrives]
        note = BookNote.BEFORE_ARRIVAL if missing else BookNote.NONE
        return _said(book, BookAdvice.FETCH, arrives, asks, note)
    if not asks:
        return None
    by = max(monday, asks[0].date - datetime.timedelta(days=HOLD_DAYS))
    return _said(book, BookAdvice.RESERVE, by, asks, BookNote.OWN_MEANWHILE)


def _said(
    book: Book,
    advice: BookAdvice,
    by: datetime.date,
    asks: list[Ask],
    note: BookNote = BookNote.NONE,
    due: datetime.date | None = None,
) -> BookLine:
    return BookLine(
        book=book.id,
        title=book.title,
        advice=advice,
        by=by,
        due=due,
        renewals_left=book.renewals_left,
        wanted_in=tuple(dict.fromkeys(ask.week.id for ask in asks)),
        note=note,
    )
