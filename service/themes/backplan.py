"""From a day back: when each step of something must begin, so that it is finished for a celebration."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator

from service.errors import BadInput
from service.store import week_of
from service.themes.rollover import free_id, with_week
from solver.domain.activity import Activity
from solver.domain.base import DAY_MIN, DAYS, Frozen, Moment, Name
from solver.domain.document import Document
from solver.domain.faults import Fault
from solver.domain.week import Rank, WeekId, Wish


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


def week_for(activity: Activity, finished_by: datetime.date) -> WeekId:
    """The week that holds every sitting: that of the day before, or the one before it.

    Raises
    ------
    BadInput
        When its waits are longer than a week.
    """
    steps = back_plan(activity, finished_by)
    last = steps[-1].latest
    first = steps[len(activity.prep)].latest
    if (last - first).days > 6:
        message = f"{activity.title} takes {(last - first).days + 1} days; wish for it in an earlier week"
        raise BadInput(message, [Fault(path="by", message=message)])
    monday = last - datetime.timedelta(days=last.weekday())
    if first < monday:
        monday -= datetime.timedelta(weeks=1)
    year, week, _ = monday.isocalendar()
    return f"{year}-W{week:02d}"


def with_celebration(document: Document, activity: Activity, finished_by: datetime.date) -> Document:
    """The document with a promise in that week, finished the evening before the day.

    Raises
    ------
    NotFound
        When there is no such week yet.
    """
    week = week_of(document, week_for(activity, finished_by))
    left = (finished_by - week.monday).days
    finish = None if left > len(DAYS) else Moment(day=DAYS[left - 1], time=DAY_MIN)
    others = tuple(one for one in week.wishes if one.activity != activity.id or one.rank is Rank.STAPLE)
    ids = {one.id for one in others}
    wish = Wish(id=free_id(activity.id, ids), activity=activity.id, rank=Rank.PROMISE, finish_by=finish)
    kept = _without_lost_order(others, ids)
    return with_week(document, week.model_copy(update={"wishes": (*kept, wish)}))


def _without_lost_order(wishes: Iterable[Wish], known: set[str]) -> Iterator[Wish]:
    for wish in wishes:
        yield wish.model_copy(update={"after": tuple(one for one in wish.after if one in known)})


def _prep(activity: Activity, first: datetime.datetime) -> Iterator[Step]:
    for task in sorted(activity.prep, key=lambda one: -one.lead_min):
        # Evenings: what is made ready is ready from 20:00 on.
        ready = first - datetime.timedelta(minutes=task.lead_min)
        evening = ready if ready.hour >= 20 else ready - datetime.timedelta(days=1)
        yield Step(what=task.name, latest=evening.date())
