"""A promise that cannot be kept: the best week all the same, what is in the way, and what would free it.

What a reason offers is taken at its word: the household is given just that, the week is solved again, and the
promise is kept.
"""

from __future__ import annotations

import copy
import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pytest

from solver.check import check
from solver.domain.activity import Meal, Need, PrepTask, Wait, WaitKind
from solver.domain.base import DAY_MIN, Evening, Window
from solver.domain.home import Book, BookState, Holder, Material, Place
from solver.domain.people import Adult, Hours
from solver.domain.plan import Fate, LeftOver, Plan
from solver.domain.week import FixedPoint, Problem, Rank, Sky
from solver.search import solve
from tests.solver.demo_weeks import problem_of, raw
from tests.solver.weeks import (
    ADA,
    BEN,
    CLEO,
    FRIDAY,
    LUNCH,
    MIA,
    MONDAY,
    NOAH,
    TUESDAY,
    activity,
    adult,
    limits,
    meal,
    moment,
    point,
    prep_evening,
    problem,
    sitting,
    wish,
)


def solved(of: Problem) -> Plan:
    plan = solve(of, seconds=5, workers=1)
    assert check(of, plan) == []
    return plan


def broken(plan: Plan) -> int:
    """How many promises are not kept; the bound must say that no other week keeps more."""
    (promises,) = [tier for tier in plan.tiers if tier.name == "promises"]
    assert promises.proved
    return promises.value


@pytest.fixture(scope="module")
def document() -> dict[str, Any]:
    return raw("broken-promise")


@pytest.fixture(scope="module")
def plan(document: dict[str, Any]) -> Plan:
    return solve(problem_of(document), seconds=15, workers=1)


@pytest.fixture(scope="module")
def visit(plan: Plan) -> LeftOver:
    (found,) = [one for one in plan.left_over if one.wish == "pond-visit"]
    return found


class TestTheDemo:
    def test_it_is_the_best_week_all_the_same(self, document: dict[str, Any], plan: Plan) -> None:
        assert check(problem_of(document), plan) == []
        assert broken(plan) == 1
        assert len(plan.bookings) >= 35
        assert {b.sitting for b in plan.bookings if b.wish == "frog-bowl"} == {0, 1, 2, 3}

    def test_it_says_what_is_in_the_way(self, visit: LeftOver) -> None:
        assert {"helper_on_hand", "weather"} <= set(visit.reason.rules)
        assert "pond-visit" in visit.reason.ids
        assert "two adults" in visit.reason.sentence
        assert "water" in visit.reason.sentence
        assert "dry" in visit.reason.sentence

    def test_it_is_kept_for_later_without_blame(self, visit: LeftOver) -> None:
        assert visit.fate is Fate.HELD_OVER
        assert visit.until == "while pond life lasts"
        for word in ("fail", "must", "should", "overdue", "behind", "infeasible", "constraint"):
            assert word not in visit.reason.sentence.lower()

    def test_it_says_what_would_free_it(self, visit: LeftOver) -> None:
        assert re.search("another adult|Theo at home", visit.reason.freed_by)

    def test_another_adult_at_home_on_the_dry_day_frees_it(self, document: dict[str, Any]) -> None:
        free = only_the_visit(document)
        free["weeks"][0]["hours"]["theo"][1]["days"] += ["wednesday"]
        plan = solved(problem_of(free))
        assert broken(plan) == 0
        assert [(b.wish, b.day) for b in plan.bookings] == [("pond-visit", "wednesday")]

    def test_so_does_a_dry_day_with_two_adults(self, document: dict[str, Any]) -> None:
        free = only_the_visit(document)
        free["weeks"][0]["sky"] = [s for s in free["weeks"][0]["sky"] if s["days"] != ["thursday"]]
        plan = solved(problem_of(free))
        assert broken(plan) == 0
        assert [b.day for b in plan.bookings] == ["thursday"]

    def test_no_adult_and_no_dry_day_more_free_nothing(self, document: dict[str, Any]) -> None:
        assert broken(solved(problem_of(only_the_visit(document)))) == 1

    def test_the_whole_week_keeps_it_with_theo_at_home(self, document: dict[str, Any]) -> None:
        free = copy.deepcopy(document)
        free["weeks"][0]["hours"]["theo"][1]["days"] += ["wednesday"]
        plan = solve(problem_of(free), seconds=6, workers=1)
        assert check(problem_of(free), plan) == []
        assert broken(plan) == 0


def only_the_visit(document: dict[str, Any]) -> dict[str, Any]:
    narrowed = copy.deepcopy(document)
    week = narrowed["weeks"][0]
    week["wishes"] = [one for one in week["wishes"] if one["id"] == "pond-visit"]
    return narrowed


