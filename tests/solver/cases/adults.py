"""Cases of the rules about the adults."""

from __future__ import annotations

from typing import Any

from solver.domain.activity import Activity, Hazard
from solver.domain.people import Duty, Hours
from solver.domain.week import Illness, Problem, Wish
from tests.solver.cases.registry import Built, rule
from tests.solver.weeks import (
    ADA,
    BEN,
    CLEO,
    MIA,
    NOAH,
    activity,
    adult,
    book,
    child,
    nap,
    plan,
    point,
    problem,
    sitting,
    step,
    wish,
)

OUTING = sitting(20, places=("library",))


@rule("helper_on_hand", allowed="12:00", boundary="09:15", forbidden="09:10")
def until_she_leaves(end: str) -> Built:
    # Ten minutes and five to clear up.
    week = problem(activity("game", sitting(cleanup_min=5)), adults=(adult("Mia", "06:00", end),))
    return week, plan(week, book(week, "game"))


@rule("helper_on_hand", "at an appointment", allowed="10:00", boundary="09:10", forbidden="09:05")
def at_an_appointment(start: str) -> Built:
    call = point("dentist", start, "11:00", "appointment", adults=("mia",))
    week = problem(activity("game"), fixed_points=(call,))
    return week, plan(week, book(week, "game"))


@rule("helper_on_hand", "on call", allowed=0, forbidden=1)
def on_call(help: int) -> Built:
    hours = Hours.model_validate({"start": "06:00", "end": "20:00", "duty": Duty.ON_CALL})
    week = problem(activity("game", sitting(10, help)), adults=(adult("Mia", hours=(hours,)),))
    return week, plan(week, book(week, "game"))


@rule("helper_on_hand", "on call, laying out", allowed=0, forbidden=5)
def on_call_laying_out(setup: int) -> Built:
    hours = Hours.model_validate({"start": "06:00", "end": "20:00", "duty": Duty.ON_CALL})
    week = problem(activity("game", sitting(10, 0, setup_min=setup)), adults=(adult("Mia", hours=(hours,)),))
    return week, plan(week, book(week, "game"))


@rule("helper_on_hand", "this week's hours", allowed="20:00", forbidden="09:05")
def this_weeks_hours(end: str) -> Built:
    hours = Hours.model_validate({"start": "06:00", "end": end})
    week = problem(activity("game"), hours={"mia": (hours,)})
    return week, plan(week, book(week, "game"))


@rule("helper_on_hand", "who leads", allowed=True, forbidden=False)
def who_leads(leads: bool) -> Built:
    week = problem(activity("game"), adults=(adult("Mia", leads=leads),))
    return week, plan(week, book(week, "game"))


@rule("helper_on_hand", "what she would rather not do", allowed="soil", forbidden="slippery")
def rather_not(hazard: str) -> Built:
    slide = activity("slide", hazards=(Hazard.SLIPPERY,))
    week = problem(slide, adults=(adult("Mia", wont_do=(hazard,)),))
    return week, plan(week, book(week, "slide"))


@rule("helper_on_hand", "at the tub", allowed=True, forbidden=False)
def at_the_tub(minds_water: bool) -> Built:
    tub = activity("tub", sitting(10, 3), hazards=(Hazard.WATER,))
    week = problem(tub, adults=(adult("Mia", minds_water=minds_water),))
    return week, plan(week, book(week, "tub"))


@rule("helper_on_hand", "out with one who may not lift", allowed=True, forbidden=False)
def may_lift(lifts: bool) -> Built:
    week = problem(activity("visit", OUTING), adults=(adult("Mia", may_lift=lifts),))
    return week, plan(week, book(week, "visit"))


@rule("helper_on_hand", "in a language", allowed=("Danish",), forbidden=("Dutch",))
def speaks(languages: tuple[str, ...]) -> Built:
    week = problem(
        activity("song"), wish("song", language="Danish"), adults=(adult("Mia", speaks=languages),)
    )
    return week, plan(week, book(week, "song"))


@rule("helper_on_hand", "two are needed", allowed=("mia", "noah"), forbidden=("mia",))
def two_are_needed(helpers: tuple[str, ...]) -> Built:
    week = problem(activity("slide", adults_needed=2), adults=(MIA, NOAH))
    return week, plan(week, book(week, "slide", helpers=helpers))


