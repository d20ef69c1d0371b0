"""Bounds without search: never above the best week, however the rows are weighed."""

from __future__ import annotations

import highspy
import numpy as np
import pytest
from ortools.sat.python import cp_model

from service.bench import make
from solver.candidates import enumerate_candidates
from solver.domain.week import Problem
from solver.model import WeekModel, build
from solver.outline import Outline
from solver.relaxation import Floor, Relaxation
from tests.solver.demo_weeks import problem_of, raw

ABOVE_ALL = 10**6


def built(problem: Problem) -> WeekModel:
    return build(enumerate_candidates(Outline(problem)))


def best(week: WeekModel, *fixed: tuple[int, int]) -> int | None:
    """The least worth cost with these variables at these values; None when nothing is left."""
    model = week.model.clone()
    for index, value in fixed:
        model.add(model.get_int_var_from_proto_index(index) == value)
    model.minimize(model.get_int_var_from_proto_index(week.total["worth"].index))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    status = solver.solve(model)
    assert status in (cp_model.OPTIMAL, cp_model.INFEASIBLE)
    return round(solver.objective_value) if status == cp_model.OPTIMAL else None


@pytest.fixture(scope="module")
def small() -> WeekModel:
    return built(problem_of(raw("small")))


@pytest.fixture(scope="module")
def floor(small: WeekModel) -> Floor:
    found = Relaxation(small).floor(small.total["worth"].index, ABOVE_ALL, 30)
    assert found
    return found


def test_the_bound_is_not_above_the_best_week(small: WeekModel, floor: Floor) -> None:
    value = best(small)
    assert value is not None
    assert 0 <= floor.value <= value


def test_the_bound_is_that_of_another_solver() -> None:
    """HiGHS on the same rows; rounded up, as costs are whole. Reference library, not ours."""
    week = built(make("S", 1).problem())
    rows, cost = Relaxation(week), week.total["worth"].index
    ours = rows.floor(cost, ABOVE_ALL, 60)
    assert ours
    assert ours.value == int(np.ceil(_highs(rows, cost) - 1e-6))


def _highs(rows: Relaxation, cost: int) -> float:
    low, high = rows._low, rows._high.copy()
    high[cost] = ABOVE_ALL
    linear = highspy.HighsLp()
    linear.num_col_, linear.num_row_ = len(low), len(rows._least)
    linear.col_lower_, linear.col_upper_ = low.astype(float), high.astype(float)
    linear.col_cost_ = (np.arange(len(low)) == cost).astype(float)
    linear.row_lower_, linear.row_upper_ = rows._least.astype(float), rows._most.astype(float)
    linear.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    linear.a_matrix_.start_ = rows._starts
    linear.a_matrix_.index_, linear.a_matrix_.value_ = rows._column_of, rows._factor.astype(float)
    highs = highspy.Highs()
    highs.setOptionValue("output_flag", False)
    highs.passModel(linear)
    highs.run()
    return float(highs.getInfo().objective_function_value)


@pytest.mark.parametrize("seed", range(5))
def test_wrong_weights_weaken_the_bound_but_never_make_it_wrong(small: WeekModel, seed: int) -> None:
    """Weak duality, as the textbooks have it: any weights give a bound."""
    rows, cost = Relaxation(small), small.total["worth"].index
    low, high = rows._low, rows._high.copy()
    high[cost] = ABOVE_ALL
    solved = rows._solved(cost, low, high, 30)
    assert solved is not None
    good, values = solved
    drawn = np.random.default_rng(seed)
    found = rows._recounted(cost, low, high, good + drawn.normal(0, 0.01, len(good)), values)
    right, value = rows._recounted(cost, low, high, good, values), best(small)
    assert found
    assert right
    assert value is not None
    assert found.value <= right.value <= value


def far(floor: Floor, points: int) -> list[int]:
    """The variables that are 1 only in weeks so many points above the bound."""
    return [index for index in range(len(floor._dearer)) if not floor.near(index, points)]


def test_what_is_dearer_is_in_no_better_week(small: WeekModel, floor: Floor) -> None:
    value = best(small)
    assert value is not None
    out = far(floor, value - floor.value + 1)
    assert out, "a bound that rules nothing out is of no use here"
    for index in out[:: max(1, len(out) // 12)]:
        with_it = best(small, (index, 1))
        assert with_it is None or with_it > value


def test_nothing_is_ruled_out_far_above_the_bound(floor: Floor) -> None:
    assert far(floor, ABOVE_ALL) == []
