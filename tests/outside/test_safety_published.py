"""Published safety rows against every activity of the demo catalogue and every age from 0 to 96 months.

No row is read from ``solver.safety``: ages and sources are typed in here from the publishers.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import product
from pathlib import Path

import pytest

from solver.domain.activity import Activity, Hazard, Sitting
from solver.domain.base import Day, Help
from solver.domain.document import Document
from solver.domain.home import Place
from solver.domain.people import Allergen, Allergy, AllergyLevel, Child
from solver.domain.week import Problem
from solver.safety import Requirement, requirement
from solver.search import solve

DEMO = Path(__file__).parents[2] / "demo"
DOCUMENT = Document.model_validate_json((DEMO / "pond-week.json").read_text())
CATALOGUE = [Activity.model_validate(row) for row in json.loads((DEMO / "parts/catalogue.json").read_text())]
PLACES = {place.id: place for place in DOCUMENT.household.places}
AGES = range(97)
NEVER = 10_000


@dataclass(frozen=True)
class Row:
    """One published row: nobody below so many months takes part or is loose near the hazard."""

    hazard: Hazard
    below_months: int
    source: str


BARRED = (
    Row(Hazard.SMALL_PART, 36, "16 CFR 1501.4 and 1500.18(a)(9): banned under 3 years"),
    Row(Hazard.SMALL_BALL, 36, "16 CFR 1500.18(a)(17) (from memory), 1500.19(a)(2): banned under 3 years"),
    Row(Hazard.DRY_GRAIN, 36, "16 CFR 1501.4: it fits the small-parts cylinder (our reading)"),
    Row(
        Hazard.BALLOON, 36, "16 CFR 1500.19(b)(4): a burst balloon is a small part (our reading for under 3)"
    ),
    Row(Hazard.MAGNET, 36, "16 CFR 1262.2: hazardous magnets are small parts of 16 CFR 1501"),
    Row(Hazard.BUTTON_CELL, 84, "16 CFR 1263, ANSI/UL 4200A-2023: children up to 6 years"),
    Row(Hazard.CHOKING_FOOD, 48, "AAP, Pediatrics 2010;125(3):601-607; HealthyChildren: under 4 years"),
    Row(Hazard.WATER_BEADS, NEVER, "16 CFR 1250.4; here never"),
    Row(Hazard.CHRONIC_ART_MATERIAL, NEVER, "15 U.S.C. 1277(b)(5): inappropriate for use by children"),
    Row(Hazard.BORAX, NEVER, "Health Canada, July 2016: avoid in slime and dough"),
)


@dataclass(frozen=True)
class Beside:
    """One published row: below so many months a child who takes part has at least this help."""

    hazard: Hazard
    below_months: int
    help: Help
    source: str


SUPERVISED = (
    Beside(Hazard.WATER, 60, Help.BESIDE, "Caring for Our Children 2.2.0.4: touch supervision, arm's length"),
    Beside(
        Hazard.OPEN_WATER, 60, Help.BESIDE, "Caring for Our Children 2.2.0.4; AAP, Pediatrics 2019;143(5)"
    ),
    Beside(Hazard.BALLOON, 96, Help.BESIDE, "16 CFR 1500.19(b)(4): under 8, adult supervision required"),
    Beside(Hazard.AMPHIBIAN, 60, Help.DIPS_IN, "US CDC: children under 5 do not touch amphibians"),
)


def child(id: str, months: int, allergies: tuple[Allergy, ...] = ()) -> Child:
    monday = DOCUMENT.weeks[0].monday
    total = monday.year * 12 + monday.month - 1 - months
    return Child(
        id=id,
        name=id,
        birth_month=f"{total // 12}-{total % 12 + 1:02d}",
        allergies=allergies,
    )


def asked(where: tuple[Activity, Sitting, Place], attending: list[Child], about: list[Child]) -> Requirement:
    activity, sitting, place = where
    household = DOCUMENT.household.model_copy(update={"children": (*attending, *about)})
    problem = Problem(household=household, activities=CATALOGUE, week=DOCUMENT.weeks[0])
    return requirement(problem, activity, sitting, place, tuple(attending))


def scenes(activities: list[Activity]) -> Iterator[tuple[Activity, Sitting, Place]]:
    """Every sitting of these activities in every place it names."""
    for activity in activities:
        for sitting in activity.all_sittings:
            for place in sitting.places:
                yield activity, sitting, PLACES[place]


def with_hazard(hazard: Hazard) -> list[Activity]:
    """The catalogue's activities with it, and a plain one tagged with it so that no row looks at nothing."""
    plain = next(a for a in CATALOGUE if not a.hazards and not a.allergens and not a.sittings[0].meals)
    return [a for a in CATALOGUE if hazard in a.hazards] + [plain.model_copy(update={"hazards": (hazard,)})]


@pytest.mark.parametrize("row", BARRED, ids=lambda row: f"{row.hazard} ({row.source})")
class TestBarredRows:
    def test_no_one_below_the_age_takes_part(self, row: Row) -> None:
        for where, months in product(scenes(with_hazard(row.hazard)), AGES):
            if where[1].parts and months < row.below_months:
                assert asked(where, [child("kim", months)], []).blocked, (where[0].id, months)

    def test_no_one_below_the_age_is_loose(self, row: Row) -> None:
        older = child("old", 120)
        for where, months in product(scenes(with_hazard(row.hazard)), AGES):
            result = asked(where, [older], [child("tot", months)])
            if months < row.below_months:
                assert result.blocked or "tot" in result.asleep_or_minded, (where[0].id, months)

    def test_at_the_age_the_row_ends(self, row: Row) -> None:
        """Else a gate that bars everybody would pass."""
        where = next(iter(scenes(with_hazard(row.hazard)[-1:])))
        if row.below_months < NEVER:
            assert asked(where, [child("kim", row.below_months)], []).blocked is None


