"""First weeks: the checker accepts them, and the model (implied constraints included) lets them be."""

from __future__ import annotations

from itertools import islice

import pytest
from ortools.sat.python import cp_model

from service.bench import make
from solver.assemble import Chosen, bookings, decisions
from solver.candidates import Candidates, enumerate_candidates
from solver.check import check, costs
from solver.construct import construct
from solver.domain.plan import Progress, State
from solver.domain.week import Problem
from solver.model import build
from solver.outline import Outline, Task
from solver.parts import SEEN_TO
from solver.rules.soft import worth_points
from solver.running import Search, Stop
from solver.search import A_TURN_FOR, MORE_WEEKS, TURNS, first_weeks, make_plan, solve
from tests.solver.demo_weeks import problem_of, raw

MADE = [("S", 1), ("S", 2), ("M", 1)]
"""In these a stretch reaches over a fixed point, which once made an implied sum of minutes too strict."""


def problems() -> list[Problem]:
    demos = [problem_of(raw(name)) for name in ("small", "pond-week", "bread-week", "broken-promise")]
    return demos + [make(size, seed).problem() for size, seed in MADE]


def allowed(candidates: Candidates, chosen: Chosen) -> bool:
    """Whether the model with these decisions fixed has a solution."""
    week = build(candidates)
    for index, value in decisions(week.variables, chosen).items():
        week.model.add(week.model.get_int_var_from_proto_index(index) == value)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_deterministic_time = 10
    return solver.solve(week.model) in (cp_model.OPTIMAL, cp_model.FEASIBLE)


@pytest.mark.parametrize("problem", problems(), ids=lambda p: f"{p.household.name} {p.week.theme}")
def test_a_first_week_passes_the_checker_and_the_model(problem: Problem) -> None:
    candidates = enumerate_candidates(Outline(problem))
    chosen = list(islice(construct(candidates, seed=1), 2))[-1]
    assert chosen.starts
    assert check(problem, make_plan(candidates, chosen, [])) == []
    assert allowed(candidates, chosen)


@pytest.mark.parametrize("problem", problems(), ids=lambda p: f"{p.household.name} {p.week.theme}")
def test_weeks_put_together_anew_pass_too_and_cost_what_the_checker_counts(problem: Problem) -> None:
    candidates = enumerate_candidates(Outline(problem))
    *_, chosen = islice(construct(candidates, seed=1), 20)
    plan = make_plan(candidates, chosen, [])
    assert check(problem, plan) == []
    told = {task: candidate for task, (candidate, _) in chosen.starts.items()}
    counted = sum(cost.amount for cost in costs(problem, plan) if cost.tier == "worth")
    assert worth_points(candidates.outline, told) == counted


def test_the_model_refuses_a_first_week_that_is_bent() -> None:
    """The question can be answered with no: two bookings of one child at one time."""
    problem = problem_of(raw("small"))
    candidates = enumerate_candidates(Outline(problem))
    chosen = next(construct(candidates, seed=1))
    (first, (where, slot)), *others = chosen.starts.items()
    for task, (other, _) in others:
        shared = other.day is where.day and set(other.option.children) & set(where.option.children)
        if shared and other.option.in_room and where.option.in_room and other.may_start(slot):
            bent = {**chosen.starts, task: (other, slot)}
            assert not allowed(candidates, Chosen(bent, {}, chosen.evenings)), first.name
            return
    pytest.fail("the demo has two bookings that could collide")


@pytest.mark.parametrize("seed", [2, 3])
def test_what_the_best_week_so_far_lacks_is_seen_to_first(seed: int) -> None:
    """Monday's circle and the only slots outdoors on Monday are taken unless they are kept free."""
    problem = make("M", seed).problem()
    candidates = enumerate_candidates(Outline(problem))
    *_, chosen = islice(construct(candidates, seed=seed), 20)
    found = costs(problem, make_plan(candidates, chosen, []))
    assert [cost for cost in found if cost.tier in SEEN_TO and cost.amount] == []


@pytest.mark.parametrize("problem", problems()[:4], ids=lambda p: f"{p.household.name} {p.week.theme}")
def test_what_is_told_of_a_first_week_is_true_of_the_best(problem: Problem) -> None:
    told: list[Progress] = []
    plan = solve(problem, seconds=20, workers=1, on_progress=told.append)
    proved = {tier.name: tier.value for tier in plan.tiers if tier.proved}
    for progress in told:
        if progress.tier in SEEN_TO and progress.value == progress.bound:
            assert proved[progress.tier] == progress.value


