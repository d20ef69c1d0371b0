"""Feeds against RFC 5545 and two general libraries, on weeks in which clocks change.

Sources: RFC 5545 (iCalendar) 3.1 (lines of at most 75 octets, CRLF), 3.3.5 (times that clocks skip or show
twice), 3.6.1 (UID, DTSTAMP), 3.6.5 (VTIMEZONE); ISO 8601 weeks. Clock changes of New York and Lord Howe:
IANA time zone database. The libraries are icalendar and vobject, which share no code.
"""

from __future__ import annotations

import datetime
import re
import warnings
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from icalendar import Calendar

from service.paper.feed import Dated, calendar
from solver.domain.base import DAYS
from solver.domain.document import Document
from solver.domain.plan import Plan
from tests.service.house import WEEK, document_json
from tests.service.papers import booking

MADE = datetime.datetime(2026, 1, 5, 18, 0, tzinfo=datetime.UTC)
WEEKS = [
    ("America/New_York", "2026-W10", "sunday", datetime.date(2026, 3, 8)),
    ("Australia/Lord_Howe", "2026-W14", "sunday", datetime.date(2026, 4, 5)),
    ("Europe/London", "2026-W53", "friday", datetime.date(2027, 1, 1)),
    ("Asia/Kathmandu", "2026-W53", "thursday", datetime.date(2026, 12, 31)),
    ("UTC", "2027-W01", "monday", datetime.date(2027, 1, 4)),
    ("America/New_York", "2026-W44", "sunday", datetime.date(2026, 11, 1)),
]


def week(zone: str, week_id: str, starts: tuple[str, ...] = ("09:00",), **more: Any) -> Dated:
    """A week with a story on each day at each of these times."""
    made = document_json()
    made["household"]["time_zone"] = zone
    made["activities"][0]["title"] = more.get("title", "Leaf story")
    made["weeks"] = [made["weeks"][0] | {"id": week_id}]
    problem = Document.model_validate(made).problem(week_id)
    pairs = [(day, start) for day in DAYS for start in starts]
    bookings = tuple(
        booking("story", "leaf-story", day, start, go=go, minutes=more.get("minutes", 30))
        for go, (day, start) in enumerate(pairs)
    )
    return Dated(problem, Plan(week=week_id, bookings=bookings), MADE)


def vobject_events(body: bytes) -> list[Any]:
    with warnings.catch_warnings():
        # The library's own dependencies warn of what they will change; that is not what is tested.
        warnings.simplefilter("ignore")
        import vobject

        read = vobject.readOne(body.decode())
        assert read.validate(raiseException=True)
        return [(one.uid.value, one.dtstart.value, one.dtend.value) for one in read.vevent_list]


@pytest.mark.parametrize(("zone", "week_id", "day", "date"), WEEKS)
def test_both_libraries_read_the_same_moments(zone: str, week_id: str, day: str, date: datetime.date) -> None:
    body = calendar([week(zone, week_id)], "burr")
    events = Calendar.from_ical(body).walk("VEVENT")
    at = {str(one["uid"]): (one["dtstart"].dt, one["dtend"].dt) for one in events}
    assert len(at) == 7
    for uid, start, end in vobject_events(body):
        assert start.astimezone(datetime.UTC) == at[uid][0].astimezone(datetime.UTC)
        assert end.astimezone(datetime.UTC) == at[uid][1].astimezone(datetime.UTC)
    local = datetime.datetime.combine(date, datetime.time(9), ZoneInfo(zone))
    assert local.astimezone(datetime.UTC) in {start.astimezone(datetime.UTC) for start, _ in at.values()}, (
        f"{day} at nine by the kitchen clock"
    )


@pytest.mark.parametrize(
    ("zone", "week_id", "start", "utc"),
    [
        # skipped: read with the offset before the change (RFC 5545, 3.3.5)
        ("America/New_York", "2026-W10", "02:30", "2026-03-08T07:30"),
        # shown twice: the first
        ("America/New_York", "2026-W44", "01:30", "2026-11-01T05:30"),
        ("Australia/Lord_Howe", "2026-W14", "01:45", "2026-04-04T14:45"),
        ("Australia/Lord_Howe", "2026-W14", "09:00", "2026-04-04T22:30"),
    ],
)
def test_times_at_the_change(zone: str, week_id: str, start: str, utc: str) -> None:
    body = calendar([week(zone, week_id, (start,), minutes=60)], "burr")
    for events in (
        [(one["dtstart"].dt, one["dtend"].dt) for one in Calendar.from_ical(body).walk("VEVENT")],
        [(begins, ends) for _, begins, ends in vobject_events(body)],
    ):
        begins, ends = max(events, key=lambda pair: pair[0].astimezone(datetime.UTC))
        assert f"{begins.astimezone(datetime.UTC):%Y-%m-%dT%H:%M}" == utc
        assert ends.astimezone(datetime.UTC) - begins.astimezone(datetime.UTC) == datetime.timedelta(hours=1)


def test_a_day_of_change_keeps_its_twelve_hours() -> None:
    body = calendar([week("America/New_York", "2026-W10", ("08:00", "20:00"), minutes=5)], "burr")
    events = Calendar.from_ical(body).walk("VEVENT")
    first, last = sorted(one["dtstart"].dt.astimezone(datetime.UTC) for one in events)[-2:]
    assert last - first == datetime.timedelta(hours=12)


@pytest.mark.parametrize("title", ["é" * 90, "雨の日" * 40, "a, b; c \\ d\ne", "x" * 190, "🐸" * 40])
def test_lines_are_folded_and_ended_as_the_standard_says(title: str) -> None:
    body = calendar([week("Europe/London", "2026-W53", title=title)])
    assert body.endswith(b"\r\n")
    assert b"\n" not in body.replace(b"\r\n", b"")
    assert b"\r" not in body.replace(b"\r\n", b"")
    lines = body.split(b"\r\n")
    assert max(len(line) for line in lines) <= 75
    for line in lines:
        line.decode()  # no character is torn apart
    assert str(Calendar.from_ical(body).walk("VEVENT")[0]["summary"]) == title.replace("\n", " ")


def test_every_event_has_what_the_standard_asks() -> None:
    body = calendar([week("America/New_York", "2026-W10")])
    text = body.decode().replace("\r\n ", "")
    assert text.startswith("BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:")
    events = re.findall(r"BEGIN:VEVENT\r\n(.*?)END:VEVENT", text, re.DOTALL)
    assert len(events) == 7
    for event in events:
        assert len(re.findall(r"^UID:.+@lapful\r$", event, re.MULTILINE)) == 1
        assert len(re.findall(r"^DTSTAMP:20260105T180000Z\r$", event, re.MULTILINE)) == 1
        assert len(re.findall(r"^DTSTART;TZID=America/New_York:\d{8}T090000\r$", event, re.MULTILINE)) == 1
    assert len(re.findall(r"^TZID:America/New_York\r$", text, re.MULTILINE)) == 1, "one VTIMEZONE"


def test_weeks_are_those_of_iso_8601() -> None:
    body = calendar([week("UTC", "2026-W53")], "burr")
    days = [one["dtstart"].dt.date() for one in Calendar.from_ical(body).walk("VEVENT")]
    assert days == [datetime.date(2026, 12, 28) + datetime.timedelta(days=n) for n in range(7)]
    assert {day.isocalendar()[:2] for day in days} == {(2026, 53)}
    assert WEEK == "2027-W05"