@pytest.mark.parametrize("row", SUPERVISED, ids=lambda row: f"{row.hazard} ({row.source})")
def test_supervised_rows(row: Beside) -> None:
    for where, months in product(scenes(with_hazard(row.hazard)), AGES):
        if not where[1].parts or months >= row.below_months:
            continue
        result = asked(where, [child("kim", months)], [])
        enough = result.least_help.get("kim", Help.ALONE_IN_EARSHOT) >= row.help
        assert result.blocked or enough, (where[0].id, months)


def test_raw_flour_says_no_tasting() -> None:
    """US CDC and FDA: children do not play with or taste raw dough, craft dough included."""
    for where in scenes(with_hazard(Hazard.RAW_FLOUR)):
        if where[1].parts and not where[1].meals:
            cautions = asked(where, [child("kim", 60)], []).cautions
            assert any("no tasting" in c.text and "CDC" in c.source for c in cautions), where[0].id


NINE = ("milk", "eggs", "fish", "crustacean shellfish", "tree nuts", "peanuts", "wheat", "soybeans", "sesame")
"""Major food allergens: US FD&C Act 201(qq), and sesame by the FASTER Act, P.L. 117-11 (from 2023-01-01)."""


def test_all_nine_major_allergens_have_a_word() -> None:
    assert set(NINE) <= {allergen.value for allergen in Allergen}


@pytest.mark.parametrize("name", NINE)
def test_who_must_avoid_an_allergen_never_takes_part(name: str) -> None:
    allergen = Allergen(name)
    strict = (Allergy(allergen=allergen, level=AllergyLevel.AVOID),)
    airborne = (Allergy(allergen=allergen, level=AllergyLevel.AIRBORNE),)
    plain = CATALOGUE[0].model_copy(update={"allergens": (allergen,), "hazards": ()})
    holding = [a for a in CATALOGUE if allergen in a.allergens]
    for where in scenes([*holding, plain]):
        assert asked(where, [child("kim", 60, allergies=strict)], []).blocked, where[0].id
        about = asked(where, [child("old", 120)], [child("kim", 60, allergies=airborne)])
        kept_away = about.asleep_or_minded if where[2].away else about.out
        assert "kim" in kept_away, where[0].id


def test_raw_flour_of_the_catalogue_is_tagged_as_wheat() -> None:
    """Wheat is in play dough and paste: a row without the tag would slip past the allergy gates."""
    for activity in CATALOGUE:
        if Hazard.RAW_FLOUR in activity.hazards:
            assert Allergen.WHEAT in activity.allergens, activity.id


SMALL_THINGS = {Hazard.SMALL_PART, Hazard.SMALL_BALL, Hazard.DRY_GRAIN}
"""16 CFR 1501: kept from children under 3 years."""


@pytest.mark.parametrize("name", ["pond-week", "bread-week"])
def test_no_small_part_is_out_while_a_child_under_three_is_loose(name: str) -> None:
    """Minute by minute over the finished week, from the household's own naps and outings."""
    problem = only_small_things(Document.model_validate_json((DEMO / f"{name}.json").read_text()).problem())
    monday = problem.week.monday
    young = [c for c in problem.household.children if c.age_months(monday.year, monday.month) < 36]
    risky = solve(problem, seconds=30, seed=1, workers=2).bookings
    assert young
    assert risky
    for booking, tot in product(risky, young):
        assert tot.id not in {attendance.child for attendance in booking.attends}
        spread = range(
            booking.start - booking.setup_min, booking.start + booking.minutes + booking.cleanup_min
        )
        loose = [minute for minute in spread if is_loose(problem, tot, booking.day, minute)]
        assert booking.minder or not loose, (booking.id, booking.day, loose[:1])


def only_small_things(problem: Problem) -> Problem:
    """The week with nothing wished but what holds small parts or grain, so that all its time is theirs."""
    risky = {activity.id for activity in problem.activities if SMALL_THINGS & set(activity.hazards)}
    wishes = [
        wish.model_copy(update={"after": (), "opens_theme": False})
        for wish in problem.week.wishes
        if wish.activity in risky
    ]
    week = problem.week.model_copy(update={"wishes": tuple(wishes)})
    return problem.model_copy(update={"week": week})


def is_loose(problem: Problem, tot: Child, day: Day, minute: int) -> bool:
    """Whether a child is at home and awake."""
    naps = (n for n in tot.naps if n.days_of_seven and (not n.days or day in n.days))
    asleep = not tot.wake <= minute < tot.bed or any(nap.start <= minute < nap.end for nap in naps)
    points = (*problem.household.fixed_points, *problem.week.fixed_points)
    gone = any(
        tot.id in point.children and point.meal is None and point.on(day)
        and point.taken_from <= minute < point.taken_until
        for point in points
    )  # fmt: skip
    return not asleep and not gone
