"""Cases of the rules about the children."""

from __future__ import annotations

from typing import Any

from solver.domain.activity import Alongside, Focus, Lighter, Meal, Part, Together, Version, Wait, WaitKind
from solver.domain.base import Help
from solver.domain.people import Attention
from solver.domain.week import Illness, NapChange, Problem
from tests.solver.cases.registry import Built, rule
from tests.solver.weeks import (
    ADA,
    BEN,
    LUNCH,
    MIA,
    MONDAY,
    NOAH,
    TUESDAY,
    activity,
    book,
    child,
    limits,
    nap,
    plan,
    point,
    problem,
    sitting,
    stretch,
    wish,
)

BOTH = ("ada", "ben")
TWO_AGES = (
    Version(id="younger", age_from_months=24, age_to_months=47),
    Version(id="older", age_from_months=48, age_to_months=120),
)


def _two_ages(**younger: Any) -> dict[str, Any]:
    return {"parts": {"older": Part(minutes=15), "younger": Part(**{"minutes": 8, **younger})}}


@rule("who", allowed=(False, BOTH), boundary=(True, ("ada",)), forbidden=(False, ("ada",)))
def one_stays_out(value: tuple[bool, tuple[str, ...]]) -> Built:
    may_split, children = value
    week = problem(activity("game"), wish("game", may_split=may_split))
    return week, plan(week, book(week, "game", children=children))


@rule("who", "one who may be missing", allowed=("ben",), boundary=("ada", "ben"), forbidden=("ada",))
def only_ada_may_be_missing(children: tuple[str, ...]) -> Built:
    week = problem(activity("game"), wish("game", may_miss=("ada",)))
    return week, plan(week, book(week, "game", children=children))


@rule("who", "one for whom it is not meant", allowed=("ada",), forbidden=BOTH)
def not_meant_for_ben(children: tuple[str, ...]) -> Built:
    week = problem(activity("game"), wish("game", children=("ada",)))
    return week, plan(week, book(week, "game", children=children))


@rule("who", "help below what it takes", allowed=2, forbidden=1)
def too_little_help(help: int) -> Built:
    week = problem(activity("game", sitting(10, 2)))
    booking = book(week, "game")
    ada = booking.attends[0].model_copy(update={"help": Help(help)})
    return week, plan(week, booking.model_copy(update={"attends": (ada, *booking.attends[1:])}))


@rule("who", "the other's version", allowed="younger", forbidden="older")
def version_by_age(version: str) -> Built:
    week = problem(activity("game", sitting(**_two_ages(minutes=15)), versions=TWO_AGES))
    booking = book(week, "game")
    ben = booking.attends[1].model_copy(update={"version": version})
    return week, plan(week, booking.model_copy(update={"attends": (booking.attends[0], ben)}))


@rule("who", "a version chosen by hand", allowed={"ben": "older"}, boundary={})
def version_by_hand(versions: dict[str, str]) -> Built:
    week = problem(
        activity("game", sitting(**_two_ages()), versions=TWO_AGES), wish("game", versions=versions)
    )
    return week, plan(week, book(week, "game"))


@rule("who", "a sitting for the older alone", allowed=("ada",), forbidden=())
def only_the_older_has_a_part(children: tuple[str, ...]) -> Built:
    week = problem(
        activity(
            "game",
            sitting(**_two_ages()),
            sitting(parts={"older": Part(minutes=10)}),
            waits=(Wait(kind=WaitKind.REST, least_min=20),),
            versions=TWO_AGES,
        )
    )
    later = book(week, "game", start="10:00", sitting=1)
    later = later.model_copy(update={"attends": tuple(a for a in later.attends if a.child in children)})
    if not children:
        later = later.model_copy(update={"minutes": 0})
    return week, plan(week, book(week, "game"), later)


@rule("who", "apart, in turns", allowed=(("ada",), ("ben",)), forbidden=(("ben",), ("ada",)))
def apart_in_turns(children: tuple[tuple[str, ...], ...]) -> Built:
    week = problem(activity("game", together=Together.APART))
    first = book(week, "game", children=children[0])
    second = book(week, "game", start="10:00", go=1, children=children[1])
    return week, plan(week, first, second)