def _side_by_side(first: int, second: int, **changes: Any) -> Built:
    """Ada and Ben at different things at the same time, with one adult."""
    week = problem(
        activity("game", sitting(10, first)),
        wish("game", children=("ada",)),
        activity("song", sitting(10, second, places=("sofa",))),
        wish("song", children=("ben",)),
        **changes,
    )
    return week, plan(week, book(week, "game"), book(week, "song"))


@rule("adult_hands", allowed=(1, 2), boundary=(2, 2), forbidden=(2, 3))
def two_hands(help: tuple[int, int]) -> Built:
    return _side_by_side(*help)


@rule("adult_hands", "far from the rest", allowed=(0, 1), boundary=(0, 2), forbidden=(1, 2))
def far_from_the_rest(help: tuple[int, int]) -> Built:
    week = problem(
        activity("game", sitting(10, help[0])),
        wish("game", children=("ada",)),
        activity("dig", sitting(10, help[1], places=("yard",))),
        wish("dig", children=("ben",)),
    )
    return week, plan(week, book(week, "game"), book(week, "dig"))


@rule("adult_hands", "laying out the next thing", allowed=0, boundary=1, forbidden=2)
def laying_out(help: int) -> Built:
    week = problem(
        activity("game", sitting(10, help)),
        wish("game", children=("ada",)),
        activity("song", sitting(10, setup_min=5, places=("sofa",))),
        wish("song", children=("ben",)),
    )
    return week, plan(week, book(week, "game"), book(week, "song", start="09:10"))


@rule("adult_hands", "cooking lunch", allowed=1, boundary=2, forbidden=3)
def cooking(help: int) -> Built:
    lunch = problem(activity("game")).household.fixed_points[0]
    cooked = lunch.model_copy(update={"adult_before_min": 20})
    game = activity("game", sitting(10, help, places=("sofa",)))
    week = problem(game, house={"fixed_points": (cooked,)})
    return week, plan(week, book(week, "game", start="11:45"))


@rule("adult_hands", "putting down for a nap", allowed=0, boundary=1, forbidden=2)
def putting_down(help: int) -> Built:
    sleepy = child("Ben", "2024-02", naps=(nap("13:30", 60),))
    game = activity("game", sitting(10, help))
    week = problem(game, wish("game", children=("ada",)), children=(ADA, sleepy))
    return week, plan(week, book(week, "game", start="13:25"))


@rule("baby_hands", allowed=(1, 1), boundary=(1, 2), forbidden=(2, 2))
def a_hand_for_the_baby(help: tuple[int, int]) -> Built:
    return _side_by_side(*help, children=(ADA, BEN, CLEO))


@rule("baby_hands", "two babies", allowed=1, boundary=2, forbidden=3)
def two_babies(help: int) -> Built:
    twin = child("Dora", "2026-05", learner=False)
    week = problem(activity("game", sitting(10, help)), children=(ADA, BEN, CLEO, twin))
    return week, plan(week, book(week, "game"))


@rule("baby_hands", "put down for a moment", boundary=10, forbidden=11, also={"watched"})
def put_down_for_a_moment(minutes: int) -> Built:
    week = problem(activity("game", sitting(minutes, 4)), children=(ADA, BEN, CLEO))
    return week, plan(week, book(week, "game"))


@rule("baby_hands", "in the carrier on an outing", allowed=1, boundary=3)
def in_the_carrier(help: int) -> Built:
    visit = activity("visit", sitting(20, help, places=("library",)))
    week = problem(visit, children=(ADA, BEN, CLEO))
    return week, plan(week, book(week, "visit", along=("cleo",)))


@rule("baby_hands", "asleep", allowed=(2, 2))
def while_the_baby_sleeps(help: tuple[int, int]) -> Built:
    asleep = child("Cleo", "2026-05", learner=False, naps=(nap("08:00", 120),))
    return _side_by_side(*help, children=(ADA, BEN, asleep))


def _ill(who: str, end: str = "19:00") -> Illness:
    return Illness.model_validate({"child": who, "when": [{"start": "06:00", "end": end}]})


@rule("baby_hands", "a brother who is ill", allowed=(1, 1), boundary=(1, 2), forbidden=(2, 2))
def a_hand_for_whoever_is_ill(help: tuple[int, int]) -> Built:
    return _side_by_side(*help, children=(ADA, BEN, child("Dora", "2023-02")), ill=(_ill("dora"),))


