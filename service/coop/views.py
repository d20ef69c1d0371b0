"""What is agreed for a shared day."""

from __future__ import annotations

import datetime
from enum import StrEnum
from typing import Annotated, Self

from pydantic import AwareDatetime, Field, model_validator

from service.days import SaneDay
from solver.domain.base import ActivityId, ChildId, Clock, Count, Frozen, Name, Text, require_distinct
from solver.domain.people import Allergy, BirthMonth, Condition
from solver.domain.week import WeekId

COOP = "coop_day"


class Guest(Frozen):
    """A child or adult of another family."""

    id: ChildId
    name: Name
    family: Name
    birth_month: BirthMonth | None = None
    mouths_things: bool = False
    allergies: tuple[Allergy, ...] = ()
    conditions: tuple[Condition, ...] = ()


class Bring(Frozen):
    """Who brings what."""

    family: Name
    what: Text


class StandIn(Frozen):
    """What happens when the host or the leader falls out."""

    host: Name | None = None
    leader: Name | None = None
    instead: Text = ""
    """What is done then, if nobody can."""


class Complaint(StrEnum):
    """What the group's illness rule speaks of."""

    FEVER = "fever"
    STOMACH = "stomach upset"


class IllnessRule(Frozen):
    """Hours without symptoms, and without medicine against them, as the group sets them.

    24 hours is common; some groups use 48 after a stomach upset (common practice, no source).
    """

    fever_h: Annotated[int, Field(ge=0, le=240)] = 24
    stomach_h: Annotated[int, Field(ge=0, le=240)] = 48

    def hours(self, complaint: Complaint) -> int:
        """How long to stay away."""
        return self.fever_h if complaint is Complaint.FEVER else self.stomach_h


class CoopDay(Frozen):
    """One shared day."""

    id: Annotated[str, Field(min_length=1, max_length=80)]
    date: SaneDay
    start: Clock
    end: Clock
    here: bool
    """At this home; otherwise at the host's."""
    host: Name
    leader: Name
    activities: Annotated[tuple[ActivityId, ...], Field(max_length=40)] = ()
    guests: Annotated[tuple[Guest, ...], Field(max_length=60)] = ()
    brings: Annotated[tuple[Bring, ...], Field(max_length=60)] = ()
    stand_in: StandIn = StandIn()
    illness: IllnessRule = IllnessRule()
    note: Text = ""

    @model_validator(mode="after")
    def _makes_sense(self) -> Self:
        if self.end <= self.start:
            raise ValueError("the day ends before it starts; give a later end")
        require_distinct("guests", [guest.id for guest in self.guests])
        for guest in self.guests:
            if guest.birth_month and guest.birth_month > f"{self.date.year}-{self.date.month:02d}":
                raise ValueError(f"{guest.name} would be born after that day; correct the birth month")
        return self


class AllergyLine(Frozen):
    """One allergy or condition of somebody who is there."""

    who: Name
    what: Text


class Person(Frozen):
    """Somebody who is there."""

    name: Name
    family: Name
    age: Text


class ForActivity(Frozen):
    """What safety asks of one activity with everybody there."""

    activity: ActivityId
    title: Name
    blocked: Text
    """Why it is better left out that day, or empty."""
    cautions: tuple[Text, ...]


class CoopSheet(Frozen):
    """Everything that the hosts need on one page."""

    day: CoopDay
    people: tuple[Person, ...]
    allergies: tuple[AllergyLine, ...]
    activities: tuple[ForActivity, ...]
    advice: Text


class Turns(Frozen):
    """How often each family has hosted and led."""

    family: Name
    hosted: Count
    led: Count
    last: datetime.date | None


class Clear(Frozen):
    """Whether a child who was ill may come by the group's own rule."""

    clear_at: AwareDatetime
    in_time: bool
    note: Text


class IntoWeek(Frozen):
    """A shared day that was put into its week."""

    week: WeekId
    fixed_point: Text
    visitors: Count