def _two_steps(**wished: Any) -> Problem:
    waits = (Wait(kind=WaitKind.DRY, least_min=30),)
    return problem(activity("craft", sitting(), sitting(), waits=waits), wish("craft", **wished))


@rule("whole_go", allowed=(False, 2), boundary=(True, 1), forbidden=(False, 1))
def begun_and_left(value: tuple[bool, int]) -> Built:
    may_carry_on, steps = value
    week = _two_steps(may_carry_on=may_carry_on)
    bookings = (book(week, "craft"), book(week, "craft", start="10:00", sitting=1))
    return week, plan(week, *bookings[:steps])


@rule("whole_go", "a hole", allowed=True, forbidden=False)
def the_first_step_is_missing(first: bool) -> Built:
    week = _two_steps(may_carry_on=True)
    second = book(week, "craft", start="10:00", sitting=1)
    return week, plan(week, *([book(week, "craft")] if first else []), second)


@rule("whole_go", "the lighter version", allowed=True, forbidden=False)
def lighter_only_where_offered(lighter_ok: bool) -> Built:
    light = Lighter(does="five minutes of it", sitting=sitting(5))
    week = problem(activity("craft", lighter=light), wish("craft", lighter_ok=lighter_ok))
    return week, plan(week, book(week, "craft", lighter=True))


@rule("child_free", allowed="10:00", boundary="13:20", forbidden="13:25")
def into_a_nap(start: str) -> Built:
    sleepy = child("Ben", "2024-02", naps=(nap("13:30", 60),))
    week = problem(activity("game"), children=(ADA, sleepy))
    return week, plan(week, book(week, "game", start=start))


@rule("child_free", "a nap moved that day", allowed="15:30", boundary="15:20", forbidden="15:10")
def a_nap_moved_that_day(moved: str) -> Built:
    # The usual nap would be in the way; on Monday it comes later than the game.
    sleepy = child("Ben", "2024-02", naps=(nap("15:00", 60),))
    change = NapChange.model_validate({"child": "ben", "day": MONDAY, "usual_start": "15:00", "start": moved})
    week = problem(activity("game"), children=(ADA, sleepy), naps=(change,))
    return week, plan(week, book(week, "game", start="15:10"))


@rule("child_free", "ill in bed", allowed="10:00", boundary="09:10", forbidden="09:05")
def ill_from(start: str) -> Built:
    ill = Illness.model_validate({"child": "ben", "when": [{"start": start, "end": "19:00"}]})
    week = problem(activity("game"), ill=(ill,))
    return week, plan(week, book(week, "game"))


@rule("child_free", "on the way to a class", allowed="09:00", boundary="09:20", forbidden="09:25")
def on_the_way(start: str) -> Built:
    swimming = point("swimming", "10:00", "10:30", children=BOTH, travel_before_min=20, out_the_door_min=10)
    week = problem(activity("game"), fixed_points=(swimming,))
    return week, plan(week, book(week, "game", start=start))


@rule(
    "child_free",
    "washing hands before lunch",
    allowed=(1, "11:50"),
    boundary=(2, "11:45"),
    forbidden=(2, "11:50"),
)
def washing_before_lunch(value: tuple[int, str]) -> Built:
    mess, start = value
    week = problem(activity("paint", sitting(mess=mess, places=("floor",))))
    return week, plan(week, book(week, "paint", start=start))


def _eating() -> Problem:
    return problem(activity("soup", sitting(meals=(Meal.LUNCH,))))


@rule("child_free", "within the meal", allowed="12:00", boundary="12:20", forbidden="12:25")
def within_the_meal(start: str) -> Built:
    week = _eating()
    return week, plan(week, book(week, "soup", start=start, meal="lunch"))


@rule("child_free", "part of a meal, at none", allowed=("12:10", "lunch"), forbidden=("10:00", None))
def part_of_a_meal(value: tuple[str, str | None]) -> Built:
    week = _eating()
    return week, plan(week, book(week, "soup", start=value[0], meal=value[1]))


@rule("child_free", "listening at lunch", allowed=Alongside.LISTENING, forbidden=None)
def at_lunch(part: Alongside | None) -> Built:
    week = problem(activity("story", alongside=part))
    return week, plan(week, book(week, "story", start="12:05", meal="lunch"))


