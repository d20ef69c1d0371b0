"""What the service says in another language, and what it leaves as the family wrote it."""

from __future__ import annotations

import ast
import json
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

import service.tongues
from service.app import bare_app
from service.tongues import TONGUES, tongue_of
from service.tongues.turn import slots_of

TABLES = Path(service.tongues.__file__).parent
ROOT = TABLES.parents[1]
SAMPLES = {
    "n": "7",
    "time": "09:35",
    "iso": "2027-02-03",
    "date": "3 February 2027",
    "day": "Monday",
    "days": "Monday and Friday",
    "count": "three",
    "code": "frog-bowl",
    "key": "prep",
    "name": "Juniper",
    "names": "Juniper and Oak",
    "text": "Juniper",
    "clause": "it needs rain",
    "clauses": "it needs rain",
}


def entries(tongue: str) -> Iterator[tuple[str, str, str]]:
    for file in sorted((TABLES / tongue).glob("*.json")):
        if file.name != "small.json":
            for english, said in json.loads(file.read_text(encoding="utf-8")).items():
                yield file.name, english, said


@pytest.mark.parametrize("tongue", TONGUES)
def test_both_sides_of_an_entry_have_the_same_slots(tongue: str) -> None:
    for file, english, said in entries(tongue):
        assert slots_of(english) == slots_of(said), f"{file}: {english}"
        assert set(slots_of(english).values()) <= SAMPLES.keys(), f"{file}: {english}"
        assert said.strip(), f"{file}: {english}"


@pytest.mark.parametrize("tongue", TONGUES)
def test_nothing_stands_in_two_tables(tongue: str) -> None:
    seen: dict[str, str] = {}
    for file, english, _ in entries(tongue):
        assert english not in seen, f"{english}: in {seen.get(english)} and {file}"
        seen[english] = file


@pytest.mark.parametrize("tongue", TONGUES)
def test_no_entry_hides_behind_another(tongue: str) -> None:
    """Filled with something for each slot, a pattern is turned by itself."""
    ours = tongue_of(tongue)
    for file, english, said in entries(tongue):
        filled, wanted = english, said
        for name, kind in slots_of(english).items():
            filled = filled.replace(f"{{{name}}}", SAMPLES[kind])
            wanted = wanted.replace(f"{{{name}}}", ours.told(SAMPLES[kind]) if kind == "clause" else "§")
        found = ours.turned(filled)
        assert found is not None, f"{file}: {english}"
        parts = [re.escape(part) for part in wanted.split("§")]
        assert re.fullmatch(".+?".join(parts), found, re.DOTALL | re.IGNORECASE), (
            f"{file}: {english} → {found}"
        )


def test_sentences_within_sentences_are_turned_too() -> None:
    spanish = tongue_of("es")
    whole = "There is no time for it this week: it is longer than Juniper and Iris can attend at a stretch."
    assert spanish.turned(whole) not in (None, whole)
    assert "Juniper e Iris" in str(spanish.turned(whole))
    assert "{" not in str(spanish.turned(whole))


@pytest.mark.parametrize(
    ("english", "said"),
    [
        ("It needs rain. Juniper is ill on Monday.", "Hace falta lluvia. Juniper no está bien el lunes."),
        (
            "'Breakfast' ends before it starts; give a later end",
            "«Desayuno» termina antes de empezar; ponga un final más tarde",
        ),
        (
            "Paper-pulp frog bowl: second layer (2 of 5) (Monday 9:30): Juniper is asleep then.",
            "Cuenco rana de papel y engrudo: segunda capa (2 de 5) (lunes 9:30): Juniper duerme entonces.",
        ),
        ("Monday 9:30: no hand is left for Iris.", "Lunes, 9:30: no queda ninguna mano para Iris."),
        (
            "It is not safe while Moss is awake and about.",
            "No es seguro con Moss por ahí sin dormir.",
        ),
        (
            "Take care: Salty: no eating; it stings sore skin.",
            "Cuidado: Muy salada: no se come; escuece en la piel irritada.",
        ),
        ("there is no place 'hal'; did you mean 'hall'?", "no hay ningún lugar 'hal'; ¿quería decir 'hall'?"),
    ],
)
def test_each_part_of_a_sentence_finds_its_own_entry(english: str, said: str) -> None:
    assert tongue_of("es").told(english) == said


