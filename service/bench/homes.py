"""A generated home: people with their naps and rosters, rooms, cupboard, limits, the day's stretches."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random

from service.bench.sizes import Size
from solver.domain.activity import AreaTarget, Kind, Meal
from solver.domain.base import DAYS, Evening, Moment, Window
from solver.domain.home import Arrival, Book, BookState, Holder, Limits, Material, Place, PrepEvening
from solver.domain.people import Adult, Attention, Child, Duty, Hours, Nap
from solver.domain.week import FixedKind, FixedPoint, Household, Stretch

FIRST_MONDAY = (2027, 1)
"""Year and month in which generated weeks begin."""
CHILDREN = ("ada", "bo", "cy", "dot", "eli", "flo", "gus", "hal")
ADULTS = ("kit", "lou", "max")
LATE_FOR_TALK = 54
"""Months from which a child counts as older: longer spans, no sure nap."""

_AREAS = (
    "language", "number", "science", "making", "pretend", "music", "movement", "hands", "home", "world",
    "second",
)  # fmt: skip
_ROOMS: dict[str, tuple[str, dict[str, int | bool]]] = {
    "table": ("big table", {"meals_here": True}),
    "kitchen": ("kitchen counter", {}),
    "floor": ("living-room floor", {"sittings_at_once": 2}),
    "sofa": ("sofa", {}),
    "hall": ("hall", {}),
    "bath": ("bathroom", {}),
    "bed": ("bedroom", {}),
    "sill": ("windowsill", {"sittings_at_once": 2}),
    "yard": ("yard", {"sittings_at_once": 3, "outdoors": True, "apart": True, "out_of_earshot": True}),
    "lane": ("the lane", {"outdoors": True, "travel_min": 5}),
    "far": ("across the town", {"outdoors": True, "travel_min": 15}),
}
_TOOLS = (
    "paints", "aprons", "scissors", "glue", "play tray", "tub", "towels", "magnifier", "game basket",
    "journals", "counters", "bowls",
)  # fmt: skip
_HOLDERS = {"tray": 2, "pegs": 6, "sill": 3, "counter": 3, "freezer": 1}


def on_grid(random: Random, least: int, most: int, step: int = 5) -> int:
    """A number of minutes on the grid, both ends included."""
    return step * random.randint(least // step, most // step)


def household(random: Random, size: Size, seed: int, books: Sequence[Book]) -> Household:
    """One home of a size."""
    children = _children(random, size)
    points = _meals(random, size, children)
    return Household(
        name=f"Generated household {size.name}, seed {seed}",
        children=children,
        adults=_adults(random, size),
        places=_places(size),
        materials=_cupboard(random, size),
        holders=tuple(Holder(id=h, name=h, capacity=_scaled(c, size)) for h, c in _HOLDERS.items()),
        books=tuple(books),
        stretches=_morning_stretches(points) if size.mornings_only else _stretches(points),
        fixed_points=points,
        limits=_limits(random, size),
        areas=_areas(random, size),
    )


def _scaled(count: int, size: Size) -> int:
    return count * (1 + len(size.learners) // 3)


def _children(random: Random, size: Size) -> tuple[Child, ...]:
    ages = [random.randint(*span) for span in size.learners]
    learners = [_learner(random, size, name, age) for name, age in zip(CHILDREN, ages, strict=False)]
    return (*learners, _baby(random)) if size.baby else tuple(learners)


def _birth_month(age: int) -> str:
    year, month = FIRST_MONDAY
    months = year * 12 + month - 1 - age
    return f"{months // 12}-{months % 12 + 1:02d}"


def _learner(random: Random, size: Size, name: str, age: int) -> Child:
    older = age >= LATE_FOR_TALK
    naps = () if older or size.mornings_only else (_afternoon_nap(random),)
    return Child(
        id=name,
        name=name.capitalize(),
        birth_month=_birth_month(age),
        wake=on_grid(random, 390, 420),
        bed=on_grid(random, 1155, 1185) if older else on_grid(random, 1125, 1155),
        naps=naps,
        attention=_attention(random, older),
        alone_min=on_grid(random, 20, 30) if older else on_grid(random, 10, 15),
        good_hours=(Window(start=540, end=on_grid(random, 630, 690)),),
        low_hours=(Window(start=on_grid(random, 915, 945), end=1170),) if random.random() < 0.6 else (),
        languages=("English", "Welsh"),
    )


def _afternoon_nap(random: Random) -> Nap:
    return Nap(
        start=on_grid(random, 770, 795),
        length_min=on_grid(random, 60, 90),
        start_spread_min=on_grid(random, 10, 30),
        length_spread_min=on_grid(random, 10, 30),
        days_of_seven=random.randint(3, 6),
    )


def _attention(random: Random, older: bool) -> Attention:
    if older:
        return Attention(
            listening_min=on_grid(random, 15, 20), table_min=on_grid(random, 20, 25), hands_min=40,
            break_min=10, focused_min_a_day=on_grid(random, 70, 90),
        )  # fmt: skip
    return Attention(
        listening_min=random.randint(8, 10), table_min=random.randint(8, 12), hands_min=30,
        break_min=10, focused_min_a_day=on_grid(random, 40, 55),
    )  # fmt: skip


def _baby(random: Random) -> Child:
    forenoon = Nap(
        start=on_grid(random, 540, 570), length_min=on_grid(random, 45, 75), settle_min=0, on_the_go=True
    )
    afternoon = Nap(
        start=on_grid(random, 770, 800), length_min=on_grid(random, 75, 105), settle_min=0, on_the_go=True
    )
    return Child(
        id="wee", name="Wee", birth_month=_birth_month(random.randint(6, 11)), learner=False, wake=390,
        bed=1125, naps=(forenoon, afternoon), alone_min=on_grid(random, 20, 30), mouths_things=True,
        crawls=True,
    )  # fmt: skip


def _adults(random: Random, size: Size) -> tuple[Adult, ...]:
    low = on_grid(random, 780, 870)
    first = Adult(
        id=ADULTS[0], name="Kit", hours=(Hours(start=390, end=1260),), speaks=("English", "Welsh"),
        low_hours=(Window(start=low, end=low + 90),),
    )  # fmt: skip
    others = [_second(name, size, index) for index, name in enumerate(ADULTS[1 : size.adults])]
    return (first, *others)


def _second(name: str, size: Size, index: int) -> Adult:
    """In a co-op here in the mornings; at home on shifts, which each week gives (``shifts``)."""
    hours: tuple[Hours, ...]
    if size.mornings_only:
        days = DAYS[:5] if index == 0 else (DAYS[0], DAYS[2], DAYS[3])
        hours = (Hours(days=days, start=495, end=780),)
    else:
        hours = shifts(early=True)
    return Adult(id=name, name=name.capitalize(), hours=hours, speaks=("English",))


def shifts(early: bool) -> tuple[Hours, ...]:
    """A roster week of the second adult: home from the early shift, or asleep after the late one."""
    weekend = Hours(days=DAYS[5:], start=480, end=1260)
    if early:
        return (Hours(days=DAYS[:5], start=915, end=1260), weekend)
    return (
        Hours(start=0, end=525, duty=Duty.ASLEEP),
        Hours(days=DAYS[:4], start=555, end=765),
        Hours(days=(DAYS[4],), start=555, end=765, duty=Duty.ON_CALL),
        weekend,
    )


def _places(size: Size) -> tuple[Place, ...]:
    more = {"table": 2, "floor": 3, "sofa": 2, "kitchen": 2} if size.mornings_only else {}
    found = []
    for place, (name, rest) in _ROOMS.items():
        facts = {**rest, "sittings_at_once": more[place]} if place in more else rest
        found.append(Place.model_validate({"id": place, "name": name, **facts}))
    return tuple(found)


def _cupboard(random: Random, size: Size) -> tuple[Material, ...]:
    learners = len(size.learners)
    tools = [Material(id=_id(t), name=t, count=1 + learners // 3) for t in _TOOLS]
    wednesday = Moment(day=DAYS[2], time=600)
    supplies = [
        Material(id="paper", name="paper", reusable=False, count=30 * learners, unit="sheet"),
        Material(
            id="card", name="card", reusable=False, count=4 * learners, unit="sheet", buyable=True, price=1
        ),
        Material(id="salt", name="salt", reusable=False, count=20, unit="cup"),
        Material(id="wool", name="wool", reusable=False, count=4 * learners, unit="piece"),
        Material(
            id="flour", name="flour", reusable=False, count=random.randint(1, 4) * learners, unit="cup",
            arrivals=(Arrival(at=wednesday, count=8 * learners),),
        ),
        Material(id="yeast", name="yeast", reusable=False, count=0, unit="sachet", buyable=True, price=1),
        Material(id="seeds", name="seeds", reusable=False, count=0, unit="packet", buyable=True, price=2),
    ]  # fmt: skip
    return (*tools, *supplies)


def _id(name: str) -> str:
    return name.replace(" ", "-")


def _limits(random: Random, size: Size) -> Limits:
    evenings = [Evening.SUNDAY_BEFORE, *random.sample(list(Evening)[1:5], 2)]
    minutes = [on_grid(random, size.prep_min - 5, size.prep_min + 10) for _ in evenings]
    prep = [PrepEvening(evening=e, minutes=m) for e, m in zip(evenings, minutes, strict=True)]
    crowd = len(size.learners) // 3
    return Limits(
        mess_sum_a_day=random.randint(5, 7) + (4 * crowd + 2) * crowd,
        big_mess_a_day=1 + crowd,
        mess_sum_a_week=random.randint(22, 28) + 36 * crowd,
        free_share=0.1 if size.mornings_only else 0.2,
        mess_hours=(Window(start=480, end=on_grid(random, 990, 1110)),),
        prep=tuple(prep),
        money_a_week=random.randint(size.activities // 2, size.activities * 3 // 4),
        theme_things_a_day=size.theme_things_a_day,
        mess_clear_before_leaving_min=10,
        table_clear_before_meal_min=20,
        outdoor_times_a_day=1 if size.mornings_only else 2,
    )


def _areas(random: Random, size: Size) -> tuple[AreaTarget, ...]:
    """The bands a week of this size can reach, some of them only just."""
    usual = {"language": 5, "number": 3, "movement": 4, "making": 2, "science": 2, "hands": 2, "music": 2}
    less = 1 if size.mornings_only else 0
    return tuple(
        AreaTarget(
            id=area, name=area.capitalize(), most_times=usual.get(area, 4) * 3,
            least_times=max(0, usual.get(area, 1) + random.randint(-1, 0) - less),
        )
        for area in _AREAS
    )  # fmt: skip


def _meals(random: Random, size: Size, children: tuple[Child, ...]) -> tuple[FixedPoint, ...]:
    who = tuple(child.id for child in children)
    times = {
        Meal.BREAKFAST: (on_grid(random, 470, 485), 30, 0),
        Meal.LUNCH: (on_grid(random, 715, 730), 40, 20),
        Meal.SNACK: (on_grid(random, 905, 915), 10, 0),
        Meal.DINNER: (on_grid(random, 1030, 1045), 35, 20),
    }
    if size.mornings_only:
        times = {Meal.SNACK: (625, 15, 5), Meal.LUNCH: (750, 30, 10)}
    return tuple(
        FixedPoint(
            id=meal.value, title=meal.value.capitalize(), kind=FixedKind.MEAL, meal=meal, start=start,
            end=start + length, children=who, adults=(ADULTS[0],), adult_before_min=before, place="table",
        )
        for meal, (start, length, before) in times.items()
    )  # fmt: skip


def _stretches(points: tuple[FixedPoint, ...]) -> tuple[Stretch, ...]:
    """From meal to meal, the morning and the afternoon cut in two."""
    breakfast, lunch, snack, dinner = points
    half = 5 * ((breakfast.end + lunch.start) // 10)
    cuts = [
        ("early", "After breakfast", breakfast.end, half, _EARLY, 4),
        ("late", "Late morning", half, lunch.start, _LATE, 3),
        ("rest", "Rest after lunch", lunch.end, 870, _REST, 3),
        ("snack", "Around the snack", 870, snack.end, (), 2),
        ("afternoon", "Afternoon", snack.end, 985, _AFTERNOON, 4),
        ("evening", "Before dinner", 985, dinner.start, _EVENING, 2),
        ("bedtime", "Bedtime", dinner.end + 15, 1185, (Kind.READ_ALOUD,), 2),
    ]
    return tuple(
        Stretch(id=i, name=n, start=a, end=b, usual_kinds=k, comfortable=c) for i, n, a, b, k, c in cuts
    )


def _morning_stretches(points: tuple[FixedPoint, ...]) -> tuple[Stretch, ...]:
    snack, lunch = points
    cuts = [
        ("arrive", "Arriving", 525, 570, (Kind.CIRCLE, Kind.READ_ALOUD), 2),
        ("first", "First half", 570, snack.start, _EARLY, 3),
        ("second", "Second half", snack.end, 700, _LATE, 3),
        ("close", "Closing", 700, lunch.start, (Kind.FREE_PLAY, Kind.MOVEMENT, Kind.READ_ALOUD), 2),
    ]
    return tuple(
        Stretch(id=i, name=n, start=a, end=b, usual_kinds=k, comfortable=c) for i, n, a, b, k, c in cuts
    )


_EARLY = (Kind.CIRCLE, Kind.READ_ALOUD, Kind.ONE_ON_ONE, Kind.LETTERS, Kind.CRAFT, Kind.COOKING)
_LATE = (
    Kind.SENSORY_BIN, Kind.PROCESS_ART, Kind.CRAFT, Kind.SCIENCE_LOOK, Kind.MATHS, Kind.GAME, Kind.OUTING,
)  # fmt: skip
_REST = (Kind.ONE_ON_ONE, Kind.LETTERS, Kind.MATHS, Kind.HANDWORK, Kind.AUDIO)
_AFTERNOON = (Kind.FREE_PLAY, Kind.MOVEMENT, Kind.NATURE_WALK, Kind.PRETEND, Kind.SENSORY_BIN, Kind.CRAFT)
_EVENING = (Kind.AUDIO, Kind.PRETEND, Kind.FREE_PLAY, Kind.PRACTICAL_LIFE)


def loans(random: Random, count: int) -> list[Book]:
    """Books of the house: some borrowed and due, some reserved, the rest owned."""
    found = []
    for index in range(count):
        name = {"id": f"book-{index + 1}", "title": f"Book {index + 1}"}
        fate = random.random()
        if fate < 0.35:
            due = Moment(day=DAYS[random.randint(2, 4)], time=1020)
            found.append(Book(**name, state=BookState.BORROWED, due=due))  # type: ignore[arg-type]
        elif fate < 0.5:
            arrives = Moment(day=DAYS[random.randint(0, 1)], time=960)
            found.append(Book(**name, state=BookState.RESERVED, arrives=arrives))  # type: ignore[arg-type]
        else:
            found.append(Book(**name))  # type: ignore[arg-type]
    return found
