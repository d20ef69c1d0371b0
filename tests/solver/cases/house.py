"""Cases of the rules about places, tools, mess, weather, noise and safety."""

from __future__ import annotations

from typing import Any

from solver.domain.activity import Hazard, Need, Weather
from solver.domain.base import Day, Window
from solver.domain.home import Material, Place
from solver.domain.people import Allergen, Allergy, Duty, Hours, Visitor
from solver.domain.plan import State
from solver.domain.week import Sky
from tests.solver.cases.registry import Built, rule
from tests.solver.weeks import (
    ADA,
    BEN,
    MIA,
    MONDAY,
    NOAH,
    PLACES,
    TUESDAY,
    activity,
    adult,
    book,
    child,
    limits,
    moment,
    nap,
    plan,
    point,
    problem,
    sitting,
    wish,
)


def window(start: str, end: str, *days: Day) -> Window:
    """A piece of the clock."""
    return Window.model_validate({"start": start, "end": end, "days": days})


def sky(start: str, end: str, **kind: bool) -> Sky:
    """A forecast for every day."""
    return Sky.model_validate({"start": start, "end": end, **kind})


def _for_each(first: Any, second: Any, **changes: Any) -> Any:
    """One activity for Ada, another for Ben."""
    return problem(
        first, wish(first.id, children=("ada",)), second, wish(second.id, children=("ben",)), **changes
    )


@rule("place_open", allowed="09:30", boundary="09:05", forbidden="09:00")
def closed_until_nine(start: str) -> Built:
    table = Place(id="table", name="the table", closed=(window("08:00", "09:00"),))
    week = problem(activity("game", sitting(setup_min=5)), house={"places": (table, *PLACES[1:])})
    return week, plan(week, book(week, "game", start=start))


@rule("place_open", "clear for lunch", allowed="11:00", boundary="11:15", forbidden="11:20")
def clear_for_lunch(start: str) -> Built:
    week = problem(activity("game", sitting(cleanup_min=5)))
    return week, plan(week, book(week, "game", start=start))


@rule("place_open", "none of its places", allowed="sofa", forbidden="floor")
def none_of_its_places(place: str) -> Built:
    week = problem(activity("game", sitting(places=("table", "sofa"))))
    return week, plan(week, book(week, "game", place=place))


@rule("place_open", "needed for something else", allowed="09:00", boundary="09:50", forbidden="09:55")
def needed_for_something_else(start: str) -> Built:
    piano = point("piano", "10:00", "10:30", place="sofa")
    week = problem(activity("game", sitting(places=("sofa",))), fixed_points=(piano,))
    return week, plan(week, book(week, "game", start=start))


@rule("place_room", allowed="10:00", boundary="09:15", forbidden="09:10")
def one_at_the_table(start: str) -> Built:
    # Ten minutes, and five of laying out before the second.
    week = _for_each(activity("game", sitting(10, 0)), activity("song", sitting(10, 0, setup_min=5)))
    return week, plan(week, book(week, "game"), book(week, "song", start=start))


@rule("place_room", "room for two", allowed=2, forbidden=1)
def room_for_two(room: int) -> Built:
    floor = Place(id="floor", name="the floor", sittings_at_once=room)
    game, song = (activity(name, sitting(places=("floor",))) for name in ("game", "song"))
    week = _for_each(game, song, house={"places": (floor,), "fixed_points": ()})
    return week, plan(week, book(week, "game"), book(week, "song"))


def _brush(count: int, each_child: bool = False) -> dict[str, Any]:
    return {"needs": (Need(material="brush", count=count, each_child=each_child),)}


def _brushes(count: int) -> dict[str, Any]:
    return {"materials": (Material(id="brush", name="brush", count=count),)}


@rule("tools", allowed="09:30", boundary="09:15", forbidden="09:10")
def one_brush(start: str) -> Built:
    paint = activity("paint", sitting(10, 0, cleanup_min=5, **_brush(1)))
    glue = activity("glue", sitting(10, 1, places=("sofa",), **_brush(1)))
    week = _for_each(paint, glue, house=_brushes(1))
    return week, plan(week, book(week, "paint"), book(week, "glue", start=start))


@rule("tools", "one for each child", allowed=3, boundary=2, forbidden=1)
def one_for_each(count: int) -> Built:
    paint = activity("paint", sitting(**_brush(1, each_child=True)))
    week = problem(paint, house=_brushes(count))
    return week, plan(week, book(week, "paint"))


