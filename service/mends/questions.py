"""What the server asks the process that searches, and what comes back, as data that go through a pipe.

Nothing here loads the solver's search: that takes more than a second, and a fault in it ends its process.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from solver.domain.base import Day, Frozen, Moment, Name, StretchId, Text
from solver.domain.mishap import Mishap, Offer
from solver.domain.plan import Booking, Plan
from solver.domain.week import Problem


class AboutAWeek(Frozen):
    """A week and its plan."""

    problem: Problem
    plan: Plan


class WhatNow(AboutAWeek):
    """What happened, when that was seen, and how long to search; answered with a ``Mending``."""

    kind: Literal["mend"] = "mend"
    mishaps: tuple[Mishap, ...]
    at: Moment | None = None
    seconds: float = 5.0
    seed: int = 1


class WhatHangs(AboutAWeek):
    """Which promises would break if a single day were lost; answered with a ``Resilience``."""

    kind: Literal["resilience"] = "resilience"


class WhyHere(AboutAWeek):
    """Why a booking sits where it sits, or why a wish was left over; answered with a ``WhyAnswer``."""

    kind: Literal["why"] = "why"
    about: str


class Elsewhere(AboutAWeek):
    """A booking put into another stretch by hand; answered with a ``MoveAnswer``."""

    kind: Literal["move"] = "move"
    booking: Booking
    day: Day
    stretch: StretchId


class Instead(AboutAWeek):
    """A spare thing, or the lighter version, in a booking's place; answered with a ``MoveAnswer``."""

    kind: Literal["swap", "lighter"]
    booking: Booking


Question = Annotated[WhatNow | WhatHangs | WhyHere | Elsewhere | Instead, Field(discriminator="kind")]


class MoveAnswer(Frozen):
    """What a change by hand comes to: it fits, or it fits once others make room, or why it cannot be."""

    fits: bool
    title: Name
    in_the_way: tuple[Text, ...] = ()
    """Sentences: the rules that are broken if nothing else moves, or that forbid it altogether."""
    offers: tuple[Offer, ...] = ()
    """Ways to do it; none when it cannot be done."""
