"""A small invented household, as plain figures: told once to Lapful and once to an independent solver.

Two children, one adult, two teaching days, a table that is also laid for lunch, one nap each day. Everything
lies on the five-minute grid. The figures are chosen so that not everything fits: only the first tier is free.
"""

from __future__ import annotations

from dataclasses import dataclass

from solver.domain.activity import (
    Activity,
    AreaTarget,
    Focus,
    Kind,
    Meal,
    Need,
    Part,
    PrepTask,
    Sitting,
    Version,
    Wait,
    WaitKind,
)
from solver.domain.base import Day, Evening, Help, Mess, Window
from solver.domain.home import Limits, Material, Place, PrepEvening
from solver.domain.people import Adult, Attention, Child, Hours, Nap
from solver.domain.week import FixedKind, FixedPoint, Household, Problem, Rank, Stretch, Week, Wish

DAYS = (Day.MONDAY, Day.TUESDAY)
ADULT_HOURS = (8 * 60 + 30, 16 * 60)
LUNCH = (12 * 60, 12 * 60 + 30)
NAP = (13 * 60, 14 * 60 + 15)
SETTLE_MIN = 5
CHANGE_MIN = 5
WASH_MIN = 5
TABLE_CLEAR_MIN = 30
BREAK_MIN = 10
MESS_A_DAY = 4
FOCUSED_A_DAY = {"ann": 60, "bo": 30}
ALONE_MIN = {"ann": 60, "bo": 10}
FREE_SHARE = 0.25
AREAS = {"language": 4, "number": 3}
PREP = {-1: 20, 0: 15}
"""Minutes by evening: the Sunday before, and Monday."""
GOOD_HOURS = (9 * 60, 11 * 60)
"""Of Ann."""


@dataclass(frozen=True)
class Span:
    """A stretch of the day with the kinds that usually sit in it."""

    id: str
    start: int
    end: int
    kinds: tuple[Kind, ...]
    comfortable: int


STRETCHES = (
    Span("early", 9 * 60, 11 * 60 + 30, (Kind.READ_ALOUD, Kind.MATHS, Kind.LETTERS, Kind.PROCESS_ART), 3),
    Span("rest", 12 * 60 + 40, 14 * 60 + 20, (Kind.ONE_ON_ONE,), 2),
    Span("late", 14 * 60 + 30, 16 * 60, (Kind.MOVEMENT,), 2),
)


@dataclass(frozen=True)
class Piece:
    """One sitting: minutes by child, help by child."""

    minutes: dict[str, int]
    help: dict[str, int]
    places: tuple[str, ...]
    setup: int = 0
    cleanup: int = 0
    mess: int = 0
    tool: bool = False
    """Takes the one board there is."""


@dataclass(frozen=True)
class Thing:
    """One wish with its activity."""

    id: str
    kind: Kind
    focus: Focus
    rank: Rank
    pieces: tuple[Piece, ...]
    worth: int = 5
    times: int = 1
    wait: tuple[int, int] | None = None
    area: str | None = None
    prep: int = 0
    nap_ok: bool = True

    @property
    def children(self) -> tuple[str, ...]:
        """Who takes part."""
        return tuple(self.pieces[0].minutes)


def _both(ann: int, bo: int) -> dict[str, int]:
    return {"ann": ann, "bo": bo}


THINGS = (
    Thing(
        "tale", Kind.READ_ALOUD, Focus.LISTENING, Rank.STAPLE,
        (Piece(_both(15, 10), _both(1, 2), ("sofa",)),), times=2, area="language",
    ),
    Thing(
        "clay", Kind.PROCESS_ART, Focus.HANDS, Rank.PROMISE,
        (
            Piece(_both(20, 15), _both(1, 2), ("table",), setup=5, cleanup=10, mess=2),
            Piece(_both(15, 15), _both(1, 2), ("table",), setup=5, cleanup=5, mess=2),
        ),
        wait=(60, 240),
    ),
    Thing(
        "own time", Kind.ONE_ON_ONE, Focus.TABLE, Rank.STAPLE,
        (Piece({"ann": 15}, {"ann": 4}, ("sofa", "table")),), times=5, area="language",
    ),
    Thing(
        "numbers", Kind.MATHS, Focus.TABLE, Rank.EXTRA,
        (Piece(_both(15, 10), _both(1, 3), ("table",), setup=5, tool=True),), worth=6, times=2, area="number",
    ),
    Thing(
        "painting", Kind.PROCESS_ART, Focus.HANDS, Rank.EXTRA,
        (Piece(_both(25, 20), _both(1, 2), ("table", "floor"), setup=5, cleanup=10, mess=2),),
        worth=5, prep=15,
    ),
    Thing(
        "sounds", Kind.LETTERS, Focus.TABLE, Rank.EXTRA,
        (Piece({"ann": 15}, {"ann": 2}, ("table",), setup=5, tool=True),), worth=7, area="language", prep=20,
    ),
    Thing(
        "jumping", Kind.MOVEMENT, Focus.FREE, Rank.EXTRA,
        (Piece(_both(15, 15), _both(1, 1), ("floor",)),), worth=4, times=2, nap_ok=False,
    ),
    Thing(
        "drawing", Kind.FREE_PLAY, Focus.HANDS, Rank.EXTRA,
        (Piece({"bo": 25}, {"bo": 0}, ("table", "floor"), cleanup=5),), worth=3, times=2,
    ),
)  # fmt: skip


