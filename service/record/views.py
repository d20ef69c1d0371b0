"""What is kept of a week, and what is shown of it."""

from __future__ import annotations

import datetime
from enum import StrEnum
from typing import Annotated

from pydantic import Field

from service.days import SaneDay
from service.record.areas import Subject
from solver.domain.activity import Kind
from solver.domain.base import (
    ActivityId,
    AreaId,
    BookingId,
    ChildId,
    Clock,
    Count,
    Day,
    Frozen,
    Help,
    Minutes,
    Name,
    Text,
)
from solver.domain.week import WeekId

LOG, OBSERVATION, RULE = "log", "observation", "record_rule"


class Outcome(StrEnum):
    """How it went."""

    DONE = "done"
    LOVED = "loved"
    FINE = "fine"
    NOT = "not"
    """It did not happen."""
    NO = "no"
    """The child would not."""

    @property
    def happened(self) -> bool:
        """Whether it took place."""
        return self in (Outcome.DONE, Outcome.LOVED, Outcome.FINE)


class Refusal(StrEnum):
    """Why a child would not: the form, seldom the topic."""

    STICKY = "sticky"
    TOO_HARD = "too hard"
    TOO_LONG = "too long"
    TOO_EASY = "too easy"
    TIRED = "tired"
    LOUD = "loud"
    OTHER = "other"


class LogLine(Frozen):
    """One child and one thing."""

    id: Annotated[str, Field(min_length=1, max_length=200)]
    date: SaneDay
    child: ChildId
    title: Name
    outcome: Outcome
    minutes: Minutes = 0
    week: WeekId | None = None
    booking: BookingId | None = None
    activity: ActivityId | None = None
    kind: Kind | None = None
    areas: tuple[AreaId, ...] = ()
    help: Help | None = None
    reason: Refusal | None = None
    planned_min: Minutes | None = None
    start: Clock | None = None
    """When it was planned to begin."""
    setup_min: Minutes | None = None
    """Real minutes of laying out, where somebody looked."""
    cleanup_min: Minutes | None = None
    counts: bool = True
    """For the record that the family keeps."""
    note: Text = ""


class FridayLine(Frozen):
    """What is to be said about one booking."""

    booking: BookingId
    outcome: Outcome
    minutes: dict[ChildId, Minutes] = {}
    """Only where it was otherwise than planned."""
    reasons: dict[ChildId, Refusal] = {}
    setup_min: Minutes | None = None
    cleanup_min: Minutes | None = None
    counts: bool = True
    note: Text = ""


class Friday(Frozen):
    """One pass over the week: some lines, and what holds for all the rest."""

    lines: Annotated[tuple[FridayLine, ...], Field(max_length=2000)] = ()
    rest: Outcome | None = None
    """For every booking that has no line and is not in the log yet; None leaves them open."""


class Draft(Frozen):
    """A booking as the pass over the week offers it."""

    booking: BookingId
    activity: ActivityId
    title: Name
    date: SaneDay
    day: Day
    minutes: dict[ChildId, Minutes]
    outcome: Outcome | None
    """As it was ticked or logged; None: nothing is known yet."""
    logged: bool
    said: FridayLine | None = None
    """What the log says of it; None: it is not in it yet."""


class Level(StrEnum):
    """How far a child is with something."""

    NOT_YET = "not yet"
    WITH_HELP = "with help"
    ALONE = "alone"


class Observation(Frozen):
    """What was seen, short and dated."""

    id: Annotated[str, Field(min_length=1, max_length=80)]
    child: ChildId
    date: SaneDay
    skill: Name
    level: Level
    area: AreaId | None = None
    seen: Text = ""


class RuleKind(StrEnum):
    """What the family's own rule counts."""

    NONE = "none"
    DAYS = "days"
    HOURS = "hours"


class RecordRule(Frozen):
    """The family's own rule. Lapful knows no law."""

    child: ChildId
    kind: RuleKind = RuleKind.NONE
    since: SaneDay
    until: SaneDay
    target: Annotated[int, Field(ge=0, le=10_000)] = 0
    """Days or hours in that time."""
    over: Annotated[int, Field(ge=0, le=400)] = 0
    """So many days or weeks it is spread over, for a figure to go by; 0: none."""
    areas: tuple[AreaId, ...] = ()
    """Only these areas count; empty: all."""
    source: Text = ""
    """Where the family read it."""
    source_date: SaneDay | None = None


class RuleProgress(Frozen):
    """Where a child stands by the family's own rule."""

    rule: RecordRule
    days: Count
    hours: float
    each: float | None
    """Target divided by what it is spread over."""
    note: Text
    """Always: check your local law."""


class SubjectMinutes(Frozen):
    """Minutes of one child under one domain or tag."""

    child: ChildId
    subject: Subject
    minutes: Count
    times: Count
    by_week: dict[WeekId, Count]


class ThinArea(Frozen):
    """An area that a child has seldom, and one cheap thing that would fill it."""

    child: ChildId
    area: AreaId
    name: Name
    times_a_week: float
    wanted: Count
    fix: ActivityId | None
    fix_title: Text = ""
    fix_minutes: Minutes = 0
    fits_in: WeekId | None = None
    """The week in which it was found to have a place."""


class GentleNote(Frozen):
    """A published figure beside what is planned; nothing is wrong."""

    child: ChildId
    text: Text
    source: Text


class Report(Frozen):
    """The record of a period."""

    since: datetime.date
    until: datetime.date
    subjects: tuple[SubjectMinutes, ...]
    progress: tuple[RuleProgress, ...]
    thin: tuple[ThinArea, ...]
    noted_last: dict[ChildId, datetime.date | None]
    """When each child was last observed: who is next."""
