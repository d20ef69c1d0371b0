"""A small house for one mishap at a time: Ada and Ben, Mia who leads, Noah on two mornings; a class on
Tuesday, lunch every day."""

from __future__ import annotations

from typing import Any

from solver.check import check
from solver.domain.base import DAYS, Day
from solver.domain.mishap import (
    Mending,
    Mishap,
    Offer,
)
from solver.domain.people import Hours
from solver.domain.plan import Booking, Plan
from solver.domain.week import Problem
from solver.mend import mend
from tests.solver import weeks
from tests.solver.mending import moment, week_of, where

MONDAY, TUESDAY, WEDNESDAY, THURSDAY, FRIDAY, SATURDAY, SUNDAY = DAYS
NOAH = weeks.NOAH.model_copy(
    update={
        "hours": (Hours.model_validate({"days": ["tuesday", "wednesday"], "start": "08:00", "end": "12:00"}),)
    }
)
CLASS = weeks.point(
    "class", "15:00", "15:45", children=("ada",), adults=("mia",), days=("tuesday",), travel_before_min=10
)


def activity(name: str, minutes: int = 10, help: int = 1, **changes: Any) -> Any:
    sitting = {key: changes.pop(key) for key in ("places", "setup_min", "mess", "needs") if key in changes}
    return weeks.activity(name, weeks.sitting(minutes, help, **sitting), **changes)


def house(*wanted: Any, **week: Any) -> Problem:
    week.setdefault("teaching_days", DAYS[:4])
    return weeks.problem(*wanted, **week)


def booked(problem: Problem, *bookings: Booking) -> Plan:
    plan = weeks.plan(problem, *bookings)
    assert check(problem, plan) == []
    return plan


def mended(problem: Problem, plan: Plan, mishap: Mishap, at: str | None = None) -> Mending:
    day, _, time = (at or "").partition("@")
    now = moment(Day(day), time) if at else None
    mending = mend(problem, plan, [mishap], at=now, seconds=3, workers=1)
    for offer in mending.offers:
        assert check(week_of(problem, offer), offer.plan) == []
    return mending


def there(offer: Offer, name: str) -> Booking | None:
    return next((one for one in offer.plan.bookings if one.id == name), None)


def unchanged(offer: Offer, plan: Plan) -> bool:
    return sorted(map(where, offer.plan.bookings)) == sorted(map(where, plan.bookings))
