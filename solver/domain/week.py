"""One household, one week: what is fixed, what is wished, what has already happened."""

from __future__ import annotations

import datetime
import re
from enum import StrEnum
from itertools import pairwise
from typing import Annotated, Self

from pydantic import AfterValidator, Field, model_validator

from solver.domain.activity import Activity, AreaTarget, Kind, Meal
from solver.domain.base import (
    DAYS,
    ActivityId,
    AdultId,
    AreaId,
    ChildId,
    Clock,
    Count,
    Day,
    Evening,
    Frozen,
    Id,
    LongMinutes,
    MaterialId,
    Minutes,
    Moment,
    Name,
    PlaceId,
    StretchId,
    TimeZone,
    Window,
    WishId,
    require_distinct,
)
from solver.domain.home import Book, Holder, Limits, Material, Place, Shop
from solver.domain.people import Adult, Child, Hours, Visitor
from solver.domain.plan import Booking

FIRST_YEAR, LAST_YEAR = 1970, 2199
"""Weeks in between can be counted on from and back from without an end of the calendar in the way."""
_WEEK = re.compile(r"^(\d{4})-W(\d{2})$")


def week_monday(week: str) -> datetime.date:
    """The Monday of an ISO 8601 week written ``2027-W05``.

    Raises
    ------
    ValueError
        When the text is no week or the year has no such week.
    """
    found = _WEEK.match(week)
    if not found:
        raise ValueError(f"{week!r} is not a week; write it as 2027-W05")
    if not FIRST_YEAR <= int(found[1]) <= LAST_YEAR:
        raise ValueError(f"{week} lies too far off; give a week from {FIRST_YEAR} to {LAST_YEAR}")
    try:
        return datetime.date.fromisocalendar(int(found[1]), int(found[2]), 1)
    except ValueError:
        last = datetime.date(max(1, int(found[1])), 12, 28).isocalendar().week
        raise ValueError(f"there is no week {week}: {found[1]} has weeks W01 to W{last}") from None


def _checked_week(value: str) -> str:
    week_monday(value)
    return value


WeekId = Annotated[str, AfterValidator(_checked_week), Field(examples=["2027-W05"])]


class FixedKind(StrEnum):
    """What makes the time fixed."""

    MEAL = "meal"
    CLASS = "class"
    APPOINTMENT = "appointment"
    OUTING = "outing"
    SHIFT = "shift"
    VISIT = "visit"
    REST = "rest"
    LOST = "lost"
    """Time that a mishap took."""


class FixedPoint(Frozen):
    """Something that has its time already. Children and adults named in it are taken."""

    id: Id
    title: Name
    kind: FixedKind
    days: tuple[Day, ...] = ()
    start: Clock
    end: Clock
    children: tuple[ChildId, ...] = ()
    adults: tuple[AdultId, ...] = ()
    travel_before_min: Minutes = 0
    travel_after_min: Minutes = 0
    out_the_door_min: Minutes = 0
    adult_before_min: Minutes = 0
    """Minutes of an adult at home just before it (cooking lunch)."""
    place: PlaceId | None = None
    meal: Meal | None = None
    outdoors: bool = False
    visitors_come: bool = False
    breakable: bool = False
    start_spread_min: Minutes = 0

    @model_validator(mode="after")
    def _times_in_order(self) -> Self:
        if self.end <= self.start:
            raise ValueError(f"{self.title!r} ends before it starts; give a later end")
        if self.taken_from < 0 or self.taken_until > 24 * 60:
            raise ValueError(f"{self.title!r} with its travel runs past midnight; shorten it")
        if (self.kind is FixedKind.MEAL) != (self.meal is not None):
            raise ValueError(f"{self.title!r}: a meal names which meal it is, nothing else does")
        return self

    def on(self, day: Day) -> bool:
        """Whether it takes place on this day."""
        return not self.days or day in self.days

    @property
    def taken_from(self) -> int:
        """Minutes since midnight at which those who go stop being free."""
        return self.start - self.travel_before_min - self.out_the_door_min

    @property
    def taken_until(self) -> int:
        """Minutes since midnight at which they are back."""
        return self.end + self.travel_after_min

    @property
    def leaves_home(self) -> bool:
        """Whether anybody goes out of the door for it."""
        return self.travel_before_min > 0 or self.out_the_door_min > 0


