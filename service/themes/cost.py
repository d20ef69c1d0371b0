"""What a theme costs this household, before anybody commits to it."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Sequence
from enum import StrEnum

from service.ahead.loans import HOLD_DAYS
from service.errors import NotFound
from solver.domain.activity import Activity, Kind
from solver.domain.base import (
    DAY_MIN,
    ActivityId,
    AreaId,
    BookId,
    ChildId,
    Count,
    Frozen,
    Mess,
    Minutes,
    Name,
)
from solver.domain.document import Document
from solver.domain.home import BookState

HEADLINES = (Kind.OUTING, Kind.COOKING, Kind.CRAFT, Kind.CELEBRATION)
"""Kinds that make a theme worth it; they fall off last."""


class Reserve(Frozen):
    """A book that is not in the house yet."""

    book: BookId
    title: Name
    by: datetime.date


class Thin(Frozen):
    """An area that the theme itself gives a child too seldom."""

    child: ChildId
    area: AreaId
    name: Name
    times_a_week: float
    wanted: Count


class Lacking(StrEnum):
    """What there is too little of."""

    EVENINGS = "no evening minutes left"
    MONEY = "no money left"
    ROOM = "no room for more of the theme"
    MESS = "no day left for that much mess"


class Dropped(Frozen):
    """An activity that falls off, and what it would have taken."""

    activity: ActivityId
    title: Name
    because: Lacking


class Size(Frozen):
    """The theme in so many weeks."""

    weeks: Count
    kept: tuple[ActivityId, ...]
    falls_off: tuple[Dropped, ...]
    prep_min: Count
    money: Count


class ThemeCost(Frozen):
    """All of a theme, and how it shrinks or stretches."""

    theme: Name
    activities: Count
    sittings: Count
    prep_min: Count
    prep_a_week: Minutes
    """What the household has on its evenings."""
    money: Count
    money_a_week: Count
    two_adult_slots: Count
    two_adult_min: Count
    drying_days: float
    """Days that something stands on a tray, a line or a sill, all together."""
    big_messes: Count
    reserve: tuple[Reserve, ...]
    thin: tuple[Thin, ...]
    sizes: tuple[Size, ...]


def theme_cost(document: Document, theme: str, start: datetime.date, away: set[ActivityId]) -> ThemeCost:
    """What a theme that starts on a day takes.

    Raises
    ------
    NotFound
        When nothing in the catalogue belongs to it.
    """
    chosen = activities_of(document, theme, start, away)
    if not chosen:
        known = sorted({one.theme for one in document.activities if one.theme})
        raise NotFound(
            f"nothing for {theme[:40]!r} suits these children; the catalogue has {', '.join(known)}"
        )
    limits = document.household.limits
    sizes = tuple(_size(document, chosen, weeks) for weeks in (1, 2, 3, 4))
    two = [sitting for one in chosen if one.adults_needed > 1 for sitting in one.sittings]
    return ThemeCost(
        theme=theme,
        activities=len(chosen),
        sittings=sum(len(one.sittings) for one in chosen),
        prep_min=sum(prep_of(one) for one in chosen),
        prep_a_week=sum(one.minutes for one in limits.prep),
        money=sum(one.cost for one in chosen),
        money_a_week=limits.money_a_week,
        two_adult_slots=len(two),
        two_adult_min=sum(_minutes(sitting.parts.values()) for sitting in two),
        drying_days=round(
            sum(w.least_min * w.units for one in chosen for w in one.waits if w.holder) / DAY_MIN, 1
        ),
        big_messes=sum(s.mess >= Mess.FLOOR_AND_CLOTHES for one in chosen for s in one.sittings),
        reserve=tuple(_reserve(document, chosen, start)),
        thin=tuple(_thin(document, chosen, _weeks_needed(sizes), start)),
        sizes=sizes,
    )


def activities_of(
    document: Document, theme: str, start: datetime.date, away: set[ActivityId]
) -> list[Activity]:
    """The theme's activities that suit a child here, headlines first, then what is soon made ready."""
    ages = [
        child.age_months(start.year, start.month) for child in document.household.children if child.learner
    ]
    meant = [
        one
        for one in document.activities
        if one.theme == theme and one.id not in away and any(one.version_for(months) for months in ages)
    ]
    return sorted(meant, key=lambda one: (one.kind not in HEADLINES, prep_of(one) + 5 * one.cost, one.id))


def prep_of(activity: Activity) -> int:
    """Minutes of making ready for one go."""
    return sum(task.minutes for task in activity.prep)


def _minutes(parts: Iterable[object]) -> int:
    return max((int(getattr(part, "minutes", 0)) for part in parts), default=0)


def _size(document: Document, chosen: Sequence[Activity], weeks: int) -> Size:
    limits = document.household.limits
    left = {
        Lacking.EVENINGS: weeks * sum(one.minutes for one in limits.prep),
        Lacking.MONEY: weeks * limits.money_a_week,
        Lacking.ROOM: weeks * 5 * limits.theme_things_a_day,
        Lacking.MESS: weeks * 5 * limits.big_mess_a_day,
    }
    kept: list[Activity] = []
    dropped: list[Dropped] = []
    for one in chosen:
        asks = dict(zip(left, _asks(one), strict=True))
        lacking = next((why for why, amount in asks.items() if amount > left[why]), None)
        if lacking:
            dropped.append(Dropped(activity=one.id, title=one.title, because=lacking))
            continue
        kept.append(one)
        left = {why: left[why] - amount for why, amount in asks.items()}
    return Size(
        weeks=weeks,
        kept=tuple(one.id for one in kept),
        falls_off=tuple(dropped),
        prep_min=sum(prep_of(one) for one in kept),
        money=sum(one.cost for one in kept),
    )


def _asks(activity: Activity) -> tuple[int, int, int, int]:
    big = sum(sitting.mess >= Mess.FLOOR_AND_CLOTHES for sitting in activity.sittings)
    return prep_of(activity), activity.cost, len(activity.sittings), big


def _weeks_needed(sizes: Sequence[Size]) -> int:
    return next((size.weeks for size in sizes if not size.falls_off), len(sizes))


def _reserve(document: Document, chosen: Sequence[Activity], start: datetime.date) -> Iterator[Reserve]:
    wanted = {one.book for one in chosen if one.book}
    for book in document.household.books:
        is_here = book.state is BookState.OWNED or (book.due_on is not None and book.due_on >= start)
        if book.id in wanted and not is_here:
            yield Reserve(book=book.id, title=book.title, by=start - datetime.timedelta(days=HOLD_DAYS))


def _thin(document: Document, chosen: Sequence[Activity], weeks: int, start: datetime.date) -> Iterator[Thin]:
    for child in document.household.children:
        if not child.learner:
            continue
        mine = [one for one in chosen if one.version_for(child.age_months(start.year, start.month))]
        for area in document.household.areas:
            times = sum(len(one.sittings) for one in mine if area.id in one.areas) / weeks
            if times < area.least_times:
                yield Thin(
                    child=child.id,
                    area=area.id,
                    name=area.name,
                    times_a_week=round(times, 2),
                    wanted=area.least_times,
                )
