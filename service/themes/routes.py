"""Themes and the next week over HTTP."""

from __future__ import annotations

import datetime
from typing import Annotated

from fastapi import APIRouter, Path, Query

from service.catalogue.shelf import activity_of, archived
from service.days import SaneDay
from service.record.views import LOG, LogLine
from service.routes import JobsHere, StoreHere, WeekName
from service.store import week_of
from service.store.changing import change
from service.store.entries import Entries
from service.themes.backplan import Step, back_plan, week_for, with_celebration
from service.themes.cost import ThemeCost, theme_cost
from service.themes.rollover import NextWeek, Wanted, next_week, source_of, with_week
from service.themes.soft import SoftWeek, look_ahead, plan_of, soft_weeks
from service.themes.taking import Take, theme_taken
from solver.domain.week import Week

router = APIRouter(prefix="/api")
ThemeName = Annotated[str, Path(max_length=200)]
ActivityName = Annotated[str, Path(max_length=80)]
By = Annotated[SaneDay, Query(description="The day of the celebration.")]


@router.get("/themes/{theme}/cost")
def get_theme_cost(
    theme: ThemeName,
    store: StoreHere,
    start: Annotated[SaneDay, Query(description="The theme's first day.")],
) -> ThemeCost:
    """What a theme takes before it is begun, and what falls off when it is shorter."""
    return theme_cost(store.current().document, theme, start, archived(store))


@router.get("/activities/{activity}/back-plan")
def get_back_plan(
    activity: ActivityName,
    store: StoreHere,
    by: By,
) -> tuple[Step, ...]:
    """When each step must begin at the latest, so that it is finished for a day."""
    return back_plan(activity_of(store.current().document, activity), by)


@router.post("/themes/{theme}/take")
def post_take(theme: ThemeName, wanted: Take, store: StoreHere) -> tuple[Week, ...]:
    """Take a theme for so many weeks: its activities become wishes, weeks that are missing are begun."""
    what = f"the theme {theme[:60]} was taken"
    after = change(store, what, lambda document: theme_taken(document, theme, wanted))
    return tuple(week for week in after.weeks if week.id in wanted.week_ids())


@router.post("/activities/{activity}/back-plan")
def post_back_plan(activity: ActivityName, by: By, store: StoreHere) -> Week:
    """Put it into the week in which it must be done to be finished for that day, as a promise."""
    found = activity_of(store.current().document, activity)
    what = f"{found.title} was planned for {by.isoformat()}"
    week = week_for(found, by)
    return week_of(change(store, what, lambda document: with_celebration(document, found, by)), week)


@router.get("/weeks/{week}/soft")
def get_soft(week: WeekName, store: StoreHere) -> tuple[SoftWeek, ...]:
    """The weeks after this one, soft or firm."""
    return soft_weeks(store, week)


@router.post("/weeks/{week}/soft")
def post_soft(
    week: WeekName,
    store: StoreHere,
    jobs: JobsHere,
    count: Annotated[int, Query(ge=1, le=3)] = 2,
    rest: Annotated[bool, Query(description="The first of them is a quiet week.")] = False,
) -> tuple[SoftWeek, ...]:
    """Plan the weeks after this one softly, what is held over first; what the family planned stays."""
    return look_ahead(store, jobs, week, count, rest)


@router.post("/weeks/{week}/next")
def post_next_week(
    week: WeekName,
    store: StoreHere,
    wanted: Wanted | None = None,
    keep: Annotated[bool, Query(description="False: only show it.")] = False,
) -> NextWeek:
    """The week after this one: held-over things first, staples again, a break offered after six weeks."""
    document = store.current().document
    known = week_of(document, week)
    stored = store.latest_plan(week)
    last = known.monday + datetime.timedelta(days=6)
    lines = Entries(store).all(LOG, LogLine, known.monday.isoformat(), last.isoformat())
    source = source_of(document, known, plan_of(store))
    made = next_week(document, known, stored.plan if stored else None, lines, wanted or Wanted(), source)
    if keep:
        change(store, f"the week {made.week.id} was begun", lambda now: with_week(now, made.week))
    return made
