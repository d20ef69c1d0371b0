"""Every gate: what it lets through, what it keeps back, and the month at which it changes its mind."""

from __future__ import annotations

from collections.abc import Iterable

import pytest

from solver.domain.activity import Activity, Hazard, Kind, Meal, Part, Sitting, Version
from solver.domain.base import Help, Mess, Window
from solver.domain.home import Place
from solver.domain.people import Adult, Allergen, Allergy, AllergyLevel, Child, Condition, Visitor
from solver.domain.week import Household, Problem, Stretch, Week
from solver.safety import GATES, Gate, Requirement, requirement

WEEK = "2027-W05"  # its Monday is 1 February 2027
TABLE = Place(id="table", name="kitchen table")
YARD = Place(id="yard", name="yard", outdoors=True)
POND = Place(id="pond", name="pond", outdoors=True, travel_min=10)


def born(months: int) -> str:
    """The birth month of a child so many months old in February 2027."""
    total = 2027 * 12 + 1 - months
    return f"{total // 12}-{total % 12 + 1:02d}"


def child(id: str, months: int, **facts: object) -> Child:
    return Child.model_validate({"id": id, "name": id.title(), "birth_month": born(months), **facts})


def activity(*hazards: Hazard, allergens: Iterable[Allergen] = (), **facts: object) -> Activity:
    sitting = Sitting(
        name="go",
        parts={"all": Part(minutes=20)},
        places=("table",),
        mess=facts.pop("mess", Mess.NONE),  # type: ignore[arg-type]
        meals=facts.pop("meals", ()),  # type: ignore[arg-type]
    )
    given = {
        "id": "thing",
        "title": "The thing",
        "kind": Kind.SENSORY_BIN,
        "versions": (Version(id="all", age_from_months=0, age_to_months=1200),),
        "sittings": (sitting,),
        "hazards": hazards,
        "allergens": tuple(allergens),
    }
    return Activity.model_validate(given | facts)


def problem(*children: Child, adults: tuple[Adult, ...] = (), visitors: tuple[Visitor, ...] = ()) -> Problem:
    house = Household(
        name="a house",
        children=children,
        adults=adults or (Adult(id="ada", name="Ada"),),
        places=(TABLE, YARD, POND),
        stretches=(Stretch(id="day", name="day", start=480, end=1080),),
    )
    return Problem(household=house, activities=(), week=Week(id=WEEK, visitors=visitors))


def asked(
    what: Activity,
    *children: Child,
    attending: Iterable[str],
    place: Place = TABLE,
    adults: tuple[Adult, ...] = (),
    visitors: tuple[Visitor, ...] = (),
) -> Requirement:
    """What safety asks when the named ones of these children take part."""
    names = set(attending)
    taking_part = tuple(one for one in children if one.id in names)
    given = problem(*children, adults=adults, visitors=visitors)
    return requirement(given, what, what.sittings[0], place, taking_part)


KEPT_FROM_UNDER = [
    (Hazard.SMALL_PART, 36),
    (Hazard.SMALL_BALL, 36),
    (Hazard.DRY_GRAIN, 36),
    (Hazard.BALLOON, 36),
    (Hazard.MAGNET, 36),
    (Hazard.BUTTON_CELL, 84),
    (Hazard.CHOKING_FOOD, 48),
    (Hazard.LONG_STRING, 36),
]


@pytest.mark.parametrize(("hazard", "months"), KEPT_FROM_UNDER)
class TestKeptFromTheYoung:
    def test_allowed(self, hazard: Hazard, months: int) -> None:
        big = child("big", months + 12)
        result = asked(activity(hazard), big, attending=["big"])
        assert result.blocked is None
        assert result.asleep_or_minded == ()

    def test_forbidden_when_attending(self, hazard: Hazard, months: int) -> None:
        result = asked(activity(hazard), child("small", 10), attending=["small"])
        assert result.blocked
        assert result.blocked.rules == ("safety",)
        assert "small" in result.blocked.ids
        assert "Small" in result.blocked.sentence

    def test_those_about_are_asleep_or_minded(self, hazard: Hazard, months: int) -> None:
        result = asked(activity(hazard), child("big", 100), child("small", 10), attending=["big"])
        assert result.blocked is None
        assert result.asleep_or_minded == ("small",)
        assert any("Small" in caution.text for caution in result.cautions)

    def test_boundary_month(self, hazard: Hazard, months: int) -> None:
        assert asked(activity(hazard), child("small", months - 1), attending=["small"]).blocked
        assert asked(activity(hazard), child("small", months), attending=["small"]).blocked is None

    def test_mouthing_counts_at_any_age(self, hazard: Hazard, months: int) -> None:
        mouthing = child("mia", 90, mouths_things=True)
        assert asked(activity(hazard), mouthing, attending=["mia"]).blocked


