"""One cheap thing for a thin area, put among the wishes of a week by one touch."""

from __future__ import annotations

import datetime

from service.catalogue.shelf import activity_of
from service.errors import NotFound
from service.store import week_of
from service.themes.rollover import Wanted, free_id, next_week, with_week
from solver.domain.base import ActivityId, ChildId, Frozen
from solver.domain.document import Document
from solver.domain.week import Week, WeekId, Wish, week_monday


class Fix(Frozen):
    """Which activity, for whom, in which week."""

    activity: ActivityId
    child: ChildId
    week: WeekId
    """It is begun when it is the one after a week that is there."""


def fixed(document: Document, fix: Fix) -> Document:
    """The document with the activity among the week's extras; a wish that is there takes the child in too.

    Raises
    ------
    NotFound
        When there is no such activity, child or week, and the week cannot be begun.
    """
    activity_of(document, fix.activity)
    if all(child.id != fix.child for child in document.household.children):
        raise NotFound(f"no child here is {fix.child!r}")
    week = _week(document, fix.week)
    wishes = list(week.wishes)
    at = next((n for n, wish in enumerate(wishes) if wish.activity == fix.activity), None)
    if at is None:
        ident = free_id(fix.activity, {wish.id for wish in wishes})
        wishes.append(Wish(id=ident, activity=fix.activity, children=(fix.child,)))
    elif wishes[at].children:
        together = dict.fromkeys((*wishes[at].children, fix.child))
        wishes[at] = wishes[at].model_copy(update={"children": tuple(together)})
    return with_week(document, week.model_copy(update={"wishes": tuple(wishes)}))


def _week(document: Document, ident: WeekId) -> Week:
    eve = week_monday(ident) - datetime.timedelta(weeks=1)
    before = next((one for one in document.weeks if one.monday == eve), None)
    if before is None or any(one.id == ident for one in document.weeks):
        return week_of(document, ident)
    return next_week(document, before, None, (), Wanted()).week
