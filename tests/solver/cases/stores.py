"""Cases of the rules about what waits, what is made ready, what is used up, what it costs."""

from __future__ import annotations

from typing import Any

from solver.domain.activity import Lighter, Need, PrepTask, Wait, WaitKind
from solver.domain.base import Day, Evening
from solver.domain.home import Arrival, Holder, Material, Shop
from solver.domain.plan import Purchase, State
from tests.solver.cases.registry import Built, rule
from tests.solver.weeks import (
    FRIDAY,
    MONDAY,
    THURSDAY,
    TUESDAY,
    WEDNESDAY,
    activity,
    book,
    limits,
    make_ready,
    moment,
    plan,
    prep_evening,
    problem,
    sitting,
    wish,
)

TRAY = {"holders": (Holder(id="tray", name="the tray"),)}
BEFORE = Evening.SUNDAY_BEFORE


def _drying(least: int, **changes: Any) -> Wait:
    return Wait(**{"kind": WaitKind.DRY, "least_min": least, "holder": "tray", **changes})


@rule("holding", allowed="11:00", boundary="10:20", forbidden="10:15")
def one_tray(start: str) -> Built:
    # The first dries from 09:10 to 10:30; the second lies down ten minutes after its start.
    paint = activity("paint", sitting(10, 0), sitting(10, 0), waits=(_drying(60),))
    clay = activity("clay", sitting(10, 0, places=("sofa",)), waits=(_drying(30),))
    week = problem(paint, wish("paint", children=("ada",)), clay, wish("clay", children=("ben",)), house=TRAY)
    bookings = (book(week, "paint"), book(week, "paint", start="10:30", sitting=1))
    return week, plan(week, *bookings, book(week, "clay", start=start))


@rule("holding", "two trays' worth", allowed=1, forbidden=2)
def two_trays_worth(units: int) -> Built:
    week = problem(activity("paint", waits=(_drying(30, units=units),)), house=TRAY)
    return week, plan(week, book(week, "paint"))


@rule("holding", "what the plan says", allowed=True, forbidden=False)
def what_the_plan_says(told: bool) -> Built:
    week = problem(activity("paint", waits=(_drying(30),)), house=TRAY)
    whole = plan(week, book(week, "paint"))
    return week, whole if told else whole.model_copy(update={"waiting": ()})


@rule("holding", "since the evening before", allowed=TUESDAY, forbidden=MONDAY)
def since_the_evening_before(day: Day) -> Built:
    # On Monday ice still stands on the one tray where clay is to dry.
    ice = activity("ice", prep=(PrepTask(id="freeze", name="freeze ice", minutes=5, holder="tray"),))
    week = problem(ice, activity("clay", waits=(_drying(30),)), house=TRAY)
    melting = book(week, "ice", start="14:00")
    return week, plan(week, melting, make_ready(week, melting, "freeze", BEFORE), book(week, "clay", day))


def _with_prep(lighter: Lighter | None = None, **task: Any) -> Any:
    cut = PrepTask(**{"id": "cut", "name": "cut paper", "minutes": 10, **task})
    return activity("craft", prep=(cut,), lighter=lighter)


def _made(week: Any, day: Day = MONDAY, evening: Evening = BEFORE, **changes: Any) -> Built:
    craft = book(week, "craft", day)
    return week, plan(week, craft, make_ready(week, craft, "cut", evening, **changes))


@rule("prep", allowed=600, boundary=780, forbidden=785)
def ready_in_time(lead: int) -> Built:
    # From 20:00 to 09:00 are 13 hours.
    return _made(problem(_with_prep(lead_min=lead)))


@rule("prep", "not at all", allowed=True, forbidden=False)
def made_at_all(made: bool) -> Built:
    week = problem(_with_prep())
    return _made(week) if made else (week, plan(week, book(week, "craft")))


@rule("prep", "too early", allowed=TUESDAY, boundary=THURSDAY, forbidden=FRIDAY)
def still_good(day: Day) -> Built:
    return _made(problem(_with_prep(keeps_days=4)), day)


