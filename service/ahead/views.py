"""The lists of what is to be done beforehand."""

from __future__ import annotations

import datetime
from enum import StrEnum

from solver.domain.base import (
    BookId,
    Clock,
    Count,
    Evening,
    Frozen,
    Id,
    MaterialId,
    Minutes,
    Name,
    Text,
    WishId,
)
from solver.domain.week import WeekId


class When(Frozen):
    """A moment of a day."""

    date: datetime.date
    time: Clock


class PrepItem(Frozen):
    """One thing to make ready."""

    week: WeekId
    wish: WishId
    go: Count
    task: Id
    name: Name
    minutes: Minutes
    """Without the warm-up of its batch."""
    noisy: bool
    wanted_for: Text
    latest: When
    """The last moment at which it helps."""
    done: bool


class Batch(Frozen):
    """Things made with one tool on one evening: it warms up once."""

    tool: Id | None
    warm_up_min: Minutes
    items: tuple[PrepItem, ...]


class EveningList(Frozen):
    """One evening."""

    week: WeekId
    evening: Evening
    date: datetime.date
    minutes: Minutes
    """All of it, each warm-up once."""
    budget: Minutes
    quiet: bool
    """Somebody sleeps: nothing noisy."""
    batches: tuple[Batch, ...]


class LaterPrep(Frozen):
    """What a week that is not planned yet will ask for."""

    week: WeekId
    title: Name
    minutes: Minutes
    """Of all its goes."""


class ToBuy(Frozen):
    """A supply that the plans and wishes take beyond what is there."""

    material: MaterialId
    name: Name
    count: Count
    unit: Name
    in_stock: Count
    """Now: what was ticked as done is out of it."""
    need_by: datetime.date
    not_before: datetime.date | None = None
    """It perishes: bought earlier it would not keep until it is used."""
    needed_for: tuple[Name, ...]
    shop: Text
    """The last shop before it is needed, in words."""
    shop_on: datetime.date | None = None
    """The same as a day; the shop before a week is taken to be on its Saturday."""
    closes: Text = ""
    """When the list for that shop closes."""
    cost: Count
    buyable: bool
    """False: the weekly shop does not have it; ask around, or take what can stand in."""
    substitutes: tuple[Name, ...]


class ToolShort(Frozen):
    """A tool of which there are too few."""

    material: MaterialId
    name: Name
    have: Count
    want: Count
    need_by: datetime.date
    needed_for: Name
    substitutes: tuple[Name, ...]


class BookAdvice(StrEnum):
    """What to do about a book."""

    READ = "read it before it is due"
    RENEW = "renew it"
    RESERVE = "reserve it"
    GIVE_BACK = "give it back"
    FETCH = "fetch it when it arrives"


class BookNote(StrEnum):
    """What is good to know about it."""

    NONE = ""
    AFTER_DUE = "a reading comes after it is due"
    NO_RENEWAL = "it is due before that, and cannot be renewed"
    BEFORE_ARRIVAL = "something is planned before it arrives; keep one of your own at hand"
    OWN_MEANWHILE = "keep one of your own at hand until it is here"


class BookLine(Frozen):
    """One book and the next thing to do about it."""

    book: BookId
    title: Name
    advice: BookAdvice
    by: datetime.date
    due: datetime.date | None = None
    renewals_left: Count
    wanted_in: tuple[WeekId, ...]
    note: BookNote = BookNote.NONE


class Ahead(Frozen):
    """One week firm, the weeks after it softly."""

    weeks: tuple[WeekId, ...]
    planned: tuple[WeekId, ...]
    evenings: tuple[EveningList, ...]
    later: tuple[LaterPrep, ...]
    to_buy: tuple[ToBuy, ...]
    tools: tuple[ToolShort, ...]
    books: tuple[BookLine, ...]
