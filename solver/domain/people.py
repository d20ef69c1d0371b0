"""Who lives here: children with their naps and spans, adults with their hours."""

from __future__ import annotations

import re
from enum import StrEnum
from itertools import pairwise
from typing import Annotated

from pydantic import AfterValidator, Field, model_validator

from solver.domain.base import AdultId, ChildId, Clock, Day, Frozen, Minutes, Name, Text, Window

_MONTH = re.compile(r"^(19|20)\d\d-(0[1-9]|1[0-2])$")


def _month(value: str) -> str:
    if not _MONTH.match(value):
        raise ValueError(f"{value!r} is not a month; write year and month, for example 2021-09")
    return value


BirthMonth = Annotated[str, AfterValidator(_month), Field(examples=["2021-09"])]


class Allergen(StrEnum):
    """The nine major allergens of US law (FD&C Act 201(qq), sesame by the FASTER Act 2021)
    and three that crafts and kitchens add (common practice, no source)."""

    MILK = "milk"
    EGGS = "eggs"
    FISH = "fish"
    SHELLFISH = "crustacean shellfish"
    TREE_NUTS = "tree nuts"
    PEANUTS = "peanuts"
    WHEAT = "wheat"
    SOYBEANS = "soybeans"
    SESAME = "sesame"
    GLUTEN = "gluten"
    LATEX = "latex"
    MOULD = "mould"


class AllergyLevel(StrEnum):
    """How strictly an allergen is kept away. The household's own doctor decides which."""

    MILD = "mild"
    """May handle and taste: shown as a caution only."""
    AVOID = "avoid"
    """Takes part in nothing that holds it."""
    AIRBORNE = "airborne"
    """Nothing that holds it is used while this person is about."""


class Allergy(Frozen):
    """One person's allergy or intolerance."""

    allergen: Allergen
    level: AllergyLevel = AllergyLevel.AVOID


class Condition(StrEnum):
    """Health facts that close some activities."""

    ASTHMA = "asthma"
    ECZEMA_FLARING = "eczema_flaring"
    ECZEMA_CRACKED = "eczema_cracked"
    HAY_FEVER = "hay_fever"


class Nap(Frozen):
    """One usual sleep in the day. The plan uses usual start and length; the spreads and
    ``days_of_seven`` say how far it can be trusted."""

    start: Clock
    length_min: Annotated[int, Field(gt=0, le=360)]
    start_spread_min: Minutes = 20
    length_spread_min: Minutes = 20
    days_of_seven: Annotated[int, Field(ge=0, le=7)] = 7
    quiet_min: Minutes = 45
    """Quiet time in its place on a day without sleep."""
    settle_min: Minutes = 5
    """An adult's minutes at its start."""
    on_the_go: bool = False
    """Sleeps in the carrier or pram, so an outing may fall into it."""
    days: tuple[Day, ...] = ()

    @property
    def end(self) -> int:
        """Usual end, minutes since midnight."""
        return self.start + self.length_min


class Attention(Frozen):
    """Longest single go, in minutes, by what it asks; and how focused time adds up over a day.

    Common practice, no source: the published research gives no minutes by age (checks.md B),
    so every family sets its own.
    """

    listening_min: Minutes = 10
    table_min: Minutes = 12
    hands_min: Minutes = 30
    break_min: Minutes = 10
    focused_min_a_day: Minutes = 60


class Child(Frozen):
    """A child of the house. ``learner`` children take part in sittings; a baby does not."""

    id: ChildId
    name: Name
    birth_month: BirthMonth
    learner: bool = True
    wake: Clock = 6 * 60 + 30
    bed: Clock = 19 * 60
    naps: tuple[Nap, ...] = ()
    attention: Attention = Attention()
    alone_min: Minutes = 10
    """May play alone in earshot for so long while the adult is busy beside another child.
    For a baby: may be put down (mat, high chair) for so long."""
    mouths_things: bool = False
    crawls: bool = False
    """Gets at what lies on the floor."""
    allergies: tuple[Allergy, ...] = ()
    conditions: tuple[Condition, ...] = ()
    good_hours: tuple[Window, ...] = ()
    low_hours: tuple[Window, ...] = ()
    dislikes: tuple[Name, ...] = ()
    languages: tuple[Name, ...] = ()
    can_do: tuple[Text, ...] = ()

    @model_validator(mode="after")
    def _sleep_makes_sense(self) -> Child:
        if self.bed <= self.wake:
            raise ValueError(f"{self.name} goes to bed before waking; set bed later than wake")
        for nap in self.naps:
            if nap.start < self.wake or nap.end > self.bed:
                raise ValueError(
                    f"a nap of {self.name} lies outside the day "
                    "(between wake and bed); move its start or shorten it"
                )
        ordered = sorted(self.naps, key=lambda nap: nap.start)
        for first, second in pairwise(ordered):
            share_a_day = not first.days or not second.days or set(first.days) & set(second.days)
            if share_a_day and second.start < first.end:
                raise ValueError(f"two naps of {self.name} overlap; move one of them")
        return self

    def age_months(self, year: int, month: int) -> int:
        """Whole months of age in the given month (0 before birth)."""
        born_year, born_month = (int(part) for part in self.birth_month.split("-"))
        return max(0, (year - born_year) * 12 + month - born_month)


class Duty(StrEnum):
    """What an adult can be asked for during some hours."""

    ON_HAND = "on_hand"
    ON_CALL = "on_call"
    """In the house but busy: only what runs alone may go on."""
    ASLEEP = "asleep"
    """At home and asleep: keep quiet."""
    QUIET_CALL = "quiet_call"
    """At home on a call: keep quiet, no help."""


class Hours(Window):
    """Hours of an adult at home. Outside all of them the adult is away."""

    duty: Duty = Duty.ON_HAND


class Adult(Frozen):
    """A grown-up who is here for some of the week."""

    id: AdultId
    name: Name
    leads: bool = True
    hours: tuple[Hours, ...] = ()
    may_lift: bool = True
    minds_water: bool = True
    """May be the one in charge at water: tub, puddle or pond."""
    speaks: tuple[Name, ...] = ()
    low_hours: tuple[Window, ...] = ()
    wont_do: tuple[Name, ...] = ()
    """Activity ids or hazard words this adult does not lead, for example ``glitter``."""
    allergies: tuple[Allergy, ...] = ()


class Visitor(Frozen):
    """Somebody else's child or grown-up who is here for a while; counts for safety and allergies."""

    id: ChildId
    name: Name
    here: tuple[Window, ...]
    birth_month: BirthMonth | None = None
    mouths_things: bool = False
    allergies: tuple[Allergy, ...] = ()
    conditions: tuple[Condition, ...] = ()
