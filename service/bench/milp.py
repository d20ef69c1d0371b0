"""A general-purpose MILP on a time-indexed model, solved by HiGHS: the second baseline, for small weeks.

What it models: one 0-1 variable for each candidate and start, by the quarter of an hour (``COARSE``).
Promises and staples must be kept as well as ours are, then the worth tier (worth, balance, fairness) is
minimised in one solve. Rules that concern one sitting alone are in the candidates, as for everybody.
Modelled here: each sitting once, whole goes, waits, one thing at a time, breaks, focus of a day, adult
hands with what is fixed, room, tools, mess of day and week, theme things, white space, distance between
goes, trays and pegs, prep minutes, money. Left out: a baby's hands, minders, ``after``, ``opens_theme``,
when supplies come, listening laid over busy hands (those candidates are dropped). The checker judges the
plan all the same; its faults are shown.
"""

from __future__ import annotations

import importlib
from collections.abc import Iterable
from typing import Any

from service.bench.milp_rows import FREE, ROWS, Model, Sum, add, minus
from solver.assemble import Chosen, bookings, prep, waiting
from solver.candidates import Candidate, enumerate_candidates
from solver.clock import SLOT_MIN
from solver.domain.base import Day
from solver.domain.plan import Plan
from solver.domain.week import Problem, Rank
from solver.outline import Outline, Task
from solver.rules.soft import AREA_OFF, LIGHTER, LIVELY, UNFAIR, WORTH
from solver.shopping import purchases

NOON = 12 * 60 // SLOT_MIN


def milp_plan(problem: Problem, seconds: float, upper: tuple[int, int]) -> Plan | None:
    """The plan that HiGHS finds in so many seconds, if any; ``upper``: the promises and staples to reach."""
    outline = Outline(problem)
    everything = enumerate_candidates(outline)
    usable = {
        task: [c for c in found if not c.option.alongside] for task, found in everything.by_task.items()
    }
    model = Model(outline, usable)
    for part in (*ROWS, _worth, _balance, _fairness):
        part(model)
    _upper_tiers(model, upper)
    values = _solved(model, seconds)
    return None if values is None else _plan(model, values)


def _worth(m: Model) -> None:
    """12 × worth for each sitting of an extra that is missing, less for a lighter or split one."""
    for go in m.outline.goes:
        points, count = WORTH * go.wish.worth, len(go.activity.sittings)
        for sitting in range(count):
            for c, _, i in m.of[Task(go, sitting)]:
                cast = m.outline.cast(go, c.option.sitting)
                absent = len(cast) - len(c.option.children) if cast else 0
                m.cost[i] += points * absent // len(cast) if cast else 0
                m.cost[i] += LIGHTER * go.wish.worth if c.option.lighter else 0
                if go.wish.rank is Rank.EXTRA:
                    m.cost[i] -= points * (count if c.option.lighter else 1)


def _balance(m: Model) -> None:
    home, before = m.outline.problem.household, m.outline.problem.week.times_before
    for child in m.outline.presence.learners:
        for area in home.areas:
            met = {
                i: 1.0
                for (c, _), i in m.x.items()
                if child.id in c.option.children and area.id in c.task.go.activity.areas
            }
            had = before.get(child.id, {}).get(area.id, 0)
            off = m.column(AREA_OFF, FREE, whole=False)
            m.row({**met, off: 1.0}, least=area.least_times - had)
            m.row({**minus(met), off: 1.0}, least=had - area.most_times)


def _fairness(m: Model) -> None:
    learners = m.outline.presence.learners
    if len(learners) < 2:
        return
    most, least = m.column(UNFAIR, FREE, whole=False), m.column(-UNFAIR, FREE, whole=False)
    for child in learners:
        meant, there = 0.0, {}
        for go in m.outline.goes:
            if go.wish.rank is not Rank.EXTRA:
                continue
            mine = [s for s in go.activity.sittings if child.id in m.outline.cast(go, s)]
            meant += go.wish.worth * len(mine)
            for sitting in range(len(go.activity.sittings)):
                for c, _, i in m.of[Task(go, sitting)]:
                    goes = len(mine) if c.option.lighter else int(child.id in c.option.children)
                    there[i] = float(go.wish.worth * goes)
        m.row({**there, most: 1.0}, least=meant)
        m.row({**there, least: 1.0}, most=meant)


