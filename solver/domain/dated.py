"""The household as one week finds it: loans by their dates, the cupboard as on its Monday."""

from __future__ import annotations

import datetime

from solver.domain.base import DAYS, Moment
from solver.domain.home import Book, BookState, Material
from solver.domain.week import Household, Week

DUE_AT, ARRIVES_AT = 17 * 60, 12 * 60
"""A date says no hour: a loan goes back in the afternoon, and what is fetched is there from noon on."""


def of_week(house: Household, week: Week) -> Household:
    """What is dated as this week sees it, and what its log took out of the cupboard put back in."""
    books = tuple(_loan(book, week.monday) for book in house.books)
    materials = tuple(_on_monday(one, week) for one in house.materials)
    if (books, materials) == (house.books, house.materials):
        return house
    return house.model_copy(update={"books": books, "materials": materials})


def _on_monday(material: Material, week: Week) -> Material:
    taken = week.taken.get(material.id, 0)
    return material.model_copy(update={"count": material.count + taken}) if taken else material


def _loan(book: Book, monday: datetime.date) -> Book:
    if book.due_on is None and book.arrives_on is None:
        return book
    change: dict[str, object] = {"due_on": None, "arrives_on": None}
    if book.due_on is not None:
        change["due"] = _moment(book.due_on, monday, DUE_AT)
        if book.due_on < monday:
            # It has gone back by now, so nothing of this week can be read from it.
            change["state"] = BookState.RESERVED
    if book.arrives_on is not None:
        change["arrives"] = None if book.arrives_on < monday else _moment(book.arrives_on, monday, ARRIVES_AT)
    return book.model_copy(update=change)


def _moment(date: datetime.date, monday: datetime.date, minute: int) -> Moment | None:
    """A date within a week; before it, its very beginning; after it, for a loan no limit at all."""
    index = (date - monday).days
    if index < 0:
        return Moment(day=DAYS[0], time=0)
    if index < len(DAYS):
        return Moment(day=DAYS[index], time=minute)
    return None if minute == DUE_AT else Moment(day=DAYS[-1], time=24 * 60)
