"""Parts of a week: a model of some candidates counts as the whole one does, and finds nothing worse."""

from __future__ import annotations

from itertools import takewhile

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.assemble import Chosen, decisions, read
from solver.candidates import enumerate_candidates, narrowed
from solver.construct import construct
from solver.domain.plan import Plan, TierResult
from solver.domain.week import LossProof, Problem, Rank
from solver.model import WeekModel, build
from solver.outline import Outline
from solver.parts import SEEN_TO, best_so_far, find_places
from solver.relaxation import Relaxation
from solver.rules.spares import seen_by_spares
from solver.running import Search, fill_in
from solver.search import solve
from tests.solver.demo_weeks import problem_of, raw
from tests.solver.small_weeks import problems
from tests.solver.test_mend_properties import MANY


def asked(week: Problem, proof: LossProof) -> Problem:
    return week.model_copy(update={"week": week.week.model_copy(update={"loss_proof": proof})})


def filled(week: WeekModel, chosen: Chosen) -> dict[int, int]:
    """The values of a week's variables when this is chosen."""
    search = Search(10, 1, 1, lambda _: None, lambda: False)
    fill_in(search, week, decisions(week.variables, chosen))
    assert search.best
    return search.best


@pytest.mark.parametrize("proof", LossProof)
def test_what_is_chosen_costs_the_same_in_a_model_of_fewer(proof: LossProof) -> None:
    candidates = enumerate_candidates(Outline(asked(problem_of(raw("small")), proof)))
    whole = build(candidates)
    # What is laid over something else is decided in the model alone.
    values = filled(whole, next(construct(candidates, 1)))
    chosen = read(whole.variables, lambda var: values[var.index])
    there = {c.index for c, _ in chosen.starts.values()}
    spares = seen_by_spares(candidates.outline)
    few = [c for c in candidates.all if c.index in there or c.task.go in spares]
    assert len(few) < len(candidates.all)
    part = whole.again(narrowed(candidates, few))
    own = dict(zip([c.index for c in few], part.variables.candidates.all, strict=True))
    starts = {task: (own[c.index], slot) for task, (c, slot) in chosen.starts.items()}
    less = filled(part, Chosen(starts, chosen.over, chosen.evenings))
    assert {tier: less[cost.index] for tier, cost in part.total.items()} == {
        tier: values[cost.index] for tier, cost in whole.total.items()
    }


def test_what_parts_leave_open_the_whole_week_settles(monkeypatch: pytest.MonkeyPatch) -> None:
    """Parts that took up a week and then brought nothing more."""

    def in_vain(search: Search, week: WeekModel, *_: object) -> None:
        fill_in(search, week, decisions(week.variables, best_so_far(search, week)))

    week = problem_of(raw("small"))
    usual = solve(week, seconds=20, workers=1)
    monkeypatch.setattr("solver.tiers.MANY", 0)
    monkeypatch.setattr("solver.tiers.SMALL", 0)
    monkeypatch.setattr("solver.tiers.better_by_parts", in_vain)
    by_parts = solve(week, seconds=20, workers=1)
    assert all(tier.proved for tier in usual.tiers)
    assert by_parts.tiers == usual.tiers


@pytest.mark.parametrize("tier", SEEN_TO)
def test_what_counts_finds_a_place(tier: str) -> None:
    candidates = enumerate_candidates(Outline(problem_of(raw("pond-week"))))
    week = build(candidates)
    chosen = next(construct(candidates, 1))
    rank = {"promises": Rank.PROMISE, "staples": Rank.STAPLE}[tier]
    gone = next(task.go for task in chosen.starts if task.rank is rank)
    rest = {task: start for task, start in chosen.starts.items() if task.go != gone}
    search = Search(60, 1, 1, lambda _: None, lambda: False)
    evenings = {prep: evening for prep, evening in chosen.evenings.items() if prep[0] != gone}
    fill_in(search, week, decisions(week.variables, Chosen(rest, {}, evenings)))
    lost = search.best[week.total[tier].index]
    floor = Relaxation(week).floor(week.total[tier].index, lost, 60)
    assert floor is not None
    find_places(search, week, tier, floor, 0)
    assert search.best[week.total[tier].index] == floor.value < lost


def test_without_time_nothing_is_looked_for() -> None:
    week = build(enumerate_candidates(Outline(problem_of(raw("small")))))
    search = Search(0, 1, 1, lambda _: None, lambda: False)
    fill_in(search, week, decisions(week.variables, Chosen({}, {}, {})))
    before = dict(search.best)
    floor = Relaxation(week).floor(week.total["promises"].index, 10**6, 60)
    assert floor is not None
    find_places(search, week, "promises", floor, until=1)
    assert search.best == before


@MANY
@given(problems(), st.sampled_from(LossProof))
def test_by_parts_it_is_the_same_best_week(week: Problem, proof: LossProof) -> None:
    usual = solve(asked(week, proof), seconds=2, workers=1)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("solver.tiers.MANY", 0)
        patch.setattr("solver.tiers.SMALL", 0)
        by_parts = solve(asked(week, proof), seconds=2, workers=1)
    for one, other in zip(_proved(usual), _proved(by_parts), strict=False):
        assert (one.name, one.value) == (other.name, other.value)


def _proved(found: Plan) -> list[TierResult]:
    """The tiers down to the first that is open."""
    return [*takewhile(lambda tier: tier.proved, found.tiers)]