RAISED_BELOW = [
    (Hazard.BALLOON, 96, Help.BESIDE),
    (Hazard.MAGNET, 96, Help.DIPS_IN),
    (Hazard.RAW_FLOUR, 72, Help.DIPS_IN),
    (Hazard.WATER, 60, Help.BESIDE),
    (Hazard.OPEN_WATER, 60, Help.HANDS_ON),
    (Hazard.OPEN_WATER, 96, Help.BESIDE),
    (Hazard.HOT, 72, Help.DIPS_IN),
    (Hazard.CANDLE, 72, Help.BESIDE),
    (Hazard.SHARP, 48, Help.BESIDE),
    (Hazard.GLASS, 36, Help.BESIDE),
    (Hazard.PLASTIC_FILM, 36, Help.BESIDE),
    (Hazard.AMPHIBIAN, 60, Help.DIPS_IN),
    (Hazard.TRAFFIC, 60, Help.BESIDE),
]


@pytest.mark.parametrize(("hazard", "months", "help"), RAISED_BELOW)
class TestRaisesTheHelp:
    def test_boundary_month(self, hazard: Hazard, months: int, help: Help) -> None:
        younger = asked(activity(hazard), child("kim", months - 1), attending=["kim"])
        older = asked(activity(hazard), child("kim", months), attending=["kim"])
        assert younger.blocked is None
        assert younger.least_help == {"kim": help}
        assert older.least_help.get("kim", Help.ALONE_IN_EARSHOT) < help

    def test_older_children_are_left_as_they_are(self, hazard: Hazard, months: int, help: Help) -> None:
        assert asked(activity(hazard), child("big", 110), attending=["big"]).least_help == {}


@pytest.mark.parametrize("hazard", [Hazard.WATER_BEADS, Hazard.CHRONIC_ART_MATERIAL, Hazard.BORAX])
class TestNeverHere:
    def test_forbidden_at_every_age(self, hazard: Hazard) -> None:
        for months in (0, 36, 95, 200):
            assert asked(activity(hazard), child("kim", months), attending=["kim"]).blocked

    def test_forbidden_for_an_adult_alone(self, hazard: Hazard) -> None:
        result = asked(activity(hazard), child("kim", 60), attending=[])
        assert result.blocked
        assert "not done in this home" in result.blocked.sentence

    def test_allowed_without_it(self, hazard: Hazard) -> None:
        assert asked(activity(), child("kim", 60), attending=["kim"]).blocked is None


class TestRawBeans:
    def test_forbidden_as_play_allowed_in_cooking(self) -> None:
        kim = child("kim", 70)
        assert asked(activity(Hazard.RAW_BEANS), kim, attending=["kim"]).blocked
        cooking = activity(Hazard.RAW_BEANS, kind=Kind.COOKING)
        assert asked(cooking, kim, attending=["kim"]).blocked is None

    def test_boundary_month(self) -> None:
        cooking = activity(Hazard.RAW_BEANS, kind=Kind.COOKING)
        assert asked(cooking, child("kim", 35), attending=["kim"]).blocked
        assert asked(cooking, child("kim", 36), attending=["kim"]).blocked is None


class TestRawFlour:
    def test_forbidden_for_those_who_mouth(self) -> None:
        mia = child("mia", 40, mouths_things=True)
        assert asked(activity(Hazard.RAW_FLOUR), mia, attending=["mia"]).blocked

    def test_a_mouthing_baby_about_is_named_on_the_card(self) -> None:
        result = asked(
            activity(Hazard.RAW_FLOUR),
            child("kim", 70),
            child("mia", 9, mouths_things=True),
            attending=["kim"],
        )
        assert result.asleep_or_minded == ()
        assert any("out of the reach" in caution.text for caution in result.cautions)

    def test_over_at_the_meal(self) -> None:
        eating = activity(Hazard.RAW_FLOUR, Hazard.HOT, meals=(Meal.LUNCH,))
        result = asked(eating, child("kim", 40), attending=["kim"])
        assert result.least_help == {}
        assert result.cautions == ()


