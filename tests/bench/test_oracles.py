"""The published problems of the bench: what is asked, what counts as proved, what is told."""

from __future__ import annotations

import io

import pytest
from rich.console import Console

from service.bench import oracles
from service.bench.oracle_shops import GP03_01_OPTIMUM
from service.bench.oracles import Case, Row, answers, catalogue, show
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
