"""Cases of the rules about when."""

from __future__ import annotations

from typing import Any

from solver.domain.activity import Meal, Together, Wait, WaitKind
from solver.domain.base import Day
from solver.domain.home import Book
from solver.domain.plan import Fate, LeftOver, Reason, State
from tests.solver.cases.registry import Built, rule
from tests.solver.weeks import (
    FRIDAY,
    MONDAY,
    THURSDAY,
    TUESDAY,
    WEDNESDAY,
    activity,
    book,
    moment,
    plan,
    problem,
    sitting,
    stretch,
    wish,
)


def _painted() -> Any:
    wait = Wait(kind=WaitKind.DRY, least_min=60, most_min=120)
    return problem(activity("paint", sitting(), sitting(), waits=(wait,)))


@rule("waits", allowed="10:30", boundary="10:10", forbidden="10:05")
def long_enough(start: str) -> Built:
    week = _painted()
    return week, plan(week, book(week, "paint"), book(week, "paint", start=start, sitting=1))


@rule("waits", "not too long", allowed="11:00", boundary="11:10", forbidden="11:15")
def not_too_long(start: str) -> Built:
    week = _painted()
    return week, plan(week, book(week, "paint"), book(week, "paint", start=start, sitting=1))


@rule("waits", "over night", allowed="09:15", boundary="09:10", forbidden="09:05")
def over_night(start: str) -> Built:
    wait = Wait(kind=WaitKind.RISE, least_min=24 * 60)
    week = problem(activity("bread", sitting(), sitting(), waits=(wait,)))
    first = book(week, "bread")
    return week, plan(week, first, book(week, "bread", TUESDAY, start, sitting=1))


def _ada_then_ben(first: Any, second: Any, **changes: Any) -> Any:
    """Two things for one child each, so that only their order matters."""
    wishes = [wish(one.id, children=(who,)) for one, who in ((first, "ada"), (second, "ben"))]
    later = wishes[1].model_copy(update=changes.pop("later", {}))
    return problem(first, second, wishes[0], later, **changes)


def _reading_and_craft(**second: Any) -> tuple[Any, Any]:
    reading = activity("reading", sitting(10, 0, cleanup_min=5))
    return reading, activity("craft", sitting(10, 0, places=("sofa",)), **second)


@rule("order", allowed="09:30", boundary="09:15", forbidden="09:10")
def after_the_reading(start: str) -> Built:
    week = _ada_then_ben(*_reading_and_craft(), later={"after": ("reading",)})
    return week, plan(week, book(week, "reading"), book(week, "craft", start=start))


@rule("order", "what it comes after is not there", allowed=True, forbidden=False)
def without_the_reading(read: bool) -> Built:
    week = _ada_then_ben(*_reading_and_craft(), later={"after": ("reading",)})
    reading = [book(week, "reading")] if read else []
    return week, plan(week, *reading, book(week, "craft", start="10:00"))


@rule("order", "an activity that needs another first", allowed="09:30", boundary="09:15", forbidden="09:10")
def needs_the_reading(start: str) -> Built:
    week = _ada_then_ben(*_reading_and_craft(needs_first="reading"))
    return week, plan(week, book(week, "reading"), book(week, "craft", start=start))


@rule("order", "done in an earlier week", allowed=("reading",), forbidden=())
def done_before(done: tuple[str, ...]) -> Built:
    week = _ada_then_ben(*_reading_and_craft(needs_first="reading"), done_before=done)
    return week, plan(week, book(week, "craft"))


@rule("order", "the opening", allowed="09:30", boundary="09:00", forbidden="08:55")
def the_opening(start: str) -> Built:
    opening = activity("opening", sitting(10, 0), theme="pond")
    frogs = activity("frogs", sitting(10, 0, places=("sofa",)), theme="pond")
    week = problem(
        opening,
        wish("opening", children=("ada",), opens_theme=True),
        frogs,
        wish("frogs", children=("ben",)),
    )
    return week, plan(week, book(week, "opening"), book(week, "frogs", start=start))


@rule("order", "no opening at all", allowed="bread", forbidden="pond")
def no_opening(theme: str) -> Built:
    opening = activity("opening", theme="pond")
    week = problem(opening, wish("opening", opens_theme=True), activity("frogs", theme=theme))
    return week, plan(week, book(week, "frogs"))


