"""The first run's defaults against published sleep.

Source: Paruthi et al., Recommended Amount of Sleep for Pediatric Populations, American Academy of Sleep
Medicine, J Clin Sleep Med 2016;12:785-786: 1-2 years 11-14 hours in 24, 3-5 years 10-13, 6-12 years 9-12,
naps included. 4-12 months 12-16 from memory.
"""

from __future__ import annotations

import datetime

import pytest

from service.start.ages import usual_at
from service.start.answers import ChildAnswer
from service.start.people import child_of, sleep_note

AASM = ((4, 12, 12, 16), (12, 36, 11, 14), (36, 72, 10, 13), (72, 144, 9, 12))
MONDAY = datetime.date(2027, 2, 1)


def born(months: int) -> str:
    year, month = divmod(2027 * 12 + 1 - months, 12)
    return f"{year}-{month + 1:02d}"


@pytest.mark.parametrize("months", range(4, 144))
def test_defaults_lie_within_what_is_advised_at_every_age(months: int) -> None:
    least, most = next((low, high) for since, until, low, high in AASM if since <= months < until)
    child = child_of(ChildAnswer(name="Reed", birth_month=born(months)), "reed", MONDAY)
    night = 24 * 60 - (child.bed - child.wake)
    hours = (night + sum(nap.length_min * nap.days_of_seven / 7 for nap in child.naps)) / 60
    assert least <= hours <= most, f"{months} months: {hours:.2f} h"
    assert sleep_note(child, MONDAY) == ""


@pytest.mark.parametrize("months", [0, 3, 17, 18, 35, 36, 59, 60, 200])
def test_every_age_has_something_usual(months: int) -> None:
    assert usual_at(months).alone_min > 0
