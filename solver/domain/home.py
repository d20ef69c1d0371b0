"""What the house offers: places, materials and how they come, what holds a waiting piece, books."""

from __future__ import annotations

import datetime
from enum import StrEnum
from typing import Annotated, Self

from pydantic import Field, model_validator

from solver.domain.base import (
    BookId,
    Count,
    Evening,
    Frozen,
    HolderId,
    MaterialId,
    Minutes,
    Moment,
    Name,
    PlaceId,
    Text,
    Window,
)


class Place(Frozen):
    """Somewhere a sitting happens."""

    id: PlaceId
    name: Name
    sittings_at_once: Annotated[int, Field(ge=1, le=20)] = 1
    meals_here: bool = False
    """Must be clear some minutes before each meal (``Limits.table_clear_before_meal_min``)."""
    outdoors: bool = False
    apart: bool = False
    """So far from the rest that an adult who helps here helps nowhere else (yard, upstairs)."""
    travel_min: Minutes = 0
    """One way. More than 0: the adult is out of the house, children who stay need another adult."""
    out_of_earshot: bool = False
    """Noise here wakes nobody."""
    closed: tuple[Window, ...] = ()

    @property
    def away(self) -> bool:
        """Whether going there means leaving the house."""
        return self.travel_min > 0


class Arrival(Frozen):
    """Something comes into the house at a known moment."""

    at: Moment
    count: Count


FOREVER = 10_000
"""Days that outlast every week."""


class Material(Frozen):
    """A tool (used and put back) or a supply (used up)."""

    id: MaterialId
    name: Name
    reusable: bool = True
    count: Count = 1
    """How many of the tool, or how much of the supply in stock on Monday morning."""
    unit: Name = "piece"
    arrivals: tuple[Arrival, ...] = ()
    buyable: bool = False
    """Can be bought at a weekly shop (``Week.shops``)."""
    price: Annotated[int, Field(ge=0, le=10_000)] = 0
    """In the family's money for one unit."""
    substitutes: tuple[Name, ...] = ()
    keeps_days: Annotated[int, Field(ge=0, le=400)] | None = None
    """Perishable: still good so many days after the day it was bought. None: it keeps."""

    def good_until(self, day: int) -> int:
        """The last day on which it is good when it came into the house on a day (both from Monday, 0)."""
        return day + (FOREVER if self.keeps_days is None else self.keeps_days)


SHOP_BEFORE_WEEK_DAY = -2
"""The shop before a week is taken to be on the Saturday (common practice, no source)."""


class Shop(Frozen):
    """When bought things are in the house. ``before_week`` is the shop before Monday."""

    before_week: bool = False
    at: Moment | None = None
    closes: Text = ""
    """When the list closes, in words (``Friday 20:00``)."""

    @model_validator(mode="after")
    def _one_of_both(self) -> Self:
        if self.before_week == (self.at is not None):
            raise ValueError("a shop is either before_week or has a moment in the week; give one")
        return self

    @property
    def day_index(self) -> int:
        """Its day, counted from Monday."""
        return self.at.day.index if self.at else SHOP_BEFORE_WEEK_DAY


class Holder(Frozen):
    """Where a piece waits: tray, peg line, windowsill, oven, freezer shelf."""

    id: HolderId
    name: Name
    capacity: Annotated[int, Field(ge=1, le=1000)] = 1


LoanDay = Annotated[datetime.date, Field(ge=datetime.date(2000, 1, 1), le=datetime.date(2199, 12, 31))]
"""Wide enough for every loan, and far enough from the ends of the calendar to count on from it."""


class BookState(StrEnum):
    """Where a book is."""

    OWNED = "owned"
    BORROWED = "borrowed"
    RESERVED = "reserved"


class Book(Frozen):
    """A picture book. A borrowed one is read before it is due, a reserved one after it arrives."""

    id: BookId
    title: Name
    state: BookState = BookState.OWNED
    due: Moment | None = None
    """Of a loan that falls due on the same day each week; usually a loan has a date."""
    arrives: Moment | None = None
    due_on: LoanDay | None = None
    arrives_on: LoanDay | None = None
    renewals_left: Annotated[int, Field(ge=0, le=20)] = 0
    language: Name | None = None

    @model_validator(mode="after")
    def _arrives_before_due(self) -> Book:
        if self.due and self.arrives and self.due.week_min <= self.arrives.week_min:
            raise ValueError(f"{self.title!r} is due back before it arrives; correct one of the two")
        if self.due_on and self.arrives_on and self.due_on <= self.arrives_on:
            raise ValueError(f"{self.title!r} is due back before it arrives; correct one of the two dates")
        return self

    @model_validator(mode="after")
    def _day_or_date(self) -> Book:
        for day, date in (("due", "due_on"), ("arrives", "arrives_on")):
            if getattr(self, day) and getattr(self, date):
                raise ValueError(f"{self.title!r} has both {day} and {date}; keep the date alone")
        return self


class PrepEvening(Frozen):
    """Minutes that can be found on one evening once the children are in bed."""

    evening: Evening
    minutes: Annotated[int, Field(ge=0, le=300)]
    quiet: bool = True
    """Somebody sleeps within earshot: no noisy prep."""


class Limits(Frozen):
    """What this household can bear. Figures without a source are common practice."""

    mess_sum_a_day: Annotated[int, Field(ge=0, le=40)] = 5
    big_mess_a_day: Annotated[int, Field(ge=0, le=10)] = 1
    mess_sum_a_week: Annotated[int, Field(ge=0, le=200)] = 25
    mess_hours: tuple[Window, ...] = ()
    """When mess of 3 or more is allowed at home; empty means at any time."""
    table_clear_before_meal_min: Minutes = 30
    mess_clear_before_leaving_min: Minutes = 15
    prep: tuple[PrepEvening, ...] = ()
    money_a_week: Annotated[int, Field(ge=0, le=100_000)] = 20
    theme_things_a_day: Annotated[int, Field(ge=0, le=20)] = 2
    screen_min_a_day: Minutes = 30
    free_share: Annotated[float, Field(ge=0, le=0.9)] = 0.2
    """Share of each child's open time that stays empty."""
    change_min: Minutes = 5
    """Lost at every change from one thing to the next."""
    wash_min: Minutes = 5
    """Washing hands after mess of 2 or more."""
    out_the_door_min: Minutes = 15
    outdoor_times_a_day: Annotated[int, Field(ge=0, le=5)] = 2
    """Occasions, in different halves of the day (Caring for Our Children 3.1.3.1: two to three)."""
