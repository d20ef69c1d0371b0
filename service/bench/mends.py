"""Mends in the bench: random mishaps that befall a solved week, and how soon they are answered."""

from __future__ import annotations

import time
from collections.abc import Callable
from random import Random

from service.bench.record import Mended
from solver.domain.base import DAYS, Day, Moment
from solver.domain.mishap import DayLost, Late, Mending, Mishap, Missing, NapFailed, Offer, Refused, SkyTurned
from solver.domain.plan import Plan
from solver.domain.week import Problem

MEND_SECONDS = 5.0
MORNING, FORENOON = 7 * 60, 9 * 60 + 30

Draw = Callable[[Random, Problem, Plan, Day], Mishap | None]


def _day_lost(random: Random, problem: Problem, plan: Plan, day: Day) -> Mishap:
    return DayLost(day=day)


def _child_ill(random: Random, problem: Problem, plan: Plan, day: Day) -> Mishap:
    learners = [child.id for child in problem.household.children if child.learner]
    return DayLost(day=day, children=(random.choice(learners),))


def _nap_failed(random: Random, problem: Problem, plan: Plan, day: Day) -> Mishap | None:
    nappers = [child.id for child in problem.household.children if child.naps]
    return NapFailed(child=random.choice(nappers), day=day) if nappers else None


def _late(random: Random, problem: Problem, plan: Plan, day: Day) -> Mishap:
    return Late(minutes=random.choice((20, 30, 45)))


def _missing(random: Random, problem: Problem, plan: Plan, day: Day) -> Mishap | None:
    used = {b.activity for b in plan.bookings if b.day.index >= day.index}
    needs = {
        need.material
        for activity in problem.activities
        if activity.id in used
        for sitting in activity.sittings
        for need in sitting.needs
    }
    return Missing(what=random.choice(sorted(needs))) if needs else None


def _rain(random: Random, problem: Problem, plan: Plan, day: Day) -> Mishap:
    return SkyTurned(day=day, start=MORNING, end=20 * 60, wet=True)


def _refused(random: Random, problem: Problem, plan: Plan, day: Day) -> Mishap | None:
    ahead = [b for b in plan.bookings if b.day is day and b.start >= FORENOON and b.attends]
    if not ahead:
        return None
    booking = random.choice(ahead)
    return Refused(booking=booking.id, child=random.choice(booking.attends).child, reason="too tired")


DRAWS: tuple[Draw, ...] = (_day_lost, _child_ill, _nap_failed, _late, _missing, _rain, _refused)


def random_mishaps(problem: Problem, plan: Plan, seed: int, count: int) -> list[tuple[Mishap, Moment]]:
    """What happens, and when it is known; the same for the same seed."""
    random = Random(f"mishaps {seed}")
    found: list[tuple[Mishap, Moment]] = []
    while len(found) < count:
        draw, day = random.choice(DRAWS), random.choice(DAYS[:4])
        mishap = draw(random, problem, plan, day)
        if mishap is not None:
            during = isinstance(mishap, Late | Refused)
            found.append((mishap, Moment(day=day, time=FORENOON if during else MORNING)))
    return found


def mends(problem: Problem, plan: Plan, seed: int, count: int, workers: int) -> tuple[Mended, ...]:
    """Each mishap by itself, on the same week."""
    happened = random_mishaps(problem, plan, seed, count)
    return tuple(_mended(problem, plan, mishap, at, workers) for mishap, at in happened)


def _mended(problem: Problem, plan: Plan, mishap: Mishap, at: Moment, workers: int) -> Mended:
    from solver.mend import mend

    came: list[tuple[float, Offer]] = []
    began = time.monotonic()
    mending = mend(
        problem,
        plan,
        [mishap],
        at=at,
        seconds=MEND_SECONDS,
        workers=workers,
        on_offer=lambda offer: came.append((time.monotonic() - began, offer)),
    )
    return Mended(
        kind=mishap.kind,
        first_s=round(came[0][0], 3),
        proved_s=_proved(mending, came),
        total_s=round(time.monotonic() - began, 3),
        changes=mending.offers[0].changes_bound.value,
        violations=sum(_faults(problem, offer) for offer in mending.offers),
    )


def _proved(mending: Mending, came: list[tuple[float, Offer]]) -> float | None:
    """When the offer that is shown first came, if its changes are proved the fewest of its kind."""
    best = mending.offers[0]
    if not best.changes_bound.proved:
        return None
    return next(round(seconds, 3) for seconds, offer in came if offer == best)


def _faults(problem: Problem, offer: Offer) -> int:
    from solver.check import check

    return len(check(problem.model_copy(update={"week": offer.week}), offer.plan))
