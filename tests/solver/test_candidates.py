"""Candidates: what is asked once for many is what each would have been told; a few ways are some of all."""

from __future__ import annotations

import pytest

from service.bench import make
from solver.candidates import Allowed, enumerate_candidates
from solver.domain.week import Problem
from solver.masks import FULL
from solver.occupancy import State as Filling
from solver.options import Option, options_of
from solver.outline import Outline
from solver.rules import ALONE
from tests.solver.demo_weeks import problem_of, raw

WEEKS = {
    **{name: problem_of(raw(name)) for name in ("small", "pond-week", "bread-week", "broken-promise")},
    **{f"{size} {seed}": make(size, seed).problem() for size, seed in (("S", 2), ("M", 1), ("XL", 2))},
}

every_week = pytest.mark.parametrize("problem", WEEKS.values(), ids=WEEKS.keys())


@every_week
def test_a_rule_asked_for_alike_options_says_the_same_to_each_of_them(problem: Problem) -> None:
    outline = Outline(problem)
    shared = Allowed(outline)
    for option in [option for task in outline.tasks for option in options_of(outline, task)]:
        told = {key: rule(outline, option) for key, rule in ALONE.items()}
        assert told == {key: shared.by(key, option) for key in ALONE}
        together = [FULL] * 7
        for daily in told.values():
            together = [a & b for a, b in zip(together, daily, strict=True)]
        assert shared.together(option) == tuple(together)


@every_week
def test_candidates_that_are_kin_ask_for_the_same_and_start_when_kin_may(problem: Problem) -> None:
    candidates = enumerate_candidates(Outline(problem))
    kinsfolk = [kin for of_task in candidates.kin_of.values() for kin in of_task]
    assert sum(map(len, kinsfolk)) == len(candidates.all)
    assert any(len(kin) > 1 for kin in kinsfolk)
    for first, *others in kinsfolk:
        asked = Filling(candidates.outline).of(first)
        for other in others:
            assert Filling(candidates.outline).of(other) == asked
        assert all(one.mask & ~first.kin.mask == 0 for one in (first, *others))


@every_week
def test_a_few_ways_are_the_first_of_all_and_none_where_there_is_none(problem: Problem) -> None:
    outline = Outline(problem)
    allowed = Allowed(outline)
    few = enumerate_candidates(outline, allowed=allowed, ways=2)
    every = enumerate_candidates(outline, allowed=allowed)
    assert few.blocked == every.blocked
    for task in outline.tasks:
        ways = [*dict.fromkeys(c.option for c in every.by_task[task])]
        some = [*dict.fromkeys(c.option for c in few.by_task[task])]
        assert [_way(option) for option in some] == [_way(option) for option in ways[:2]]


def _way(o: Option) -> tuple[object, ...]:
    return (o.children, o.place.id, o.helpers, o.minder, o.lighter, o.alongside, o.at_meal)
