"""What a generated activity is made from: one mould a kind, with the usual spread of its figures.

The figures are common practice, no source: the spread of minutes, help, mess and waits that activities for
two- to seven-year-olds have. Names are put together from the theme and one of ``names``.
"""

from __future__ import annotations

from dataclasses import dataclass

from solver.domain.activity import Alongside, Focus, Hazard, Kind, Together, Weather

Range = tuple[int, int]
QUIET, LOUD = True, False


@dataclass(frozen=True, slots=True)
class Mould:
    """One kind of activity. Two figures mean from and to, both included."""

    kind: Kind
    names: tuple[str, ...]
    areas: tuple[str, ...]
    places: tuple[str, ...]
    younger: Range
    older: Range
    helps: tuple[int, int]
    """Help that a younger and an older child needs."""
    focus: Focus = Focus.FREE
    together: Together = Together.SAME
    alongside: Alongside | None = None
    nap_ok: bool = LOUD
    weather: Weather = Weather.ANY
    setup: Range = (0, 0)
    cleanup: Range = (0, 0)
    mess: Range = (0, 0)
    tools: tuple[str, ...] = ()
    supplies: tuple[str, ...] = ()
    hazards: tuple[Hazard, ...] = ()
    prep: float = 0.0
    """How often it needs something made ready on an evening."""
    steps: str = "once"
    adults: int = 1
    repeats: bool = False
    """Good again in the same week."""


SINGLE: tuple[Mould, ...] = (
    Mould(
        Kind.READ_ALOUD, ("picture book", "story", "fact book"), ("language", "world"),
        ("sofa", "bed", "yard"), (5, 8), (10, 15), (2, 1), Focus.LISTENING, Together.SAME,
        Alongside.LISTENING, QUIET, repeats=True,
    ),
    Mould(
        Kind.CIRCLE, ("songs", "rhymes with actions"), ("music", "movement"), ("floor", "yard"),
        (6, 8), (6, 10), (1, 1), repeats=True,
    ),
    Mould(
        Kind.PROCESS_ART, ("painting", "printing", "collage"), ("making", "hands"), ("table", "yard"),
        (10, 15), (15, 25), (2, 1), Focus.HANDS, Together.OWN_WAY, Alongside.BUSY_HANDS, QUIET,
        setup=(3, 6), cleanup=(5, 10), mess=(2, 3), tools=("paints", "aprons"), supplies=("paper",),
        prep=0.15, steps="peg",
    ),
    Mould(
        Kind.CRAFT, ("mask", "mobile", "badge", "flip card"), ("making", "hands"), ("table",),
        (8, 12), (15, 25), (3, 2), Focus.HANDS, Together.OWN_WAY, Alongside.BUSY_HANDS, QUIET,
        setup=(2, 5), cleanup=(3, 6), mess=(1, 2), tools=("scissors", "glue"), supplies=("card",),
        hazards=(Hazard.SHARP,), prep=0.4,
    ),
    Mould(
        Kind.SENSORY_BIN, ("tray of scoops", "dough", "small tub"), ("hands", "science"),
        ("table", "kitchen"), (15, 25), (20, 30), (1, 0), Focus.HANDS, Together.SAME,
        Alongside.BUSY_HANDS, QUIET,
        setup=(3, 6), cleanup=(5, 12), mess=(2, 3), tools=("play tray",), supplies=("salt",), prep=0.3,
    ),
    Mould(
        Kind.SENSORY_BIN, ("water play", "wash the toys"), ("hands", "science"), ("bath", "yard"),
        (15, 25), (20, 30), (3, 1), Focus.HANDS, Together.SAME, setup=(4, 6), cleanup=(8, 12), mess=(3, 3),
        tools=("tub", "towels"), hazards=(Hazard.WATER, Hazard.WET_HANDS, Hazard.SLIPPERY),
    ),
    Mould(
        Kind.SCIENCE_LOOK, ("guess and test", "look closely", "weigh and see"), ("science", "number"),
        ("kitchen", "floor", "yard"), (6, 12), (10, 20), (3, 1), Focus.HANDS, Together.OWN_WAY,
        setup=(2, 5), cleanup=(3, 6), mess=(1, 2), tools=("magnifier",), prep=0.2,
    ),
    Mould(
        Kind.MOVEMENT, ("number hop", "obstacle path", "follow the line"), ("movement", "number"),
        ("floor", "hall", "yard"), (8, 12), (10, 20), (1, 1), setup=(3, 8), cleanup=(2, 5),
        hazards=(Hazard.SLIPPERY,), repeats=True,
    ),
    Mould(
        Kind.GAME, ("pairs", "card sort", "board game"), ("number", "language"), ("table", "floor"),
        (5, 8), (10, 15), (2, 1), Focus.TABLE, Together.OWN_WAY, nap_ok=QUIET, setup=(0, 2), cleanup=(0, 2),
        tools=("game basket",), prep=0.25, repeats=True,
    ),
    Mould(
        Kind.LETTERS, ("word hunt", "first sounds", "drawn page"), ("language", "hands"), ("table", "sofa"),
        (5, 8), (10, 15), (2, 1), Focus.TABLE, Together.OWN_WAY, nap_ok=QUIET, tools=("journals",), prep=0.2,
        repeats=True,
    ),
    Mould(
        Kind.MATHS, ("count and clip", "measure it", "make a pattern"), ("number",), ("table", "floor"),
        (5, 8), (10, 15), (2, 1), Focus.TABLE, Together.OWN_WAY, nap_ok=QUIET, setup=(0, 2), cleanup=(0, 2),
        tools=("counters",), prep=0.25, repeats=True,
    ),
    Mould(
        Kind.PRETEND, ("play shop", "puppet show", "build and play"), ("pretend", "language"),
        ("floor", "hall"), (10, 20), (15, 30), (1, 0), Focus.HANDS, Together.BUDDY, setup=(2, 8),
        cleanup=(2, 6), mess=(0, 1), prep=0.2,
    ),
    Mould(
        Kind.NATURE_WALK, ("walk with a list", "walk and collect"), ("science", "movement"), ("lane",),
        (25, 35), (25, 40), (3, 2), weather=Weather.DRY, setup=(5, 10), cleanup=(5, 10), mess=(1, 2),
        hazards=(Hazard.TRAFFIC,),
    ),
    Mould(
        Kind.FREE_PLAY, ("loose parts", "mud kitchen"), ("movement", "pretend"), ("yard",),
        (25, 35), (30, 40), (1, 0), weather=Weather.NOT_ICY, setup=(3, 8), cleanup=(5, 12), mess=(2, 3),
        hazards=(Hazard.SOIL,), repeats=True,
    ),
    Mould(
        Kind.HANDWORK, ("threading", "weaving on card"), ("hands", "making"), ("table", "sofa"),
        (5, 8), (12, 20), (2, 2), Focus.TABLE, Together.OWN_WAY, Alongside.BUSY_HANDS, QUIET,
        setup=(2, 4), cleanup=(1, 2), supplies=("wool",), prep=0.3,
    ),
    Mould(
        Kind.PRACTICAL_LIFE, ("lay the table", "polish and sort"), ("home", "number"), ("kitchen", "table"),
        (6, 12), (10, 15), (2, 1), Focus.HANDS, setup=(0, 3), cleanup=(2, 5), mess=(1, 1), nap_ok=QUIET,
    ),
    Mould(
        Kind.SECOND_LANGUAGE, ("words and pictures", "song in two languages"), ("second", "music"),
        ("floor", "table"), (5, 6), (6, 8), (2, 1), Focus.TABLE, Together.SAME, Alongside.LISTENING, QUIET,
        repeats=True,
    ),
    Mould(
        Kind.AUDIO, ("audio story", "listening walk from the sofa"), ("language",), ("sofa", "bed"),
        (10, 15), (15, 25), (0, 0), Focus.FREE, Together.SAME, Alongside.LISTENING, QUIET, setup=(1, 2),
    ),
)  # fmt: skip
"""Done in one sitting (a peg holds what dries afterwards)."""

