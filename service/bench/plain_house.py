"""A small household as plain figures, drawn by a seed; told to Lapful here and to HiGHS in ``plain_milp``.

Everything lies on the five-minute grid, and every figure is one that both readings of the contract know.
"""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

from solver.domain.activity import Focus, Kind
from solver.domain.week import Rank

Clocks = tuple[int, int]
"""Minutes since midnight, from and until."""


@dataclass(frozen=True)
class PlainChild:
    """One child, three years or older."""

    id: str
    born: str
    nap: Clocks | None = None
    alone: int = 10
    focused_a_day: int = 60
    longest: int = 15
    """Of listening, and of table work."""
    rest: int = 10
    """Between two focused things."""
    good: Clocks | None = None
    low: Clocks | None = None


@dataclass(frozen=True)
class PlainAdult:
    """One adult, on hand for some hours."""

    id: str
    hours: Clocks
    at_lunch: bool = True


@dataclass(frozen=True)
class Span:
    """A stretch of the day with the kinds that usually sit in it."""

    id: str
    start: int
    end: int
    kinds: tuple[Kind, ...]
    comfortable: int


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
    most_a_day: int = 2
    wait: Clocks | None = None
    """Least and most minutes between two pieces."""
    area: str | None = None
    prep: int = 0
    nap_ok: bool = True

    @property
    def children(self) -> tuple[str, ...]:
        """Who takes part."""
        return tuple(self.pieces[0].minutes)


@dataclass(frozen=True)
class House:
    """All figures of one small household and its week."""

    children: tuple[PlainChild, ...]
    adults: tuple[PlainAdult, ...]
    days: int
    spans: tuple[Span, ...]
    things: tuple[Thing, ...]
    lunch: Clocks = (12 * 60, 12 * 60 + 30)
    table_clear: int = 30
    settle: int = 5
    change: int = 5
    wash: int = 5
    mess_a_day: int = 4
    free_share: float = 0.25
    areas: dict[str, Clocks] | None = None
    """Least and most times."""
    prep: dict[int, int] | None = None
    """Minutes by evening; -1 is the Sunday before."""
    rooms: tuple[tuple[str, int], ...] = (("table", 1), ("sofa", 1), ("floor", 2))
    """Places, and how many sittings at once."""


KINDS = (
    (Kind.READ_ALOUD, Focus.LISTENING),
    (Kind.MATHS, Focus.TABLE),
    (Kind.LETTERS, Focus.TABLE),
    (Kind.PROCESS_ART, Focus.HANDS),
    (Kind.ONE_ON_ONE, Focus.TABLE),
    (Kind.MOVEMENT, Focus.FREE),
    (Kind.FREE_PLAY, Focus.HANDS),
)
AREAS = ("language", "number")
HOUR = 60


def drawn(seed: int) -> House:
    """The household of a seed: so small that both solvers prove its best week, so full that not all fits."""
    random = Random(f"plain house {seed}")
    children = _children(random)
    return House(
        children=children,
        adults=_adults(random),
        days=random.choice((1, 1, 2)),
        spans=_spans(random),
        things=tuple(_thing(random, i, children) for i in range(random.randint(3, 6))),
        table_clear=random.choice((0, 15, 30)),
        settle=random.choice((0, 5, 10)),
        change=random.choice((0, 5, 5, 10)),
        wash=random.choice((0, 5)),
        mess_a_day=random.randint(1, 5),
        free_share=random.choice((0.0, 0.25, 0.25, 0.5)),
        areas={area: _target(random) for area in AREAS},
        prep={-1: random.choice((10, 20, 30)), 0: random.choice((0, 10, 15))},
        rooms=(("table", 1), ("sofa", 1), ("floor", random.randint(1, 2))),
    )


def _target(random: Random) -> Clocks:
    least = random.randint(0, 3)
    return least, random.choice((least, least + 1, 99))


def _children(random: Random) -> tuple[PlainChild, ...]:
    names = ("ann", "bo", "cy")[: random.choice((1, 2, 2, 2, 3))]
    return tuple(_child(random, name, 2021 + i, napping=i > 0) for i, name in enumerate(names))


def _child(random: Random, name: str, year: int, napping: bool) -> PlainChild:
    nap = None
    if napping and random.random() < 0.6:
        begins = 12 * HOUR + random.randrange(45, 80, 5)
        nap = (begins, begins + random.randrange(30, 80, 5))
    return PlainChild(
        id=name,
        born=f"{year}-{random.randint(1, 9):02d}",
        nap=nap,
        alone=random.choice((0, 5, 10, 15, 30)),
        focused_a_day=random.choice((20, 30, 45, 60)),
        longest=random.choice((10, 15, 20, 20)),
        rest=random.choice((0, 5, 10, 20)),
        good=(9 * HOUR, random.choice((10, 11)) * HOUR) if random.random() < 0.5 else None,
        low=(13 * HOUR, 14 * HOUR) if random.random() < 0.3 else None,
    )


def _adults(random: Random) -> tuple[PlainAdult, ...]:
    first = PlainAdult("ada", (8 * HOUR + 30, 15 * HOUR))
    if random.random() < 0.5:
        return (first,)
    from_, until = random.choice(((8, 11), (9, 12), (10, 14), (13, 15)))
    second = PlainAdult("ben", (from_ * HOUR, until * HOUR), at_lunch=random.random() < 0.5)
    return random.choice(((first, second), (second, first)))


def _spans(random: Random) -> tuple[Span, ...]:
    kinds = [kind for kind, _ in KINDS]
    random.shuffle(kinds)
    early, late = 9 * HOUR + random.randrange(0, 60, 15), 12 * HOUR + random.choice((30, 45))
    return (
        Span("early", early, early + random.randrange(55, 110, 5), tuple(kinds[:3]), random.randint(1, 3)),
        Span("late", late, late + random.randrange(45, 95, 5), tuple(kinds[3:5]), random.randint(1, 3)),
    )


def _thing(random: Random, number: int, children: tuple[PlainChild, ...]) -> Thing:
    kind, focus = random.choice(KINDS)
    names = [child.id for child in children]
    alone = kind is Kind.ONE_ON_ONE or random.random() < 0.45
    who = [random.choice(names)] if alone else names
    pieces = 2 if random.random() < 0.25 else 1
    least = random.choice((0, 30, 60, 180))
    return Thing(
        id=f"thing-{number}",
        kind=kind,
        focus=focus,
        rank=random.choice((Rank.PROMISE, Rank.STAPLE, Rank.EXTRA, Rank.EXTRA)),
        pieces=tuple(_piece(random, focus, who) for _ in range(pieces)),
        worth=random.randint(1, 10),
        times=random.choice((1, 1, 2, 3)) if pieces == 1 else 1,
        most_a_day=random.choice((1, 2)),
        wait=(least, least + random.choice((0, 60, 1440))) if pieces == 2 else None,
        area=random.choice((*AREAS, None)),
        prep=random.choice((0, 0, 0, 10, 15)),
        nap_ok=random.random() < 0.7,
    )


def _piece(random: Random, focus: Focus, who: list[str]) -> Piece:
    longest = 20 if focus.focused else 40
    return Piece(
        minutes={name: random.randrange(10, longest + 1, 5) for name in who},
        help={name: random.randint(0, 3) + (len(who) == 1) for name in who},
        places=tuple(random.sample(("table", "sofa", "floor"), random.choice((1, 1, 2)))),
        setup=random.choice((0, 0, 5)),
        cleanup=random.choice((0, 0, 5, 10)),
        mess=random.choice((0, 0, 1, 2)),
        tool=random.random() < 0.3,
    )
