"""Activities cast from moulds: the same figures, drawn anew for each."""

from __future__ import annotations

from collections.abc import Callable
from random import Random

from service.bench.homes import LATE_FOR_TALK
from service.bench.moulds import OUTING, SEVERAL, SINGLE, Mould, Range
from solver.domain.activity import (
    Activity,
    Alongside,
    Focus,
    Kind,
    Lighter,
    Meal,
    Need,
    Part,
    PrepTask,
    Sitting,
    Together,
    Version,
    Wait,
    WaitKind,
)
from solver.domain.base import DAY_MIN

YOUNGER, OLDER = "younger", "older"
VERSIONS = (
    Version(id=YOUNGER, age_from_months=18, age_to_months=LATE_FOR_TALK - 1),
    Version(id=OLDER, age_from_months=LATE_FOR_TALK, age_to_months=120),
)
LIVELY_KINDS = {Kind.MOVEMENT, Kind.NATURE_WALK, Kind.OUTING, Kind.FREE_PLAY, Kind.CIRCLE}
BATCHES = ("laminator", "hob")
LOANS = 0.5
"""How often a read-aloud is a book of its own."""


def cast(random: Random, mould: Mould, name: str, theme: str | None, learners: int) -> Activity:
    """One activity of a mould."""
    sittings, waits = _STEPS[mould.steps](random, mould, learners)
    what = random.choice(mould.names)
    return Activity(
        id=name,
        title=f"{theme}: {what}".capitalize() if theme else what.capitalize(),
        kind=mould.kind,
        theme=theme,
        areas=mould.areas,
        versions=VERSIONS,
        sittings=sittings,
        waits=waits,
        prep=_prep(random, mould, name),
        lighter=_lighter(mould, sittings[0]),
        together=mould.together,
        focus=mould.focus,
        alongside=mould.alongside,
        energy=random.randint(3, 5) if mould.kind in LIVELY_KINDS else random.randint(1, 2),
        noise=0 if mould.nap_ok else random.randint(1, 3),
        nap_ok=mould.nap_ok,
        weather=mould.weather,
        adults_needed=mould.adults,
        cost=random.choice((0, 0, 1, 2)),
        hazards=mould.hazards,
    )


def _draw(random: Random, span: Range) -> int:
    return random.randint(*span)


def _parts(younger: int, older: int, helps: tuple[int, int]) -> dict[str, Part]:
    return {
        YOUNGER: Part.model_validate({"minutes": younger, "help": helps[0]}),
        OLDER: Part.model_validate({"minutes": older, "help": helps[1]}),
    }


def _sitting(random: Random, mould: Mould, name: str, share: float = 1.0) -> Sitting:
    """One sitting with the mould's figures; a ``share`` below 1 is a shorter one with less mess."""
    younger = max(2, round(_draw(random, mould.younger) * share))
    older = max(younger, round(_draw(random, mould.older) * share))
    return Sitting.model_validate(
        {
            "name": name,
            "parts": _parts(younger, older, mould.helps),
            "setup_min": round(_draw(random, mould.setup) * share),
            "cleanup_min": round(_draw(random, mould.cleanup) * share),
            "mess": _draw(random, mould.mess) if share == 1 else min(1, mould.mess[0]),
            "places": mould.places,
            "needs": _needs(mould) if share == 1 else (),
        }
    )


def _needs(mould: Mould) -> tuple[Need, ...]:
    tools = [Need(material=tool.replace(" ", "-")) for tool in mould.tools]
    return (*tools, *(Need(material=supply, each_child=supply != "yeast") for supply in mould.supplies))


Steps = tuple[tuple[Sitting, ...], tuple[Wait, ...]]


def _once(random: Random, mould: Mould, learners: int) -> Steps:
    return (_sitting(random, mould, "do"),), ()