def test_the_same_seed_makes_the_same_first_week() -> None:
    candidates = enumerate_candidates(Outline(problem_of(raw("small"))))
    one, other = (next(construct(candidates, seed=3)) for _ in range(2))
    assert one == other


@pytest.mark.parametrize("problem", problems()[1:], ids=lambda p: f"{p.household.name} {p.week.theme}")
def test_what_is_held_firm_keeps_its_number_among_its_like(problem: Problem) -> None:
    """Goes of one wish are numbered by time; one that stays where it is can take no other's place."""
    candidates = enumerate_candidates(Outline(problem))
    *_, chosen = islice(construct(candidates, seed=1), 10)
    usual = make_plan(candidates, chosen, []).bookings
    often = [one for one in usual if sum(one.wish == b.wish and b.sitting == 0 for b in usual) > 1]
    for booking in often[::3]:
        held = booking.model_copy(update={"state": State.FIRM})
        week = problem.week.model_copy(update={"firm": (held,)})
        with_firm = problem.model_copy(update={"week": week})
        candidates = enumerate_candidates(Outline(with_firm))
        *_, chosen = islice(construct(candidates, seed=2), 6)
        plan = make_plan(candidates, chosen, [])
        assert check(with_firm, plan) == []
        assert len(plan.bookings) > len(usual) / 2


def test_a_second_go_held_at_the_very_first_start_stays_there() -> None:
    """Nothing can come before it, so the first go has no place; the one held firm must not go with it."""
    problem = make("S", 1).problem()
    candidates = enumerate_candidates(Outline(problem))
    second = next(go for go in candidates.outline.goes if go.index == 1 and go.day is None)
    task = Task(second, 0)
    earliest = min(
        (c for c in candidates.by_task[task] if not c.option.alongside), key=lambda c: c.week_first
    )
    (there,) = bookings(candidates.outline, Chosen({task: (earliest, earliest.first)}, {}, {}))
    held = there.model_copy(update={"state": State.FIRM})
    week = problem.week.model_copy(update={"firm": (held,)})
    plan = solve(problem.model_copy(update={"week": week}), seconds=3, workers=1)
    assert (held.day, held.start) in [(one.day, one.start) for one in plan.bookings if one.id == held.id]
    assert second.wish.id in {left.wish for left in plan.left_over}


def test_the_lighter_way_is_none_where_a_later_step_is_held_firm() -> None:
    """It stands for the whole, so the step that was set by hand would be gone."""
    problem = problem_of(raw("pond-week"))
    wishes = tuple(one.model_copy(update={"lighter_ok": True}) for one in problem.week.wishes)
    week = problem.week.model_copy(update={"wishes": wishes})
    usual = enumerate_candidates(Outline(problem.model_copy(update={"week": week})))
    go = next(one for one in usual.outline.goes if one.activity.lighter and len(one.activity.sittings) > 1)
    assert any(c.option.lighter for c in usual.by_task[Task(go, 0)])
    step = usual.by_task[Task(go, 1)][0]
    (there,) = bookings(usual.outline, Chosen({step.task: (step, step.first)}, {}, {}))
    week = week.model_copy(update={"firm": (there.model_copy(update={"state": State.FIRM}),)})
    held = enumerate_candidates(Outline(problem.model_copy(update={"week": week})))
    assert not any(c.option.lighter for c in held.all if c.task.go.name == go.name)
    assert any(c.task.name == there.id for c in held.all)


@pytest.mark.parametrize("problem", problems(), ids=lambda p: f"{p.household.name} {p.week.theme}")
def test_turns_end_when_they_bring_nothing_better(problem: Problem) -> None:
    candidates = enumerate_candidates(Outline(problem))
    patience = min(TURNS, len(candidates.all) // A_TURN_FOR)
    weeks = list(first_weeks(begun(), candidates))
    assert len(weeks) <= 1 + MORE_WEEKS
    if len(weeks) <= MORE_WEEKS:
        assert all(one is weeks[-1] for one in weeks[-1 - patience :])
        assert all(one is not weeks[-1] for one in weeks[: -1 - patience])


def test_who_cancels_gets_the_very_first() -> None:
    problem = problem_of(raw("small"))
    candidates = enumerate_candidates(Outline(problem))
    assert len(list(first_weeks(begun(stop=lambda: True), candidates))) == 1


def begun(stop: Stop = lambda: False) -> Search:
    """A search that counts turns, not seconds."""
    return Search(10.0, 1, 1, lambda _: None, stop)
