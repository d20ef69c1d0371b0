"""What the first run asks, and what it gives back."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

from pydantic import Field

from solver.domain.base import Clock, Day, Evening, Frozen, Name, Text, Window
from solver.domain.document import Document
from solver.domain.people import Allergy, BirthMonth
from solver.domain.week import WeekId


class NapAnswer(Frozen):
    """A usual nap."""

    start: Clock
    length_min: Annotated[int, Field(gt=0, le=360)]
    days_of_seven: Annotated[int, Field(ge=0, le=7)] | None = None


class ChildAnswer(Frozen):
    """A child: a name or nickname and the month of birth; everything else may be left out."""

    name: Name
    birth_month: BirthMonth
    naps: Annotated[tuple[NapAnswer, ...], Field(max_length=4)] | None = None
    """None: as usual at this age. Empty: no nap any more."""
    wake: Clock | None = None
    bed: Clock | None = None
    allergies: tuple[Allergy, ...] = ()


class AdultAnswer(Frozen):
    """An adult and when they are there for the children. The first one named leads."""

    name: Name
    hours: Annotated[tuple[Window, ...], Field(min_length=1, max_length=40)]


class PlaceAnswer(StrEnum):
    """Places that not every home has; table, floor, sofa, bath and windowsill are taken for granted."""

    YARD = "yard"
    HALL = "hall"
    POND = "pond"
    SHOPS = "shops"


class PrepAnswer(Frozen):
    """An evening with some minutes to make things ready."""

    evening: Evening
    minutes: Annotated[int, Field(ge=0, le=300)]


class Answers(Frozen):
    """The six answers: who, when they sleep, which adult when, where and how much mess, which
    evenings, which theme."""

    children: Annotated[tuple[ChildAnswer, ...], Field(min_length=1, max_length=20)]
    adults: Annotated[tuple[AdultAnswer, ...], Field(min_length=1, max_length=12)]
    places: tuple[PlaceAnswer, ...] = (PlaceAnswer.YARD,)
    mess_a_day: Annotated[int, Field(ge=0, le=12)] = 5
    """How much mess a day is bearable, added up: 2 is a table to wipe, 3 a floor to sweep."""
    prep: Annotated[tuple[PrepAnswer, ...], Field(max_length=8)] = ()
    theme: Name | None = None
    household: Name = "Our house"
    time_zone: Name = "UTC"
    week: WeekId
    teaching_days: tuple[Day, ...] = ()
    """Empty: Monday to Friday, as far as an adult is there."""


class Standing(StrEnum):
    """Who stands behind a default."""

    PUBLISHED = "published"
    COMMON_PRACTICE = "common practice"
    OURS = "our own choice"


class Default(Frozen):
    """Something that was not asked, and what was taken instead."""

    path: Text
    """Where it stands in the household file."""
    says: Text
    standing: Standing
    source: Text = ""


class Started(Frozen):
    """A household file to go on with, every default in it, and what to know."""

    document: Document
    defaults: tuple[Default, ...]
    notes: tuple[Text, ...] = ()
    """Gentle notes: nothing is wrong, it is good to know."""