def _peg(random: Random, mould: Mould, learners: int) -> Steps:
    """One sitting whose piece dries on the peg line."""
    least, units = random.choice((60, 120, 180)), min(3, learners)
    dries = Wait(kind=WaitKind.DRY, least_min=least, holder="pegs", units=units)
    return (_sitting(random, mould, "make"),), (dries,)


def _dry(random: Random, mould: Mould, learners: int) -> Steps:
    """Glue, let it dry for an hour or a night, finish."""
    least = random.choice((60, 120, 240, 900))
    dries = Wait(kind=WaitKind.DRY, least_min=least, most_min=10 * DAY_MIN, holder="tray")
    return (_sitting(random, mould, "make"), _sitting(random, mould, "finish", 0.5)), (dries,)


def _layers(random: Random, mould: Mould, learners: int) -> Steps:
    """Layer upon layer, each dry after a day."""
    day = Wait(kind=WaitKind.DRY, least_min=DAY_MIN, most_min=10 * DAY_MIN, holder="tray")
    hours = Wait(kind=WaitKind.DRY, least_min=120, most_min=10 * DAY_MIN, holder="tray")
    layers = [_sitting(random, mould, f"layer {i + 1}") for i in range(random.randint(1, 2))]
    sittings = (*layers, _sitting(random, mould, "paint", 0.8), _sitting(random, mould, "finish", 0.4))
    return sittings, (*[day] * len(layers), hours)


def _watch(random: Random, mould: Mould, learners: int) -> Steps:
    """A look every day or two, neither too soon nor too late."""
    looks = random.randint(3, 4)
    sittings = [_sitting(random, mould, "begin")]
    sittings += [_sitting(random, mould, f"look {i + 1}", 0.5) for i in range(looks - 1)]
    waits = []
    for _ in range(looks - 1):
        least, most = random.choice(((1200, 3120), (1200, 1680), (2640, 4560)))
        waits.append(Wait(kind=WaitKind.WATCH, least_min=least, most_min=most, holder="sill"))
    return tuple(sittings), tuple(waits)


def _dough(random: Random, mould: Mould, learners: int) -> Steps:
    """Mix, let it rise, shape, bake (the adult's step), taste at the snack."""
    rises = Wait(kind=WaitKind.RISE, least_min=random.choice((30, 45, 60)), most_min=180, holder="counter")
    proves = Wait(kind=WaitKind.RISE, least_min=15, most_min=90, holder="counter")
    cools = Wait(kind=WaitKind.COOL, least_min=25, most_min=2 * DAY_MIN)
    bake = Sitting(name="bake", adult_min=15, places=("kitchen",))
    taste = Sitting(name="taste", parts=_parts(5, 5, (1, 1)), places=("table",), meals=(Meal.SNACK,))
    sittings = (_sitting(random, mould, "mix"), _sitting(random, mould, "shape", 0.7), bake, taste)
    return sittings, (rises, proves, cools)


def _in_parts(random: Random, mould: Mould, learners: int) -> Steps:
    """A longer thing cut into two or three sittings, on different days."""
    count = random.randint(2, 3)
    rest = Wait(kind=WaitKind.REST, least_min=720, most_min=5 * DAY_MIN)
    return tuple(_sitting(random, mould, f"part {i + 1}") for i in range(count)), (rest,) * (count - 1)


_STEPS: dict[str, Callable[[Random, Mould, int], Steps]] = {
    "once": _once,
    "peg": _peg,
    "dry": _dry,
    "layers": _layers,
    "watch": _watch,
    "dough": _dough,
    "parts": _in_parts,
}


def _prep(random: Random, mould: Mould, name: str) -> tuple[PrepTask, ...]:
    if random.random() >= mould.prep:
        return ()
    batch = random.choice((*BATCHES, None))
    return (
        PrepTask(
            id=f"{name}-ready",
            name="make ready",
            minutes=random.choice((5, 10, 10, 15, 15, 20)),
            lead_min=random.choice((120, 720, 720, 1440)),
            keeps_days=random.choice((2, 3, 14, 365)),
            noisy=random.random() < 0.1,
            batch=batch,
            warm_up_min=random.choice((3, 5)) if batch else 0,
            holder="freezer" if random.random() < 0.1 else None,
        ),
    )


