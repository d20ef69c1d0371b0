"""What can be done: activities with their sittings, waits, versions, prep and hazards."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Self

from pydantic import Field, model_validator

from solver.domain.base import (
    ActivityId,
    AreaId,
    BookId,
    Count,
    Frozen,
    Help,
    HolderId,
    Id,
    LongMinutes,
    MaterialId,
    Mess,
    Minutes,
    Name,
    PlaceId,
    Text,
    require_distinct,
)
from solver.domain.people import Allergen


class Kind(StrEnum):
    """What sort of thing it is, in the trade's words."""

    READ_ALOUD = "read-aloud"
    CIRCLE = "circle"
    PROCESS_ART = "process art"
    CRAFT = "craft"
    SENSORY_BIN = "sensory bin"
    SMALL_WORLD = "small world"
    SCIENCE_LOOK = "science look"
    LONG_WATCH = "long watch"
    COOKING = "cooking"
    MOVEMENT = "movement"
    GAME = "game"
    LETTERS = "letters"
    MATHS = "maths"
    PRETEND = "pretend"
    NATURE_WALK = "nature walk"
    OUTING = "outing"
    PRACTICAL_LIFE = "practical life"
    HANDWORK = "handwork"
    SECOND_LANGUAGE = "second language"
    ONE_ON_ONE = "one-on-one"
    QUIET_TIME = "quiet time"
    AUDIO = "audio"
    SCREEN = "screen"
    CELEBRATION = "celebration"
    FREE_PLAY = "free play"


class Focus(StrEnum):
    """Which of a child's spans an activity draws on (``Attention``)."""

    LISTENING = "listening"
    TABLE = "table"
    HANDS = "hands"
    FREE = "free"

    @property
    def focused(self) -> bool:
        """Whether it counts towards focused minutes and needs a break after it."""
        return self in (Focus.LISTENING, Focus.TABLE)


class Together(StrEnum):
    """How several children share it."""

    SAME = "same"
    OWN_WAY = "own way"
    BUDDY = "buddy"
    APART = "apart"
    """Each child has a sitting of their own; they may be at different times."""
    ONE_CHILD = "one child only"


class Alongside(StrEnum):
    """Its part in listening laid over busy hands."""

    LISTENING = "listening"
    """May be laid over busy hands or a meal: a read-aloud, a song, an audio story."""
    BUSY_HANDS = "busy hands"
    """Leaves ears free: painting, dough, colouring."""


class Weather(StrEnum):
    """What it asks of the sky."""

    ANY = "any"
    DRY = "dry"
    WET = "wet wanted"
    WIND = "wind wanted"
    NOT_ICY = "not icy"


class Hazard(StrEnum):
    """What can hurt. ``safety.py`` says whom, when, and by which source."""

    SMALL_PART = "small part"
    SMALL_BALL = "small ball"
    DRY_GRAIN = "dry grain"
    BALLOON = "balloon"
    MAGNET = "magnet"
    BUTTON_CELL = "button cell"
    WATER_BEADS = "water beads"
    WATER = "water"
    OPEN_WATER = "open water"
    HOT = "hot"
    GLASS = "glass"
    LONG_STRING = "long string"
    SHARP = "sharp"
    RAW_FLOUR = "raw flour"
    RAW_BEANS = "raw kidney beans"
    SALT = "salt"
    WET_HANDS = "wet hands"
    SOIL = "soil"
    AMPHIBIAN = "amphibian"
    SEALED_MOULD = "sealed mould"
    CHOKING_FOOD = "choking food"
    CHRONIC_ART_MATERIAL = "chronic-hazard art material"
    BORAX = "borax"
    PLASTIC_FILM = "plastic film"
    FLOOR_MESS = "floor mess"
    SLIPPERY = "slippery"
    POLLEN = "pollen"
    CANDLE = "candle"
    TRAFFIC = "traffic"
    GLITTER = "glitter"