def promised(activity_id: str = "it", **changes: Any) -> Any:
    return wish(activity_id, **({"rank": Rank.PROMISE, "days": (MONDAY,)} | changes))


@dataclass(frozen=True)
class Way:
    """What is in the way of a promise: the rule, what the sentence names, and what is offered (a pattern)."""

    rule: str
    says: str
    offers: str
    stands: Callable[[], Problem]
    freed: Callable[[], Problem]


def one_adult(*adults: Any) -> Problem:
    return problem(activity("it", sitting(20), adults_needed=2), promised(), adults=adults or (MIA,))


def mia_away(away: bool = True) -> Problem:
    """Mia is not there on Monday."""
    elsewhere = adult("Mia", hours=(Hours(days=(TUESDAY,), start=8 * 60, end=18 * 60),))
    return problem(activity("it"), promised(), adults=(elsewhere if away else MIA,))


def baby(*adults: Any) -> Problem:
    """Hands in dough for forty minutes, and a baby who lies on the mat for ten."""
    what = activity("it", sitting(40, help=4))
    house = {"fixed_points": (meal(Meal.LUNCH, "12:00", "12:30", children=("ada",)),)}
    return problem(what, promised(), children=(ADA, CLEO), adults=adults or (MIA,), house=house)


def cutting(minutes: int) -> Problem:
    task = PrepTask(id="cards", name="Cut the cards", minutes=40)
    allowed = limits(prep=(prep_evening(Evening.SUNDAY_BEFORE, minutes),))
    return problem(activity("it", prep=(task,)), promised(), limits=allowed)


def two_preps(minutes: int) -> Problem:
    def made(name: str) -> Any:
        return activity(name, prep=(PrepTask(id="cut", name="Cut it out", minutes=20),))

    allowed = limits(prep=(prep_evening(Evening.SUNDAY_BEFORE, minutes),))
    return problem(made("it"), made("that"), promised(), promised("that"), limits=allowed)


def rainy(wet: bool) -> Problem:
    sky = (Sky(start=0, end=24 * 60, wet=True),) if wet else ()
    return problem(activity("it", sitting(20, places=("yard",)), weather="dry"), promised(), sky=sky)


def trays(capacity: int) -> Problem:
    wait = Wait(kind=WaitKind.DRY, least_min=24 * 60, holder="tray")
    made = (sitting(), sitting())
    return problem(
        activity("it", *made, waits=(wait,)),
        activity("that", *made, waits=(wait,)),
        promised(days=(MONDAY, TUESDAY)),
        promised("that", days=(MONDAY, TUESDAY)),
        house={"holders": (Holder(id="tray", name="the tray", capacity=capacity),)},
    )


def messy(most: int) -> Problem:
    return problem(
        activity("it", sitting(mess=3)),
        activity("that", sitting(mess=3)),
        promised(),
        promised("that"),
        limits=limits(big_mess_a_day=most, mess_sum_a_day=10),
    )


def dear(money: int) -> Problem:
    return problem(activity("it", cost=12), promised(), limits=limits(money_a_week=money))


def out_of_stock(stock: int) -> Problem:
    flour = Material(id="flour", name="flour", reusable=False, count=stock, unit="bag")
    baking = activity("it", sitting(needs=(Need(material="flour", count=2),)))
    return problem(baking, promised(), house={"materials": (flour,)})


def stale(keeps: int) -> Problem:
    """Bread from Saturday's shop, for Friday."""
    bread = Material(id="bread", name="bread", reusable=False, count=0, buyable=True, keeps_days=keeps)
    tasting = activity("it", sitting(needs=(Need(material="bread"),)))
    return problem(tasting, promised(days=(FRIDAY,)), house={"materials": (bread,)})


def tongs(count: int) -> Problem:
    pair = Material(id="tongs", name="tongs", count=count)
    picking = activity("it", sitting(needs=(Need(material="tongs", count=2),)))
    return problem(picking, promised(), house={"materials": (pair,)})


def sofa(used: bool) -> Problem:
    closed = () if used else (Window(start=0, end=DAY_MIN),)
    places = (Place(id="table", name="the table"), Place(id="sofa", name="Sofa", closed=closed))
    return problem(activity("it", sitting(places=("sofa",))), promised(), house={"places": places})


def due(day: Any) -> Problem:
    loan = Book(id="book", title="The pond", state=BookState.BORROWED, due=moment(day, "08:00"))
    return problem(
        activity("it", sitting(places=("sofa",)), book="book"), promised(), house={"books": (loan,)}
    )