@rule("prep", "noise", allowed=False, forbidden=True)
def noise(quiet: bool) -> Built:
    evenings = (prep_evening(BEFORE, quiet=quiet),)
    return _made(problem(_with_prep(noisy=True), limits=limits(prep=evenings)))


@rule("prep", "an evening that has gone", allowed="19:00", boundary="20:00", forbidden="20:05")
def an_evening_that_has_gone(now: str) -> Built:
    evenings = (prep_evening(Evening.MONDAY),)
    week = problem(_with_prep(), limits=limits(prep=evenings), now=moment(MONDAY, now))
    return _made(week, TUESDAY, Evening.MONDAY)


@rule("prep", "what the plan says", allowed=10, forbidden=5)
def what_prep_says(minutes: int) -> Built:
    return _made(problem(_with_prep()), minutes=minutes)


@rule("prep", "not for the lighter one", allowed=False, forbidden=True)
def not_for_the_lighter_one(made: bool) -> Built:
    craft = _with_prep(lighter=Lighter(does="less", sitting=sitting(5)))
    week = problem(craft, wish("craft", lighter_ok=True))
    light = book(week, "craft", lighter=True)
    prep = [make_ready(week, light, "cut", BEFORE)] if made else []
    return week, plan(week, light, *prep)


@rule("prep_minutes", allowed=20, boundary=30, forbidden=31)
def an_evenings_minutes(minutes: int) -> Built:
    return _made(problem(_with_prep(minutes=minutes)))


@rule("prep_minutes", "one warm-up for a batch", allowed=24, boundary=25, forbidden=26)
def one_warm_up(minutes: int) -> Built:
    # Ten to warm up, five more for the cards, and the board without its own warm-up.
    def laminated(name: str, takes: int) -> Any:
        task = PrepTask(id="laminate", name="laminate", minutes=takes, batch="laminator", warm_up_min=10)
        return activity(name, prep=(task,))

    week = problem(laminated("cards", 15), laminated("board", minutes))
    cards, board = book(week, "cards"), book(week, "board", start="10:00")
    prep = (make_ready(week, one, "laminate", BEFORE) for one in (cards, board))
    return week, plan(week, cards, board, *prep)


def _sheets(**fields: Any) -> dict[str, Any]:
    sheet = {"id": "sheet", "name": "sheets", "reusable": False, "count": 0, **fields}
    return {"materials": (Material(**sheet),)}


NEEDS_SHEETS = activity("paint", sitting(setup_min=5, needs=(Need(material="sheet", each_child=True),)))


@rule("supplies", allowed=3, boundary=2, forbidden=1)
def sheets_in_stock(count: int) -> Built:
    week = problem(NEEDS_SHEETS, house=_sheets(count=count))
    return week, plan(week, book(week, "paint"))


@rule("supplies", "used up earlier", allowed=5, boundary=4, forbidden=3)
def used_up_earlier(count: int) -> Built:
    week = problem(NEEDS_SHEETS, wish("paint", times=2), house=_sheets(count=count))
    return week, plan(week, book(week, "paint"), book(week, "paint", TUESDAY, go=1))


@rule("supplies", "they arrive", allowed="08:00", boundary="08:55", forbidden="09:00")
def they_arrive(time: str) -> Built:
    arrival = Arrival(at=moment(MONDAY, time), count=2)
    week = problem(NEEDS_SHEETS, house=_sheets(arrivals=(arrival,)))
    return week, plan(week, book(week, "paint"))


@rule("supplies", "gone that day", allowed=("tuesday",), boundary=(), forbidden=("friday", "monday"))
def supply_gone_that_day(days: tuple[str, ...]) -> Built:
    gone = {"gone": ({"what": "sheet", "days": days},) if days else ()}
    week = problem(NEEDS_SHEETS, house=_sheets(count=4), overrides=gone)
    return week, plan(week, book(week, "paint"))


@rule("supplies", "gone all week", allowed="paper", forbidden="sheet")
def supply_gone_all_week(what: str) -> Built:
    paper = Material(id="paper", name="Paper", count=1)
    house = {"materials": (*_sheets(count=4)["materials"], paper)}
    week = problem(NEEDS_SHEETS, house=house, overrides={"gone": ({"what": what},)})
    return week, plan(week, book(week, "paint"))


