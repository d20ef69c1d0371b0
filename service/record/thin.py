"""Areas that a child has seldom, and one cheap thing for each that has a place next week."""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Iterable, Iterator

from service.record.views import LogLine, ThinArea
from service.themes.rollover import Wanted, next_week
from solver.candidates import enumerate_candidates
from solver.domain.activity import Activity, AreaTarget, Kind
from solver.domain.base import ActivityId, Mess
from solver.domain.document import Document
from solver.domain.people import Child
from solver.domain.week import LAST_YEAR, Week, Wish
from solver.outline import Outline

TRIED = 6
"""So many cheap things are tried for each thin area."""


def thin_areas(
    document: Document, lines: Iterable[LogLine], until: datetime.date, weeks: int, away: set[ActivityId]
) -> Iterator[ThinArea]:
    """For each learner, areas below their target over so many weeks up to a day."""
    since = datetime.date.fromordinal(max(1, until.toordinal() - 7 * weeks))
    recent = [line for line in lines if since < line.date <= until and line.outcome.happened]
    coming = _next_week(document, until)
    for child in document.household.children:
        if not child.learner:
            continue
        times = Counter(area for line in recent if line.child == child.id for area in line.areas)
        for target in document.household.areas:
            a_week = times[target.id] / weeks
            if a_week < target.least_times:
                yield _thin(document, child, target, a_week, coming, away)


def _next_week(document: Document, until: datetime.date) -> Week | None:
    """The week to come: one that is there, else as it would be begun from the latest."""
    weeks = sorted(document.weeks, key=lambda week: week.monday)
    later = [week for week in weeks if week.monday > until]
    if later or not weeks or weeks[-1].monday.year > LAST_YEAR - 1:
        return later[0] if later else None
    return next_week(document, weeks[-1], None, (), Wanted()).week


def _thin(
    document: Document,
    child: Child,
    target: AreaTarget,
    a_week: float,
    coming: Week | None,
    away: set[ActivityId],
) -> ThinArea:
    able = sorted(_cheap(document, child, target, coming, away), key=_price)[:TRIED]
    fitting = _placeable(document, child, able, coming) if coming else []
    fix = next(iter(fitting or able), None)
    return ThinArea(
        child=child.id,
        area=target.id,
        name=target.name,
        times_a_week=round(a_week, 2),
        wanted=target.least_times,
        fix=fix.id if fix else None,
        fix_title=fix.title if fix else "",
        fix_minutes=_minutes(fix) if fix else 0,
        fits_in=coming.id if coming and fitting else None,
    )


def _cheap(
    document: Document, child: Child, target: AreaTarget, coming: Week | None, away: set[ActivityId]
) -> Iterator[Activity]:
    when = coming.monday if coming else document.weeks[-1].monday
    months = child.age_months(when.year, when.month)
    theme = coming.theme if coming else None
    wished = {wish.activity for wish in coming.wishes} if coming else set()
    for one in document.activities:
        small = len(one.sittings) == 1 and not one.prep and one.sittings[0].mess <= Mess.CRUMBS
        suits = one.version_for(months) and one.theme in (None, theme) and one.kind is not Kind.SCREEN
        if small and suits and target.id in one.areas and one.id not in wished | away:
            yield one


def _price(activity: Activity) -> tuple[int, int, str]:
    return activity.cost, _minutes(activity), activity.id


def _minutes(activity: Activity) -> int:
    sitting = activity.sittings[0]
    longest = max((part.minutes for part in sitting.parts.values()), default=0)
    return sitting.setup_min + longest + sitting.cleanup_min


def _placeable(document: Document, child: Child, able: list[Activity], week: Week) -> list[Activity]:
    """Those that have a possible place in that week, as far as each alone is concerned."""
    wishes = tuple(Wish(id=f"trial-{one.id}", activity=one.id, children=(child.id,)) for one in able)
    trial = week.model_copy(update={"wishes": wishes, "firm": ()})
    whole = document.model_copy(update={"weeks": (trial,)})
    blocked = {task.go.wish.activity for task in enumerate_candidates(Outline(whole.problem())).blocked}
    return [one for one in able if one.id not in blocked]
