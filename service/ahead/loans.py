"""Books: what is due, what to renew, what to reserve in time."""

from __future__ import annotations

import datetime
from collections.abc import Iterator

from service.ahead.demand import Ask, Plans, books_wanted
from service.ahead.views import BookAdvice, BookLine
from service.paper.moments import date_of
from solver.domain.document import Document
from solver.domain.home import Book, BookState
from solver.domain.week import Week

HOLD_DAYS = 14
"""A hold takes 3 to 14 days (common practice, no source), so it is placed a fortnight before."""


def book_lines(document: Document, weeks: tuple[Week, ...], plans: Plans) -> Iterator[BookLine]:
    """The next thing to do about each book, soonest first. Dates of loans are meant in the first week."""
    wanted = books_wanted(document, weeks, plans)
    monday = weeks[0].monday
    lines = [_line(book, wanted.get(book.id, []), monday) for book in document.household.books]
    yield from sorted((line for line in lines if line), key=lambda line: (line.by, line.title))


def _line(book: Book, asks: list[Ask], monday: datetime.date) -> BookLine | None:
    if book.state is BookState.OWNED:
        return None
    if book.state is BookState.RESERVED:
        return _reserved(book, asks, monday)
    if book.due is None:
        return None
    due = date_of(monday, book.due.day)
    late = [ask for ask in asks if ask.date > due]
    early = [ask for ask in asks if ask.date <= due]
    if late and book.renewals_left:
        return _said(book, BookAdvice.RENEW, due, asks, "a reading comes after it is due")
    if late:
        by = max(monday, late[0].date - datetime.timedelta(days=HOLD_DAYS))
        return _said(book, BookAdvice.RESERVE, by, late, "it is due before that, and cannot be renewed")
    return _said(book, BookAdvice.READ if early else BookAdvice.GIVE_BACK, due, asks)


def _reserved(book: Book, asks: list[Ask], monday: datetime.date) -> BookLine | None:
    if book.arrives:
        arrives = date_of(monday, book.arrives.day)
        missing = [ask for ask in asks if ask.date < arrives]
        note = "something is planned before it arrives; keep one of your own at hand" if missing else ""
        return _said(book, BookAdvice.FETCH, arrives, asks, note)
    if not asks:
        return None
    by = max(monday, asks[0].date - datetime.timedelta(days=HOLD_DAYS))
    return _said(book, BookAdvice.RESERVE, by, asks, "keep one of your own at hand until it is here")


def _said(book: Book, advice: BookAdvice, by: datetime.date, asks: list[Ask], note: str = "") -> BookLine:
    return BookLine(
        book=book.id,
        title=book.title,
        advice=advice,
        by=by,
        renewals_left=book.renewals_left,
        wanted_in=tuple(dict.fromkeys(ask.week.id for ask in asks)),
        note=note,
    )
