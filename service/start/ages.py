"""What is usual at an age, and who says so. Every figure can be changed later."""

from __future__ import annotations

from dataclasses import dataclass

from service.start.answers import Standing
from solver.domain.people import Attention, Nap

AASM = (
    "American Academy of Sleep Medicine: Paruthi et al., J Clin Sleep Med 2016;12:785-786 "
    "(4 to 12 months from memory)"
)
NAPS_VARY = "whether a child naps at 3 to 5 differs widely (Staton et al. 2020, PMC9704850): yours decides"
NO_MINUTES = "no research gives minutes by age; every family sets its own"


@dataclass(frozen=True)
class Sleep:
    """Hours of sleep in 24 hours, naps included, up to an age in months."""

    until: int
    least_h: float
    most_h: float
    aim_h: float
    """Near the middle, where a default does least harm."""


SLEEP = (Sleep(12, 12, 16, 14), Sleep(36, 11, 14, 12.75), Sleep(72, 10, 13, 11.75), Sleep(156, 9, 12, 10.5))


@dataclass(frozen=True)
class Usual:
    """What else is usual up to an age in months (common practice, no source)."""

    until: int
    naps: tuple[Nap, ...]
    attention: Attention
    alone_min: int


def _nap(start: int, minutes: int, days: int = 7, quiet: int = 45) -> Nap:
    return Nap(start=start, length_min=minutes, days_of_seven=days, quiet_min=quiet)


def _spans(listening: int, table: int, hands: int, day: int) -> Attention:
    return Attention(listening_min=listening, table_min=table, hands_min=hands, focused_min_a_day=day)


_MORNING, _NOON = 9 * 60 + 15, 13 * 60
USUAL = (
    Usual(15, (_nap(_MORNING, 60), _nap(_NOON, 90)), _spans(3, 3, 10, 15), 15),
    Usual(30, (_nap(_NOON, 90),), _spans(5, 6, 20, 25), 5),
    Usual(36, (_nap(_NOON, 90, 6),), _spans(6, 8, 25, 35), 8),
    Usual(48, (_nap(_NOON, 75, 4),), _spans(8, 10, 30, 45), 10),
    Usual(60, (), _spans(12, 15, 35, 60), 15),
    Usual(1200, (), _spans(15, 20, 40, 75), 25),
)
LEARNS_FROM = 18
"""Months from which a child has sittings of its own here; the catalogue's first versions begin there."""
MOUTHS_UNTIL = 24
CRAWLS_FROM, CRAWLS_UNTIL = 6, 24


def sleep_at(months: int) -> Sleep | None:
    """The band for an age, or None beyond what the source speaks of."""
    if months < 4:
        return None
    return next((band for band in SLEEP if months < band.until), None)


def usual_at(months: int) -> Usual:
    """What is usual at an age."""
    return next(one for one in USUAL if months < one.until)


def hours_asleep(wake: int, bed: int, naps: tuple[Nap, ...]) -> float:
    """Hours of sleep in 24 hours; a nap counts by the days on which it happens."""
    night = 24 * 60 - (bed - wake)
    return (night + sum(nap.length_min * nap.days_of_seven / 7 for nap in naps)) / 60


def usual_bed(months: int, wake: int, naps: tuple[Nap, ...]) -> int:
    """The bedtime, to the quarter hour, at which sleep comes near the middle of its band."""
    band = sleep_at(months) or SLEEP[0]
    by_day = sum(nap.length_min * nap.days_of_seven / 7 for nap in naps)
    bed = wake + 24 * 60 - (band.aim_h * 60 - by_day)
    return min(20 * 60 + 30, max(18 * 60, 15 * round(bed / 15)))


STANDINGS = {
    "bed": (Standing.PUBLISHED, AASM),
    "wake": (Standing.OURS, ""),
    "naps": (Standing.COMMON_PRACTICE, NAPS_VARY),
    "attention": (Standing.COMMON_PRACTICE, NO_MINUTES),
    "alone_min": (Standing.COMMON_PRACTICE, "you know how long yours plays alone"),
    "mouths_things": (Standing.COMMON_PRACTICE, "look at your own child: this closes small parts"),
    "crawls": (Standing.COMMON_PRACTICE, "look at your own child: this guards the floor"),
    "learner": (Standing.OURS, "younger ones are counted as babies who need a hand"),
}
