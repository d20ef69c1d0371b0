"""What hangs on a single day in a plan, worked out after the plan was kept."""

from __future__ import annotations

from pydantic import TypeAdapter
from sqlalchemy import and_, delete, insert, select

from service.store.kept import Store
from service.store.mend_tables import plan_hangs
from service.store.offers import RestsOn
from service.views import StoredPlan
from solver.domain.plan import Hang

_HANGS = TypeAdapter(tuple[Hang, ...])


def keep_hangs(store: Store, rests_on: RestsOn, hangs: tuple[Hang, ...]) -> None:
    """Remember it for the plan it was worked out for; that of other plans of the week goes."""
    with store._write() as connection:
        connection.execute(delete(plan_hangs).where(plan_hangs.c.week == rests_on.week))
        body = _HANGS.dump_json(hangs).decode()
        row = {
            "plan_id": rests_on.plan_id, "week": rests_on.week, "made_from": rests_on.made_from, "body": body,
        }  # fmt: skip
        connection.execute(insert(plan_hangs).values(**row))


def hangs_of(store: Store, stored: StoredPlan) -> tuple[Hang, ...] | None:
    """What hangs in a plan; None while that is not known, or when the week has changed since."""
    if not stored.is_current:
        return None
    if stored.plan.hangs is not None:
        return stored.plan.hangs
    with store._read() as connection:
        made_from = store._current(connection).made_from(stored.plan.week)
        wanted = and_(plan_hangs.c.plan_id == stored.id, plan_hangs.c.made_from == made_from)
        body = connection.scalar(select(plan_hangs.c.body).where(wanted))
    return None if body is None else _HANGS.validate_json(body)
