"""The demo's children sleep as long as children of their age are advised to.

Source: Paruthi et al., Recommended Amount of Sleep for Pediatric Populations, American Academy of Sleep
Medicine, J Clin Sleep Med 2016;12:785-786: 1-2 years 11-14 hours, 3-5 years 10-13, 6-12 years 9-12, in 24
hours, naps included up to 5 years, "on a regular basis" (so the nap counts by the days on which it happens).
The band for 4-12 months, 12-16 hours, is from memory.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from solver.domain.document import Document
from solver.domain.people import Child, Nap

DEMO = sorted((Path(__file__).parents[2] / "demo").glob("*.json"))
AASM = ((4, 12, 12, 16), (12, 36, 11, 14), (36, 72, 10, 13), (72, 156, 9, 12))
"""From months, up to months, least hours, most hours."""


def advised(months: int) -> tuple[int, int] | None:
    """Least and most hours of sleep in 24 hours at this age."""
    for since, until, least, most in AASM:
        if since <= months < until:
            return least, most
    return None


def hours_asleep(child: Child) -> float:
    """Hours asleep in 24 hours, as a mean over the week."""
    night = 24 * 60 - (child.bed - child.wake)
    naps = sum(nap.length_min * nap.days_of_seven / 7 for nap in child.naps)
    return (night + naps) / 60


@pytest.mark.parametrize("path", DEMO, ids=lambda path: path.stem)
def test_the_demo_households_sleep_enough_and_not_too_long(path: Path) -> None:
    document = Document.model_validate_json(path.read_text())
    for week in document.weeks:
        for child in document.household.children:
            band = advised(child.age_months(week.monday.year, week.monday.month))
            assert band, f"{child.name} is of an age the source does not speak of"
            assert band[0] <= hours_asleep(child) <= band[1], f"{child.name}: {hours_asleep(child):.2f} h"


def test_there_are_demo_households_to_look_at() -> None:
    assert len(DEMO) >= 4


@pytest.mark.parametrize(
    ("months", "band"),
    [
        (11, (12, 16)),
        (12, (11, 14)),
        (35, (11, 14)),
        (36, (10, 13)),
        (71, (10, 13)),
        (72, (9, 12)),
        (200, None),
    ],
)
def test_bands_by_age(months: int, band: tuple[int, int] | None) -> None:
    assert advised(months) == band


def test_a_nap_counts_by_its_days() -> None:
    nap = Nap(start=13 * 60, length_min=70, days_of_seven=6)
    child = Child(id="kim", name="Kim", birth_month="2024-01", wake=7 * 60, bed=19 * 60, naps=(nap,))
    assert hours_asleep(child) == 13.0
