"""A small invented household, as plain figures: told once to Lapful and once to an independent solver.

Two children, one adult, two teaching days, a table that is also laid for lunch, one nap each day. The figures
are chosen so that not everything fits: only the first tier is free.
"""

from __future__ import annotations

from service.bench.plain_house import House, Piece, PlainAdult, PlainChild, Span, Thing
from solver.domain.activity import Focus, Kind
from solver.domain.week import Rank


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
        "own-time", Kind.ONE_ON_ONE, Focus.TABLE, Rank.STAPLE,
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

SMALL_HOUSE = House(
    children=(
        PlainChild("ann", "2021-09", alone=60, focused_a_day=60, good=(9 * 60, 11 * 60)),
        PlainChild("bo", "2023-10", nap=(13 * 60, 14 * 60 + 15), alone=10, focused_a_day=30),
    ),
    adults=(PlainAdult("ada", (8 * 60 + 30, 16 * 60)),),
    days=2,
    spans=(
        Span("early", 540, 690, (Kind.READ_ALOUD, Kind.MATHS, Kind.LETTERS, Kind.PROCESS_ART), 3),
        Span("rest", 760, 860, (Kind.ONE_ON_ONE,), 2),
        Span("late", 870, 960, (Kind.MOVEMENT,), 2),
    ),
    things=THINGS,
    areas={"language": (4, 99), "number": (3, 99)},
    prep={-1: 20, 0: 15},
)