class Meal(StrEnum):
    """The meals of the day."""

    BREAKFAST = "breakfast"
    LUNCH = "lunch"
    SNACK = "snack"
    DINNER = "dinner"


class Version(Frozen):
    """How one age does it. Sittings give its minutes and help under this id."""

    id: Id
    age_from_months: Annotated[int, Field(ge=0, le=240)]
    age_to_months: Annotated[int, Field(ge=0, le=1200)]
    does: Text = ""

    @model_validator(mode="after")
    def _ages_in_order(self) -> Self:
        if self.age_to_months < self.age_from_months:
            raise ValueError("age_to_months is below age_from_months; swap the two")
        return self


class Part(Frozen):
    """What one version does in one sitting: minutes, and how much of an adult it takes."""

    minutes: Annotated[int, Field(ge=1, le=480)]
    help: Help = Help.SET_GOING


class Need(Frozen):
    """So much of one material."""

    material: MaterialId
    count: Annotated[int, Field(ge=1, le=1000)] = 1
    each_child: bool = False
    """``count`` for every child who takes part, instead of once."""


class Sitting(Frozen):
    """One go at an activity. Without ``parts`` it is an adult's step (put the rolls in the oven)."""

    name: Name
    parts: dict[Id, Part] = {}
    """By version id; a version left out has no part in this sitting."""
    adult_min: Minutes = 0
    """For an adult's step: how long it takes; 0 when children take part."""
    adult_help: Help = Help.DIPS_IN
    """For an adult's step: how much of the adult it takes."""
    setup_min: Minutes = 0
    cleanup_min: Minutes = 0
    mess: Mess = Mess.NONE
    places: tuple[PlaceId, ...] = ()
    """Best first."""
    needs: tuple[Need, ...] = ()
    meals: tuple[Meal, ...] = ()
    """Happens within one of these meals (it *is* the meal, or part of it)."""

    @model_validator(mode="after")
    def _children_or_adult(self) -> Self:
        if bool(self.parts) == bool(self.adult_min):
            raise ValueError(
                f"sitting {self.name!r} needs either parts for children or adult_min "
                "for an adult's step; give exactly one of them"
            )
        if not self.places:
            raise ValueError(f"sitting {self.name!r} has no place; name at least one")
        return self


class WaitKind(StrEnum):
    """What goes on meanwhile, without anybody."""

    DRY = "dry"
    RISE = "rise"
    BAKE = "bake"
    COOL = "cool"
    FREEZE = "freeze"
    SOAK = "soak"
    GROW = "grow"
    FERMENT = "ferment"
    WATCH = "watch"
    WARM = "come to room warmth"
    REST = "rest"


class Wait(Frozen):
    """From the end of a sitting to the start of the next: at least, and perhaps at most.

    A wait after the last sitting only holds its place for ``least_min``.
    """

    kind: WaitKind
    least_min: LongMinutes = 0
    most_min: LongMinutes | None = None
    holder: HolderId | None = None
    units: Annotated[int, Field(ge=1, le=100)] = 1

    @model_validator(mode="after")
    def _least_not_above_most(self) -> Self:
        if self.most_min is not None and self.most_min < self.least_min:
            raise ValueError(
                f"the wait to {self.kind} lasts at least {self.least_min} and at most "
                f"{self.most_min} minutes; lower least_min or raise most_min"
            )
        return self


class PrepTask(Frozen):
    """Something made ready on an evening before the first sitting."""

    id: Id
    name: Name
    minutes: Annotated[int, Field(ge=1, le=300)]
    lead_min: LongMinutes = 0
    """Done at least so long before the sitting starts."""
    keeps_days: Annotated[int, Field(ge=0, le=400)] = 365
    """Still good on so many days after the day it was made."""
    noisy: bool = False
    batch: Id | None = None
    """Tasks with one batch on one evening share ``warm_up_min`` (one laminator, one hob)."""
    warm_up_min: Minutes = 0
    """The part of ``minutes`` that a batch pays once."""
    holder: HolderId | None = None
    """Waits here from the evening until the sitting starts (freezer shelf)."""
    units: Annotated[int, Field(ge=1, le=100)] = 1

    @model_validator(mode="after")
    def _warm_up_within(self) -> Self:
        if self.warm_up_min > self.minutes:
            raise ValueError(f"prep {self.id!r}: warm_up_min is above minutes; lower it")
        return self