SEVERAL: tuple[Mould, ...] = (
    Mould(
        Kind.CRAFT, ("glued model", "kite", "puppet"), ("making", "hands"), ("table", "yard"),
        (10, 15), (15, 25), (3, 2), Focus.HANDS, Together.OWN_WAY, Alongside.BUSY_HANDS, QUIET,
        setup=(3, 6), cleanup=(4, 10), mess=(1, 2), tools=("glue", "scissors"), supplies=("card",),
        prep=0.4, steps="dry",
    ),
    Mould(
        Kind.CRAFT, ("paper-pulp bowl", "layered relief", "clay figure"), ("making", "science"),
        ("table", "yard"), (12, 15), (20, 25), (3, 2), Focus.HANDS, Together.OWN_WAY,
        Alongside.BUSY_HANDS, QUIET, setup=(4, 6), cleanup=(8, 12), mess=(2, 3),
        tools=("aprons", "bowls"), supplies=("paper", "flour"),
        prep=0.8, steps="layers",
    ),
    Mould(
        Kind.LONG_WATCH, ("jar on the sill", "seeds day by day", "ice and thaw"), ("science", "language"),
        ("sill",), (2, 6), (5, 12), (2, 1), Focus.HANDS, Together.OWN_WAY, nap_ok=QUIET, setup=(0, 4),
        cleanup=(0, 4), mess=(0, 1), tools=("magnifier",), supplies=("seeds",), prep=0.4, steps="watch",
    ),
    Mould(
        Kind.COOKING, ("rolls", "flat bread", "oat bars"), ("home", "science"), ("kitchen", "table"),
        (8, 15), (12, 25), (3, 2), Focus.HANDS, setup=(3, 8), cleanup=(5, 12), mess=(2, 3), nap_ok=QUIET,
        tools=("bowls",), supplies=("flour", "yeast"), hazards=(Hazard.HOT,), steps="dough",
    ),
    Mould(
        Kind.HANDWORK, ("book of drawings", "sewn felt"), ("hands", "language"), ("table", "sofa"),
        (6, 8), (12, 18), (2, 2), Focus.TABLE, Together.OWN_WAY, Alongside.BUSY_HANDS, QUIET,
        setup=(1, 3), cleanup=(1, 2), supplies=("paper", "wool"), prep=0.3, steps="parts",
    ),
)  # fmt: skip
"""Over several sittings, with waits between them."""

OUTING = Mould(
    Kind.OUTING, ("visit", "day by the water", "market morning"), ("world", "science"), ("far",),
    (30, 40), (35, 50), (3, 2), weather=Weather.DRY, setup=(8, 12), cleanup=(5, 12), mess=(1, 2),
    hazards=(Hazard.TRAFFIC,), prep=0.8,
)  # fmt: skip
"""Usually a promise."""

THEMES = ("boats", "bridges", "hedgerow", "night sky", "weather", "wool", "post", "stones")
