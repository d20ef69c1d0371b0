"""Within the chosen days and stretches: everything as early as it can be, in the usual order."""

from __future__ import annotations

from collections.abc import Mapping

from ortools.sat.python import cp_model

from solver.assemble import Chosen, read
from solver.candidates import Candidate, Candidates, narrowed
from solver.clock import DAY_SLOTS
from solver.engine import engine
from solver.model import WeekModel, build
from solver.variables import Linear, total

TIDY_SECONDS = 0.5
"""In deterministic time: the same week on any machine."""


def tidy(candidates: Candidates, chosen: Chosen, seed: int, were: Mapping[str, int] | None = None) -> Chosen:
    """The same week with its starts set in order; the given one when there is no time for that.

    With ``were`` (booking id → day slot) starts stay as near as they can to what they were.
    """
    if not chosen.starts:
        return chosen
    kept = narrowed(candidates, [candidate for candidate, _ in chosen.starts.values()])
    # A week that is mended keeps the numbers of its goes, whichever of them are left.
    week = build(kept, costs=False, more=None if were is None else lambda _: ())
    _keep(week, chosen)
    if were is None:
        weighed = [_weight(kept, c) * week.variables.start(c) for c in kept.all]
    else:
        weighed = [_shift(week, c, were.get(c.task.name, c.first)) for c in kept.all]
    week.model.minimize(total(weighed))
    solver = engine()
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = TIDY_SECONDS
    status = solver.solve(week.model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return chosen
    return read(week.variables, solver.value)


def _shift(week: WeekModel, c: Candidate, was: int) -> Linear:
    shift = week.model.new_int_var(0, DAY_SLOTS, f"shift {c.task.name}")
    week.model.add_abs_equality(shift, week.variables.start(c) - was)
    return shift


def _keep(week: WeekModel, chosen: Chosen) -> None:
    v = week.variables
    for task in chosen.starts:
        week.model.add(v.placed(task) == 1)
    for go in v.outline.goes:
        for prep in go.activity.prep:
            for evening, literal in v.evenings(go, prep).items():
                week.model.add(literal == int(chosen.evenings.get((go, prep.id)) is evening))
    for (listening, busy), literal in v.pairs():
        week.model.add(literal == int(chosen.over.get(listening) == busy))
    for c in v.candidates.all:
        week.model.add_hint(v.start(c), chosen.starts[c.task][1])


def _weight(candidates: Candidates, c: Candidate) -> int:
    """What usually comes first in its stretch pulls harder towards the front."""
    for stretch in candidates.outline.problem.household.stretches:
        if stretch.id == c.stretch and c.task.go.activity.kind in stretch.usual_kinds:
            return 1 + len(stretch.usual_kinds) - stretch.usual_kinds.index(c.task.go.activity.kind)
    return 1
