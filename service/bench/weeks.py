"""Generated weeks: roster, classes and sky, and wishes that ask for a little more than fits."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field
from random import Random

from service.bench.homes import ADULTS, on_grid, shifts
from service.bench.moulds import Mould
from service.bench.sizes import Size
from solver.domain.activity import Activity, Kind
from solver.domain.base import DAYS, Day, Moment, Window
from solver.domain.home import Shop
from solver.domain.week import FixedKind, FixedPoint, Household, Rank, Sky, Week, Wish

Moulded = tuple[Mould, Activity]
SPLIT, LIGHTER, PINNED_HOURS = 0.2, 0.3, 0.15
MOST_GOES = 3
EASY_PREP = 15
GROUPS = (4, 10, 4, 1)
"""In a co-op: how often a wish is for one child, for two, for half of them, for all."""
WEEKDAYS = DAYS[:5]


@dataclass
class Wanted:
    """Wishes in the making."""

    random: Random
    size: Size
    home: Household
    wishes: list[Wish] = field(default_factory=list)
    sittings: int = 0

    @property
    def learners(self) -> tuple[str, ...]:
        """The ids of the learning children."""
        return tuple(child.id for child in self.home.children if child.learner)

    def add(self, wish: Wish, activity: Activity) -> None:
        """One more wish."""
        self.wishes.append(wish)
        self.sittings += wish.times * len(activity.sittings)


def monday_id(index: int) -> str:
    """The ISO week ``index`` weeks after the first."""
    day = datetime.date(2027, 1, 4) + datetime.timedelta(weeks=index)
    year, week, _ = day.isocalendar()
    return f"{year}-W{week:02d}"


def week(random: Random, size: Size, home: Household, index: int, staples: list[Activity],
         chosen: list[Moulded], theme: str) -> Week:  # fmt: skip
    """One week with its wishes."""
    points, hours = _fixed(random, size, home, index)
    wanted = Wanted(random, size, home)
    _staples(wanted, staples)
    promises, extras = _parted(random, size, chosen)
    for _, activity in promises:
        wanted.add(_promise(random, activity), activity)
    _extras(wanted, extras)
    return Week.model_validate(
        {
            "id": monday_id(index),
            "theme": theme,
            "hours": hours,
            "fixed_points": points,
            "sky": _sky(random),
            "daylight": Window(start=480, end=on_grid(random, 1005, 1080)),
            "shops": _shops(random),
            "wishes": wanted.wishes,
        }
    )


def _shops(random: Random) -> tuple[Shop, ...]:
    before = Shop(before_week=True, closes="Friday 20:00")
    midweek = Shop(at=Moment(day=Day.WEDNESDAY, time=on_grid(random, 1080, 1140)), closes="Tuesday 20:00")
    return (before, midweek) if random.random() < 0.5 else (before,)


def _sky(random: Random) -> tuple[Sky, ...]:
    found = []
    for day in WEEKDAYS:
        if random.random() < 0.5:
            start = on_grid(random, 480, 900, 30)
            end = start + random.choice((120, 180, 240))
            found.append(Sky(days=(day,), start=start, end=end, wet=True, windy=random.random() < 0.3))
    return tuple(found)


def _fixed(
    random: Random, size: Size, home: Household, index: int
) -> tuple[list[FixedPoint], dict[str, object]]:
    """Classes and appointments of this week, and the roster."""
    if size.mornings_only:
        return _days_off(random, home), {}
    everybody = tuple(child.id for child in home.children)
    days = random.sample(WEEKDAYS, 3)
    afternoon, forenoon = on_grid(random, 925, 945), on_grid(random, 590, 630)
    points = [
        _point("lesson", "A lesson in the town", FixedKind.CLASS, days[0], afternoon, 40, everybody, 20),
        _point("stories", "Story hour", FixedKind.CLASS, days[1], forenoon, 45, everybody, 15),
    ]
    if random.random() < 0.6:
        point = _point("check", "A check-up", FixedKind.APPOINTMENT, days[2], 670, 20, everybody[-1:], 20)
        points.append(point)
    hours: dict[str, object] = {}
    if size.adults > 1:
        hours[ADULTS[1]] = shifts(early=(index + random.randint(0, 1)) % 2 == 0)
    return points, hours


def _point(name: str, title: str, kind: FixedKind, day: Day, start: int, length: int,
           who: tuple[str, ...], way: int) -> FixedPoint:  # fmt: skip
    return FixedPoint(
        id=name, title=title, kind=kind, days=(day,), start=start, end=start + length, children=who,
        adults=(ADULTS[0],), travel_before_min=way, travel_after_min=way, out_the_door_min=10, breakable=True,
    )  # fmt: skip


def _days_off(random: Random, home: Household) -> list[FixedPoint]:
    """In a co-op two children stay at home on one day."""
    points, day = [], random.choice(WEEKDAYS)
    for child in random.sample(home.children, 2):
        points.append(
            FixedPoint(
                id=f"away-{child.id}", title=f"{child.name} is at home", kind=FixedKind.VISIT, days=(day,),
                start=child.wake, end=child.bed, children=(child.id,),
            )
        )  # fmt: skip
    return points


def _staples(wanted: Wanted, activities: list[Activity]) -> None:
    first = wanted.home.stretches[0].id
    for activity in activities:
        talk = activity.kind is Kind.ONE_ON_ONE
        child = wanted.learners[int(activity.id.removeprefix("talk-")) - 1] if talk else ""
        wish = Wish(
            id=activity.id,
            activity=activity.id,
            rank=Rank.STAPLE,
            times=wanted.size.talks if talk else _days_together(wanted),
            children=(child,) if talk else (),
            stretches=(first,) if activity.kind is Kind.CIRCLE else (),
            lighter_ok=activity.kind is Kind.FREE_PLAY,
        )
        wanted.add(wish, activity)


def _days_together(wanted: Wanted) -> int:
    """The co-op meets as a whole on one day less than it meets."""
    return len(WEEKDAYS) - int(wanted.size.mornings_only)


def _parted(random: Random, size: Size, chosen: list[Moulded]) -> tuple[list[Moulded], list[Moulded]]:
    """What is promised (an outing, then things over several sittings), and the rest in mixed order."""
    grand = [m for m in chosen if m[1].kind is Kind.OUTING or len(m[1].sittings) > 1]
    promised = [m for m in grand if _no_trouble(m[1])][: size.promises]
    rest = [m for m in chosen if m not in promised]
    return promised, random.sample(rest, len(rest))


def _no_trouble(activity: Activity) -> bool:
    """Whether its prep is short and keeps: who promises something thinks of that."""
    return all(t.minutes <= EASY_PREP and t.keeps_days > 2 and not t.noisy for t in activity.prep)


def _promise(random: Random, activity: Activity) -> Wish:
    by = Moment(day=Day.FRIDAY, time=1020) if random.random() < 0.4 else None
    return Wish(id=f"w-{activity.id}", activity=activity.id, rank=Rank.PROMISE, told=True, finish_by=by)


def _extras(wanted: Wanted, chosen: list[Moulded]) -> None:
    times = {activity.id: 1 for _, activity in chosen}
    asked = wanted.sittings + sum(len(activity.sittings) for _, activity in chosen)
    again = [activity.id for mould, activity in chosen if mould.repeats and len(activity.sittings) == 1]
    while asked < wanted.size.sittings and again:
        one = wanted.random.choice(again)
        times[one] += 1
        asked += 1
        if times[one] == MOST_GOES:
            again.remove(one)
    for mould, activity in chosen:
        wanted.add(_extra(wanted, mould, activity, times[activity.id]), activity)


def _extra(wanted: Wanted, mould: Mould, activity: Activity, times: int) -> Wish:
    random = wanted.random
    children = _who(wanted)
    hours: tuple[Window, ...] = ()
    if random.random() < PINNED_HOURS and mould.steps == "once":
        afternoon = random.random() < 0.4 and not wanted.size.mornings_only
        hours = (Window(start=780, end=1050),) if afternoon else (Window(start=510, end=720),)
    second = activity.kind is Kind.SECOND_LANGUAGE
    return Wish(
        id=f"w-{activity.id}",
        activity=activity.id,
        worth=random.randint(2, 8),
        times=times,
        least_gap_days=2 if times == 2 and random.random() < 0.3 else 0,
        hours=hours,
        children=children,
        may_split=len(children or wanted.learners) <= 3 and random.random() < SPLIT,
        lighter_ok=random.random() < LIGHTER,
        may_carry_on=mould.steps == "watch",
        language="Welsh" if second else None,
    )


def _who(wanted: Wanted) -> tuple[str, ...]:
    """Everybody, or some: in a home mostly everybody, in a co-op mostly a small group."""
    random, learners = wanted.random, wanted.learners
    if wanted.size.mornings_only:
        of = random.choices((1, 2, 4, 8), GROUPS)[0]
        first = of * random.randrange(len(learners) // of)
        return learners[first : first + of]
    if len(learners) == 2:
        return (random.choice(learners),) if random.random() < 0.2 else ()
    draw = random.random()
    if draw < 0.5:
        return ()
    some = random.sample(learners, 2 if draw < 0.8 else 1)
    return tuple(child for child in learners if child in some)
