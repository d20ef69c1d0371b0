"""Sets of day slots as integers: bit *s* is slot *s*. One day has ``DAY_SLOTS`` bits."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from solver.clock import DAY_SLOTS, slot_at, slots_up

FULL = (1 << DAY_SLOTS) - 1
KEPT = 2**15
"""Answers that ``fits`` keeps: a week in the making asks the same again and again."""


def between(start: int, end: int) -> int:
    """Slots from ``start`` up to, not including, ``end``; clipped to the day."""
    start, end = max(0, start), min(DAY_SLOTS, end)
    return ((1 << end) - (1 << start)) if end > start else 0


def inside(start_min: int, end_min: int) -> int:
    """Slots that lie wholly between two clock minutes."""
    return between(slots_up(start_min), slot_at(end_min))


def touching(start_min: int, end_min: int) -> int:
    """Slots that share a moment with the clock minutes."""
    return between(slot_at(start_min), slots_up(end_min))


def runs(mask: int, length: int) -> int:
    """Slots from which ``length`` slots in a row are set."""
    if length <= 0:
        return FULL
    done = 1
    while done < length:
        step = min(done, length - done)
        mask &= mask >> step
        done += step
    return mask


@lru_cache(maxsize=KEPT)
def fits(mask: int, before: int, after: int) -> int:
    """Starts *s* for which every slot from ``s - before`` to ``s + after - 1`` is set."""
    length = before + after
    if length <= 0:
        return FULL
    shifted = runs(mask, length)
    return (shifted << before) & FULL if before >= 0 else shifted >> -before


def meets(mask: int, before: int, after: int) -> int:
    """Starts *s* for which some slot from ``s - before`` to ``s + after - 1`` is set."""
    if before + after <= 0:
        return 0
    return FULL & ~fits(FULL & ~mask, before, after) & _room(before, after)


def _room(before: int, after: int) -> int:
    return fits(FULL, before, after)


def blocks(mask: int) -> Iterator[tuple[int, int]]:
    """The runs of set slots as (start, end) pairs, end not included."""
    slot = 0
    while mask:
        skip = (mask & -mask).bit_length() - 1
        mask >>= skip
        slot += skip
        length = (~mask & (mask + 1)).bit_length() - 1
        yield slot, slot + length
        mask >>= length
        slot += length


def count(mask: int) -> int:
    """How many slots are set."""
    return mask.bit_count()
