"""A plan as iCalendar (RFC 5545): one calendar for everybody, or one for each child and adult."""

from __future__ import annotations

import datetime
import uuid
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from icalendar import Calendar, Event, vText

from service.errors import BadInput
from service.paper.lines import Line, concerns, lines_of
from service.paper.moments import PREP_TIME, date_of, later, moment_of, zone_of
from solver.domain.base import BookId, Evening
from solver.domain.faults import Fault
from solver.domain.home import Book, BookState
from solver.domain.plan import Plan, PrepBooking
from solver.domain.week import Household, Problem

MEDIA_TYPE = "text/calendar; charset=utf-8"
_OURS = uuid.UUID("5b0f2c3e-6d0a-4f0e-9c3b-1a9d5e7f4c21")
"""Names made from this stay the same from one export to the next."""


@dataclass(frozen=True)
class Dated:
    """A week with its plan, and when that was made."""

    problem: Problem
    plan: Plan
    made_at: datetime.datetime


def people_of(household: Household) -> dict[str, str]:
    """Everybody who can have a feed: id and name."""
    return {one.id: one.name for one in household.children + household.adults}


def calendar(weeks: Iterable[Dated], person: str | None = None, spoken: Callable[[str], str] = str) -> bytes:
    """The calendar of one person, or of the whole household; ``spoken`` says each line in its language.

    Raises
    ------
    BadInput
        When nobody here is called so, or the time zone is none.
    """
    given = list(weeks)
    made = Calendar()
    made.add("prodid", "-//Lapful//week at home//EN")
    made.add("version", "2.0")
    made.add("calscale", "GREGORIAN")
    events = [event for week in given for event in _events(week, _known(week, person))]
    if given:
        house = given[-1].problem.household
        name = people_of(house).get(person or "", house.name)
        made.add("name", name)
        made.add("x-wr-calname", name)
    for event in events:
        _speak(event, spoken)
        made.add_component(event)
    _add_zones(made, given)
    body: bytes = made.to_ical()
    return body


def _speak(event: Event, spoken: Callable[[str], str]) -> None:
    # Before the lines are folded: a turned text has another length.
    for name in ("summary", "description", "location"):
        if name in event:
            event[name] = vText("\n".join(spoken(line) for line in str(event[name]).split("\n")))


def _known(week: Dated, person: str | None) -> str | None:
    people = people_of(week.problem.household)
    if person is not None and person not in people:
        message = f"nobody here is {person[:40]!r}; there are {', '.join(people)}"
        raise BadInput(message, [Fault(path="--for", message=message)])
    return person


def _add_zones(made: Calendar, weeks: list[Dated]) -> None:
    if not weeks:
        return
    mondays = [week.problem.week.monday for week in weeks]
    # Wide enough that a phone which repeats or moves an event still finds its clock changes.
    first = datetime.date(min(mondays).year, 1, 1)
    last = datetime.date(max(mondays).year + 1, 12, 31)
    made.add_missing_timezones(first_date=first, last_date=last)


def _events(week: Dated, person: str | None) -> Iterator[Event]:
    zone = zone_of(week.problem.household)
    adults = {adult.id for adult in week.problem.household.adults}
    for line in lines_of(week.problem, week.plan):
        if person is None or concerns(line.booking, person):
            yield _booking_event(week, line, person, zone, person in adults)
    if person is None or person in adults:
        yield from _prep_events(week, person, zone)
        yield from _due_events(week, person, zone)


def _event(week: Dated, what: str, person: str | None, title: str) -> Event:
    house, made = week.problem.household, Event()
    key = "|".join((house.name, week.plan.week, what, person or "everybody"))
    stamp = week.made_at.astimezone(datetime.UTC)
    made.add("uid", f"{uuid.uuid5(_OURS, key)}@lapful")
    made.add("dtstamp", stamp)
    made.add("last-modified", stamp)
    made.add("summary", title)
    return made


def _span(event: Event, start: datetime.datetime, minutes: int, zone: ZoneInfo) -> None:
    end = later(start, max(1, minutes))
    # UTC has no VTIMEZONE, and the second showing of an hour cannot be written as a local time.
    if zone.key in ("UTC", "Etc/UTC") or end.fold:
        start, end = start.astimezone(datetime.UTC), end.astimezone(datetime.UTC)
    event.add("dtstart", start)
    event.add("dtend", end)


def _booking_event(week: Dated, line: Line, person: str | None, zone: ZoneInfo, adult: bool) -> Event:
    booking = line.booking
    event = _event(week, booking.id, person, line.title)
    start, until = (line.adult_from, line.adult_until) if adult else (booking.start, 0)
    minutes = until - start if adult else booking.minutes
    date = date_of(week.problem.week.monday, booking.day)
    _span(event, moment_of(date, start, zone), minutes, zone)
    event.add("location", line.place)
    event.add("description", _description(line))
    return event


def _description(line: Line) -> str:
    said = [f"Taking part: {line.named}." if line.named else "An adult’s step."]
    said += [f"Helping: {line.adults}."] if line.adults else []
    said += [f"Begins at {line.clock[:5]}; laying out and clearing are counted in."]
    for caution in line.booking.cautions:
        said += [f"Take care: {caution.text}"] + ([f"({caution.source})"] if caution.source else [])
    if line.booking.cautions:
        said.append("Not medical or legal advice; local rules and your own doctor come first.")
    return "\n".join(said)


def _prep_events(week: Dated, person: str | None, zone: ZoneInfo) -> Iterator[Event]:
    titles = {line.booking.id: line.title for line in lines_of(week.problem, week.plan)}
    evenings: dict[Evening, int] = {}
    for task in week.plan.prep:
        passed = evenings.get(task.evening, 0)
        evenings[task.evening] = passed + task.minutes
        date = week.problem.week.monday + datetime.timedelta(days=task.evening.index)
        event = _event(week, _prep_key(task), person, f"Make ready: {task.name}")
        _span(event, moment_of(date, PREP_TIME + passed, zone), task.minutes, zone)
        event.add("description", f"To be ready for {titles.get(task.ready_for, task.ready_for)}.")
        yield event


def _prep_key(task: PrepBooking) -> str:
    return f"prep.{task.wish}.{task.go + 1}.{task.task}"


def _due_events(week: Dated, person: str | None, zone: ZoneInfo) -> Iterator[Event]:
    wanted = _books_read(week)
    for book in week.problem.household.books:
        if book.due and book.state is BookState.BORROWED and book.id in wanted:
            event = _event(week, f"due.{book.id}", person, f"Give back: {book.title}")
            date = date_of(week.problem.week.monday, book.due.day)
            _span(event, moment_of(date, book.due.time, zone), 15, zone)
            event.add("description", _renewals(book))
            event.add("transp", "TRANSPARENT")
            yield event


def _books_read(week: Dated) -> set[BookId]:
    return {one.book for one in week.problem.activities if one.book}


def _renewals(book: Book) -> str:
    if not book.renewals_left:
        return "No renewals left."
    return f"It can be renewed {book.renewals_left} more time{'s' if book.renewals_left > 1 else ''}."
