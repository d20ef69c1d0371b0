"""Why something is left over: the rules named keep it out by themselves, and with any one gone it fits."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator
from itertools import islice

import pytest
from ortools.sat.python import cp_model

from service.bench import make
from solver.assemble import Chosen
from solver.candidates import Candidates, enumerate_candidates, narrowed
from solver.construct import construct
from solver.domain.plan import LeftOver
from solver.explain import left_over
from solver.model import build
from solver.outline import Go, Outline, Task
from solver.rules import RULES
from solver.words import freed_by

BETWEEN = {rule.key for rule in RULES if rule.between}

Week = tuple[Candidates, Chosen, tuple[LeftOver, ...]]


@pytest.fixture(scope="module", params=[("S", 1), ("S", 3), ("M", 2)], ids=lambda p: f"{p[0]} {p[1]}")
def week(request: pytest.FixtureRequest) -> Week:
    size, seed = request.param
    candidates = enumerate_candidates(Outline(make(size, seed).problem()))
    chosen = list(islice(construct(candidates, seed=1), 4))[-1]
    return candidates, chosen, left_over(candidates, chosen, math.inf)


def fits(candidates: Candidates, chosen: Chosen, go: Go, rules: Collection[str]) -> bool:
    """Whether a go fits beside all that stands, with only these of the rules between sittings."""
    tasks = {task for task in candidates.outline.tasks if task.go is go}
    stands = {(c.option, c.day) for c, _ in chosen.starts.values()}
    open_now = [c for c in candidates.all if c.task in tasks or (c.option, c.day) in stands]
    week = build(narrowed(candidates, open_now), BETWEEN - set(rules), costs=False)
    for task in tasks | set(chosen.starts):
        week.model.add(week.variables.placed(task) == 1)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    status = solver.solve(week.model)
    assert status in (cp_model.OPTIMAL, cp_model.INFEASIBLE)
    return bool(status == cp_model.OPTIMAL)


def beside_the_rest(week: Week) -> Iterator[tuple[Go, LeftOver]]:
    """The first of each wish that is left over (the later ones have its reason) though it has its places."""
    candidates, _, left = week
    seen: set[str] = set()
    for one in left:
        go = next(g for g in candidates.outline.goes if (g.wish.id, g.index) == (one.wish, one.go))
        if one.wish not in seen and not any(Task(go, i) in candidates.blocked for i in one.sittings):
            yield go, one
        seen.add(one.wish)


def test_the_rules_named_are_a_smallest_conflict(week: Week) -> None:
    candidates, chosen, _ = week
    asked = [(go, one) for go, one in beside_the_rest(week) if one.reason.rules]
    assert asked
    for go, one in asked:
        named = set(one.reason.rules)
        assert not fits(candidates, chosen, go, named), one.title
        for gone in named:
            assert fits(candidates, chosen, go, named - {gone}), (one.title, gone)


def test_what_no_rule_keeps_out_would_fit(week: Week) -> None:
    candidates, chosen, _ = week
    for go, one in beside_the_rest(week):
        if not one.reason.rules:
            assert fits(candidates, chosen, go, BETWEEN), one.title


def test_nobody_is_told_to_buy_what_there_is_no_money_for() -> None:
    outline = Outline(make("S", 1).problem())
    go = outline.goes[0]
    assert freed_by(outline, go, ("supplies", "money")) == freed_by(outline, go, ("money",))
    assert freed_by(outline, go, ("supplies",)) != freed_by(outline, go, ("money",))


def test_reasons_come_in_the_order_of_the_wishes(week: Week) -> None:
    candidates, _, left = week
    assert left
    names = [(go.wish.id, go.index) for go in candidates.outline.goes]
    places = [names.index((one.wish, one.go)) for one in left]
    assert places == sorted(places)
