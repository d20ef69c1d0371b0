"""What plans and wishes take, in order of time."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from service.paper.moments import date_of
from solver.clock import sitting_of
from solver.domain.activity import Activity, Sitting, Together
from solver.domain.base import BookId, MaterialId
from solver.domain.document import Document
from solver.domain.plan import Booking, Plan
from solver.domain.week import Week, Wish

Plans = Mapping[str, Plan]


@dataclass(frozen=True)
class Taken:
    """So much of a material on a day (of an unplanned week: on its Monday)."""

    material: MaterialId
    count: int
    date: datetime.date
    minute: int
    title: str


@dataclass(frozen=True)
class Ask:
    """An activity that a week does or wishes for."""

    week: Week
    activity: Activity
    date: datetime.date
    times: int
    booked: bool


def weeks_from(document: Document, first: str, count: int) -> tuple[Week, ...]:
    """So many weeks of the document from the first on, in order of time."""
    start = next(week for week in document.weeks if week.id == first).monday
    later = sorted((week for week in document.weeks if week.monday >= start), key=lambda week: week.monday)
    end = start + datetime.timedelta(weeks=count)
    return tuple(week for week in later if week.monday < end)


def taken(document: Document, weeks: Iterable[Week], plans: Plans) -> list[Taken]:
    """Every use of a material, earliest first."""
    activities = {one.id: one for one in document.activities}
    found = [
        one
        for week in weeks
        for one in (
            _of_plan(week, plans[week.id], activities)
            if week.id in plans
            else _of_wishes(document, week, activities)
        )
    ]
    return sorted(found, key=lambda one: (one.date, one.minute, one.material))


def _of_plan(week: Week, plan: Plan, activities: Mapping[str, Activity]) -> Iterator[Taken]:
    for booking in plan.bookings:
        activity = activities.get(booking.activity)
        if activity and (sitting := sitting_in(activity, booking)):
            date = date_of(week.monday, booking.day)
            for material, count in _counts(sitting, len(booking.attends)):
                yield Taken(material, count, date, booking.start, activity.title)


def sitting_in(activity: Activity, booking: Booking) -> Sitting | None:
    """The sitting that a booking means, or None when the activity was changed since."""
    if booking.lighter:
        return sitting_of(activity, 0, True) if activity.lighter else None
    return activity.sittings[booking.sitting] if booking.sitting < len(activity.sittings) else None


def _counts(sitting: Sitting, children: int) -> Iterator[tuple[MaterialId, int]]:
    for need in sitting.needs:
        yield need.material, need.count * (children if need.each_child else 1)


def _of_wishes(document: Document, week: Week, activities: Mapping[str, Activity]) -> Iterator[Taken]:
    for wish in week.wishes:
        activity = activities[wish.activity]
        children = children_of(document, week, wish, activity)
        goes = wish.times * (children if activity.together is Together.APART else 1)
        heads = 1 if activity.together in (Together.APART, Together.ONE_CHILD) else children
        totals: dict[MaterialId, int] = {}
        for sitting in activity.sittings:
            for material, count in _counts(sitting, heads):
                totals[material] = totals.get(material, 0) + count
        for material, count in totals.items():
            yield Taken(material, count * goes, week.monday, 0, activity.title)


def children_of(document: Document, week: Week, wish: Wish, activity: Activity) -> int:
    """For how many children a wish is."""
    when = week.monday
    learners = [child for child in document.household.children if child.learner]
    meant = [child for child in learners if not wish.children or child.id in wish.children]
    able = [
        child
        for child in meant
        if child.id in wish.versions or activity.version_for(child.age_months(when.year, when.month))
    ]
    return len(able)


def asks(document: Document, weeks: Iterable[Week], plans: Plans) -> Iterator[Ask]:
    """Every activity that these weeks do or wish for."""
    activities = {one.id: one for one in document.activities}
    for week in weeks:
        if week.id not in plans:
            for wish in week.wishes:
                yield Ask(week, activities[wish.activity], week.monday, wish.times, False)
            continue
        for booking in plans[week.id].bookings:
            if booking.activity in activities and booking.sitting == 0:
                date = date_of(week.monday, booking.day)
                yield Ask(week, activities[booking.activity], date, 1, True)


def books_wanted(document: Document, weeks: Iterable[Week], plans: Plans) -> dict[BookId, list[Ask]]:
    """For each book, what asks for it, in order of time."""
    found: dict[BookId, list[Ask]] = {}
    for ask in sorted(asks(document, weeks, plans), key=lambda one: one.date):
        if ask.activity.book:
            found.setdefault(ask.activity.book, []).append(ask)
    return found