class Stretch(Frozen):
    """A piece of the day with a name."""

    id: StretchId
    name: Name
    start: Clock
    end: Clock
    usual_kinds: tuple[Kind, ...] = ()
    """Kinds that usually sit here, in their usual order. A kind named in no stretch sits anywhere."""
    comfortable: Count = 3
    """More bookings than this for one child is crowded."""

    @model_validator(mode="after")
    def _times_in_order(self) -> Self:
        if self.end <= self.start:
            raise ValueError(f"stretch {self.name!r} ends before it starts; give a later end")
        return self


class Sky(Window):
    """A forecast for some hours. Hours without a forecast count as dry, calm and mild."""

    wet: bool = False
    windy: bool = False
    icy: bool = False
    stormy: bool = False
    too_hot: bool = False
    too_cold: bool = False


class Rank(StrEnum):
    """How much a wish weighs."""

    PROMISE = "promise"
    STAPLE = "staple"
    EXTRA = "extra"


class LossProof(StrEnum):
    """Whether the promises are to be safe from a lost day: each must still fit if any one day were lost."""

    OFF = "off"
    PREFER = "prefer"
    """Where that costs nothing of what is wished."""
    REQUIRE = "require"
    """Right after the promises themselves, whatever else has to give way."""


class Wish(Frozen):
    """An activity wanted this week, ``times`` times; each time is a *go*."""

    id: WishId
    activity: ActivityId
    rank: Rank = Rank.EXTRA
    worth: Annotated[int, Field(ge=1, le=10)] = 5
    """Of one sitting, for extras."""
    times: Annotated[int, Field(ge=1, le=28)] = 1
    most_a_day: Annotated[int, Field(ge=1, le=4)] = 1
    least_gap_days: Annotated[int, Field(ge=0, le=6)] = 0
    """2 means: not two days running."""
    days: tuple[Day, ...] = ()
    """Only these days; with ``times`` equal to their number, one go on each."""
    stretches: tuple[StretchId, ...] = ()
    hours: tuple[Window, ...] = ()
    """Only within these hours; several windows are alternatives."""
    finish_by: Moment | None = None
    children: tuple[ChildId, ...] = ()
    """Empty: every learner for whom the activity has a version."""
    versions: dict[ChildId, Id] = {}
    """A version chosen by hand instead of by age."""
    may_split: bool = False
    """Good for one child alone when the others cannot, at a share of the worth."""
    may_miss: tuple[ChildId, ...] = ()
    """These may be missing from it likewise, and nobody else: after a refusal, or an illness."""
    lighter_ok: bool = False
    """The lighter version may stand in, at less worth."""
    may_carry_on: bool = False
    """Later sittings may fall after this week. Otherwise all sittings or none."""
    language: Name | None = None
    """Led by an adult who speaks it."""
    meals: tuple[Meal, ...] = ()
    """Only these meals, for sittings that happen at a meal."""
    after: tuple[WishId, ...] = ()
    """Starts when the first go of these is finished."""
    opens_theme: bool = False
    """Nothing else of its theme starts before it."""
    told: bool = False
    """The children have been told: costs more to move."""


class Illness(Frozen):
    """A child who stays in: takes part in nothing, goes nowhere, and needs a hand while awake."""

    child: ChildId
    when: tuple[Window, ...]


class NapChange(Frozen):
    """A nap that was, or will be, otherwise than usual on one day."""

    child: ChildId
    day: Day
    usual_start: Clock
    start: Clock | None = None
    """None: no sleep that time."""


class Prepared(Frozen):
    """A prep task that has been done already, on an evening that has gone."""

    wish: WishId
    go: Annotated[int, Field(ge=0)] = 0
    task: Id
    evening: Evening


class Skipped(Frozen):
    """A fixed point that does not take place on one day."""

    fixed_point: Id
    day: Day


class Gone(Frozen):
    """A place, tool or supply that is not to be had on some days (none named: all week)."""

    what: Id
    days: tuple[Day, ...] = ()

    def on(self, day: Day) -> bool:
        """Whether it is not to be had on a day."""
        return not self.days or day in self.days


class LongerWait(Frozen):
    """What waits after one sitting of an activity needs at least so long this time."""

    activity: ActivityId
    after_sitting: Annotated[int, Field(ge=0)]
    least_min: LongMinutes


