"""From a day back: when each step of something must begin, so that it is finished for a celebration."""

from __future__ import annotations

import datetime
from collections.abc import Iterator

from solver.domain.activity import Activity
from solver.domain.base import Frozen, Name


class Step(Frozen):
    """One step and the last day on which it helps."""

    what: Name
    latest: datetime.date


def back_plan(activity: Activity, finished_by: datetime.date) -> tuple[Step, ...]:
    """Prep and sittings in order, each with its last day; the last sitting is on the day before.

    A day is taken for each sitting, and waits are counted from noon to noon: a little early is no harm.
    """
    moment = datetime.datetime.combine(finished_by - datetime.timedelta(days=1), datetime.time(12))
    if len(activity.waits) == len(activity.sittings):
        moment -= datetime.timedelta(minutes=activity.waits[-1].least_min)
    steps = [Step(what=activity.sittings[-1].name, latest=moment.date())]
    for index in range(len(activity.sittings) - 2, -1, -1):
        wait = activity.waits[index].least_min if activity.waits else 0
        moment -= datetime.timedelta(minutes=wait)
        steps.append(Step(what=activity.sittings[index].name, latest=moment.date()))
    steps += reversed(list(_prep(activity, moment)))
    return tuple(reversed(steps))


def _prep(activity: Activity, first: datetime.datetime) -> Iterator[Step]:
    for task in sorted(activity.prep, key=lambda one: -one.lead_min):
        # Evenings: what is made ready is ready from 20:00 on.
        ready = first - datetime.timedelta(minutes=task.lead_min)
        evening = ready if ready.hour >= 20 else ready - datetime.timedelta(days=1)
        yield Step(what=task.name, latest=evening.date())
