"""Taking a theme: its activities become wishes of so many weeks, in the place of other themes' extras."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Sequence
from typing import Annotated, Self

from pydantic import Field, model_validator

from service.catalogue.shelf import activity_of
from service.errors import BadInput
from service.store import week_of
from service.themes.cost import HEADLINES, prep_of
from service.themes.rollover import Wanted, free_id, next_week, week_after, with_week
from solver.domain.activity import Activity
from solver.domain.base import ActivityId, Frozen, require_distinct
from solver.domain.document import Document
from solver.domain.faults import Fault
from solver.domain.week import Rank, Week, WeekId, Wish, week_monday

WORTH = 6


class Take(Frozen):
    """Which activities, from which week on, for how many weeks."""

    week: WeekId
    weeks: Annotated[int, Field(ge=1, le=4)] = 1
    activities: Annotated[tuple[ActivityId, ...], Field(min_length=1, max_length=200)]

    @model_validator(mode="after")
    def _each_once(self) -> Self:
        require_distinct("activities", list(self.activities))
        return self

    def week_ids(self) -> tuple[WeekId, ...]:
        """The weeks, in order."""
        found = [self.week]
        while len(found) < self.weeks:
            found.append(week_after(found[-1]))
        return tuple(found)


def theme_taken(document: Document, theme: str, wanted: Take) -> Document:
    """The document with the theme in its weeks; weeks that are missing are begun.

    Raises
    ------
    BadInput
        When an activity belongs to another theme.
    NotFound
        When the first week, or an activity, is not there.
    """
    chosen = [activity_of(document, ident) for ident in wanted.activities]
    _require_of_theme(chosen, theme)
    before = _first(document, wanted.week)
    for ident, some in zip(wanted.week_ids(), spread(chosen, wanted.weeks), strict=True):
        known = next((one for one in document.weeks if one.id == ident), None)
        week = known or next_week(document, before, None, (), Wanted(theme=theme)).week
        before = _themed(document, week, theme, some)
        document = with_week(document, before)
    return document


def _first(document: Document, ident: WeekId) -> Week:
    """The week itself, or the one before it, from which it can be begun."""
    eve = week_monday(ident) - datetime.timedelta(weeks=1)
    found = next((one for one in document.weeks if one.monday == eve), None)
    return found or week_of(document, ident)


def _require_of_theme(chosen: Iterable[Activity], theme: str) -> None:
    strange = [one for one in chosen if one.theme not in (None, theme)]
    if strange:
        message = f"{strange[0].title} belongs to {strange[0].theme}; take it with that theme"
        raise BadInput(message, [Fault(path="activities", message=message)])


def spread(chosen: Sequence[Activity], weeks: int) -> list[list[Activity]]:
    """Activities over weeks: each where there is least to make ready so far, never before what it needs."""
    found: list[list[Activity]] = [[] for _ in range(weeks)]
    placed: dict[ActivityId, int] = {}
    waiting = list(chosen)
    while waiting:
        ready = [one for one in waiting if one.needs_first not in {other.id for other in waiting}] or waiting
        for one in ready:
            least = placed.get(one.needs_first or "", 0)
            at = min(range(least, weeks), key=lambda n: (sum(map(_load, found[n])), n))
            found[at].append(one)
            placed[one.id] = at
        waiting = [one for one in waiting if one.id not in placed]
    return found


def _load(activity: Activity) -> int:
    return prep_of(activity) + 10 * len(activity.sittings)


def _themed(document: Document, week: Week, theme: str, some: Sequence[Activity]) -> Week:
    themes = {one.id: one.theme for one in document.activities}
    kept = [
        wish
        for wish in week.wishes
        if wish.rank is not Rank.EXTRA or themes.get(wish.activity) in (None, theme)
    ]
    wished = {wish.activity for wish in kept}
    new = [one for one in some if one.id not in wished]
    known = {wish.id for wish in kept}
    kept = [wish.model_copy(update={"after": tuple(a for a in wish.after if a in known)}) for wish in kept]
    return week.model_copy(update={"theme": theme, "wishes": (*kept, *_wishes(new, known))})


def _wishes(new: Sequence[Activity], taken: set[str]) -> Iterator[Wish]:
    headline = next((one for one in new if one.kind in HEADLINES), None)
    for one in new:
        ident = free_id(one.id, taken)
        taken.add(ident)
        yield Wish(
            id=ident,
            activity=one.id,
            rank=Rank.PROMISE if one is headline else Rank.EXTRA,
            worth=WORTH,
            lighter_ok=one is not headline and one.lighter is not None,
            may_split=one is not headline,
        )
