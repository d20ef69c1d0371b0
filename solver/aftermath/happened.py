"""aftermath(): mishaps, one after the other, on a week and its plan."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from solver.aftermath.hours import roster
from solver.aftermath.lost import day_lost
from solver.aftermath.past import start_of, with_past
from solver.aftermath.state import (
    Aftermath,
)
from solver.aftermath.things import missing, sky_turned, still_wet
from solver.aftermath.today import hooked, late, nap_failed, nap_gone, refused, tired
from solver.domain.base import Moment
from solver.domain.mishap import (
    DayLost,
    Hooked,
    Late,
    Mishap,
    Missing,
    NapFailed,
    NapGone,
    Refused,
    Roster,
    SkyTurned,
    StillWet,
    Tired,
)
from solver.domain.plan import Plan
from solver.domain.week import (
    Problem,
)


def aftermath(problem: Problem, plan: Plan, mishaps: Iterable[Mishap], at: Moment | None) -> Aftermath:
    """The week after one or more mishaps. ``at`` is now; without it, the start of what happened."""
    happened = list(mishaps)
    now = at or start_of(problem, happened, plan)
    after = with_past(Aftermath(problem, plan, now), now)
    for mishap in happened:
        after = _APPLY[type(mishap)](after, mishap)
    return after


_APPLY: dict[type, Callable[[Aftermath, Any], Aftermath]] = {
    DayLost: day_lost,
    NapFailed: nap_failed,
    NapGone: nap_gone,
    Late: late,
    Missing: missing,
    SkyTurned: sky_turned,
    StillWet: still_wet,
    Refused: refused,
    Hooked: hooked,
    Tired: tired,
    Roster: roster,
}
