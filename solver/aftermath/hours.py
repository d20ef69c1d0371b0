"""An adult's hours on one day are others than usual."""

from __future__ import annotations

from dataclasses import replace

from solver.aftermath.state import (
    Aftermath,
    from_now,
)
from solver.domain.base import DAY_MIN, DAYS, Window
from solver.domain.mishap import (
    Roster,
)
from solver.domain.people import Hours


def hours_without(after: Aftermath, adult: str, window: Window) -> dict[str, tuple[Hours, ...]]:
    day = window.days[0]
    usual = {a.id: a.hours for a in after.problem.household.adults}
    hours = after.problem.week.hours.get(adult, usual[adult])
    kept: list[Hours] = []
    for one in hours:
        others = tuple(d for d in (one.days or DAYS) if d is not day)
        if others:
            kept.append(one.model_copy(update={"days": others}))
        if one.on(day):
            for start, end in (
                (one.start, min(one.end, window.start)),
                (max(one.start, window.end), one.end),
            ):
                if start < end:
                    kept.append(one.model_copy(update={"days": (day,), "start": start, "end": end}))
    return {**after.problem.week.hours, adult: tuple(kept)}


def roster(after: Aftermath, roster: Roster) -> Aftermath:
    begin = from_now(after, roster.day)
    if begin >= DAY_MIN:
        return after
    hours = hours_without(after, roster.adult, Window(days=(roster.day,), start=begin, end=DAY_MIN))
    if roster.start is not None and roster.end is not None and roster.end > begin:
        new = Hours(days=(roster.day,), start=max(roster.start, begin), end=roster.end)
        hours = {**hours, roster.adult: (*hours[roster.adult], new)}
    return replace(after.with_week(hours=hours), no_fuller_after=None)
