"""Tiny households and weeks for tests: everything has a default, every default can be overridden.

>>> week = problem(activity("game"), activity("story", sitting(8), focus="listening"))
>>> monday = book(week, "game", start="09:00")
>>> later = book(week, "story", start="09:30", children=("ada",))
>>> check(week, plan(week, monday, later))
[]

Ada is five, Ben three, baby Cleo nine months (only where asked for); Mia and Noah are adults, Noah only
where asked for. Lunch is from 12:00 to 12:30 at the table. An activity without a wish gets one with its
own id. The people and figures are invented.
"""

from __future__ import annotations

from typing import Any

from solver.clock import minutes_of, slots_up
from solver.domain.activity import Activity, Meal, Part, Sitting, Version
from solver.domain.base import DAY_MIN, DAYS, Day, Evening, Help, Moment, clock_minutes
from solver.domain.document import Document
from solver.domain.home import Limits, Place, PrepEvening
from solver.domain.people import Adult, Child, Hours, Nap
from solver.domain.plan import Attendance, Booking, Plan, PrepBooking, Waiting
from solver.domain.week import FixedKind, FixedPoint, Household, Problem, Stretch, Week, Wish
from solver.safety import requirement

WEEK = "2027-W05"
MONDAY, TUESDAY, WEDNESDAY, THURSDAY, FRIDAY, SATURDAY, SUNDAY = DAYS


def clock(text: str) -> int:
    """Minutes since midnight of ``HH:MM``."""
    return int(clock_minutes(text))


def child(name: str, birth_month: str, **changes: Any) -> Child:
    """A child whose id is the name in small letters."""
    return Child(id=name.lower(), name=name, birth_month=birth_month, **changes)


def adult(name: str, start: str = "06:00", end: str = "20:00", **changes: Any) -> Adult:
    """An adult who is on hand every day from ``start`` to ``end``."""
    changes.setdefault("hours", (Hours.model_validate({"start": start, "end": end}),))
    return Adult(id=name.lower(), name=name, **changes)


def nap(start: str, minutes: int, **changes: Any) -> Nap:
    """A nap of every day."""
    return Nap.model_validate({"start": start, "length_min": minutes, **changes})


ADA = child("Ada", "2022-02")
BEN = child("Ben", "2024-02")
CLEO = child("Cleo", "2026-05", learner=False, mouths_things=True)
MIA = adult("Mia")
NOAH = adult("Noah")

PLACES = (
    Place(id="table", name="the table", meals_here=True),
    Place(id="sofa", name="the sofa"),
    Place(id="floor", name="the floor", sittings_at_once=2),
    Place(id="yard", name="the yard", outdoors=True, apart=True),
    Place(id="library", name="the library", travel_min=10),
)


def stretch(name: str, start: str, end: str, **changes: Any) -> Stretch:
    """A stretch whose id is its name."""
    return Stretch.model_validate({"id": name, "name": name, "start": start, "end": end, **changes})


STRETCHES = (
    stretch("morning", "08:00", "12:00"),
    stretch("afternoon", "13:00", "17:00"),
    stretch("evening", "17:00", "19:00"),
)


def point(name: str, start: str, end: str, kind: str = "class", **changes: Any) -> FixedPoint:
    """A fixed point of every day whose id is its name."""
    fields = {"id": name, "title": name.capitalize(), "kind": kind, "start": start, "end": end, **changes}
    return FixedPoint.model_validate(fields)


def meal(name: Meal, start: str, end: str, **changes: Any) -> FixedPoint:
    """A meal of every day at the table."""
    fields = {"children": ("ada", "ben"), "adults": ("mia",), "place": "table", "meal": name, **changes}
    return point(str(name), start, end, FixedKind.MEAL, **fields)


LUNCH = meal(Meal.LUNCH, "12:00", "12:30")


def prep_evening(evening: Evening, minutes: int = 30, quiet: bool = False) -> PrepEvening:
    """An evening with minutes for prep."""
    return PrepEvening(evening=evening, minutes=minutes, quiet=quiet)


def limits(**changes: Any) -> Limits:
    """What the household can bear; half an hour of prep on Sunday before the week."""
    return Limits(**{"prep": (prep_evening(Evening.SUNDAY_BEFORE),), **changes})