class TestWater:
    def test_small_children_about_are_asleep_or_minded(self) -> None:
        kim, tot, old = child("kim", 70), child("tot", 59), child("old", 60)
        result = asked(activity(Hazard.WATER), kim, tot, old, attending=["kim"])
        assert result.asleep_or_minded == ("tot",)

    def test_open_water_wants_an_adult_for_each_under_five(self) -> None:
        ann, bob = child("ann", 50), child("bob", 59)
        pond = activity(Hazard.OPEN_WATER)
        assert asked(pond, ann, bob, attending=["ann", "bob"], place=POND).blocked
        assert asked(pond, ann, bob, attending=["ann"], place=POND).blocked is None
        two = activity(Hazard.OPEN_WATER, adults_needed=2)
        assert asked(two, ann, bob, attending=["ann", "bob"], place=POND).blocked is None

    def test_at_the_pond_a_baby_is_worn_and_a_walking_child_stays_behind(self) -> None:
        baby, tot = child("baby", 9, learner=False), child("tot", 40)
        pond = activity(Hazard.OPEN_WATER, adults_needed=2)
        result = asked(pond, child("kim", 70), baby, tot, attending=["kim"], place=POND)
        assert result.asleep_or_minded == ("tot",)


class TestFloorMess:
    CRAWLER = child("cal", 9, learner=False, crawls=True)

    def test_allowed_without_a_crawler(self) -> None:
        messy = activity(Hazard.FLOOR_MESS, mess=Mess.FLOOR_AND_CLOTHES)
        walker = child("wim", 20, learner=False)
        assert asked(messy, child("kim", 70), walker, attending=["kim"]).asleep_or_minded == ()

    def test_forbidden_with_a_loose_crawler(self) -> None:
        messy = activity(Hazard.FLOOR_MESS, mess=Mess.WIPE_TABLE)
        assert asked(messy, child("kim", 70), self.CRAWLER, attending=["kim"]).asleep_or_minded == ("cal",)

    def test_boundary_of_mess(self) -> None:
        kim = child("kim", 70)
        tidy = activity(Hazard.FLOOR_MESS, mess=Mess.CRUMBS)
        assert asked(tidy, kim, self.CRAWLER, attending=["kim"]).asleep_or_minded == ()
        untold = activity(mess=Mess.FLOOR_AND_CLOTHES)
        assert asked(untold, kim, self.CRAWLER, attending=["kim"]).asleep_or_minded == ("cal",)
        assert asked(untold, kim, self.CRAWLER, attending=["kim"], place=YARD).asleep_or_minded == ()
        assert asked(untold, kim, self.CRAWLER, attending=["kim"], place=POND).asleep_or_minded == ()


class TestNearTheFloorOrTheMouth:
    @pytest.mark.parametrize("hazard", [Hazard.GLITTER, Hazard.PLASTIC_FILM])
    def test_a_mouthing_child_neither_attends_nor_is_loose(self, hazard: Hazard) -> None:
        mia = child("mia", 50, mouths_things=True, crawls=True)
        assert asked(activity(hazard), mia, attending=["mia"]).blocked
        assert asked(activity(hazard), child("kim", 60), mia, attending=["kim"]).asleep_or_minded == ("mia",)

    @pytest.mark.parametrize("hazard", [Hazard.SALT, Hazard.GLASS, Hazard.AMPHIBIAN])
    def test_a_mouthing_child_does_not_attend(self, hazard: Hazard) -> None:
        mia = child("mia", 50, mouths_things=True)
        assert asked(activity(hazard), mia, attending=["mia"]).blocked
        result = asked(activity(hazard), child("kim", 60), mia, attending=["kim"])
        assert result.asleep_or_minded == ()

    def test_soil_wants_an_adult_beside_a_mouthing_child(self) -> None:
        mia, kim = child("mia", 50, mouths_things=True), child("kim", 50)
        assert asked(activity(Hazard.SOIL), mia, kim, attending=["mia", "kim"]).least_help == {
            "mia": Help.BESIDE
        }


