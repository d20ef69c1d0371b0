"""The week as five-minute slots; the only place where minutes become slots.

A slot is an int. *Day slots* count from midnight (0–287); *week slots* from Monday 00:00.
"""

from __future__ import annotations

from dataclasses import dataclass

from solver.domain.activity import Activity, Sitting
from solver.domain.base import DAYS, Day, Mess, clock_text
from solver.domain.home import Limits, Place

SLOT_MIN = 5
DAY_SLOTS = 24 * 60 // SLOT_MIN
WEEK_SLOTS = len(DAYS) * DAY_SLOTS
NOON_SLOT = 12 * 60 // SLOT_MIN
PREP_SLOT = 20 * 60 // SLOT_MIN
"""Evening prep counts as done at 20:00."""


def slots_up(minutes: int) -> int:
    """Slots that hold so many minutes (a started slot is a whole one)."""
    return -(-minutes // SLOT_MIN)


def slot_at(minutes: int) -> int:
    """The slot in which a clock time lies."""
    return minutes // SLOT_MIN


def minutes_of(slot: int) -> int:
    """Clock minutes at which a day slot begins."""
    return slot * SLOT_MIN


def week_slot(day: Day, slot: int) -> int:
    """A day slot as a week slot."""
    return day.index * DAY_SLOTS + slot


def slot_text(slot: int) -> str:
    """``HH:MM`` of a day slot."""
    return clock_text(minutes_of(slot))


@dataclass(frozen=True, slots=True)
class Span:
    """How a sitting lies around its start, all in slots.

    ============ ==================================================================
    setup        laying out, by the adult, at the place
    there        shoes, coats and the way there (0 at home)
    active       the longest version, or the adult's step
    back         the way back (0 at home)
    wash         washing hands (mess of 2 or more)
    cleanup      by the adult, at the place
    ============ ==================================================================
    """

    setup: int
    there: int
    active: int
    back: int
    wash: int
    cleanup: int

    @property
    def before(self) -> int:
        """From the first move of the adult to the start."""
        return self.setup + self.there

    @property
    def after(self) -> int:
        """From the start to the last move of the adult."""
        return self.active + self.back + self.cleanup

    def child(self, minutes: int) -> tuple[int, int]:
        """(before, after) the start for which a child with so many minutes is taken.

        On an outing everybody is out until everybody is back.
        """
        own = self.active if self.there else slots_up(minutes)
        return self.there, own + self.back + self.wash


def span_of(sitting: Sitting, active_min: int, place: Place, limits: Limits) -> Span:
    """The span of a sitting at a place."""
    out = place.travel_min > 0
    return Span(
        setup=slots_up(sitting.setup_min),
        there=slots_up(limits.out_the_door_min + place.travel_min) if out else 0,
        active=slots_up(active_min),
        back=slots_up(place.travel_min),
        wash=slots_up(limits.wash_min) if sitting.mess >= Mess.WIPE_TABLE else 0,
        cleanup=slots_up(sitting.cleanup_min),
    )


def sitting_of(activity: Activity, index: int, lighter: bool) -> Sitting:
    """The sitting that a booking means."""
    if lighter:
        assert activity.lighter is not None
        return activity.lighter.sitting
    return activity.sittings[index]
