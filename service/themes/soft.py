"""Two weeks after the firm one, planned in passing: what is held over has its place, nothing is fixed."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from itertools import pairwise

from service.jobs import Jobs
from service.record.views import LOG, LogLine
from service.store import Store, week_of
from service.store.changing import change
from service.store.entries import Entries, entry
from service.themes.rollover import (
    WEEKS_ON,
    NextWeek,
    Wanted,
    free_id,
    next_week,
    source_of,
    week_after,
    weeks_on,
    with_week,
    without_week,
)
from service.views import SolveSettings, StoredPlan
from solver.domain.base import Count, Frozen, Name, Text
from solver.domain.document import Document
from solver.domain.plan import Plan
from solver.domain.week import Rank, Week, WeekId

SOFT_SECONDS = 4.0
"""Enough for a week that will be planned again before it comes."""
WAIT_S = 60.0
SOFT = "soft_week"


class Begun(Frozen):
    """A week as it was begun in passing: as long as it still is so, it may be made anew."""

    made: Week


class SoftWeek(Frozen):
    """One of the weeks ahead, as it looks from here."""

    week: WeekId
    monday: datetime.date
    theme: Name | None
    soft: bool
    """False: the family planned it itself, and it is left alone."""
    held_over: tuple[Name, ...] = ()
    """What came over from the week before, and is weighed first."""
    placed: Count = 0
    """Things that have a place."""
    left_over: tuple[Name, ...] = ()
    weeks_on: Count = 0
    """So many weeks with more than daily things in a row, up to the one before it."""
    break_proposed: bool = False
    may_rest: bool = False
    """Whether it can be made a quiet one by a touch, as nobody planned it or wished for anything in it."""
    trouble: Text = ""
    """Why it could not be planned, if so."""


def look_ahead(
    store: Store, jobs: Jobs, week_id: str, count: int, rest: bool = False
) -> tuple[SoftWeek, ...]:
    """Plan so many weeks after this one softly, each from what the one before leaves over.

    With ``rest`` the first that is still as it was begun is a quiet one: what is done daily, nothing else.
    """
    found: list[SoftWeek] = []
    before = week_of(store.current().document, week_id)
    for _ in range(count):
        ident = week_after(before.id)
        if not _is_ours(store.latest_plan(ident)):
            found.append(_told(store, ident, None, before, soft=False))
        else:
            quiet = rest and _is_untouched(store, ident)
            made, rest = _begin(store, ident, before, rest=quiet), rest and not quiet
            settings = SolveSettings(seconds=SOFT_SECONDS, soft=True)
            job = jobs.wait(jobs.start(ident, settings).id, WAIT_S)
            found.append(_told(store, ident, made, before, soft=True, trouble=job.reason))
        before = week_of(store.current().document, ident)
    return tuple(found)


def soft_weeks(store: Store, week_id: str) -> tuple[SoftWeek, ...]:
    """The weeks after this one that are there, soft or not."""
    document = store.current().document
    first = week_of(document, week_id)
    later = sorted((one for one in document.weeks if one.monday > first.monday), key=lambda one: one.monday)
    return tuple(
        _told(store, one.id, None, eve, soft=_has_soft_plan(store.latest_plan(one.id)))
        for eve, one in pairwise((first, *later))
    )


def _has_soft_plan(stored: StoredPlan | None) -> bool:
    return stored is not None and stored.plan.soft


def _is_ours(stored: StoredPlan | None) -> bool:
    """Whether a week may be planned in passing: nobody planned it firmly."""
    return stored is None or stored.plan.soft


def _is_untouched(store: Store, ident: str) -> bool:
    """Whether a week is not there, or as it was begun in passing: nobody's wishes are lost with it."""
    old = next((one for one in store.current().document.weeks if one.id == ident), None)
    begun = Entries(store).get(SOFT, ident, Begun)
    return old is None or (begun is not None and begun.made == old)


def _begin(store: Store, ident: str, before: Week, rest: bool) -> NextWeek:
    """The week made, or made anew while nobody touched it; in a week of the family's own only what is
    held over comes on top."""
    document = store.current().document
    old = next((one for one in document.weeks if one.id == ident), None)
    made = _made(
        store,
        without_week(document, ident),
        before,
        Wanted(theme=old.theme if old else None, take_break=rest),
    )
    given = [entry(SOFT, ident, Begun(made=made.week))]
    if old is not None and not _is_untouched(store, ident):
        made, given = made.model_copy(update={"week": with_held_over(old, made.week)}), []
    what = f"the week {ident} was planned ahead"
    change(store, what, lambda now: with_week(now, made.week), given)
    return made


def _made(store: Store, document: Document, before: Week, wanted: Wanted) -> NextWeek:
    stored = store.latest_plan(before.id)
    last = before.monday + datetime.timedelta(days=6)
    lines = Entries(store).all(LOG, LogLine, before.monday.isoformat(), last.isoformat())
    source = source_of(document, before, plan_of(store))
    return next_week(document, before, stored.plan if stored else None, lines, wanted, source)


def plan_of(store: Store) -> Callable[[WeekId], Plan | None]:
    """Asks for the latest plan of a week."""

    def ask(week: WeekId) -> Plan | None:
        stored = store.latest_plan(week)
        return stored.plan if stored else None

    return ask


def with_held_over(week: Week, made: Week) -> Week:
    """The week with what is held over, where it does not wish for the same already."""
    wished = {wish.activity for wish in week.wishes}
    ids = {wish.id for wish in week.wishes}
    fresh = []
    for wish in made.wishes:
        if wish.rank is not Rank.STAPLE and wish.activity not in wished:
            fresh.append(wish.model_copy(update={"id": free_id(wish.id, ids), "after": ()}))
            ids.add(fresh[-1].id)
    done = tuple(dict.fromkeys((*week.done_before, *made.done_before)))
    return week.model_copy(update={"wishes": (*fresh, *week.wishes), "done_before": done})


def _told(
    store: Store, ident: str, made: NextWeek | None, before: Week, soft: bool, trouble: str = ""
) -> SoftWeek:
    document = store.current().document
    week, stored = week_of(document, ident), store.latest_plan(ident)
    plan = stored.plan if stored else None
    on = weeks_on(document, week_of(document, before.id))
    titles = {one.id: one.title for one in document.activities}
    return SoftWeek(
        week=ident,
        monday=week.monday,
        theme=week.theme,
        soft=soft,
        held_over=made.held_over if made else (),
        placed=len(plan.bookings) if plan else 0,
        left_over=tuple(dict.fromkeys(titles.get(one.activity, one.title) for one in plan.left_over))
        if plan
        else (),
        break_proposed=on >= WEEKS_ON and any(wish.rank is not Rank.STAPLE for wish in week.wishes),
        may_rest=_is_ours(stored) and _is_untouched(store, ident),
        weeks_on=on,
        trouble=trouble,
    )
