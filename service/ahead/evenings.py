"""Prep by evening: batched by tool, with the last moment of each thing."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator
from itertools import groupby

from service.ahead.demand import Plans
from service.ahead.views import Batch, EveningList, LaterPrep, PrepItem, When
from service.paper.lines import lines_of
from service.paper.moments import date_of
from service.show.rest import evening_minutes
from service.weekview import adult_times
from solver.domain.activity import PrepTask
from solver.domain.base import DAY_MIN, Evening
from solver.domain.document import Document
from solver.domain.plan import Plan, PrepBooking
from solver.domain.week import Problem, Week


def evenings_of(document: Document, weeks: Iterable[Week], plans: Plans) -> Iterator[EveningList]:
    """Every evening on which something is made ready."""
    for week in weeks:
        if week.id in plans:
            yield from _evenings(document.problem(week.id, plans[week.id]), plans[week.id])


def _evenings(problem: Problem, plan: Plan) -> Iterator[EveningList]:
    budgets = {one.evening: one for one in problem.household.limits.prep}
    items = {_key(task): item for task, item in _items(problem, plan)}
    for evening in Evening:
        tasks = [task for task in plan.prep if task.evening is evening]
        if not tasks:
            continue
        known = budgets.get(evening)
        yield EveningList(
            week=plan.week,
            evening=evening,
            date=problem.week.monday + datetime.timedelta(days=evening.index),
            minutes=evening_minutes(tasks),
            budget=known.minutes if known else 0,
            quiet=known.quiet if known else True,
            batches=tuple(_batches(tasks, items)),
        )


def _key(task: PrepBooking) -> tuple[str, int, str]:
    return task.wish, task.go, task.task


def _batches(tasks: list[PrepBooking], items: dict[tuple[str, int, str], PrepItem]) -> Iterator[Batch]:
    ordered = sorted(tasks, key=lambda task: (task.batch or "~", task.name))
    for tool, some in groupby(ordered, key=lambda task: task.batch):
        given = list(some)
        warm_up = max(task.warm_up_min for task in given) if tool else 0
        made = sorted(
            (items[_key(task)] for task in given), key=lambda item: (item.latest.date, item.latest.time)
        )
        yield Batch(tool=tool, warm_up_min=warm_up, items=tuple(made))


def _items(problem: Problem, plan: Plan) -> Iterator[tuple[PrepBooking, PrepItem]]:
    titles = {line.booking.id: line.title for line in lines_of(problem, plan)}
    bookings = {booking.id: booking for booking in plan.bookings}
    begins = {ident: times.start for ident, times in adult_times(problem, plan)}
    done = {(one.wish, one.go, one.task) for one in problem.week.prepared}
    for task in plan.prep:
        booking = bookings.get(task.ready_for)
        tasks = _tasks(problem, booking.activity) if booking else ()
        full = next((one for one in tasks if one.id == task.task), None)
        monday = problem.week.monday
        date = date_of(monday, booking.day) if booking else monday
        start = begins.get(task.ready_for, booking.start if booking else 0)
        item = PrepItem(
            week=plan.week,
            wish=task.wish,
            go=task.go,
            task=task.task,
            name=task.name,
            minutes=task.minutes,
            noisy=bool(full and full.noisy),
            wanted_for=titles.get(task.ready_for, task.ready_for),
            latest=before(date, start, full.lead_min if full else 0),
            done=_key(task) in done,
        )
        yield task, item


def _tasks(problem: Problem, activity: str) -> tuple[PrepTask, ...]:
    return next((one.prep for one in problem.activities if one.id == activity), ())


def before(date: datetime.date, minute: int, lead_min: int) -> When:
    """So many minutes before a moment."""
    days, rest = divmod(minute - lead_min, DAY_MIN)
    return When(date=date + datetime.timedelta(days=days), time=rest)


def later_prep(document: Document, weeks: Iterable[Week], plans: Plans) -> Iterator[LaterPrep]:
    """What the weeks that are not planned yet will ask for."""
    activities = {one.id: one for one in document.activities}
    for week in weeks:
        for wish in week.wishes if week.id not in plans else ():
            activity = activities[wish.activity]
            minutes = sum(task.minutes for task in activity.prep) * wish.times
            if minutes:
                yield LaterPrep(week=week.id, title=activity.title, minutes=minutes)
