"""A bound without search: the linear rows of a model alone, solved by GLOP.

Most rows of a week hang on days and stretches, not on minutes, so that this bound is often the best value
itself. What GLOP says in floating point is only a suggestion of how to weigh the rows; the bound is then
recounted in whole numbers, so that rounding can weaken it but never make it wrong (Neumaier and
Shcherbina, "Safe bounds in linear and mixed-integer linear programming", 2004).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray
from ortools.linear_solver.python.model_builder_helper import ModelBuilderHelper, ModelSolverHelper, Variable

from solver.model import WeekModel

WEIGHT = 2**20
"""Rows are weighed in whole multiples of one part of this."""
EXACT = 2**53
"""Whole numbers below this are exact as floating-point sums."""
ENDLESS = 2**62
"""CP-SAT's way to say that a row has no limit on one side is a number beyond this."""

Whole = NDArray[np.int64]
Fractions = NDArray[np.float64]
Row = tuple[Any, Any, int, int]
"""Variables, their coefficients, and the least and the most of their sum."""


@dataclass(frozen=True)
class Floor:
    """What no week can undercut."""

    value: int
    _dearer: Whole
    _share: Fractions

    def above(self, index: int) -> int:
        """How far above the bound at least a week is in which this variable is 1, in parts of a point."""
        return int(self._dearer[index])

    def share(self, index: int) -> float:
        """How much of this variable is in the best week in fractions that GLOP found; only a hint."""
        return float(self._share[index])

    def near(self, index: int, points: int) -> bool:
        """Whether this variable may be 1 at no more than so many points above the bound."""
        return bool(self._dearer[index] <= points * WEIGHT)