@rule("child_free", "not at that meal", allowed=BOTH, forbidden=("ada",))
def who_eats(children: tuple[str, ...]) -> Built:
    lunch = LUNCH.model_copy(update={"children": children})
    week = problem(activity("story", alongside=Alongside.LISTENING), house={"fixed_points": (lunch,)})
    return week, plan(week, book(week, "story", start="12:05", meal="lunch"))


@rule("child_free", "two things at one meal", allowed="12:15", boundary="12:10", forbidden="12:05")
def two_at_one_meal(start: str) -> Built:
    story, song = (activity(name, alongside=Alongside.LISTENING) for name in ("story", "song"))
    week = problem(story, song)
    first = book(week, "story", start="12:00", meal="lunch")
    return week, plan(week, first, book(week, "song", start=start, meal="lunch"))


@rule("one_at_a_time", allowed="10:00", boundary="09:15", forbidden="09:10")
def one_after_the_other(start: str) -> Built:
    week = problem(activity("game"), activity("song", sitting(places=("sofa",))))
    return week, plan(week, book(week, "game"), book(week, "song", start=start))


@rule("one_at_a_time", "back from an outing", allowed="10:00", boundary="09:35", forbidden="09:30")
def back_from_an_outing(start: str) -> Built:
    # At the library from 09:00 for 20 minutes, back 10 minutes later, and 5 to change over.
    visit = activity("visit", sitting(20, places=("library",)))
    week = problem(visit, activity("game", sitting(10, 0)))
    return week, plan(week, book(week, "visit"), book(week, "game", start=start))


@rule("one_at_a_time", "along on an outing", allowed="10:00", boundary="09:30", forbidden="09:25")
def along_on_an_outing(start: str) -> Built:
    visit = activity("visit", sitting(20, places=("library",)))
    game = activity("game", sitting(10, 0))
    wishes = (wish("visit", children=("ada",)), wish("game", children=("ben",)))
    week = problem(visit, game, *wishes, adults=(MIA, NOAH))
    out = book(week, "visit", along=("ben",))
    return week, plan(week, out, book(week, "game", start=start, helpers=("noah",)))


PAINT = activity("paint", sitting(20), alongside=Alongside.BUSY_HANDS)
STORY = activity("story", sitting(10), alongside=Alongside.LISTENING)


@rule("alongside", allowed="09:05", boundary="09:10", forbidden="09:15")
def within_busy_hands(start: str) -> Built:
    week = problem(PAINT, STORY)
    paint = book(week, "paint")
    return week, plan(week, paint, book(week, "story", start=start, over=paint))


@rule("alongside", "over something that needs ears", allowed=Alongside.BUSY_HANDS, forbidden=None)
def over_what(part: Alongside | None) -> Built:
    week = problem(activity("paint", sitting(20), alongside=part), STORY)
    paint = book(week, "paint")
    return week, plan(week, paint, book(week, "story", over=paint))


@rule("alongside", "something that is no listening", allowed=Alongside.LISTENING, forbidden=None)
def laid_over(part: Alongside | None) -> Built:
    week = problem(PAINT, activity("story", alongside=part))
    paint = book(week, "paint")
    return week, plan(week, paint, book(week, "story", over=paint))


@rule("alongside", "one who is not painting", allowed=BOTH, forbidden=("ada",))
def who_paints(children: tuple[str, ...]) -> Built:
    week = problem(PAINT, wish("paint", children=children), STORY)
    paint = book(week, "paint")
    return week, plan(week, paint, book(week, "story", over=paint))


@rule("alongside", "in another place", allowed="table", forbidden="sofa")
def in_another_place(place: str) -> Built:
    week = problem(PAINT, STORY)
    paint = book(week, "paint")
    return week, plan(week, paint, book(week, "story", over=paint, place=place))


@rule("alongside", "on another day", allowed=False, forbidden=True)
def on_another_day(another: bool) -> Built:
    week = problem(PAINT, STORY)
    paint = book(week, "paint")
    day = {"day": TUESDAY} if another else {}
    return week, plan(week, paint, book(week, "story", over=paint, **day))


