"""A week and its plan changed together, all or nothing, in a way that can be taken back."""

from __future__ import annotations

import datetime

from sqlalchemy import Connection, insert, select

from service.errors import NotFound, Stale
from service.store.history import Watched, next_version
from service.store.kept import Store, _load, _put, week_of
from service.store.moments import now
from service.store.tables import plans
from service.views import StoredPlan
from solver.domain.plan import Plan
from solver.domain.week import Week


def replan(store: Store, what: str, week: Week, plan: Plan, expected: int) -> int:
    """Keep the week with the plan that belongs to it; the new plan's number.

    Raises
    ------
    Stale
        When another plan than the expected one is the latest by now.
    """
    with store._change(what, Watched(plans, plans.c.week == week.id)) as connection:
        _expect_latest(connection, week.id, expected)
        if week_of(store._current(connection).document, week.id) != week:
            _put(connection, week.id, week.model_dump_json(), next_version(connection))
        # Read anew, not from what the store remembers: this may still be rolled back.
        made_from = _load(connection).made_from(week.id)
        return _insert(connection, week.id, plan, made_from)


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
        raise Stale(
            "the week was changed in the meantime, perhaps on another device; look again, then choose"
        )


def _insert(connection: Connection, week_id: str, plan: Plan, made_from: str) -> int:
    row = {
        "week": week_id, "made_at": now().isoformat(), "made_from": made_from, "body": plan.model_dump_json(),
    }  # fmt: skip
    return int(connection.execute(insert(plans).values(**row)).lastrowid)
