"""The published problems of the bench: what is asked, what counts as proved, what is told."""

from __future__ import annotations

import io

import pytest
from rich.console import Console
from typer.testing import CliRunner

from service.bench import oracles
from service.bench.oracle_shops import GP03_01_OPTIMUM
from service.bench.oracles import Case, Row, answers, catalogue, show
from service.command import app
from solver.domain.week import Problem


def row(fits: bool | None, too_little: bool | None, published: int | None = 55, wrong: str = "") -> Row:
    return Row("some", published, fits, too_little, 1.0, "a book", wrong=wrong)


@pytest.mark.parametrize(
    ("case", "ours", "proved"),
    [
        (row(True, True), "55", True),
        (row(True, None), "≤ 55", False),
        (row(None, True), "≥ 55", False),
        (row(None, None), "?", False),
        (row(None, True, published=None), "infeasible", True),
        (row(None, False, published=None), "?", False),
        (row(True, True, wrong="but"), "55", False),
    ],
)
def test_only_both_answers_together_prove_a_value(case: Row, ours: str, proved: bool) -> None:
    assert (case.ours, case.proved) == (ours, proved)


def test_every_published_problem_can_be_asked() -> None:
    """A household that the domain refuses would end the bench midway."""
    for case in catalogue().values():
        assert isinstance(case.ask(min(case.horizon, 250)), Problem), case.name


def wrong_by(units: int) -> Row:
    """The smallest job shop, with a published value that is off by so much."""
    case = catalogue()["tutorial"]
    told = Case(case.name, (case.published or 0) + units, case.source, case.ask, case.horizon)
    return oracles.answer(told, 10.0, 2)


@pytest.mark.parametrize(
    ("units", "told"), [(0, ""), (1, "below the published 12"), (-1, "impossible by 10")]
)
def test_a_wrong_publication_is_seen_from_both_sides(units: int, told: str) -> None:
    found = wrong_by(units)
    assert (told in found.wrong) if told else not found.wrong
    assert found.proved is (units == 0)


@pytest.fixture(scope="module")
def asked() -> list[Row]:
    """An open shop that needs the grid of one minute, and a job shop that does not."""
    cases = catalogue()
    return list(answers([cases["gp03-01"], cases["tutorial"]], 20.0, 2))


def test_each_is_asked_on_a_grid_on_which_it_fits(asked: list[Row]) -> None:
    """gp03-01 (Guéret and Prins 1999) takes more units than a day has slots, and one above 8 hours."""
    assert [(one.name, one.ours, one.proved) for one in asked] == [
        ("tutorial", "11", True),
        ("gp03-01", str(GP03_01_OPTIMUM), True),
    ]


def test_the_table_tells_what_contradicts(asked: list[Row]) -> None:
    out = io.StringIO()
    show(Console(file=out, width=110), [*asked, row(None, None, wrong="kept by 54")], 20.0)
    assert "some: kept by 54" in out.getvalue()
    assert "2 of 3 proved, at most 20 s" in out.getvalue()


@pytest.mark.parametrize(
    ("asked_for", "told"),
    [
        (["--oracles", "--only", "tutorial,pat2"], "2 of 2 proved"),
        (["--differential", "1", "--seed", "2"], "1 households: 1 agree on every tier"),
    ],
)
def test_the_command_asks_and_tells(asked_for: list[str], told: str) -> None:
    ran = CliRunner().invoke(app, ["bench", *asked_for])
    assert ran.exit_code == 0, ran.output
    assert told in ran.output


def test_the_command_ends_with_1_when_something_contradicts(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(oracles, "answers", lambda *_: iter([row(True, False, wrong="kept by 54")]))
    ran = CliRunner().invoke(app, ["bench", "--oracles", "--only", "tutorial"])
    assert ran.exit_code == 1
    assert "kept by 54" in ran.output
    assert CliRunner().invoke(app, ["bench", "--oracles", "--only", "nothing"]).exit_code == 2