def _without_the_brush(day: str, now: str | None = None) -> Built:
    paint = activity("paint", sitting(**_brush(1)))
    week = problem(paint, house=_brushes(1), overrides={"gone": ({"what": "brush", "days": (day,)},)})
    if now is None:
        return week, plan(week, book(week, "paint"))
    begun = book(week, "paint", state=State.FIRM)
    later = week.week.model_copy(update={"firm": (begun,), "now": moment(MONDAY, now)})
    return week.model_copy(update={"week": later}), plan(week, begun)


@rule("tools", "gone that day", allowed="tuesday", forbidden="monday")
def gone_that_day(day: str) -> Built:
    return _without_the_brush(day)


@rule("tools", "what had begun", allowed="09:30", boundary="09:05", forbidden="09:00")
def what_had_begun(now: str) -> Built:
    return _without_the_brush("monday", now)


def _messy(mess: int, **changes: Any) -> Any:
    return sitting(10, 1, mess=mess, places=("floor",), **changes)


@rule("mess_hours", allowed="09:30", boundary="10:50", forbidden="10:55")
def big_mess_until_eleven(start: str) -> Built:
    week = problem(activity("paint", _messy(3)), limits=limits(mess_hours=(window("09:00", "11:00"),)))
    return week, plan(week, book(week, "paint", start=start))


@rule("mess_hours", "small mess", allowed="11:00")
def small_mess_at_any_time(start: str) -> Built:
    week = problem(activity("paint", _messy(2)), limits=limits(mess_hours=(window("09:00", "11:00"),)))
    return week, plan(week, book(week, "paint", start=start))


@rule("mess_hours", "on another day", allowed=Day.MONDAY, forbidden=TUESDAY)
def on_its_day(day: Day) -> Built:
    hours = (window("09:00", "11:00", Day.MONDAY),)
    week = problem(activity("paint", _messy(3)), limits=limits(mess_hours=hours))
    return week, plan(week, book(week, "paint", day))


@rule("mess_hours", "before leaving", allowed="09:00", boundary="10:35", forbidden="10:40")
def before_leaving(start: str) -> Built:
    # Ten minutes and fifteen clear before shoes go on at eleven.
    swimming = point("swimming", "11:15", "11:45", children=("ada",), out_the_door_min=15)
    week = problem(activity("paint", _messy(3)), fixed_points=(swimming,))
    return week, plan(week, book(week, "paint", start=start))


@rule("mess_hours", "before visitors", allowed="09:00", boundary="10:30", forbidden="10:35")
def before_visitors(start: str) -> Built:
    visit = point("visit", "11:00", "11:45", "visit", visitors_come=True)
    week = problem(activity("paint", _messy(3, cleanup_min=5)), fixed_points=(visit,))
    return week, plan(week, book(week, "paint", start=start))


def _two_messes(first: int, second: int, day: Day, **bounds: int) -> Built:
    paint, dough = activity("paint", _messy(first)), activity("dough", _messy(second))
    week = problem(paint, dough, limits=limits(**bounds))
    return week, plan(week, book(week, "paint"), book(week, "dough", day, "10:00"))


@rule("mess_day", allowed=(1, 2), boundary=(3, 2), forbidden=(4, 2))
def mess_in_a_day(mess: tuple[int, int]) -> Built:
    return _two_messes(*mess, Day.MONDAY)


@rule("mess_day", "one big mess", allowed=(2, 3), boundary=(2, 3), forbidden=(3, 3))
def one_big_mess(mess: tuple[int, int]) -> Built:
    return _two_messes(*mess, Day.MONDAY, mess_sum_a_day=10)


@rule("mess_week", allowed=(1, 2), boundary=(2, 2), forbidden=(2, 3))
def mess_in_a_week(mess: tuple[int, int]) -> Built:
    return _two_messes(*mess, TUESDAY, mess_sum_a_week=4)


def _outside(**changes: Any) -> Any:
    return activity("dig", sitting(places=("yard",)), **changes)


@rule("weather", allowed="09:00", boundary="09:50", forbidden="09:55")
def before_the_rain(start: str) -> Built:
    week = problem(_outside(), sky=(sky("10:00", "12:00", wet=True),))
    return week, plan(week, book(week, "dig", start=start))


@rule("weather", "in the rain, indoors", allowed="table")
def in_the_rain_indoors(place: str) -> Built:
    dig = activity("dig", sitting(places=(place,)), weather=Weather.DRY)
    week = problem(dig, sky=(sky("08:00", "12:00", wet=True),))
    return week, plan(week, book(week, "dig"))


@rule("weather", "rain wanted", allowed="09:30", boundary="10:50", forbidden="10:55")
def rain_wanted(start: str) -> Built:
    week = problem(_outside(weather=Weather.WET), sky=(sky("09:00", "11:00", wet=True),))
    return week, plan(week, book(week, "dig", start=start))