def one_table(*more: str) -> Problem:
    """Fifty minutes each at the table, in the one hour there is."""
    hour = {"hours": ({"start": "09:00", "end": "10:00"},)}
    what = sitting(50, help=0, places=("table", *more))
    return problem(
        activity("it", what),
        activity("that", what),
        promised(children=("ada",), **hour),
        promised("that", children=("ben",), **hour),
    )


def long_listening(minutes: int) -> Problem:
    alike = {"attention": ADA.attention.model_copy(update={"listening_min": minutes})}
    children = tuple(one.model_copy(update=alike) for one in (ADA, BEN))
    return problem(activity("it", sitting(20), focus="listening"), promised(), children=children)


def engaged(point: FixedPoint | None = None, *more: Adult) -> Problem:
    """Only wanted from nine to ten, and there may be something else then."""
    hour = {"hours": ({"start": "09:00", "end": "10:00"},)}
    points = (LUNCH, point) if point else (LUNCH,)
    house = {"fixed_points": points}
    return problem(activity("it"), promised(**hour), adults=(MIA, *more), house=house)


SWIM = point("swimming", "09:00", "10:00", children=("ada", "ben"), travel_before_min=10)
CHECK_UP = point("check-up", "09:00", "10:00", adults=("mia",), travel_before_min=10)

WAYS = {
    "two adults": Way(
        "helper_on_hand", "two adults", "another adult", one_adult, lambda: one_adult(MIA, NOAH)
    ),
    "nobody there": Way("helper_on_hand", "an adult", "adult|Mia at home", mia_away, lambda: mia_away(False)),
    "the baby": Way("watched", "Cleo", "another adult", baby, lambda: baby(MIA, NOAH)),
    "a long prep": Way("prep", "40 minutes", "20 more minutes|40", lambda: cutting(30), lambda: cutting(50)),
    "prep given away": Way(
        "prep_minutes", "20 minutes", "prep|evening", lambda: two_preps(30), lambda: two_preps(50)
    ),
    "rain": Way("weather", "dry", "forecast|fair Monday", lambda: rainy(True), lambda: rainy(False)),
    "the tray": Way("holding", "tray", "one more tray", lambda: trays(1), lambda: trays(2)),
    "mess": Way("mess_day", "mess", "messy", lambda: messy(1), lambda: messy(2)),
    "money": Way("money", "money", "money", lambda: dear(10), lambda: dear(12)),
    "flour": Way("supplies", "not in the house", "buying", lambda: out_of_stock(1), lambda: out_of_stock(2)),
    "stale bread": Way("fresh", "would not keep", "fresh", lambda: stale(5), lambda: stale(6)),
    "no tongs": Way(
        "tools",
        "two tongs, and there are 1",
        "second one",
        lambda: tongs(1),
        lambda: tongs(2),
    ),
    "no sofa": Way(
        "place_open",
        "its place (sofa) is not in use",
        "another place",
        lambda: sofa(False),
        lambda: sofa(True),
    ),
    "the loan": Way("book", "book", "renewing", lambda: due(MONDAY), lambda: due(TUESDAY)),
    "the table": Way("place_room", "place", "another place", one_table, lambda: one_table("sofa")),
    "listening": Way(
        "attention", "longer", "lighter", lambda: long_listening(15), lambda: long_listening(20)
    ),
    "a class": Way("child_free", "Swimming", "Swimming|wider", lambda: engaged(SWIM), engaged),
    "an errand": Way(
        "helper_on_hand",
        "Check-up",
        "Check-up|adult",
        lambda: engaged(CHECK_UP),
        lambda: engaged(CHECK_UP, NOAH),
    ),
}


@pytest.mark.parametrize("way", WAYS.values(), ids=WAYS)
class TestEachWay:
    def left(self, way: Way) -> LeftOver:
        plan = solved(way.stands())
        assert broken(plan) == 1
        (one,) = plan.left_over
        return one

    def test_the_rule_is_named(self, way: Way) -> None:
        assert way.rule in self.left(way).reason.rules

    def test_the_sentence_names_what_is_in_the_way(self, way: Way) -> None:
        assert way.says.lower() in self.left(way).reason.sentence.lower()

    def test_what_would_free_it_is_offered(self, way: Way) -> None:
        freed_by = self.left(way).reason.freed_by
        assert freed_by
        assert re.search(way.offers, freed_by, re.IGNORECASE)

    def test_that_given_it_is_kept(self, way: Way) -> None:
        free = solved(way.freed())
        assert broken(free) == 0
        assert free.left_over == ()