@rule("alongside", "two at once", allowed="09:15", boundary="09:10", forbidden="09:05")
def two_over_one(start: str) -> Built:
    paint = activity("paint", sitting(30), alongside=Alongside.BUSY_HANDS)
    week = problem(paint, STORY, activity("song", sitting(10), alongside=Alongside.LISTENING))
    under = book(week, "paint")
    return week, plan(
        week, under, book(week, "story", over=under), book(week, "song", start=start, over=under)
    )


@rule("attention", allowed=10, boundary=12, forbidden=13)
def longest_at_the_table(minutes: int) -> Built:
    week = problem(activity("letters", sitting(minutes), focus=Focus.TABLE))
    return week, plan(week, book(week, "letters"))


@rule("attention", "laid over busy hands", allowed=8, boundary=10, forbidden=11)
def longest_listening(minutes: int) -> Built:
    story = activity("story", sitting(minutes), alongside=Alongside.LISTENING, focus=Focus.LISTENING)
    week = problem(PAINT, story)
    paint = book(week, "paint")
    return week, plan(week, paint, book(week, "story", over=paint))


@rule("attention", "free of focus", allowed=60)
def as_long_as_they_like(minutes: int) -> Built:
    week = problem(activity("blocks", sitting(minutes)))
    return week, plan(week, book(week, "blocks"))


def _letters_and_sums() -> tuple[Any, Any]:
    sums = activity("sums", sitting(places=("sofa",)), focus=Focus.LISTENING)
    return activity("letters", focus=Focus.TABLE), sums


@rule("breaks", allowed="09:30", boundary="09:20", forbidden="09:15")
def a_break_between(start: str) -> Built:
    week = problem(*_letters_and_sums())
    return week, plan(week, book(week, "letters"), book(week, "sums", start=start))


@rule("breaks", "after busy hands", allowed="09:15")
def no_break_after_hands(start: str) -> Built:
    week = problem(activity("dough", focus=Focus.HANDS), activity("letters", focus=Focus.TABLE))
    return week, plan(week, book(week, "dough"), book(week, "letters", start=start))


@rule("focus_day", allowed=5, boundary=10, forbidden=11)
def focused_in_a_day(minutes: int) -> Built:
    letters, _ = _letters_and_sums()
    fresh = child("Ada", "2022-02", attention=Attention(focused_min_a_day=20))
    week = problem(letters, activity("sums", sitting(minutes), focus=Focus.TABLE), children=(fresh, BEN))
    return week, plan(week, book(week, "letters"), book(week, "sums", start="10:00"))


@rule("screen", allowed=20, boundary=30, forbidden=31)
def screen_in_a_day(minutes: int) -> Built:
    week = problem(activity("film", sitting(minutes, places=("sofa",)), kind="screen"))
    return week, plan(week, book(week, "film"))


@rule("screen", "before bed", allowed="17:00", boundary="17:50", forbidden="17:55")
def screen_before_bed(start: str) -> Built:
    week = problem(activity("film", sitting(10, places=("sofa",)), kind="screen"))
    return week, plan(week, book(week, "film", start=start))


@rule("screen", "before a nap", allowed="11:00", boundary="12:50", forbidden="12:55")
def screen_before_a_nap(start: str) -> Built:
    sleepy = child("Ben", "2024-02", naps=(nap("14:00", 60),))
    midday = (stretch("morning", "08:00", "12:00"), stretch("midday", "12:30", "15:00"))
    film = activity("film", sitting(10, places=("sofa",)), kind="screen")
    week = problem(film, children=(ADA, sleepy), house={"stretches": midday})
    return week, plan(week, book(week, "film", start=start))


@rule("white_space", allowed=20, boundary=25, forbidden=30)
def time_of_their_own(minutes: int) -> Built:
    # Half of an hour's twelve slots: 25 minutes and 5 to change over.
    hour = (stretch("morning", "09:00", "10:00"),)
    week = problem(
        activity("game", sitting(minutes)), house={"stretches": hour}, limits=limits(free_share=0.5)
    )
    return week, plan(week, book(week, "game"))


@rule("white_space", "free play", allowed=60)
def free_play_is_their_own(minutes: int) -> Built:
    hour = (stretch("morning", "09:00", "10:00"),)
    blocks = activity("blocks", sitting(minutes), kind="free play")
    week = problem(blocks, house={"stretches": hour}, limits=limits(free_share=0.5))
    return week, plan(week, book(week, "blocks"))