def small_problem() -> Problem:
    """The household in Lapful's own words."""
    house = Household(
        name="a small house",
        children=(_child("ann", "2021-09"), _child("bo", "2023-10", Nap(start=NAP[0], length_min=75))),
        adults=(Adult(id="ada", name="Ada", hours=(Hours(start=ADULT_HOURS[0], end=ADULT_HOURS[1]),)),),
        places=(
            Place(id="table", name="table", meals_here=True),
            Place(id="sofa", name="sofa"),
            Place(id="floor", name="floor", sittings_at_once=2),
        ),
        materials=(Material(id="board", name="board"),),
        stretches=tuple(
            Stretch(
                id=s.id, name=s.id, start=s.start, end=s.end, usual_kinds=s.kinds, comfortable=s.comfortable
            )
            for s in STRETCHES
        ),
        fixed_points=(_lunch(),),
        limits=_limits(),
        areas=tuple(AreaTarget(id=area, name=area, least_times=least) for area, least in AREAS.items()),
    )
    week = Week(id="2027-W05", teaching_days=DAYS, wishes=tuple(_wish(thing) for thing in THINGS))
    return Problem(household=house, activities=tuple(_activity(thing) for thing in THINGS), week=week)


def _child(id: str, birth_month: str, *naps: Nap) -> Child:
    good = (Window(start=GOOD_HOURS[0], end=GOOD_HOURS[1]),) if id == "ann" else ()
    return Child(
        id=id,
        name=id.title(),
        birth_month=birth_month,
        naps=naps,
        alone_min=ALONE_MIN[id],
        attention=Attention(
            listening_min=15, table_min=15, break_min=BREAK_MIN, focused_min_a_day=FOCUSED_A_DAY[id]
        ),
        good_hours=good,
    )


def _lunch() -> FixedPoint:
    return FixedPoint(
        id="lunch",
        title="lunch",
        kind=FixedKind.MEAL,
        meal=Meal.LUNCH,
        start=LUNCH[0],
        end=LUNCH[1],
        children=("ann", "bo"),
        adults=("ada",),
        place="table",
    )


def _limits() -> Limits:
    return Limits(
        mess_sum_a_day=MESS_A_DAY,
        table_clear_before_meal_min=TABLE_CLEAR_MIN,
        prep=(
            PrepEvening(evening=Evening.SUNDAY_BEFORE, minutes=PREP[-1]),
            PrepEvening(evening=Evening.MONDAY, minutes=PREP[0]),
        ),
        free_share=FREE_SHARE,
        change_min=CHANGE_MIN,
        wash_min=WASH_MIN,
        outdoor_times_a_day=0,
    )


def _activity(thing: Thing) -> Activity:
    prep = (PrepTask(id="ready", name="make it ready", minutes=thing.prep),) if thing.prep else ()
    waits = (Wait(kind=WaitKind.DRY, least_min=thing.wait[0], most_min=thing.wait[1]),) if thing.wait else ()
    return Activity(
        id=thing.id.replace(" ", "-"),
        title=thing.id,
        kind=thing.kind,
        areas=(thing.area,) if thing.area else (),
        versions=(
            Version(id="bo", age_from_months=24, age_to_months=47),
            Version(id="ann", age_from_months=48, age_to_months=84),
        ),
        sittings=tuple(_sitting(number, piece) for number, piece in enumerate(thing.pieces)),
        waits=waits,
        prep=prep,
        focus=thing.focus,
        nap_ok=thing.nap_ok,
    )


def _sitting(number: int, piece: Piece) -> Sitting:
    return Sitting(
        name=f"sitting {number}",
        parts={
            child: Part(minutes=minutes, help=Help(piece.help[child]))
            for child, minutes in piece.minutes.items()
        },
        setup_min=piece.setup,
        cleanup_min=piece.cleanup,
        mess=Mess(piece.mess),
        places=piece.places,
        needs=(Need(material="board"),) if piece.tool else (),
    )


def _wish(thing: Thing) -> Wish:
    return Wish(
        id=thing.id.replace(" ", "-"),
        activity=thing.id.replace(" ", "-"),
        rank=thing.rank,
        worth=thing.worth,
        times=thing.times,
        most_a_day=2,
    )
