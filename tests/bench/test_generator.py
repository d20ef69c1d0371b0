"""Generated households: the same for the same seed, of the asked size, and whole documents."""

from __future__ import annotations

import pytest

from service.bench import make
from service.bench.sizes import SIZES
from solver.candidates import enumerate_candidates
from solver.domain.document import Document
from solver.domain.week import Rank
from solver.outline import Outline

ONE_WEEK = ("S", "M", "L", "XL")


@pytest.mark.parametrize("size", SIZES)
def test_the_same_seed_gives_the_same_household(size: str) -> None:
    assert make(size, 3) == make(size, 3)
    assert make(size, 3) != make(size, 4)


@pytest.mark.parametrize("size", SIZES)
def test_what_is_generated_is_a_household_file(size: str) -> None:
    made = make(size, 1)
    assert Document.model_validate_json(made.model_dump_json()) == made


@pytest.mark.parametrize("seed", range(1, 6))
@pytest.mark.parametrize("size", ONE_WEEK)
def test_it_has_the_figures_of_its_size(size: str, seed: int) -> None:
    wanted, made = SIZES[size], make(size, seed)
    home = made.household
    assert len([child for child in home.children if child.learner]) == len(wanted.learners)
    assert any(not child.learner for child in home.children) == wanted.baby
    assert len(home.adults) == wanted.adults
    assert len(made.activities) == wanted.activities
    tasks = Outline(made.problem()).tasks
    # Repeats are capped, so a week may ask for a few sittings less; never for more by much.
    assert abs(len(tasks) - wanted.sittings) <= 4


def test_a_term_has_twelve_weeks_whose_wishes_change() -> None:
    term = make("term", 1)
    assert len(term.weeks) == 12
    assert len({week.theme for week in term.weeks}) == 4
    wished = [{wish.activity for wish in week.wishes} for week in term.weeks]
    assert wished[0] != wished[3]


@pytest.mark.parametrize("seed", range(1, 4))
@pytest.mark.parametrize("size", ["S", "M"])
def test_every_promise_and_staple_has_somewhere_to_go(size: str, seed: int) -> None:
    candidates = enumerate_candidates(Outline(make(size, seed).problem()))
    blocked = {task.name for task in candidates.blocked if task.rank is not Rank.EXTRA}
    assert blocked == set()