class TestSkinAndBreath:
    @pytest.mark.parametrize("hazard", [Hazard.SALT, Hazard.WET_HANDS])
    def test_flaring_cuts_the_minutes_and_cracked_bars(self, hazard: Hazard) -> None:
        sound = child("kim", 50)
        flaring = child("kim", 50, conditions=(Condition.ECZEMA_FLARING,))
        cracked = child("kim", 50, conditions=(Condition.ECZEMA_CRACKED,))
        assert asked(activity(hazard), sound, attending=["kim"]).most_minutes == {}
        assert asked(activity(hazard), flaring, attending=["kim"]).most_minutes == {"kim": 15}
        assert asked(activity(hazard), flaring, attending=["kim"]).blocked is None
        assert asked(activity(hazard), cracked, attending=["kim"]).blocked
        other = child("lea", 50)
        assert asked(activity(hazard), other, cracked, attending=["lea"]).blocked is None

    @pytest.mark.parametrize(
        ("facts", "barred"),
        [
            ({}, False),
            ({"conditions": (Condition.HAY_FEVER,)}, False),
            ({"conditions": (Condition.ASTHMA,)}, True),
            ({"allergies": (Allergy(allergen=Allergen.MOULD, level=AllergyLevel.MILD),)}, True),
        ],
    )
    def test_mould_and_the_house(self, facts: dict[str, object], barred: bool) -> None:
        result = asked(
            activity(Hazard.SEALED_MOULD), child("kim", 60), child("sib", 9, **facts), attending=["kim"]
        )
        assert bool(result.blocked) is barred

    def test_pollen_is_a_caution_for_hay_fever(self) -> None:
        sneezes = child("kim", 60, conditions=(Condition.HAY_FEVER,))
        assert any(
            "Kim" in c.text for c in asked(activity(Hazard.POLLEN), sneezes, attending=["kim"]).cautions
        )
        assert asked(activity(Hazard.POLLEN), child("kim", 60), attending=["kim"]).cautions == ()


def allergic(id: str, allergen: Allergen, level: AllergyLevel, months: int = 50, **facts: object) -> Child:
    return child(id, months, allergies=(Allergy(allergen=allergen, level=level),), **facts)


class TestAllergies:
    BREAD = activity(allergens=[Allergen.WHEAT, Allergen.MILK], mess=Mess.CRUMBS)

    def test_avoid_bars_who_attends_only(self) -> None:
        kim, lea = allergic("kim", Allergen.MILK, AllergyLevel.AVOID), child("lea", 50)
        blocked = asked(self.BREAD, kim, lea, attending=["kim", "lea"]).blocked
        assert blocked
        assert "milk" in blocked.sentence
        about = asked(self.BREAD, kim, lea, attending=["lea"])
        assert about.blocked is None
        assert about.out == ()
        assert any("keep it from Kim" in caution.text for caution in about.cautions)

    def test_airborne_is_out_of_the_house(self) -> None:
        kim, lea = allergic("kim", Allergen.MILK, AllergyLevel.AIRBORNE), child("lea", 50)
        assert asked(self.BREAD, kim, lea, attending=["kim", "lea"]).blocked
        assert asked(self.BREAD, kim, lea, attending=["lea"]).out == ("kim",)
        away = asked(self.BREAD, kim, lea, attending=["lea"], place=POND)
        assert away.out == ()
        assert away.asleep_or_minded == ("kim",)

    def test_mild_is_named(self) -> None:
        kim = allergic("kim", Allergen.MILK, AllergyLevel.MILD)
        result = asked(self.BREAD, kim, attending=["kim"])
        assert result.blocked is None
        assert any("milk" in caution.text and "doctor" in caution.text for caution in result.cautions)

    @pytest.mark.parametrize("mine", [Allergen.WHEAT, Allergen.GLUTEN])
    @pytest.mark.parametrize("inside", [Allergen.WHEAT, Allergen.GLUTEN])
    def test_wheat_and_gluten_meet(self, mine: Allergen, inside: Allergen) -> None:
        kim = allergic("kim", mine, AllergyLevel.AVOID)
        assert asked(activity(allergens=[inside]), kim, attending=["kim"]).blocked

    def test_other_allergens_do_not_meet(self) -> None:
        kim = allergic("kim", Allergen.EGGS, AllergyLevel.AVOID)
        assert asked(self.BREAD, kim, attending=["kim"]).blocked is None

    def test_a_balloon_is_latex(self) -> None:
        kim = allergic("kim", Allergen.LATEX, AllergyLevel.AVOID, months=90)
        assert asked(activity(Hazard.BALLOON), kim, attending=["kim"]).blocked

    def test_visitors_count(self) -> None:
        guest = Visitor(
            id="guest",
            name="Guest",
            here=(Window(start=600, end=700),),
            allergies=(Allergy(allergen=Allergen.WHEAT, level=AllergyLevel.AIRBORNE),),
        )
        assert asked(self.BREAD, child("lea", 50), attending=["lea"], visitors=(guest,)).out == ("guest",)

    def test_a_mouthing_child_who_must_avoid_it_is_kept_from_crumbs(self) -> None:
        baby = allergic("baby", Allergen.WHEAT, AllergyLevel.AVOID, months=9, mouths_things=True)
        assert asked(self.BREAD, child("lea", 50), baby, attending=["lea"]).asleep_or_minded == ("baby",)
        clean = activity(allergens=[Allergen.WHEAT], mess=Mess.NONE)
        assert asked(clean, child("lea", 50), baby, attending=["lea"]).asleep_or_minded == ()

    def test_an_adult_who_must_avoid_it_does_not_help(self) -> None:
        ada = Adult(id="ada", name="Ada", allergies=(Allergy(allergen=Allergen.WHEAT),))
        ben = Adult(id="ben", name="Ben")
        lea = child("lea", 50)
        both = asked(self.BREAD, lea, attending=["lea"], adults=(ada, ben))
        assert both.blocked is None
        assert both.not_helping == ("ada",)
        alone = asked(self.BREAD, lea, attending=["lea"], adults=(ada,))
        assert alone.blocked
        assert "ada" in alone.blocked.ids