def sitting(minutes: int = 10, help: int = 1, **changes: Any) -> Sitting:
    """A sitting at the table in which every age does the same."""
    fields = {"parts": {"any": Part(minutes=minutes, help=Help(help))}, "places": ("table",), **changes}
    return Sitting(**{"name": "do it", **fields})


def step(minutes: int = 10, help: int = 2, **changes: Any) -> Sitting:
    """An adult's step, at the table."""
    fields = {"adult_min": minutes, "adult_help": Help(help), "places": ("table",), **changes}
    return Sitting(**{"name": "see to it", **fields})


ANY = (Version(id="any", age_from_months=12, age_to_months=200),)


def activity(id: str, *sittings: Sitting, **changes: Any) -> Activity:
    """A game of ten minutes at the table with a little help, for every child from one year on."""
    fields = {"title": id.capitalize(), "kind": "game", "versions": ANY, **changes}
    return Activity(id=id, sittings=sittings or (sitting(),), **fields)


def wish(activity_id: str, **changes: Any) -> Wish:
    """A wish with the id of its activity."""
    return Wish(**{"id": activity_id, "activity": activity_id, **changes})


def problem(
    *wanted: Activity | Wish,
    children: tuple[Child, ...] = (ADA, BEN),
    adults: tuple[Adult, ...] = (MIA,),
    house: dict[str, Any] | None = None,
    limits: Limits = limits(),  # noqa: B008 - a frozen value
    **week: Any,
) -> Problem:
    """A week of these activities and wishes, checked as a document would be.

    ``house`` overrides fields of the household, other keywords those of the week.
    """
    activities = [one for one in wanted if isinstance(one, Activity)]
    wishes = [one for one in wanted if isinstance(one, Wish)]
    named = {one.activity for one in wishes}
    wishes += [wish(one.id) for one in activities if one.id not in named]
    fields: dict[str, Any] = {
        "name": "A household",
        "children": children,
        "adults": adults,
        "places": PLACES,
        "stretches": STRETCHES,
        "fixed_points": (LUNCH,),
        "limits": limits,
    }
    household = Household(**(fields | (house or {})))
    this_week = Week(**({"id": WEEK, "wishes": tuple(wishes)} | week))
    document = Document(household=household, activities=tuple(activities), weeks=(this_week,))
    return document.problem()


def book(
    week: Problem,
    wish_id: str,
    day: Day = MONDAY,
    start: str = "09:00",
    *,
    go: int = 0,
    sitting: int = 0,
    children: tuple[str, ...] | None = None,
    over: Booking | None = None,
    **changes: Any,
) -> Booking:
    """A booking that tells the truth about itself: children, versions, minutes, help and place
    follow from the wish unless overridden. ``over`` lays it over another booking."""
    wished = next(one for one in week.week.wishes if one.id == wish_id)
    what = next(one for one in week.activities if one.id == wished.activity)
    meant = what.sittings[sitting]
    if changes.get("lighter") and what.lighter:
        meant = what.lighter.sitting
    place = changes.get("place", over.place if over else meant.places[0])
    who = children or wished.children or tuple(c.id for c in week.household.children if c.learner)
    attends = _attends(week, wished, what, meant, place, who if meant.parts else ())
    minutes = clock(start)
    fields: dict[str, Any] = {
        "id": f"{wish_id}.{go + 1}.{sitting + 1}",
        "wish": wish_id,
        "activity": what.id,
        "go": go,
        "sitting": sitting,
        "day": day,
        "start": minutes,
        "minutes": max((a.minutes for a in attends), default=meant.adult_min),
        "setup_min": meant.setup_min,
        "cleanup_min": meant.cleanup_min,
        "stretch": next((s.id for s in week.household.stretches if s.start <= minutes < s.end), None),
        "attends": attends,
        "helpers": tuple(a.id for a in week.household.adults[: what.adults_needed if attends else 1]),
        "place": place,
        "alongside": over.id if over else None,
    }
    return Booking(**(fields | changes))