def _lighter(mould: Mould, first: Sitting) -> Lighter:
    """Half of the first sitting, nothing to fetch, hardly any mess."""
    parts = {v: Part(minutes=max(3, part.minutes // 2), help=part.help) for v, part in first.parts.items()}
    sitting = Sitting.model_validate(
        {"name": "lighter", "parts": parts, "mess": min(1, first.mess), "places": first.places}
    )
    return Lighter(does="a short and simple go", sitting=sitting)


def staple_activities(learners: int, talks: bool) -> list[Activity]:
    """What every week has: morning circle, the chapter of the day, going outdoors, one-on-one."""
    found = [
        _plain("circle", Kind.CIRCLE, (12, 15), (2, 1), ("floor", "sofa"), ("music",), nap_ok=False),
        _plain("chapter", Kind.READ_ALOUD, (8, 15), (2, 1), ("sofa", "bed"), ("language",), Focus.LISTENING),
        _plain("outdoors", Kind.FREE_PLAY, (35, 40), (1, 0), ("yard", "lane"), ("movement",), nap_ok=False),
    ]
    if talks:
        sides = ("sofa", "floor", "table")
        found += [
            _plain(f"talk-{i + 1}", Kind.ONE_ON_ONE, (10, 15), (4, 4), sides, ("language",), one=True)
            for i in range(learners)
        ]
    return found


def _plain(
    name: str,
    kind: Kind,
    minutes: tuple[int, int],
    helps: tuple[int, int],
    places: tuple[str, ...],
    areas: tuple[str, ...],
    focus: Focus = Focus.FREE,
    nap_ok: bool = True,
    one: bool = False,
) -> Activity:
    sitting = Sitting(name=name, parts=_parts(*minutes, helps), places=places)
    lighter = Sitting(name="lighter", parts=_parts(5, 5, helps), places=places)
    return Activity(
        id=name,
        title=name.capitalize().replace("-", " "),
        kind=kind,
        areas=areas,
        versions=VERSIONS,
        sittings=(sitting,),
        lighter=Lighter(does="only five minutes of it", sitting=lighter),
        focus=focus,
        energy=4 if kind in LIVELY_KINDS else 1,
        nap_ok=nap_ok,
        together=Together.ONE_CHILD if one else Together.SAME,
        alongside=Alongside.LISTENING if kind is Kind.READ_ALOUD else None,
    )


class Caster:
    """Casts activities in turn, so that every kind occurs before one occurs twice."""

    def __init__(self, random: Random, learners: int) -> None:
        self.random = random
        self.learners = learners
        self.count = 0
        self._decks: dict[tuple[Mould, ...], list[Mould]] = {SINGLE: [], SEVERAL: []}

    def single(self, theme: str | None) -> tuple[Mould, Activity]:
        """Something done in one sitting."""
        return self._next(SINGLE, theme)

    def several(self, theme: str | None) -> tuple[Mould, Activity]:
        """Something over several sittings."""
        return self._next(SEVERAL, theme)

    def outing(self, theme: str | None) -> tuple[Mould, Activity]:
        """A visit."""
        return self._cast(OUTING, theme)

    def _next(self, moulds: tuple[Mould, ...], theme: str | None) -> tuple[Mould, Activity]:
        deck = self._decks[moulds]
        if not deck:
            deck.extend(self.random.sample(moulds, len(moulds)))
        return self._cast(deck.pop(), theme)

    def _cast(self, mould: Mould, theme: str | None) -> tuple[Mould, Activity]:
        self.count += 1
        return mould, cast(self.random, mould, f"a{self.count:02d}", theme, self.learners)
