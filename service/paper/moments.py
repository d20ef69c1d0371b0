"""The household's wall clock: days and minutes as moments that every calendar understands."""

from __future__ import annotations

import datetime
from zoneinfo import ZoneInfo

from solver.domain.base import DAY_MIN, Day
from solver.domain.week import Household

PREP_TIME = 20 * 60
"""Evening prep is shown at 20:00, when it counts as done by the plan."""


def zone_of(household: Household) -> ZoneInfo:
    """The household's time zone."""
    return ZoneInfo(household.time_zone)


def date_of(monday: datetime.date, day: Day) -> datetime.date:
    """The date of a day in the week that begins on this Monday."""
    return monday + datetime.timedelta(days=day.index)


def moment_of(date: datetime.date, minutes: int, zone: ZoneInfo) -> datetime.datetime:
    """The moment of a wall-clock time.

    A time that the spring change skips is read with the offset before it and an hour that comes twice
    as its first (RFC 5545, 3.3.5); the way over UTC writes such a time as clocks then show it.
    """
    days, rest = divmod(minutes, DAY_MIN)
    time = datetime.time(rest // 60, rest % 60)
    local = datetime.datetime.combine(date + datetime.timedelta(days=days), time, zone)
    return local.astimezone(datetime.UTC).astimezone(zone)


def later(moment: datetime.datetime, minutes: int) -> datetime.datetime:
    """So many real minutes later, over a clock change too."""
    passed = moment.astimezone(datetime.UTC) + datetime.timedelta(minutes=minutes)
    return passed.astimezone(moment.tzinfo)