def _beside_ada(minutes: int, *, help: int = 3, **changes: Any) -> Problem:
    return problem(activity("game", sitting(minutes, help)), wish("game", children=("ada",)), **changes)


@rule("watched", allowed=5, boundary=10, forbidden=15)
def ben_alone(minutes: int) -> Built:
    week = _beside_ada(minutes)
    return week, plan(week, book(week, "game"))


@rule("watched", "with another adult", allowed="noah", forbidden=None)
def ben_with_noah(minder: str | None) -> Built:
    week = _beside_ada(20, adults=(MIA, NOAH))
    return week, plan(week, book(week, "game", minder=minder))


@rule("watched", "the adult only dips in", allowed=2, forbidden=3)
def only_dipping_in(help: int) -> Built:
    week = _beside_ada(20, help=help)
    return week, plan(week, book(week, "game"))


def _out_with_ada(ben: Any = BEN, **changes: Any) -> Problem:
    return problem(
        activity("visit", OUTING), wish("visit", children=("ada",)), children=(ADA, ben), **changes
    )


@rule("watched", "left at home", allowed=("ben",), forbidden=())
def left_at_home(along: tuple[str, ...]) -> Built:
    week = _out_with_ada()
    return week, plan(week, book(week, "visit", along=along))


@rule("watched", "ill and taken along", allowed="07:00", forbidden="19:00")
def ill_and_taken_along(end: str) -> Built:
    visit = activity("visit", OUTING)
    week = problem(visit, wish("visit", children=("ada",)), ill=(_ill("ben", end),))
    return week, plan(week, book(week, "visit", along=("ben",)))


@rule("watched", "along, though somebody has him", allowed=(), forbidden=("ben",))
def along_and_minded(along: tuple[str, ...]) -> Built:
    week = _out_with_ada(adults=(MIA, NOAH))
    return week, plan(week, book(week, "visit", along=along, minder="noah"))


@rule("watched", "asleep on an outing", allowed=True, forbidden=False)
def asleep_on_an_outing(on_the_go: bool) -> Built:
    week = _out_with_ada(child("Ben", "2024-02", naps=(nap("08:00", 120, on_the_go=on_the_go),)))
    return week, plan(week, book(week, "visit", along=("ben",)))


@rule("watched", "at a class meanwhile", allowed="10:00", boundary="09:30", forbidden="09:25")
def at_a_class_meanwhile(end: str) -> Built:
    # Out of the door at 08:35, back at 09:30.
    week = _out_with_ada(fixed_points=(point("class", "08:30", end, children=("ben",)),))
    return week, plan(week, book(week, "visit"))


@rule("minder", allowed="12:00", boundary="09:15", forbidden="09:10")
def until_noah_leaves(end: str) -> Built:
    week = _beside_ada(15, adults=(MIA, adult("Noah", "06:00", end)))
    return week, plan(week, book(week, "game", minder="noah"))


@rule("minder", "busy with something else", allowed=1, boundary=2, forbidden=3)
def busy_with_something_else(help: int) -> Built:
    rolls = activity("rolls", step(10, help, places=("floor",)))
    week = problem(*_wanted(_beside_ada(15)), rolls, adults=(MIA, NOAH))
    game = book(week, "game", minder="noah")
    return week, plan(week, game, book(week, "rolls", helpers=("noah",)))


@rule("minder", "busy with the child itself", allowed=3)
def busy_with_the_child_itself(help: int) -> Built:
    song = activity("song", sitting(10, help, places=("sofa",)))
    wanted = (*_wanted(_beside_ada(15)), song, wish("song", children=("ben",)))
    week = problem(*wanted, adults=(MIA, NOAH))
    game = book(week, "game", minder="noah")
    return week, plan(week, game, book(week, "song", helpers=("noah",)))


@rule("minder", "lifting the baby", allowed=True, forbidden=False)
def lifting_the_baby(may_lift: bool) -> Built:
    week = _beside_ada(15, children=(ADA, BEN, CLEO), adults=(MIA, adult("Noah", may_lift=may_lift)))
    return week, plan(week, book(week, "game", minder="noah"))


@rule("minder", "helping at the same time", allowed="noah", forbidden="mia")
def helping_and_minding(minder: str) -> Built:
    week = _beside_ada(5, help=1, adults=(MIA, NOAH))
    return week, plan(week, book(week, "game", minder=minder))


def _wanted(week: Problem) -> tuple[Activity | Wish, ...]:
    return (*week.activities, *week.week.wishes)