@pytest.mark.parametrize(
    ("english", "said"),
    [
        ("Hall", "Pasillo"),
        ("Duck-count clip cards (2)", "Contar patos con tarjetas y pinzas (2)"),
        ("Our boat: first layer (1 of 4)", "Our boat: primera capa (1 de 4)"),
        ("Our boat (the lighter way)", "Our boat (la manera ligera)"),
        ("Our boat (2)", "Our boat (2)"),
    ],
)
def test_a_name_is_turned_as_far_as_it_is_ours(english: str, said: str) -> None:
    assert tongue_of("es").called(english) == said


def test_names_that_hold_an_and_or_a_comma_stay_whole_in_a_list() -> None:
    listed = "Let them know: Wheat and peas in a jar."
    assert tongue_of("es").turned(listed) == "Avisar: «Trigo y guisantes en un tarro»."
    rest = "Pond picture book, read aloud, Juniper and Wheat and peas in a jar: rest, lap books, "
    rest += "an audio story, a short film within the minutes you allow"
    said = "Libro ilustrado del estanque, leído en voz alta, Juniper y Trigo y guisantes en un tarro: "
    assert str(tongue_of("es").turned(rest)).startswith(said)


def test_what_no_entry_fits_stays_and_the_rest_is_turned() -> None:
    spanish = tongue_of("es")
    rain, ours = "It needs rain.", "The blue door squeaks."
    assert spanish.turned(ours) is None
    assert spanish.told(ours) == ours
    assert spanish.told(f"{rain} {ours}") == f"{spanish.told(rain)} {ours}"


@pytest.mark.parametrize(
    "text",
    [
        "a, " * 666,
        "x: " * 600,
        "a, b and c; d: e · f, g or h " * 60,
        " and ".join("abcdefg" * 100),
        "'a' is 'b' " * 150,
    ],
)
def test_a_long_text_of_the_family_s_own_is_left_as_it_is(text: str) -> None:
    """Cut at each of its joints in every way, it would keep the server busy for minutes."""
    assert tongue_of("es").told(text.strip()) == text.strip()


TERMINAL = (
    "service/**/command.py",
    "service/__main__.py",
    "service/asking.py",
    "service/care/[!r]*.py",
    "service/files.py",
    "service/mending.py",
    "service/mishap_words.py",
    "service/serving.py",
    "service/show/[!n]*.py",
    "service/start/asking.py",
    "service/trust/*.py",
)
"""Modules that speak on a terminal alone, and so in English."""
UNSAID = (
    "service/bench/**/*.py",  # measures Lapful; no family meets it
    "service/store/migrations/**/*.py",  # SQL
    "service/contract.py",  # what it says stands in the OpenAPI document, which is a format
    "service/log.py",  # the log is for whoever keeps the machine
    "service/tongues/*.py",
)
"""Modules that speak to no family at all."""
TO_PEOPLE = ("solver/**/*.py", "service/**/*.py")
"""Every other module of these may."""
STAYS = {
    # What the columns of a CSV or XLSX table are called: they are a format, and other programs read them.
    *("need by", "or instead", "what to do", "adult from", "adult until", "would fit with", "how it went"),
    "why not",
    # The framework's domains under their published names; the page marks them as English.
    "Head Start Early Learning Outcomes Framework, US HHS, Office of Head Start, 2015",
    *("Approaches to Learning", "Social and Emotional Development", "Language and Communication"),
    *("Mathematics Development", "Scientific Reasoning", "Perceptual, Motor, and Physical Development"),
    "American Academy of Sleep Medicine, J Clin Sleep Med 2016;12:785-786",  # a publisher and its title
    "Value error",  # what pydantic sets before our own words, and we take away again
    'Bearer realm="lapful',  # HTTP's own
    "//Lapful//week at home//EN",  # the PRODID of a calendar
    "upright beforehand",  # classes of a style sheet
    *("given up most", "given up least"),  # variables of the model
    *("a search ended", "a search begins again"),  # notes in the log
    *("a device was paired", "a device was shut out"),
    "mending ahead was put off",
    *("a mend made ahead came too late", "a mend could not be made ahead"),
    "what hangs on one day could not be found",
    "the job must stay the last field of a view",  # for whoever changes the code
    "not installed",  # a version
    *("npm --prefix web ci", "npm --prefix web run build"),  # commands to type
}
"""Pieces that no family reads in their own language, or that stay English there."""
_SQL = re.compile(r"(?:SELECT|PRAGMA|VACUUM|BEGIN) ")
_FOR_PROGRAMMERS = ("description", "help", "summary")


