"""How full something is over time, as masks: one for each level of filling."""

from __future__ import annotations

from solver.masks import FULL

Level = tuple[int, ...]
"""What has some capacity over slots: at place k the slots filled to k or more (at 0 all there are)."""


def nothing_in(capacity: int, everywhere: int = FULL) -> Level:
    """The level of what is empty."""
    return (everywhere, *[0] * capacity)


def room(level: Level, demand: int) -> int:
    """Slots where so much more fits."""
    capacity = len(level) - 1
    if demand > capacity:
        return 0
    return level[0] & ~level[capacity - demand + 1] if demand else level[0]


def filled(level: Level, slots: int, demand: int) -> Level:
    """The level with some slots filled further (beyond the capacity is cut off)."""
    return (level[0], *[level[k] | level[max(0, k - demand)] & slots for k in range(1, len(level))])