@rule("order", "goes", allowed=(0, 1), forbidden=(1, 0))
def goes_in_order(goes: tuple[int, int]) -> Built:
    week = problem(activity("story"), wish("story", times=2))
    return week, plan(week, *(book(week, "story", day, go=go) for day, go in zip(Day, goes, strict=False)))


@rule("order", "one between is left out", allowed=(0, 2), forbidden=(2, 0))
def goes_around_one_that_is_left_out(goes: tuple[int, int]) -> Built:
    week = problem(activity("story"), wish("story", times=3))
    return week, plan(week, *(book(week, "story", day, go=go) for day, go in zip(Day, goes, strict=False)))


@rule("order", "children in turns, in any order", allowed=(1, 0))
def turns_in_any_order(goes: tuple[int, int]) -> Built:
    week = problem(activity("story", together=Together.APART))
    who = (("ada",), ("ben",))
    days = zip(Day, goes, strict=False)
    return week, plan(week, *(book(week, "story", day, go=go, children=who[go]) for day, go in days))


@rule("often", allowed=THURSDAY, boundary=WEDNESDAY, forbidden=TUESDAY)
def not_two_days_running(second: Day) -> Built:
    week = problem(activity("story"), wish("story", times=2, least_gap_days=2))
    return week, plan(week, book(week, "story"), book(week, "story", second, go=1))


@rule("often", "the activity's own gap", allowed=WEDNESDAY, boundary=TUESDAY, forbidden=MONDAY)
def the_activitys_own_gap(second: Day) -> Built:
    week = problem(activity("story", least_gap_days=1), wish("story", times=2, most_a_day=2))
    return week, plan(week, book(week, "story"), book(week, "story", second, "14:00", go=1))


@rule("often", "times in one day", allowed=3, boundary=2, forbidden=1)
def times_in_one_day(most: int) -> Built:
    week = problem(activity("story"), wish("story", times=2, most_a_day=most))
    return week, plan(week, book(week, "story"), book(week, "story", start="14:00", go=1))


@rule("often", "each child in one day", allowed=(0, 1), forbidden=(0, 2))
def each_child_in_one_day(goes: tuple[int, int]) -> Built:
    week = problem(activity("story", together=Together.APART), wish("story", times=2))
    children = (("ada",), ("ben",))
    starts = zip(("09:00", "14:00"), goes, strict=True)
    bookings = [book(week, "story", start=s, go=go, children=children[go % 2]) for s, go in starts]
    return week, plan(week, *bookings)


@rule("often", "one go for each day", allowed=(0, 1), boundary=(0,), forbidden=(1,))
def one_go_for_each_day(goes: tuple[int, ...]) -> Built:
    week = problem(activity("story"), wish("story", times=2, days=(FRIDAY, MONDAY)))
    days = (MONDAY, FRIDAY)
    return week, plan(week, *(book(week, "story", days[i], go=go) for i, go in enumerate(goes)))


def _wished(**changes: Any) -> Any:
    return problem(activity("game", sitting(cleanup_min=5)), wish("game", **changes))


NINE_TO_TEN = {"start": "09:00", "end": "10:00"}


@rule("hours", allowed="09:20", boundary="09:50", forbidden="09:55")
def within_its_hours(start: str) -> Built:
    week = _wished(hours=(NINE_TO_TEN,))
    return week, plan(week, book(week, "game", start=start))


@rule("hours", "one of two windows", allowed="14:00", forbidden="10:00")
def one_of_two_windows(start: str) -> Built:
    week = _wished(hours=(NINE_TO_TEN, {"start": "14:00", "end": "15:00"}))
    return week, plan(week, book(week, "game", start=start))


@rule("hours", "its days", allowed=TUESDAY, forbidden=WEDNESDAY)
def its_days(day: Day) -> Built:
    week = _wished(days=(MONDAY, TUESDAY))
    return week, plan(week, book(week, "game", day))


@rule("hours", "teaching days", allowed=FRIDAY, forbidden=Day.SATURDAY)
def teaching_days(day: Day) -> Built:
    week = _wished()
    return week, plan(week, book(week, "game", day))


@rule("hours", "its stretches", allowed="14:00", boundary="13:00", forbidden="11:00")
def its_stretches(start: str) -> Built:
    week = _wished(stretches=("afternoon",))
    return week, plan(week, book(week, "game", start=start))


@rule("hours", "between the stretches", allowed="13:30", boundary="13:00", forbidden="12:55")
def between_the_stretches(start: str) -> Built:
    week = _wished()
    return week, plan(week, book(week, "game", start=start))