class Overrides(Frozen):
    """How this week differs from the household as it usually is (``solver.domain.in_force``)."""

    skipped: tuple[Skipped, ...] = ()
    gone: tuple[Gone, ...] = ()
    no_prep: tuple[Evening, ...] = ()
    longer_waits: tuple[LongerWait, ...] = ()


class Week(Frozen):
    """Seven days, with what is fixed and what is wished."""

    id: WeekId
    theme: Name | None = None
    teaching_days: tuple[Day, ...] = DAYS[:5]
    """Days on which wishes may be placed, unless a wish names its own."""
    hours: dict[AdultId, tuple[Hours, ...]] = {}
    """An adult's hours this week, instead of the usual ones."""
    fixed_points: tuple[FixedPoint, ...] = ()
    visitors: tuple[Visitor, ...] = ()
    ill: tuple[Illness, ...] = ()
    naps: tuple[NapChange, ...] = ()
    prepared: tuple[Prepared, ...] = ()
    overrides: Overrides = Overrides()
    sky: tuple[Sky, ...] = ()
    daylight: Window | None = None
    shops: tuple[Shop, ...] = (Shop(before_week=True),)
    wishes: Annotated[tuple[Wish, ...], Field(max_length=400)] = ()
    firm: tuple[Booking, ...] = ()
    """Bookings the parent set: they stay where they are."""
    spare: tuple[ActivityId, ...] = ()
    loss_proof: LossProof = LossProof.OFF
    smaller: bool = False
    """A smaller base week: more white space, less mess, one thing of the theme a day."""
    easy_days: tuple[Day, ...] = ()
    """Days that were lived the easy way, because the adult was tired."""
    now: Moment | None = None
    """Nothing new is put before this moment."""
    done_before: tuple[ActivityId, ...] = ()
    """Activities finished in earlier weeks, for ``Activity.needs_first``."""
    times_before: dict[ChildId, dict[AreaId, Count]] = {}
    """Area occasions carried in from the weeks before; counted towards balance."""
    taken: dict[MaterialId, Count] = {}
    """What the log of this week took out of the cupboard already: it was there on Monday."""

    @property
    def monday(self) -> datetime.date:
        """The first day of the week."""
        return week_monday(self.id)

    @model_validator(mode="after")
    def _distinct(self) -> Self:
        require_distinct("wishes", [wish.id for wish in self.wishes])
        require_distinct("fixed points", [point.id for point in self.fixed_points])
        require_distinct("firm bookings", [booking.id for booking in self.firm])
        return self


class Household(Frozen):
    """Who lives here, what the house offers, what it can bear."""

    name: Name
    time_zone: TimeZone = "UTC"
    children: Annotated[tuple[Child, ...], Field(min_length=1, max_length=20)]
    adults: Annotated[tuple[Adult, ...], Field(min_length=1, max_length=12)]
    places: Annotated[tuple[Place, ...], Field(min_length=1, max_length=60)]
    materials: Annotated[tuple[Material, ...], Field(max_length=5000)] = ()
    holders: tuple[Holder, ...] = ()
    books: tuple[Book, ...] = ()
    stretches: Annotated[tuple[Stretch, ...], Field(min_length=1, max_length=20)]
    fixed_points: tuple[FixedPoint, ...] = ()
    """Every week's: meals, usually."""
    limits: Limits = Limits()
    areas: tuple[AreaTarget, ...] = ()

    @model_validator(mode="after")
    def _distinct(self) -> Self:
        people = [child.id for child in self.children] + [adult.id for adult in self.adults]
        require_distinct("people", people)
        for what in ("places", "materials", "holders", "books", "stretches", "areas"):
            require_distinct(what, [item.id for item in getattr(self, what)])
        require_distinct("fixed points", [point.id for point in self.fixed_points])
        return self

    @model_validator(mode="after")
    def _stretches_apart(self) -> Self:
        ordered = sorted(self.stretches, key=lambda stretch: stretch.start)
        for first, second in pairwise(ordered):
            if second.start < first.end:
                raise ValueError(
                    f"stretches {first.name!r} and {second.name!r} overlap; "
                    "end the first where the second starts"
                )
        return self


class Problem(Frozen):
    """Everything the solver is given: one household, its activities, one week."""

    household: Household
    activities: tuple[Activity, ...]
    week: Week