@rule("weather", "wind wanted, indoors too", allowed="windy", forbidden="wet")
def wind_wanted(kind: str) -> Built:
    kite = activity("kite", weather=Weather.WIND)
    week = problem(kite, sky=(sky("08:00", "12:00", **{kind: True}),))
    return week, plan(week, book(week, "kite"))


@rule("weather", "ice", allowed=Weather.ANY, forbidden=Weather.NOT_ICY)
def on_ice(weather: Weather) -> Built:
    week = problem(_outside(weather=weather), sky=(sky("08:00", "12:00", icy=True),))
    return week, plan(week, book(week, "dig"))


@rule("weather", "too hot", allowed="windy", forbidden="too_hot")
def too_hot(kind: str) -> Built:
    week = problem(_outside(), sky=(sky("08:00", "12:00", **{kind: True}),))
    return week, plan(week, book(week, "dig"))


@rule("weather", "daylight", allowed="09:30", boundary="08:30", forbidden="08:25")
def daylight(start: str) -> Built:
    week = problem(_outside(), daylight=window("08:30", "17:00"))
    return week, plan(week, book(week, "dig", start=start))


LOUD = activity("drums", sitting(10, 0), nap_ok=False)


@rule("quiet", allowed="13:00", boundary="13:20", forbidden="13:25")
def before_his_nap(start: str) -> Built:
    sleepy = child("Ben", "2024-02", naps=(nap("13:30", 60),))
    week = problem(LOUD, wish("drums", children=("ada",)), children=(ADA, sleepy))
    return week, plan(week, book(week, "drums", start=start))


@rule("quiet", "after a night shift", allowed=Duty.ON_CALL, forbidden=Duty.ASLEEP)
def after_a_night_shift(duty: Duty) -> Built:
    hours = Hours.model_validate({"start": "06:00", "end": "13:00", "duty": duty})
    week = problem(LOUD, adults=(MIA, adult("Noah", hours=(hours,))))
    return week, plan(week, book(week, "drums"))


@rule("quiet", "out of earshot", allowed=True, forbidden=False)
def out_of_earshot(far: bool) -> Built:
    cellar = Place(id="cellar", name="the cellar", out_of_earshot=far)
    sleepy = child("Ben", "2024-02", naps=(nap("08:30", 60),))
    drums = activity("drums", sitting(10, 0, places=("cellar",)), nap_ok=False)
    week = problem(
        drums,
        wish("drums", children=("ada",)),
        children=(ADA, sleepy),
        house={"places": (*PLACES, cellar)},
    )
    return week, plan(week, book(week, "drums"))


BEADS = activity("beads", sitting(10, 1, cleanup_min=5), hazards=(Hazard.SMALL_PART,))
SLEEPY_BABY = child("Cleo", "2026-05", learner=False, mouths_things=True, naps=(nap("10:00", 60),))


@rule("safety", allowed="10:20", boundary="10:45", forbidden="10:50")
def while_the_baby_sleeps(start: str) -> Built:
    week = problem(BEADS, children=(ADA, BEN, SLEEPY_BABY))
    return week, plan(week, book(week, "beads", start=start))


@rule("safety", "somebody has the baby", allowed="noah", forbidden=None)
def somebody_has_the_baby(minder: str | None) -> Built:
    week = problem(BEADS, children=(ADA, BEN, SLEEPY_BABY), adults=(MIA, NOAH))
    return week, plan(week, book(week, "beads", minder=minder))


@rule("safety", "never at all", allowed=(), forbidden=(Hazard.BORAX,))
def never_at_all(hazards: tuple[Hazard, ...]) -> Built:
    week = problem(activity("slime", hazards=hazards))
    return week, plan(week, book(week, "slime"))


@rule("safety", "a visitor who mouths things", allowed="10:00", boundary="09:15", forbidden="09:10")
def a_visitor_who_mouths_things(start: str) -> Built:
    here = (window(start, "11:00"),)
    visitor = Visitor(id="emil", name="Emil", here=here, mouths_things=True)
    week = problem(BEADS, visitors=(visitor,))
    return week, plan(week, book(week, "beads"))


@rule("safety", "an adult who must avoid it", allowed=Allergen.EGGS, forbidden=Allergen.WHEAT)
def an_adult_who_must_avoid_it(allergen: Allergen) -> Built:
    careful = adult("Mia", allergies=(Allergy(allergen=allergen),))
    week = problem(activity("dough", allergens=(Allergen.WHEAT,)), adults=(careful,))
    return week, plan(week, book(week, "dough"))