def _upper_tiers(m: Model, upper: tuple[int, int]) -> None:
    promises, staples = upper
    for rank, most in ((Rank.PROMISE, promises), (Rank.STAPLE, staples)):
        goes = [go for go in m.outline.goes if go.wish.rank is rank]
        row: Sum = {}
        for go in goes:
            add(row, m.kept(go), 1.0)
        if rank is Rank.STAPLE:
            add(row, _outdoors(m), 1.0)
            most -= len(m.outline.problem.week.teaching_days) * _wanted(m)
        m.row(row, least=len(goes) - most)


def _wanted(m: Model) -> int:
    return min(2, m.outline.limits.outdoor_times_a_day)


def _outdoors(m: Model) -> Sum:
    """Minus the halves of days that lack going out (less what is wanted), by auxiliary variables."""
    found: Sum = {}
    for day in m.outline.problem.week.teaching_days:
        out = m.column(upper=_wanted(m))
        row = {out: 1.0}
        for afternoon in (False, True):
            half = m.column()
            row[half] = -1.0
            there = [
                i
                for (c, slot), i in m.x.items()
                if c.day is day and (slot >= NOON) == afternoon and _is_out(c)
            ]
            m.row({half: 1.0, **dict.fromkeys(there, -1.0)}, most=int(_out_anyway(m, day, afternoon)))
        m.row(row, most=0)
        found[out] = 1.0
    return found


def _is_out(c: Candidate) -> bool:
    return c.option.place.outdoors and c.task.go.activity.energy >= LIVELY


def _out_anyway(m: Model, day: Day, afternoon: bool) -> bool:
    points = m.outline.presence.points_on(day)
    return any(p.outdoors and (p.start >= NOON * SLOT_MIN) == afternoon for p in points)


def _solved(m: Model, seconds: float) -> list[float] | None:
    """Hand everything to HiGHS (typed only from 3.12 on, so by name)."""
    highspy: Any = importlib.import_module("highspy")
    solver = highspy.Highs()
    solver.silent()
    solver.setOptionValue("time_limit", seconds)
    solver.setOptionValue("threads", 1)
    solver.passModel(_lp(highspy, m))
    solver.run()
    if solver.getInfo().primal_solution_status != highspy.SolutionStatus.kSolutionStatusFeasible:
        return None
    return list(solver.getSolution().col_value)


def _lp(highspy: Any, m: Model) -> Any:
    lp = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = len(m.cost), len(m.rows)
    lp.col_cost_, lp.col_lower_, lp.col_upper_ = m.cost, [0.0] * len(m.cost), m.upper
    lp.row_lower_ = [least for least, _, _ in m.rows]
    lp.row_upper_ = [most for _, most, _ in m.rows]
    kinds = highspy.HighsVarType
    lp.integrality_ = [kinds.kInteger if whole else kinds.kContinuous for whole in m.whole]
    starts, index, value = _compressed(terms for _, _, terms in m.rows)
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.num_col_, lp.a_matrix_.num_row_ = lp.num_col_, lp.num_row_
    lp.a_matrix_.start_, lp.a_matrix_.index_, lp.a_matrix_.value_ = starts, index, value
    return lp


def _compressed(rows: Iterable[Sum]) -> tuple[list[int], list[int], list[float]]:
    starts, index, value = [0], [], []
    for terms in rows:
        index += list(terms.keys())
        value += list(terms.values())
        starts.append(len(index))
    return starts, index, value


def _plan(m: Model, values: list[float]) -> Plan:
    chosen = Chosen({}, {}, {})
    for (c, slot), i in m.x.items():
        if values[i] > 0.5:
            chosen.starts[c.task] = (c, slot)
    for (go, task, evening), i in m.evenings.items():
        if values[i] > 0.5:
            chosen.evenings[go, task] = evening
    return Plan(
        week=m.outline.problem.week.id,
        bookings=bookings(m.outline, chosen),
        prep=prep(m.outline, chosen),
        waiting=waiting(m.outline, chosen),
        shopping=purchases(m.outline, chosen),
    )