def _bought(week: Any, count: int, at: Any = None) -> Purchase:
    return Purchase(
        material="sheet",
        name="sheets",
        count=count,
        unit="piece",
        at=at,
        need_by=moment(MONDAY, "08:55"),
        cost=count * week.household.materials[0].price,
    )


@rule("supplies", "bought before the week", allowed=3, boundary=2, forbidden=1)
def bought_before_the_week(count: int) -> Built:
    week = problem(NEEDS_SHEETS, house=_sheets(buyable=True, price=2))
    return week, plan(week, book(week, "paint"), shopping=(_bought(week, count),))


@rule("supplies", "bought in the week", allowed="10:00", boundary="08:55", forbidden="08:50")
def bought_in_the_week(start: str) -> Built:
    market = moment(MONDAY, "08:50")
    week = problem(NEEDS_SHEETS, house=_sheets(buyable=True), shops=(Shop(at=market),))
    return week, plan(week, book(week, "paint", start=start), shopping=(_bought(week, 2, market),))


@rule("supplies", "what cannot be bought", allowed=True, forbidden=False)
def what_cannot_be_bought(buyable: bool) -> Built:
    week = problem(NEEDS_SHEETS, house=_sheets(buyable=buyable))
    return week, plan(week, book(week, "paint"), shopping=(_bought(week, 2),))


def _loaves(day: Day, keeps: int, shops: tuple[Shop, ...], at: Any) -> Built:
    bread = _sheets(buyable=True, keeps_days=keeps)
    week = problem(NEEDS_SHEETS, house=bread, shops=shops)
    return week, plan(week, book(week, "paint", day), shopping=(_bought(week, 2, at),))


@rule("fresh", allowed=TUESDAY, boundary=THURSDAY, forbidden=FRIDAY)
def bought_on_saturday(day: Day) -> Built:
    # From Saturday to Thursday are five days.
    return _loaves(day, 5, (Shop(before_week=True),), None)


@rule("fresh", "bought in the week", allowed=5, boundary=2, forbidden=1)
def bought_on_tuesday(keeps: int) -> Built:
    market = moment(TUESDAY, "10:00")
    return _loaves(THURSDAY, keeps, (Shop(at=market),), market)


@rule("fresh", "in the cupboard", allowed=3, boundary=1, forbidden=0)
def in_the_cupboard(keeps: int) -> Built:
    week = problem(NEEDS_SHEETS, house=_sheets(count=2, keeps_days=keeps))
    return week, plan(week, book(week, "paint", TUESDAY))


@rule("fresh", "some of it spoilt", allowed=4, boundary=2, forbidden=1)
def some_of_it_spoilt(arriving: int) -> Built:
    # Two from Monday are good until Tuesday; what comes on Wednesday is all there is on Thursday.
    arrival = Arrival(at=moment(WEDNESDAY, "08:00"), count=arriving)
    week = problem(NEEDS_SHEETS, house=_sheets(count=2, keeps_days=1, arrivals=(arrival,)))
    return week, plan(week, book(week, "paint", THURSDAY))


@rule("fresh", "what has begun", allowed="10:00", boundary="08:56", forbidden="08:55")
def what_has_begun(now: str) -> Built:
    week = problem(NEEDS_SHEETS, house=_sheets(count=2, keeps_days=0), now=moment(TUESDAY, now))
    done = book(week, "paint", TUESDAY, state=State.FIRM)
    held = week.model_copy(update={"week": week.week.model_copy(update={"firm": (done,)})})
    return held, plan(held, done)


@rule("money", allowed=10, boundary=20, forbidden=21)
def twenty_a_week(cost: int) -> Built:
    week = problem(activity("museum", cost=cost))
    return week, plan(week, book(week, "museum"))


@rule("money", "with what is bought", allowed=5, boundary=10, forbidden=11)
def with_what_is_bought(price: int) -> Built:
    week = problem(NEEDS_SHEETS, house=_sheets(buyable=True, price=price))
    return week, plan(week, book(week, "paint"), shopping=(_bought(week, 2),))
