"""The gates seen from the finished week: the solver keeps them, the checker notices when a plan does not."""

from __future__ import annotations

import pytest

from solver.check import check
from solver.domain.activity import Activity, Hazard, Kind, Part, Sitting, Version
from solver.domain.base import Day, Help, Window
from solver.domain.home import Limits, Place
from solver.domain.people import Adult, Allergen, Allergy, AllergyLevel, Child, Hours, Nap, Visitor
from solver.domain.plan import Plan
from solver.domain.week import Household, Problem, Rank, Stretch, Week, Wish
from solver.search import solve

ALL_DAY = (Hours(start=8 * 60, end=18 * 60),)
MILK = (Allergy(allergen=Allergen.MILK),)


def adult(id: str, **facts: object) -> Adult:
    return Adult.model_validate({"id": id, "name": id.title(), "hours": ALL_DAY, **facts})


def child(id: str, birth_month: str, **facts: object) -> Child:
    return Child.model_validate({"id": id, "name": id.title(), "birth_month": birth_month, **facts})


KIM = child("kim", "2021-02")  # 72 months in the week
TOT = child("tot", "2025-08", learner=False, mouths_things=True, crawls=True, alone_min=60)


def problem(
    *hazards: Hazard,
    children: tuple[Child, ...] = (KIM, TOT),
    adults: tuple[Adult, ...] = (adult("ada"),),
    place: str = "table",
    allergens: tuple[Allergen, ...] = (),
) -> Problem:
    """One promise for Kim on Monday."""
    house = Household(
        name="a house",
        children=children,
        adults=adults,
        places=(Place(id="table", name="table"), Place(id="pond", name="pond", travel_min=10)),
        stretches=(Stretch(id="day", name="day", start=9 * 60, end=17 * 60),),
        limits=Limits(outdoor_times_a_day=0),
    )
    activity = Activity(
        id="thing",
        title="The thing",
        kind=Kind.CRAFT,
        versions=(Version(id="all", age_from_months=36, age_to_months=100),),
        sittings=(Sitting(name="go", parts={"all": Part(minutes=20, help=Help.SET_GOING)}, places=(place,)),),
        hazards=hazards,
        allergens=allergens,
    )
    wish = Wish(id="thing", activity="thing", rank=Rank.PROMISE, children=("kim",))
    week = Week(id="2027-W05", teaching_days=(Day.MONDAY,), wishes=(wish,))
    return Problem(household=house, activities=(activity,), week=week)


def solved(given: Problem) -> Plan:
    return solve(given, seconds=20, seed=1, workers=1)


def napping(start: int) -> Child:
    return TOT.model_copy(update={"naps": (Nap(start=start, length_min=60),)})


def test_small_parts_wait_for_the_nap() -> None:
    booking = solved(problem(Hazard.SMALL_PART, children=(KIM, napping(13 * 60)))).bookings[0]
    assert 13 * 60 <= booking.start <= 13 * 60 + 40
    assert any("16 CFR" in caution.source for caution in booking.cautions)


def test_without_a_nap_another_adult_has_the_baby() -> None:
    alone = solved(problem(Hazard.SMALL_PART))
    assert alone.bookings == ()
    assert "safety" in alone.left_over[0].reason.rules
    two = solved(problem(Hazard.SMALL_PART, adults=(adult("ada"), adult("ben"))))
    assert two.bookings[0].minder in {"ada", "ben"}


def test_the_checker_notices_a_loose_baby() -> None:
    given = problem(Hazard.SMALL_PART, children=(KIM, napping(13 * 60)))
    plan = solved(given)
    moved = plan.bookings[0].model_copy(update={"start": 10 * 60})
    broken = check(given, plan.model_copy(update={"bookings": (moved,)}))
    assert "safety" in {violation.key for violation in broken}


def test_an_adult_who_must_avoid_it_does_not_help() -> None:
    given = problem(adults=(adult("ada", allergies=MILK), adult("ben")), allergens=(Allergen.MILK,))
    plan = solved(given)
    assert plan.bookings[0].helpers == ("ben",)
    swapped = plan.bookings[0].model_copy(update={"helpers": ("ada",)})
    broken = check(given, plan.model_copy(update={"bookings": (swapped,)}))
    assert "safety" in {violation.key for violation in broken}


@pytest.mark.parametrize(
    ("sibling", "comes_along"),
    [
        (TOT, True),  # a baby is worn
        (child("lea", "2023-08"), False),  # 42 months, on her own feet at the edge
        (child("lea", "2022-02"), True),  # 60 months
    ],
)
def test_who_may_come_along_to_open_water(sibling: Child, comes_along: bool) -> None:
    given = problem(Hazard.OPEN_WATER, children=(KIM, sibling), place="pond")
    plan = solved(given)
    assert bool(plan.bookings) is comes_along
    if comes_along:
        assert plan.bookings[0].along == (sibling.id,)


def test_the_checker_notices_a_child_who_must_not_come_along() -> None:
    old = problem(Hazard.OPEN_WATER, children=(KIM, child("lea", "2022-02")), place="pond")
    young = problem(Hazard.OPEN_WATER, children=(KIM, child("lea", "2023-08")), place="pond")
    assert "safety" in {violation.key for violation in check(young, solved(old))}


def test_whoever_reacts_to_the_air_does_not_come_along() -> None:
    airborne = (Allergy(allergen=Allergen.MILK, level=AllergyLevel.AIRBORNE),)
    lea = child("lea", "2022-02", allergies=airborne)
    given = problem(children=(KIM, lea), place="pond", allergens=(Allergen.MILK,))
    assert solved(given).bookings == ()
    two = problem(
        children=(KIM, lea), place="pond", allergens=(Allergen.MILK,), adults=(adult("ada"), adult("ben"))
    )
    assert solved(two).bookings[0].minder


def test_whoever_reacts_to_the_air_is_out_of_the_house() -> None:
    airborne = (Allergy(allergen=Allergen.MILK, level=AllergyLevel.AIRBORNE),)
    away_later = (Hours(start=8 * 60, end=12 * 60),)
    ben = adult("ben", allergies=airborne).model_copy(update={"hours": away_later})
    given = problem(adults=(adult("ada"), ben), allergens=(Allergen.MILK,))
    booking = solved(given).bookings[0]
    assert booking.start >= 12 * 60
    assert booking.helpers == ("ada",)


def test_the_help_is_raised_and_the_minutes_are_cut() -> None:
    plan = solved(problem(Hazard.CANDLE, Hazard.WET_HANDS, children=(KIM,)))
    assert plan.bookings[0].attends[0].help is Help.SET_GOING  # 72 months: no longer under 6
    young = child("kim", "2021-03", conditions=("eczema_flaring",))
    booking = solved(problem(Hazard.CANDLE, Hazard.WET_HANDS, children=(young,))).bookings[0]
    assert booking.attends[0].help is Help.BESIDE
    assert booking.attends[0].minutes == booking.minutes == 15


def test_window_of_a_visitor_counts() -> None:
    guest = Visitor(
        id="guest", name="Guest", here=(Window(start=9 * 60, end=15 * 60),), birth_month="2025-02"
    )
    given = problem(Hazard.SMALL_PART, children=(KIM,))
    with_guest = given.model_copy(update={"week": given.week.model_copy(update={"visitors": (guest,)})})
    assert solved(with_guest).bookings[0].start >= 15 * 60
