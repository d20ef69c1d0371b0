"""Words every other model is built from: ids, days, clock times, windows of a week."""

from __future__ import annotations

import re
from enum import IntEnum, StrEnum
from typing import Annotated, Any
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    PlainSerializer,
    StringConstraints,
    WithJsonSchema,
    model_validator,
)

DAY_MIN = 24 * 60


class Frozen(BaseModel):
    """A value that cannot change and takes no field it does not know."""

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        allow_inf_nan=False,
        # What is sent holds every field, so its schema says so (the page's types rely on it).
        json_schema_serialization_defaults_required=True,
    )


ID_PATTERN = r"^[A-Za-z0-9][A-Za-z0-9_.:+-]{0,79}$"
Id = Annotated[str, StringConstraints(pattern=ID_PATTERN)]
ChildId = Id
AdultId = Id
PlaceId = Id
MaterialId = Id
HolderId = Id
BookId = Id
ActivityId = Id
WishId = Id
BookingId = Id
StretchId = Id
AreaId = Id

Text = Annotated[str, StringConstraints(max_length=2000)]
Name = Annotated[str, StringConstraints(min_length=1, max_length=200, strip_whitespace=True)]
Minutes = Annotated[int, Field(ge=0, le=7 * DAY_MIN)]
LongMinutes = Annotated[int, Field(ge=0, le=100 * DAY_MIN)]
"""For waits that go on for weeks."""
Count = Annotated[int, Field(ge=0, le=100_000)]

_CLOCK = re.compile(r"^([01]\d|2[0-4]):([0-5]\d)$")


def is_zone(name: str) -> bool:
    """Whether the tz database, and so every browser too, has a zone of this name."""
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        return False
    # These lie beside the zones on some machines, and a browser does not know them.
    return name not in {"localtime", "Factory"} and not name.startswith(("posix", "right/"))


def _known_zone(name: str) -> str:
    if not is_zone(name):
        raise ValueError(f"{name!r} is no time zone; write one like Europe/London or America/New_York")
    return name


TimeZone = Annotated[Name, AfterValidator(_known_zone), Field(examples=["Europe/London"])]


def clock_minutes(value: Any) -> Any:
    """Minutes since midnight of a clock time written ``HH:MM`` (24:00 is the end of the day)."""
    if isinstance(value, str):
        found = _CLOCK.match(value)
        if not found or (found[1] == "24" and found[2] != "00"):
            raise ValueError(f"{value!r} is not a time of day; write it as HH:MM, for example 09:15")
        return int(found[1]) * 60 + int(found[2])
    return value


def clock_text(minutes: int) -> str:
    """``HH:MM`` of minutes since midnight; a time past midnight keeps counting (25:10)."""
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


Clock = Annotated[
    int,
    BeforeValidator(clock_minutes),
    Field(ge=0, le=DAY_MIN),
    PlainSerializer(clock_text, return_type=str),
    WithJsonSchema({"type": "string", "pattern": _CLOCK.pattern, "examples": ["09:15"]}),
]


class Day(StrEnum):
    """A day of the week; ISO 8601 weeks begin on Monday."""

    MONDAY = "monday"
    TUESDAY = "tuesday"
    WEDNESDAY = "wednesday"
    THURSDAY = "thursday"
    FRIDAY = "friday"
    SATURDAY = "saturday"
    SUNDAY = "sunday"

    @property
    def index(self) -> int:  # type: ignore[override]  # nobody looks for letters in a day
        """0 for Monday to 6 for Sunday."""
        return DAYS.index(self)


DAYS: tuple[Day, ...] = tuple(Day)


class Evening(StrEnum):
    """An evening on which something can be made ready; the first is the Sunday before the week."""

    SUNDAY_BEFORE = "sunday_before"
    MONDAY = "monday"
    TUESDAY = "tuesday"
    WEDNESDAY = "wednesday"
    THURSDAY = "thursday"
    FRIDAY = "friday"
    SATURDAY = "saturday"
    SUNDAY = "sunday"

    @property
    def index(self) -> int:  # type: ignore[override]  # nobody looks for letters in an evening
        """-1 for the Sunday before, then 0 for Monday to 6 for Sunday."""
        return tuple(Evening).index(self) - 1


class Help(IntEnum):
    """How much of an adult a child needs at an activity."""

    ALONE_IN_EARSHOT = 0
    SET_GOING = 1
    DIPS_IN = 2
    BESIDE = 3
    HANDS_ON = 4


class Mess(IntEnum):
    """What an activity leaves behind."""

    NONE = 0
    CRUMBS = 1
    WIPE_TABLE = 2
    FLOOR_AND_CLOTHES = 3
    BATH = 4


class Window(Frozen):
    """A piece of the clock on some days; no days named means every day."""

    days: tuple[Day, ...] = ()
    start: Clock
    end: Clock

    @model_validator(mode="after")
    def _ends_after_start(self) -> Window:
        if self.end <= self.start:
            raise ValueError(
                f"the window ends at {clock_text(self.end)}, not after its start "
                f"{clock_text(self.start)}; give a later end"
            )
        return self

    def on(self, day: Day) -> bool:
        """Whether the window applies on this day."""
        return not self.days or day in self.days


class Moment(Frozen):
    """A point in the week."""

    day: Day
    time: Clock

    @property
    def week_min(self) -> int:
        """Minutes since Monday 00:00."""
        return self.day.index * DAY_MIN + self.time


def repeated(ids: list[str]) -> list[str]:
    """The ids that occur more than once, in order of first repeat."""
    seen: set[str] = set()
    twice: list[str] = []
    for one in ids:
        if one in seen and one not in twice:
            twice.append(one)
        seen.add(one)
    return twice


def require_distinct(what: str, ids: list[str]) -> None:
    """Raise ``ValueError`` when two things of one kind share an id."""
    twice = repeated(ids)
    if twice:
        raise ValueError(f"two {what} share the id {twice[0]!r}; give each its own")