def _attends(
    week: Problem, wished: Wish, what: Activity, meant: Sitting, place_id: str, who: tuple[str, ...]
) -> tuple[Attendance, ...]:
    monday = week.week.monday
    place = next(one for one in week.household.places if one.id == place_id)
    children = tuple(one for one in week.household.children if one.id in who)
    safe = requirement(week, what, meant, place, children)
    found = []
    for one in children:
        by_age = what.version_for(one.age_months(monday.year, monday.month))
        version = wished.versions.get(one.id, by_age.id if by_age else "")
        part = meant.parts.get(version)
        if part:
            minutes = min(part.minutes, safe.most_minutes.get(one.id, part.minutes))
            needed = Help(max(part.help, safe.least_help.get(one.id, part.help)))
            found.append(Attendance(child=one.id, version=version, minutes=minutes, help=needed))
    return tuple(found)


def make_ready(week: Problem, booking: Booking, task: str, evening: Evening, **changes: Any) -> PrepBooking:
    """A prep task of a booking, done on an evening."""
    what = next(one for one in week.activities if one.id == booking.activity)
    meant = next(one for one in what.prep if one.id == task)
    warm_up = meant.warm_up_min if meant.batch else 0
    fields: dict[str, Any] = {
        "wish": booking.wish,
        "go": booking.go,
        "task": task,
        "name": meant.name,
        "minutes": meant.minutes - warm_up,
        "warm_up_min": warm_up,
        "batch": meant.batch,
        "evening": evening,
        "ready_for": booking.id,
    }
    return PrepBooking(**(fields | changes))


def plan(week: Problem, /, *booked: Booking | PrepBooking, **changes: Any) -> Plan:
    """A plan of these bookings and prep; what waits where is worked out from them."""
    bookings = tuple(one for one in booked if isinstance(one, Booking))
    prep = tuple(one for one in booked if isinstance(one, PrepBooking))
    fields: dict[str, Any] = {
        "week": week.week.id,
        "bookings": bookings,
        "prep": prep,
        "waiting": waiting_of(week, bookings, prep),
    }
    return Plan(**(fields | changes))


def moment(day: Day, time: str) -> Moment:
    """A point in the week."""
    return Moment.model_validate({"day": day, "time": time})


def waiting_of(
    week: Problem, bookings: tuple[Booking, ...], prep: tuple[PrepBooking, ...]
) -> tuple[Waiting, ...]:
    """What dries, rises or stands ready, as the bookings and the prep imply it."""
    activities = {one.id: one for one in week.activities}
    by_step = {(b.wish, b.go, b.sitting): b for b in bookings}
    found = []
    for booking in bookings:
        waits = activities[booking.activity].waits if booking.activity in activities else ()
        if booking.lighter or booking.sitting >= len(waits):
            continue
        wait = waits[booking.sitting]
        following = by_step.get((booking.wish, booking.go, booking.sitting + 1))
        since = _week_min(booking) + minutes_of(slots_up(booking.minutes))
        until = _week_min(following) if following else since + minutes_of(slots_up(wait.least_min))
        found.append(
            Waiting(
                after=booking.id,
                before=following.id if following else None,
                kind=wait.kind,
                holder=wait.holder,
                units=wait.units,
                since=_moment(since),
                until=_moment(until),
            )
        )
    return (*found, *(one for entry in prep for one in _waits_since(activities, by_step, entry)))


def _waits_since(
    activities: dict[str, Activity], by_step: dict[tuple[str, int, int], Booking], entry: PrepBooking
) -> list[Waiting]:
    first = by_step[entry.wish, entry.go, 0]
    task = next(one for one in activities[first.activity].prep if one.id == entry.task)
    if task.holder is None:
        return []
    since = _moment(entry.evening.index * DAY_MIN + clock("20:00"))
    until = _moment(_week_min(first))
    return [
        Waiting(
            after=None,
            before=first.id,
            kind=task.name,
            holder=task.holder,
            units=task.units,
            since=since,
            until=until,
        )
    ]


def _week_min(booking: Booking) -> int:
    return booking.day.index * DAY_MIN + booking.start


def _moment(minutes: int) -> Moment | None:
    if not 0 <= minutes < len(DAYS) * DAY_MIN:
        return None
    return Moment(day=DAYS[minutes // DAY_MIN], time=minutes % DAY_MIN)
