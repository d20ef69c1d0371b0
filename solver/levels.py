"""How full something is over time, as masks: one for each level of filling."""

from __future__ import annotations

from solver.masks import FULL


class Level:
    """A resource of some capacity over slots; ``at_least[k]`` are the slots filled to k or more."""

    __slots__ = ("at_least",)

    def __init__(self, capacity: int, everywhere: int = FULL) -> None:
        self.at_least = [everywhere] + [0] * capacity

    def copy(self) -> Level:
        """The same filling, to be changed apart."""
        twin = Level.__new__(Level)
        twin.at_least = self.at_least.copy()
        return twin

    def room(self, demand: int) -> int:
        """Slots where so much more fits."""
        capacity = len(self.at_least) - 1
        if demand > capacity:
            return 0
        return self.at_least[0] & ~self.at_least[capacity - demand + 1] if demand else self.at_least[0]

    def add(self, slots: int, demand: int) -> None:
        """Fill some slots further (beyond the capacity is cut off)."""
        levels = self.at_least
        for k in range(len(levels) - 1, 0, -1):
            levels[k] |= levels[max(0, k - demand)] & slots
