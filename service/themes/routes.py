"""Themes and the next week over HTTP."""

from __future__ import annotations

import datetime
from typing import Annotated

from fastapi import APIRouter, Path, Query

from service.catalogue.shelf import activity_of, archived
from service.days import SaneDay
from service.record.views import LOG, LogLine
from service.routes import StoreHere, WeekName
from service.store import week_of
from service.store.changing import change
from service.store.entries import Entries
from service.themes.backplan import Step, back_plan
from service.themes.cost import ThemeCost, theme_cost
from service.themes.rollover import NextWeek, Wanted, next_week, with_week

router = APIRouter(prefix="/api")


@router.get("/themes/{theme}/cost")
def get_theme_cost(
    theme: Annotated[str, Path(max_length=200)],
    store: StoreHere,
    start: Annotated[SaneDay, Query(description="The theme's first day.")],
) -> ThemeCost:
    """What a theme takes before it is begun, and what falls off when it is shorter."""
    return theme_cost(store.current().document, theme, start, archived(store))


@router.get("/activities/{activity}/back-plan")
def get_back_plan(
    activity: Annotated[str, Path(max_length=80)],
    store: StoreHere,
    by: Annotated[SaneDay, Query(description="The day of the celebration.")],
) -> tuple[Step, ...]:
    """When each step must begin at the latest, so that it is finished for a day."""
    return back_plan(activity_of(store.current().document, activity), by)


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
    made = next_week(document, known, stored.plan if stored else None, lines, wanted or Wanted())
    if keep:
        change(store, f"the week {made.week.id} was begun", lambda now: with_week(now, made.week))
    return made