class Lighter(Frozen):
    """The same thing made easier: one sitting without prep or waits, instead of all of them."""

    does: Text
    sitting: Sitting


class Resource(Frozen):
    """A link, a printable or a recipe that belongs to the activity."""

    name: Name
    address: Text = ""
    text: Text = ""
    file: Id | None = None
    """A printable that the family keeps (``service.printables``)."""


class Activity(Frozen):
    """Something worth doing, as the catalogue knows it."""

    id: ActivityId
    title: Name
    kind: Kind
    theme: Name | None = None
    areas: tuple[AreaId, ...] = ()
    versions: Annotated[tuple[Version, ...], Field(min_length=1, max_length=12)]
    sittings: Annotated[tuple[Sitting, ...], Field(min_length=1, max_length=40)]
    waits: tuple[Wait, ...] = ()
    """``waits[i]`` follows ``sittings[i]``; one fewer than the sittings, or as many."""
    prep: tuple[PrepTask, ...] = ()
    lighter: Lighter | None = None
    together: Together = Together.SAME
    focus: Focus = Focus.FREE
    alongside: Alongside | None = None
    energy: Annotated[int, Field(ge=1, le=5)] = 2
    noise: Annotated[int, Field(ge=0, le=3)] = 1
    nap_ok: bool = True
    """Can go on while somebody sleeps nearby."""
    tired_ok: bool = False
    weather: Weather = Weather.ANY
    adults_needed: Annotated[int, Field(ge=1, le=4)] = 1
    cost: Annotated[int, Field(ge=0, le=10_000)] = 0
    """In the family's money for one whole go."""
    hazards: tuple[Hazard, ...] = ()
    allergens: tuple[Allergen, ...] = ()
    caution: Text = ""
    needs_first: ActivityId | None = None
    """Another activity that must have been finished before."""
    book: BookId | None = None
    least_gap_days: Annotated[int, Field(ge=0, le=7)] = 0
    resources: tuple[Resource, ...] = ()

    @model_validator(mode="after")
    def _sittings_and_waits_match(self) -> Self:
        count = len(self.sittings)
        if len(self.waits) not in (0 if count == 1 else count - 1, count):
            raise ValueError(
                f"activity {self.id!r} has {count} sittings and {len(self.waits)} waits; "
                f"give {count - 1} (between them) or {count} (one after the last too)"
            )
        return self

    @model_validator(mode="after")
    def _parts_name_versions(self) -> Self:
        require_distinct(f"versions of activity {self.id!r}", [v.id for v in self.versions])
        known = {version.id for version in self.versions}
        for sitting in self.all_sittings:
            for version in sitting.parts:
                if version not in known:
                    raise ValueError(
                        f"activity {self.id!r}, sitting {sitting.name!r}: there is no version "
                        f"{version!r}; use one of {', '.join(sorted(known))}"
                    )
        return self

    @property
    def all_sittings(self) -> tuple[Sitting, ...]:
        """The usual sittings and, last, the lighter one."""
        return self.sittings + ((self.lighter.sitting,) if self.lighter else ())

    def version_for(self, age_months: int) -> Version | None:
        """The first version meant for this age, or None when the child is too young or too old."""
        for version in self.versions:
            if version.age_from_months <= age_months <= version.age_to_months:
                return version
        return None


class AreaTarget(Frozen):
    """A learning area of this household and how often a week it wants to see it."""

    id: AreaId
    name: Name
    least_times: Count = 0
    most_times: Count = 99