class Relaxation:
    """The linear rows of a model, to be asked for the bounds of its tiers."""

    def __init__(self, week: WeekModel) -> None:
        self._proto = week.model.proto
        rows = list(_rows(self._proto.constraints))
        sizes = [len(row[0]) for row in rows]
        self._row_of = np.repeat(np.arange(len(rows)), sizes)
        self._column_of = np.fromiter((i for row in rows for i in row[0]), np.int64, sum(sizes))
        self._factor = np.fromiter((f for row in rows for f in row[1]), np.int64, sum(sizes))
        self._least = np.array([max(row[2], -ENDLESS) for row in rows], np.int64)
        self._most = np.array([min(row[3], ENDLESS) for row in rows], np.int64)
        self._starts = np.concatenate([[0], np.cumsum(sizes)])
        self._totals = [total.index for total in week.total.values()]
        self._low, self._high = _limits(self._proto.variables)

    def floor(self, cost: int, most: int, seconds: float) -> Floor | None:
        """A bound for the variable with index ``cost`` in weeks where it is at most ``most``.

        None when there was no time for any. The costs of the tiers count as they are limited now.
        """
        low, high = self._low.copy(), self._high.copy()
        low[self._totals], high[self._totals] = _limits([self._proto.variables[i] for i in self._totals])
        high[cost] = min(high[cost], most)
        found = self._solved(cost, low, high, seconds)
        return found and self._recounted(cost, low, high, *found)

    def _solved(
        self, cost: int, low: Whole, high: Whole, seconds: float
    ) -> tuple[Fractions, Fractions] | None:
        """How GLOP weighs the rows, and what it would do in fractions."""
        glop = self._glop
        for index, (least, most) in enumerate(zip(low.tolist(), high.tolist(), strict=True)):
            glop.set_var_lower_bound(index, least)
            glop.set_var_upper_bound(index, most)
        glop.clear_objective()
        glop.set_var_objective_coefficient(cost, 1)
        solver = ModelSolverHelper("glop")
        solver.set_time_limit_in_seconds(seconds)
        solver.solve(glop)
        if not solver.has_solution():
            return None
        return np.asarray(solver.dual_values()), np.asarray(solver.variable_values())

    @cached_property
    def _glop(self) -> Any:
        """The rows as GLOP wants them; domains and objective are told with each question."""
        # Its published types do not know numpy's.
        glop: Any = ModelBuilderHelper()
        free = np.zeros(len(self._proto.variables))
        columns = glop.add_var_array_with_bounds(free, free, np.zeros(len(free), bool), "")
        by_column = np.array([Variable(glop, column) for column in columns], object)
        asked, factors = by_column[self._column_of], self._factor.astype(float)
        for row, (start, end) in enumerate(pairwise(self._starts.tolist())):
            index = glop.add_linear_constraint()
            glop.set_constraint_lower_bound(index, _open(self._least[row]))
            glop.set_constraint_upper_bound(index, _open(self._most[row]))
            glop.add_terms_to_constraint(index, asked[start:end].tolist(), factors[start:end].tolist())
        return glop

    def _recounted(
        self, cost: int, low: Whole, high: Whole, weights: Fractions, values: Fractions
    ) -> Floor | None:
        """The bound that follows from these weights, in whole numbers."""
        scaled = np.rint(weights * WEIGHT).astype(np.int64)
        # A weight counts towards the one limit of its row; without that limit it counts for nothing.
        scaled[(scaled > 0) & (self._least <= -ENDLESS)] = 0
        scaled[(scaled < 0) & (self._most >= ENDLESS)] = 0
        shares = scaled[self._row_of] * self._factor
        if np.abs(shares.astype(float)).sum() >= EXACT:
            return None
        left = -np.bincount(self._column_of, shares, len(low)).astype(np.int64)
        left[cost] += WEIGHT
        rows = np.where(scaled > 0, self._least, self._most)
        asked = [int(w) * int(r) for w, r in zip(scaled[scaled != 0], rows[scaled != 0], strict=True)]
        cheapest = np.where(left > 0, low, high)
        asked += [int(x) * int(at) for x, at in zip(left[left != 0], cheapest[left != 0], strict=True)]
        total = sum(asked)
        return Floor(-(-total // WEIGHT), np.where(low == 0, left, 0), values)


def _limits(variables: Iterable[Any]) -> tuple[Whole, Whole]:
    """The least and the most of each variable."""
    domains = [variable.domain for variable in variables]
    low = np.fromiter((domain[0] for domain in domains), np.int64, len(domains))
    return low, np.fromiter((domain[len(domain) - 1] for domain in domains), np.int64, len(domains))


def _open(limit: int) -> float:
    return float(limit) if abs(limit) < ENDLESS else float(np.copysign(np.inf, limit))


def _rows(constraints: Iterable[Any]) -> Iterator[Row]:
    """Every constraint that is linear as it stands; what hangs on a literal is left out."""
    for one in constraints:
        if one.has_interval():
            continue
        if one.has_linear():
            if not one.enforcement_literal:
                linear = one.linear
                domain = linear.domain
                yield linear.vars, linear.coeffs, domain[0], domain[len(domain) - 1]
        elif one.has_exactly_one():
            yield _literals(one.exactly_one.literals, 1, 1)
        elif one.has_at_most_one():
            yield _literals(one.at_most_one.literals, -ENDLESS, 1)
        elif one.has_bool_or():
            yield _literals([*one.bool_or.literals, *_not(one.enforcement_literal)], 1, ENDLESS)
        elif one.has_bool_and():
            for literal in one.bool_and.literals:
                yield _literals([literal, *_not(one.enforcement_literal)], 1, ENDLESS)


def _not(literals: Iterable[int]) -> list[int]:
    return [-literal - 1 for literal in literals]


def _literals(literals: Iterable[int], least: int, most: int) -> Row:
    """A sum of literals; one that is negated counts as one less its variable."""
    given = list(literals)
    negated = sum(literal < 0 for literal in given)
    return (
        [literal if literal >= 0 else -literal - 1 for literal in given],
        [1 if literal >= 0 else -1 for literal in given],
        least - negated if least > -ENDLESS else least,
        most - negated if most < ENDLESS else most,
    )
