"""The baselines play by the same rules: the same checker, and the model takes what the checker takes."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

import pytest
from ortools.sat.python import cp_model

from service.bench import make
from service.bench.careful import careful_week
from service.bench.diary import Diary
from service.bench.milp_rows import ROWS, Model, tasks_rows
from solver.assemble import decisions
from solver.check import check, costs
from solver.domain.plan import Plan
from solver.domain.week import Problem, Rank
from solver.model import build
from solver.running import hint

WEEKS = [("S", 1), ("S", 2), ("M", 1), ("L", 1)]


def problem(size: str, seed: int) -> Problem:
    return make(size, seed).problem()


def tiers(one: Problem, plan: Plan) -> Counter[str]:
    found: Counter[str] = Counter()
    for cost in costs(one, plan):
        found[cost.tier] += cost.amount
    return found


@pytest.mark.parametrize(("size", "seed"), WEEKS)
def test_what_the_careful_parent_writes_down_fits_and_the_model_agrees(size: str, seed: int) -> None:
    """The model once forbade weeks that the checker takes: a row meant to be implied was not."""
    one = problem(size, seed)
    parent = careful_week(one)
    assert check(one, parent.plan()) == []
    week = build(parent.candidates)
    hint(week, decisions(week.variables, parent.chosen))
    solver = cp_model.CpSolver()
    solver.parameters.fix_variables_to_their_hinted_value = True
    solver.parameters.num_workers = 1
    assert solver.solve(week.model) in (cp_model.OPTIMAL, cp_model.FEASIBLE)


def test_the_careful_parent_puts_promises_first() -> None:
    one = problem("S", 1)
    week = careful_week(one)
    everything, empty = tiers(one, week.plan()), tiers(one, Plan(week=one.week.id))
    assert everything["promises"] == 0 < empty["promises"]
    assert everything["worth"] < empty["worth"]
    ranks = {wish.id: wish.rank for wish in one.week.wishes}
    assert {ranks[task.go.wish.id] for task in week.chosen.starts} == set(Rank)


def test_what_is_rubbed_out_of_the_diary_leaves_no_trace() -> None:
    parent = careful_week(problem("S", 2))
    diary = Diary(parent.candidates.outline)
    for c, slot in parent.chosen.starts.values():
        diary.put(c, slot)
    for c, slot in parent.chosen.starts.values():
        diary.put(c, slot, -1)
    fresh = Diary(parent.candidates.outline)
    assert not any(diary.taken.values())
    assert not any(diary.sums.values())
    assert all(diary.loads[key] == fresh.level(*key) for key in diary.loads)


@pytest.mark.parametrize("seed", [1, 2])
def test_the_milp_rows_hold_for_a_week_that_fits(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Its rows are right, so what HiGHS does not reach is left to HiGHS."""
    monkeypatch.setattr("service.bench.milp_rows.COARSE", 1)
    parent = careful_week(problem("S", seed))
    usable = {
        task: [c for c in found if not c.option.alongside]
        for task, found in parent.candidates.by_task.items()
    }
    model = Model(parent.candidates.outline, usable)
    for part in ROWS:
        part(model)
    values = {model.x[c, slot]: 1.0 for c, slot in parent.chosen.starts.values()}
    values |= {model.evenings[go, task, e]: 1.0 for (go, task), e in parent.chosen.evenings.items()}
    assert list(_broken(model, values)) == []


def test_the_milp_rows_forbid_two_goes_at_one_sitting() -> None:
    parent = careful_week(problem("S", 1))
    model = Model(parent.candidates.outline, dict(parent.candidates.by_task))
    tasks_rows(model)
    task = next(task for task, ways in model.of.items() if len(ways) > 1)
    twice = {index: 1.0 for _, _, index in model.of[task][:2]}
    assert len(list(_broken(model, twice))) == 1


def _broken(model: Model, values: dict[int, float]) -> Iterator[object]:
    """Rows that a 0-1 assignment breaks; what is bought (not 0-1) is as much as the row needs."""
    for least, most, terms in model.rows:
        reached = sum(amount * values.get(index, 0.0) for index, amount in terms.items())
        free = [index for index in terms if model.upper[index] > 1]
        if not free and not least - 1e-6 <= reached <= most + 1e-6:
            yield least, reached, most
