"""The fewest changes, against trying everything: a search that knows no solver and shares no rule with ours.

The method is plain enumeration with an exact packing of one child's and one adult's day; the weights and the
rules come from the contract in DEVELOPERS.md. ``show_minimal`` compares 200 and more.
"""

from __future__ import annotations

from io import StringIO

import pytest
from rich.console import Console
from typer.testing import CliRunner

from service.bench.minimal import Everything, case_of, compare, show_minimal
from service.command import app
from solver.domain.base import DAYS, Moment
from solver.domain.mishap import DayLost

SEEDS = range(1000, 1026)


@pytest.mark.parametrize("seed", SEEDS)
def test_no_mend_has_fewer_changes(seed: int) -> None:
    found = compare(seed)
    if found is None:
        assert Everything(case_of(seed)).least() is None, "what had begun contradicts what happened"
        return
    assert found.proved
    assert found.ours == found.theirs


def test_the_cases_are_not_all_easy() -> None:
    found = [one for one in map(compare, SEEDS) if one is not None]
    assert len(found) >= len(SEEDS) - 3
    assert sum(one.theirs[2] > 0 for one in found) >= len(found) // 3
    assert max(one.tried for one in found) > 1000


def test_trying_everything_finds_a_known_answer() -> None:
    """A whole day is lost to all: its staples and extras are let go, each one more than a move."""
    case = next(c for c in map(case_of, SEEDS) if len(c.plan.bookings) == 4)
    day = case.plan.bookings[0].day
    wishes = tuple(w.model_copy(update={"rank": "extra", "told": False}) for w in case.problem.week.wishes)
    week = case.problem.week.model_copy(update={"wishes": wishes})
    lost = DayLost(day=day)
    known = type(case)(
        case.problem.model_copy(update={"week": week}), case.plan, lost, day, Moment(day=DAYS[0], time=0)
    )
    there = sum(b.day is day for b in case.plan.bookings)
    near = 4 if day.index <= 1 else 0
    assert Everything(known).least() == (0, 0, there * (8 + 4 + near))


def test_the_command_compares_as_many_as_are_wanted() -> None:
    ran = CliRunner().invoke(app, ["bench", "--minimal", "2", "--seed", "1003"])
    assert ran.exit_code == 0, ran.output
    assert "2 small weeks" in " ".join(ran.output.split())


def test_the_command_says_no_when_one_is_not_the_least(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Everything, "least", lambda _: (0, 0, -1))
    ran = CliRunner().invoke(app, ["bench", "--minimal", "1", "--seed", "1003"])
    assert ran.exit_code == 1
    assert "theirs (0, 0, -1)" in " ".join(ran.output.split())


def test_the_table_says_that_all_agree() -> None:
    told = StringIO()
    assert show_minimal(Console(file=told, width=120), count=3)
    assert "agree" in told.getvalue()
