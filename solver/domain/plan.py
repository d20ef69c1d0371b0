"""What comes out: bookings, prep, what waits where, what is left over and why."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

from pydantic import Field

from solver.domain.base import (
    ActivityId,
    AdultId,
    BookingId,
    ChildId,
    Clock,
    Day,
    Evening,
    Frozen,
    Help,
    HolderId,
    Id,
    MaterialId,
    Minutes,
    Moment,
    Name,
    PlaceId,
    StretchId,
    Text,
    WishId,
)


class State(StrEnum):
    """Who put a booking where it is."""

    FIRM = "firm"
    SETTLED = "settled"
    SPARE = "spare"


class Attendance(Frozen):
    """One child at one sitting."""

    child: ChildId
    version: Id
    minutes: Minutes
    help: Help


class Caution(Frozen):
    """A warning shown with a booking, and who says so."""

    text: Text
    source: Text = ""


class Booking(Frozen):
    """A sitting with its place in the week. ``start`` is when the children begin; set-up,
    the way there, the way back and clean-up lie around it (``solver.clock.Span``)."""

    id: BookingId
    wish: WishId
    activity: ActivityId
    go: Annotated[int, Field(ge=0)] = 0
    sitting: Annotated[int, Field(ge=0)] = 0
    day: Day
    start: Clock
    minutes: Minutes
    """Of the longest version, or of the adult's step."""
    setup_min: Minutes = 0
    cleanup_min: Minutes = 0
    stretch: StretchId | None = None
    """The stretch it starts in; None at a meal outside all stretches."""
    attends: tuple[Attendance, ...] = ()
    helpers: tuple[AdultId, ...] = ()
    minder: AdultId | None = None
    """Another adult who has those that are not in it."""
    along: tuple[ChildId, ...] = ()
    """Children who come along on an outing without taking part."""
    place: PlaceId
    lighter: bool = False
    alongside: BookingId | None = None
    """The busy-hands booking that this one is laid over."""
    meal: Id | None = None
    """The fixed point (a meal) within which it happens."""
    state: State = State.SETTLED
    cautions: tuple[Caution, ...] = ()


class PrepBooking(Frozen):
    """A prep task on an evening."""

    wish: WishId
    go: Annotated[int, Field(ge=0)] = 0
    task: Id
    name: Name
    minutes: Minutes
    """Without the warm-up that its batch pays once."""
    warm_up_min: Minutes = 0
    batch: Id | None = None
    evening: Evening
    ready_for: BookingId


class Waiting(Frozen):
    """Something that dries, rises or grows between sittings, and where."""

    after: BookingId | None
    """None: made ready on the evening of ``since``."""
    before: BookingId | None
    kind: Name
    holder: HolderId | None
    units: Annotated[int, Field(ge=1)] = 1
    since: Moment | None
    """None: since the evening before the week."""
    until: Moment | None
    """None: past the end of the week."""


class Purchase(Frozen):
    """Something to buy: how much of it, at which shop (None: the one before the week)."""

    material: MaterialId
    name: Name
    count: Annotated[int, Field(ge=1)]
    unit: Name
    at: Moment | None
    need_by: Moment
    cost: Annotated[int, Field(ge=0)] = 0


class Reason(Frozen):
    """Why something is so, as data; ``sentence`` says it in plain words."""

    rules: tuple[Id, ...] = ()
    ids: tuple[Id, ...] = ()
    """Who and what is concerned: children, adults, places, wishes, fixed points."""
    day: Day | None = None
    sentence: Text
    freed_by: Text = ""
    """What would bring it back, or empty when nothing small would."""


class WhyAnswer(Frozen):
    """Why something is where it is, or is not there, as sentences and as data."""

    about: Id
    sentences: tuple[Text, ...]
    reasons: tuple[Reason, ...] = ()


class Fate(StrEnum):
    """What becomes of a wish that did not fit."""

    HELD_OVER = "held_over"
    LET_GO = "let_go"


class LeftOver(Frozen):
    """A go (or its later sittings) that did not fit this week."""

    wish: WishId
    activity: ActivityId
    title: Name
    go: Annotated[int, Field(ge=0)] = 0
    sittings: tuple[int, ...]
    fate: Fate
    until: Text = ""
    """For something held over: until when it still makes sense."""
    reason: Reason


class Cost(Frozen):
    """One named part of a tier's cost; lower is better."""

    key: Id
    tier: Id
    subject: Text
    amount: int


class TierResult(Frozen):
    """A tier's value, the bound below it, and whether they meet."""

    name: Id
    value: int
    bound: int
    proved: bool

    @property
    def gap(self) -> float:
        """``(value - bound) / value``, 0 when the value is 0 or proved."""
        return 0.0 if self.proved or self.value <= 0 else (self.value - self.bound) / self.value


class Progress(Frozen):
    """Where a running search stands."""

    tier: Id
    value: int | None = None
    bound: int | None = None
    seconds: float
    bookings: int = 0


class SpareWeek(Frozen):
    """The rest of the week if one day were lost to everybody from its morning on: what keeps the promises."""

    day: Day
    bookings: tuple[Booking, ...] = ()
    """Those on that day and after it; of what is not named here the rest gives way."""
    prep: tuple[PrepBooking, ...] = ()
    """Of the whole week, what was done before included."""
    shopping: tuple[Purchase, ...] = ()


class Hang(Frozen):
    """A promise that would break if one day were lost."""

    wish: WishId
    title: Name
    day: Day
    why: Text
    proved: bool = True
    """Whether it is certain; otherwise no week that keeps it was found in the time there was."""


class Plan(Frozen):
    """A week that fits."""

    week: Id
    bookings: tuple[Booking, ...] = ()
    prep: tuple[PrepBooking, ...] = ()
    waiting: tuple[Waiting, ...] = ()
    shopping: tuple[Purchase, ...] = ()
    left_over: tuple[LeftOver, ...] = ()
    spares: tuple[SpareWeek, ...] | None = None
    """For each day with a promise still to come, when a loss-proof week was asked for; None: not asked."""
    hangs: tuple[Hang, ...] | None = None
    """What hangs all the same."""
    costs: tuple[Cost, ...] = ()
    tiers: tuple[TierResult, ...] = ()
    seed: int = 0
    seconds: float = 0.0
    first_plan_seconds: float | None = None
    """From the start of solving to the first plan that the checker accepted."""
    stopped: bool = False
    """The search was ended by hand."""
    soft: bool = False
    """Made in passing, for a week further ahead that will be planned again."""
