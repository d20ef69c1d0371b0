"""A built model held to one plan: feasible exactly when the solver's rules allow that plan."""

from __future__ import annotations

from collections.abc import Collection

from ortools.sat.python import cp_model

from solver.candidates import Candidate, Candidates, enumerate_candidates
from solver.clock import slot_at
from solver.domain.plan import Booking, Plan
from solver.domain.week import Problem
from solver.model import WeekModel, build
from solver.outline import Outline


def rules_allow(problem: Problem, plan: Plan, without: Collection[str] = (), in_hand: bool = False) -> bool:
    """Whether the rules (but for those ``without``) let this very plan be.

    In a week ``in_hand`` goes keep their numbers, also when one between them has lost its place.
    """
    candidates = enumerate_candidates(Outline(problem))
    week = build(candidates, without=without, more=(lambda _: ()) if in_hand else None)
    if not _hold_bookings(week, candidates, {booking.id: booking for booking in plan.bookings}):
        return False
    laid = [booking for booking in plan.bookings if booking.alongside and "alongside" not in without]
    if not all(_hold_pair(week, booking) for booking in laid):
        return False
    _hold_prep(week, candidates, plan)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_deterministic_time = 10
    status = solver.solve(week.model)
    assert status != cp_model.MODEL_INVALID
    assert status != cp_model.UNKNOWN
    return status in (cp_model.OPTIMAL, cp_model.FEASIBLE)


def _hold_bookings(week: WeekModel, candidates: Candidates, by_id: dict[str, Booking]) -> bool:
    v, model = week.variables, week.model
    for task in candidates.outline.tasks:
        booking = by_id.get(task.name)
        meant = [c for c in v.of(task) if booking and _is(c, booking)]
        for candidate in v.of(task):
            if candidate not in meant:
                model.add(v.chosen(candidate) == 0)
        if booking and not meant:
            return False
        for candidate in meant:
            model.add(v.start(candidate) == slot_at(booking.start if booking else 0))
        if meant:
            model.add_exactly_one([v.chosen(candidate) for candidate in meant])
    return True


def _is(c: Candidate, booking: Booking) -> bool:
    return (
        c.day is booking.day
        and c.option.attends == booking.attends
        and c.option.place.id == booking.place
        and c.option.helpers == booking.helpers
        and c.option.minder == booking.minder
        and c.option.lighter == booking.lighter
        and set(c.along) == set(booking.along)
        and c.option.alongside == (booking.alongside is not None)
        and c.meal == booking.meal
        and c.may_start(slot_at(booking.start))
    )


def _hold_pair(week: WeekModel, booking: Booking) -> bool:
    laid = [
        literal
        for (listening, busy), literal in week.variables.pairs()
        if listening.name == booking.id and busy.name == booking.alongside
    ]
    week.model.add_bool_or(laid)
    return bool(laid)


def _hold_prep(week: WeekModel, candidates: Candidates, plan: Plan) -> None:
    done = {(one.wish, one.go, one.task): one.evening for one in plan.prep}
    for go in candidates.outline.goes:
        for task in go.activity.prep:
            for evening, literal in week.variables.evenings(go, task).items():
                week.model.add(literal == int(done.get((go.wish.id, go.index, task.id)) is evening))