class TestVisitors:
    HERE = (Window(start=600, end=700),)

    @pytest.mark.parametrize(("months", "minded"), [(35, ("guest",)), (36, ())])
    def test_a_small_visitor_counts(self, months: int, minded: tuple[str, ...]) -> None:
        guest = Visitor(id="guest", name="Guest", here=self.HERE, birth_month=born(months))
        result = asked(activity(Hazard.SMALL_PART), child("kim", 60), attending=["kim"], visitors=(guest,))
        assert result.asleep_or_minded == minded

    def test_without_a_birth_month_only_a_mouthing_one_counts(self) -> None:
        grown = Visitor(id="grown", name="Grown", here=self.HERE)
        mouthing = Visitor(id="mia", name="Mia", here=self.HERE, mouths_things=True)
        result = asked(
            activity(Hazard.SMALL_PART), child("kim", 60), attending=["kim"], visitors=(grown, mouthing)
        )
        assert result.asleep_or_minded == ("mia",)


class TestCautions:
    def test_the_card_comes_first(self) -> None:
        careful = activity(Hazard.SLIPPERY, caution="tape it down")
        first, second = asked(careful, child("kim", 60), attending=["kim"]).cautions
        assert (first.text, first.source) == ("tape it down", "the activity's card")
        assert second.source

    def test_no_hazard_no_caution(self) -> None:
        assert asked(activity(), child("kim", 60), child("baby", 3), attending=["kim"]).cautions == ()

    def test_each_is_said_once(self) -> None:
        salty = activity(Hazard.SALT, Hazard.WET_HANDS)
        kim = child("kim", 60, conditions=(Condition.ECZEMA_FLARING,))
        cautions = asked(salty, kim, attending=["kim"]).cautions
        assert len(cautions) == len(set(cautions))


class TestTheTable:
    @pytest.mark.parametrize("gate", GATES, ids=lambda gate: gate.key)
    def test_every_gate_names_its_source_and_says_a_sentence(self, gate: Gate) -> None:
        source, sentence = gate.source, gate.sentence
        named = ("CFR", "U.S.C.", "CDC", "AAP", "CPSC", "Canada", "FDA", "FD&C", "no source")
        assert any(name in source for name in named)
        assert sentence[0].isupper()
        assert sentence.endswith(".")

    def test_keys_differ(self) -> None:
        keys = [gate.key for gate in GATES]
        assert len(keys) == len(set(keys))

    def test_every_hazard_has_a_gate(self) -> None:
        read = {hazard for gate in GATES for hazard in gate.reads}
        assert read | {Hazard.FLOOR_MESS} == set(Hazard)  # read by the floor_mess gate beside the mess itself

    def test_those_who_attend_are_never_among_those_to_mind(self) -> None:
        young = [child("a", 8, mouths_things=True, crawls=True), child("b", 30), child("c", 55)]
        for hazard in Hazard:
            result = asked(activity(hazard, mess=Mess.BATH), *young, attending=["a", "b", "c"])
            assert result.asleep_or_minded == ()