@rule("hours", "finished by", allowed="09:00", boundary="10:45", forbidden="10:50")
def finished_by(start: str) -> Built:
    week = _wished(finish_by={"day": TUESDAY, "time": "11:00"})
    return week, plan(week, book(week, "game", TUESDAY, start))


@rule("hours", "its meals", allowed=Meal.LUNCH, forbidden=Meal.DINNER)
def its_meals(named: Meal) -> Built:
    soup = activity("soup", sitting(meals=(Meal.LUNCH, Meal.DINNER)))
    week = problem(soup, wish("soup", meals=(named,)))
    return week, plan(week, book(week, "soup", start="12:05", meal="lunch"))


def _lent(**fields: Any) -> Any:
    ducks = Book.model_validate({"id": "ducks", "title": "Ducks", **fields})
    return problem(activity("story", sitting(cleanup_min=5), book="ducks"), house={"books": (ducks,)})


@rule("book", allowed="09:00", boundary="09:45", forbidden="09:50")
def before_it_is_due(start: str) -> Built:
    week = _lent(due={"day": TUESDAY, "time": "10:00"})
    return week, plan(week, book(week, "story", TUESDAY, start))


@rule("book", "after it arrives", allowed="11:00", boundary="10:00", forbidden="09:55")
def after_it_arrives(start: str) -> Built:
    week = _lent(arrives={"day": TUESDAY, "time": "10:00"})
    return week, plan(week, book(week, "story", TUESDAY, start))


def _theme_things(count: int, minutes: int = 15, kind: str = "craft") -> Built:
    things = [activity(f"thing{i}", sitting(minutes), theme="pond", kind=kind) for i in range(count)]
    week = problem(*things, theme="pond")
    starts = ("09:00", "10:00", "14:00")
    return week, plan(week, *(book(week, one.id, start=s) for one, s in zip(things, starts, strict=False)))


@rule("theme_day", allowed=1, boundary=2, forbidden=3)
def theme_things(count: int) -> Built:
    return _theme_things(count)


@rule("theme_day", "short ones", allowed=8, boundary=10, forbidden=11)
def short_ones(minutes: int) -> Built:
    return _theme_things(3, minutes)


@rule("theme_day", "kinds that do not count", allowed="movement", forbidden="game")
def kinds_that_do_not_count(kind: str) -> Built:
    return _theme_things(3, kind=kind)


@rule("time_gone", allowed="10:00", boundary="09:05", forbidden="09:00")
def before_now(start: str) -> Built:
    week = problem(activity("game", sitting(setup_min=5)), now=moment(MONDAY, "09:00"))
    return week, plan(week, book(week, "game", start=start))


def _set_firm(**changes: Any) -> Any:
    loose = problem(activity("game"), wish("game", times=2))
    return problem(
        activity("game"),
        wish("game", times=2),
        firm=(book(loose, "game", state=State.FIRM),),
        **changes,
    )


@rule("time_gone", "what was set firm", allowed=State.FIRM)
def firm_stays_in_the_past(state: State) -> Built:
    week = _set_firm(now=moment(TUESDAY, "09:00"))
    return week, plan(week, book(week, "game", state=state))


@rule("firm", allowed="09:00", forbidden="09:05")
def stays_where_it_was_set(start: str) -> Built:
    week = _set_firm()
    return week, plan(week, book(week, "game", start=start, state=State.FIRM))


@rule("firm", boundary=True)
@rule("firm", "gone without a word", forbidden=False)
def left_over_with_its_reason(told: bool) -> Built:
    reason = Reason(rules=("child_free",), sentence="Ada is away then.")
    left = LeftOver(
        wish="game", activity="game", title="Game", sittings=(0,), fate=Fate.HELD_OVER, reason=reason
    )
    return (week := _set_firm()), plan(week, left_over=(left,) if told else ())


@rule("firm", "nobody set it", allowed=State.SETTLED, forbidden=State.FIRM)
def nobody_set_it(state: State) -> Built:
    week = problem(activity("game"))
    return week, plan(week, book(week, "game", state=state))


@rule("hours", "in a stretch of the evening", allowed="17:00")
def in_the_evening(start: str) -> Built:
    evening = (stretch("evening", "17:00", "18:00"),)
    week = problem(activity("game"), house={"stretches": evening})
    return week, plan(week, book(week, "game", start=start))