def speaking() -> list[str]:
    """The modules that can speak to people."""

    def found(globs: tuple[str, ...]) -> set[Path]:
        return {file for one in globs for file in ROOT.glob(one)}

    return sorted(str(one.relative_to(ROOT)) for one in found(TO_PEOPLE) - found(TERMINAL) - found(UNSAID))


@cache
def said_in_english(tongue: str) -> str:
    """Every entry's English, small, with a mark in each slot."""
    return "\n".join(re.sub(r"\{\w+\}", "\0", english) for _, english, _ in entries(tongue)).lower()


@pytest.mark.parametrize("tongue", TONGUES)
@pytest.mark.parametrize("module", speaking())
def test_every_sentence_has_its_entry(tongue: str, module: str, told: frozenset[str]) -> None:
    """What a module might say is part of an entry's English; for a code the page has words of its own."""
    known = said_in_english(tongue)
    missing = [
        piece
        for piece in dict.fromkeys(prose_of(ROOT / module))
        if piece.lower() not in known and piece not in STAYS | told and not _SQL.match(piece)
    ]
    assert not missing, (
        f"{module} says this, and service/tongues/{tongue}/*.json does not: add its sentence to the table of "
        f"its kind, or, where nobody reads it in that language, to STAYS here: {missing}"
    )


@pytest.fixture(scope="module")
def told() -> frozenset[str]:
    """Values that stand for something in the contract: the page has words of its own for them."""
    return frozenset(value for _, value in bare_app().codes())


def test_what_stays_is_still_there() -> None:
    """So that the list above does not outlive what it excuses."""
    pieces = {piece for module in speaking() for piece in prose_of(ROOT / module)}
    assert pieces >= STAYS


def prose_of(module: Path) -> Iterator[str]:
    """What a module might say to somebody: its strings of several words, sentence by sentence, between slots
    and tags; neither its docstrings nor what it says to the log or to readers of the contract."""
    tree = ast.parse(module.read_text(encoding="utf-8"))
    unsaid = {id(one) for node in ast.walk(tree) for part in _unsaid(node) for one in ast.walk(part)}
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str) and id(node) not in unsaid:
            for piece in re.split(r'<[^>]*(?:>|$)|[^<]*"/?>|\n|(?<=[.!?])\s+', node.value):
                words = piece.strip(" .,;:()·!?“”\"'>-")
                if re.search(r"[A-Za-z]{2,} +[A-Za-z]", words) and "\\" not in words and ".*" not in words:
                    yield words


def _unsaid(node: ast.AST) -> Iterator[ast.AST]:
    if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef):
        bare = (one.value for one in node.body if isinstance(one, ast.Expr))
        yield from (one for one in bare if isinstance(one, ast.Constant))
    if isinstance(node, ast.keyword) and node.arg in _FOR_PROGRAMMERS:
        yield node.value
    if isinstance(node, ast.Dict):
        named = zip(node.keys, node.values, strict=True)
        yield from (value for key, value in named if getattr(key, "value", None) in _FOR_PROGRAMMERS)
    if isinstance(node, ast.Call) and getattr(getattr(node.func, "value", None), "id", None) == "_log":
        yield node
