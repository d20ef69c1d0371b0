"""A week and its plan changed together, all or nothing, in a way that can be taken back."""

from __future__ import annotations

import datetime
from typing import NamedTuple, Protocol

from pydantic import ValidationError
from sqlalchemy import Connection, insert, select

from service.errors import NotFound, Stale
from service.store.history import Watched, next_version
from service.store.kept import Store, _load, _put, week_of
from service.store.moments import now
from service.store.tables import plans
from service.views import StoredPlan
from solver.check import check
from solver.domain.plan import Plan
from solver.domain.week import Week

_CHANGED = "the week was changed in the meantime, perhaps on another device; look again, then choose"


class WeekAndPlan(Protocol):
    """A week with the plan that belongs to it."""

    @property
    def week(self) -> Week: ...

    @property
    def plan(self) -> Plan: ...


class Both(NamedTuple):
    """The same, put together by hand."""

    week: Week
    plan: Plan


def replan(store: Store, what: str, both: WeekAndPlan, latest: int, made_from: str) -> int:
    """Keep the week with the plan that belongs to it; the new plan's number.

    Raises
    ------
    Stale
        When another plan is the latest by now, or what the week rests on was changed meanwhile.
    """
    week = both.week
    with store._change(what, Watched(plans, plans.c.week == week.id)) as connection:
        _expect_latest(connection, week.id, latest)
        current = store._current(connection)
        if current.made_from(week.id) != made_from:
            raise Stale(_CHANGED)
        if week_of(current.document, week.id) != week:
            _put(connection, week.id, week.model_dump_json(), next_version(connection))
        return _insert(connection, week.id, both.plan, _rests_on(connection, both))


def _rests_on(connection: Connection, both: WeekAndPlan) -> str:
    """What the plan is made from; nothing that there is, when it does not hold in the week as it now is.

    That is so when something is held in a plan that was overtaken before.
    """
    try:
        # Read anew, not from what the store remembers: this may still be rolled back.
        after = _load(connection)
    except ValidationError as error:
        raise Stale(_CHANGED) from error
    holds = not check(after.document.problem(both.week.id), both.plan)
    return after.made_from(both.week.id) if holds else ""


def bring_back(store: Store, week_id: str, plan_id: int, expected: int) -> int:
    """Let an earlier plan of a week be the latest again."""
    with store._change(
        "an earlier week was brought back", Watched(plans, plans.c.week == week_id)
    ) as connection:
        _expect_latest(connection, week_id, expected)
        wanted = (plans.c.week == week_id) & (plans.c.id == plan_id)
        row = connection.execute(select(plans).where(wanted)).one_or_none()
        if row is None:
            raise NotFound("that earlier week is not kept any more")
        return _insert(connection, week_id, Plan.model_validate_json(row.body), row.made_from)


def plan_before(store: Store, week_id: str) -> StoredPlan | None:
    """The plan that was the latest before the latest."""
    with store._read() as connection:
        newest = select(plans).where(plans.c.week == week_id).order_by(plans.c.id.desc())
        row = connection.execute(newest.offset(1).limit(1)).one_or_none()
        if row is None:
            return None
        return StoredPlan(
            id=row.id,
            made_at=datetime.datetime.fromisoformat(row.made_at),
            is_current=row.made_from == store._current(connection).made_from(week_id),
            plan=Plan.model_validate_json(row.body),
        )


def _expect_latest(connection: Connection, week_id: str, expected: int) -> None:
    newest = select(plans.c.id).where(plans.c.week == week_id).order_by(plans.c.id.desc()).limit(1)
    latest = connection.scalar(newest)
    if latest != expected:
        raise Stale(_CHANGED)


def _insert(connection: Connection, week_id: str, plan: Plan, made_from: str) -> int:
    row = {
        "week": week_id, "made_at": now().isoformat(), "made_from": made_from, "body": plan.model_dump_json(),
    }  # fmt: skip
    return int(connection.execute(insert(plans).values(**row)).lastrowid)
