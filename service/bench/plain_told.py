"""A plain household (``plain_house``) in Lapful's own words."""

from __future__ import annotations

from service.bench.plain_house import House, Piece, PlainChild, Thing
from solver.domain.activity import (
    Activity,
    AreaTarget,
    Meal,
    Need,
    Part,
    PrepTask,
    Sitting,
    Version,
    Wait,
    WaitKind,
)
from solver.domain.base import DAYS, Evening, Help, Mess, Window
from solver.domain.home import Limits, Material, Place, PrepEvening
from solver.domain.people import Adult, Attention, Child, Hours, Nap
from solver.domain.week import FixedKind, FixedPoint, Household, Problem, Stretch, Week, Wish, week_monday

WEEK = "2027-W05"
EVENINGS = {evening.index: evening for evening in Evening}


def problem_of(house: House) -> Problem:
    """The household, its activities and its week."""
    home = Household(
        name="a small house",
        children=tuple(_child(house, child) for child in house.children),
        adults=tuple(
            Adult(id=a.id, name=a.id.title(), hours=(Hours(start=a.hours[0], end=a.hours[1]),))
            for a in house.adults
        ),
        places=tuple(
            Place(id=name, name=name, sittings_at_once=room, meals_here=name == "table")
            for name, room in house.rooms
        ),
        materials=(Material(id="board", name="board"),),
        stretches=tuple(
            Stretch(
                id=s.id, name=s.id, start=s.start, end=s.end, usual_kinds=s.kinds, comfortable=s.comfortable
            )
            for s in house.spans
        ),
        fixed_points=(_lunch(house),),
        limits=_limits(house),
        areas=tuple(
            AreaTarget(id=area, name=area, least_times=least, most_times=most)
            for area, (least, most) in (house.areas or {}).items()
        ),
    )
    wishes = tuple(_wish(thing) for thing in house.things)
    week = Week(id=WEEK, teaching_days=DAYS[: house.days], wishes=wishes)
    activities = tuple(_activity(house, thing) for thing in house.things)
    return Problem(household=home, activities=activities, week=week)


def _child(house: House, child: PlainChild) -> Child:
    naps: tuple[Nap, ...] = ()
    if child.nap:
        length = child.nap[1] - child.nap[0]
        naps = (Nap(start=child.nap[0], length_min=length, settle_min=house.settle),)
    attention = Attention(
        listening_min=child.longest,
        table_min=child.longest,
        hands_min=60,
        break_min=child.rest,
        focused_min_a_day=child.focused_a_day,
    )
    return Child(
        id=child.id,
        name=child.id.title(),
        birth_month=child.born,
        naps=naps,
        alone_min=child.alone,
        attention=attention,
        good_hours=_hours(child.good),
        low_hours=_hours(child.low),
    )


def _hours(clocks: tuple[int, int] | None) -> tuple[Window, ...]:
    return (Window(start=clocks[0], end=clocks[1]),) if clocks else ()


def _lunch(house: House) -> FixedPoint:
    return FixedPoint(
        id="lunch",
        title="lunch",
        kind=FixedKind.MEAL,
        meal=Meal.LUNCH,
        start=house.lunch[0],
        end=house.lunch[1],
        children=tuple(child.id for child in house.children),
        adults=tuple(adult.id for adult in house.adults if adult.at_lunch),
        place="table",
    )


def _limits(house: House) -> Limits:
    prep = (house.prep or {}).items()
    return Limits(
        mess_sum_a_day=house.mess_a_day,
        table_clear_before_meal_min=house.table_clear,
        prep=tuple(PrepEvening(evening=EVENINGS[index], minutes=minutes) for index, minutes in prep),
        free_share=house.free_share,
        change_min=house.change,
        wash_min=house.wash,
        outdoor_times_a_day=0,
    )


def _activity(house: House, thing: Thing) -> Activity:
    monday = week_monday(WEEK)
    ages = {
        child.id: (monday.year - int(child.born[:4])) * 12 + monday.month - int(child.born[5:])
        for child in house.children
    }
    waits: tuple[Wait, ...] = ()
    if thing.wait:
        waits = (Wait(kind=WaitKind.DRY, least_min=thing.wait[0], most_min=thing.wait[1]),)
    return Activity(
        id=thing.id,
        title=thing.id,
        kind=thing.kind,
        areas=(thing.area,) if thing.area else (),
        versions=tuple(
            Version(id=name, age_from_months=months, age_to_months=months) for name, months in ages.items()
        ),
        sittings=tuple(_sitting(number, piece) for number, piece in enumerate(thing.pieces)),
        waits=waits,
        prep=(PrepTask(id="ready", name="make it ready", minutes=thing.prep),) if thing.prep else (),
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
        id=thing.id,
        activity=thing.id,
        rank=thing.rank,
        worth=thing.worth,
        times=thing.times,
        most_a_day=thing.most_a_day,
    )
