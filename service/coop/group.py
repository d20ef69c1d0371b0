"""Turns, clear times, and the shared day in its week."""

from __future__ import annotations

import datetime
from collections.abc import Iterable

from pydantic import ValidationError

from service.coop.sheet import RULE_NOTE, visitors_of
from service.coop.views import Clear, Complaint, CoopDay, IntoWeek, Turns
from service.errors import BadInput, NotFound
from service.paper.moments import moment_of, zone_of
from solver.domain.base import DAYS
from solver.domain.document import Document
from solver.domain.faults import faults_of
from solver.domain.week import FixedKind, FixedPoint, Household, Week


def turns(days: Iterable[CoopDay], until: datetime.date) -> tuple[Turns, ...]:
    """How often each family has hosted and led up to a day; who did least comes first."""
    past = [day for day in days if day.date <= until]
    families = {day.host for day in past} | {day.leader for day in past}
    families |= {guest.family for day in past for guest in day.guests}
    made = [
        Turns(
            family=family,
            hosted=sum(day.host == family for day in past),
            led=sum(day.leader == family for day in past),
            last=max((day.date for day in past if family in (day.host, day.leader)), default=None),
        )
        for family in families
    ]
    return tuple(
        sorted(made, key=lambda one: (one.hosted + one.led, one.last or datetime.date.min, one.family))
    )


def clear(house: Household, day: CoopDay, complaint: Complaint, last: datetime.datetime) -> Clear:
    """When a child is clear by the group's rule, and whether that is in time."""
    begins = moment_of(day.date, day.start, zone_of(house))
    # Hours that really pass, also in a night when the clocks change.
    at = (last.astimezone(datetime.UTC) + datetime.timedelta(hours=day.illness.hours(complaint))).astimezone(
        zone_of(house)
    )
    hours = day.illness.hours(complaint)
    said = f"{hours} hours after the last sign of {complaint.value}, without medicine against it. {RULE_NOTE}"
    return Clear(clear_at=at, in_time=at <= begins, note=said)


def put_into_week(document: Document, day: CoopDay) -> tuple[Document, IntoWeek]:
    """The document with the guests and the time of the day in its week.

    Raises
    ------
    NotFound
        When there is no such week.
    """
    year, number, _ = day.date.isocalendar()
    ident = f"{year}-W{number:02d}"
    week = next((one for one in document.weeks if one.id == ident), None)
    if week is None:
        raise NotFound(f"there is no week {ident} yet; begin it first")
    point = fixed_point(document.household, day)
    changed = _with(week, day, point)
    weeks = tuple(changed if one.id == ident else one for one in document.weeks)
    try:
        made = Document(household=document.household, activities=document.activities, weeks=weeks)
    except ValidationError as error:
        raise BadInput("the shared day does not fit the week", faults_of(error)) from error
    return made, IntoWeek(week=ident, fixed_point=point.id, visitors=len(changed.visitors))


def fixed_point(house: Household, day: CoopDay) -> FixedPoint:
    """The shared day as a fixed point: a visit here, or all of us there."""
    everybody = tuple(child.id for child in house.children)
    return FixedPoint(
        id=f"coop-{day.id}"[:80],
        title=f"Co-op at {day.host}"[:200],
        kind=FixedKind.VISIT if day.here else FixedKind.OUTING,
        days=(DAYS[day.date.weekday()],),
        start=day.start,
        end=day.end,
        children=() if day.here else everybody,
        adults=() if day.here else (house.adults[0].id,),
        visitors_come=day.here,
        breakable=True,
    )


def _with(week: Week, day: CoopDay, point: FixedPoint) -> Week:
    mine = {guest.id for guest in day.guests}
    others = tuple(one for one in week.visitors if one.id not in mine)
    points = tuple(one for one in week.fixed_points if one.id != point.id)
    # Only those who come into this house concern its safety.
    guests = visitors_of(day) if day.here else ()
    return week.model_copy(update={"visitors": (*others, *guests), "fixed_points": (*points, point)})
