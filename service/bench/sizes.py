"""How big a generated household is: who lives in it, and how much it wishes for."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Size:
    """The figures of one size. Ages are in whole months."""

    name: str
    learners: tuple[tuple[int, int], ...]
    """For each learning child the youngest and the oldest it may be."""
    baby: bool
    adults: int
    activities: int
    several: int
    """How many of them need several sittings."""
    sittings: int
    """How many sittings are wished for in a week."""
    promises: int
    talks: int
    """One-on-one times a week with each child."""
    theme_things_a_day: int
    prep_min: int
    """Of one evening's prep, about."""
    weeks: int = 1
    mornings_only: bool = False


_ELDER, _YOUNGER = (56, 72), (32, 44)

SIZES: dict[str, Size] = {
    size.name: size
    for size in (
        Size("S", (_ELDER, _YOUNGER), False, 1, 20, 4, 53, 2, 3, 3, 25),
        Size("M", (_ELDER, _YOUNGER), True, 2, 40, 6, 76, 3, 4, 4, 35),
        Size("L", ((66, 90), (48, 62), (30, 42)), True, 2, 50, 8, 92, 3, 3, 5, 45),
        Size("XL", ((38, 84),) * 8, False, 3, 80, 10, 120, 4, 0, 8, 70, mornings_only=True),
        Size("term", (_ELDER, _YOUNGER), False, 1, 20, 4, 53, 2, 3, 3, 25, weeks=12),
    )
}
USUAL = ("S", "M", "L", "XL")
"""What is measured when nobody says which."""
