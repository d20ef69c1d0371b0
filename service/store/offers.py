"""Mends that were worked out: kept with the plan they belong to, accepted once, never shown when stale."""

from __future__ import annotations

import json
import uuid
from collections.abc import Sequence
from typing import Any, NamedTuple

from sqlalchemy import ColumnElement, Connection, Row, and_, delete, func, insert, select

from service.errors import NotFound, Stale
from service.store.history import Watched, next_version
from service.store.kept import Store, _expect, _load, _put, week_of, write_plan
from service.store.mend_tables import mend_offers
from service.store.moments import now
from service.store.tables import plans
from solver.domain.base import Frozen, Id, Moment, Text
from solver.domain.mishap import Mending, Mishap, Offer
from solver.domain.week import Week

ASKED_KEPT = 8
"""So many answers to somebody's question are kept for each week."""


class KeptOffer(Frozen):
    """An offer that can be accepted."""

    id: Id
    offer: Offer


class Happened(Frozen):
    """What went otherwise than planned, and when that was seen."""

    mishaps: tuple[Mishap, ...]
    at: Moment | None = None


class Kept(Frozen):
    """What happened, or may happen, with the offers for it."""

    title: Text = ""
    """As a parent would say it; only for what was made ahead."""
    happened: Happened
    offers: tuple[KeptOffer, ...]


class RestsOn(NamedTuple):
    """What offers were worked out from, as it was then; the week may be another by now."""

    week: Id
    plan_id: int
    made_from: str


class Accepted(NamedTuple):
    """The new version of the week, and the number of its new plan."""

    version: int
    plan_id: int


class Offers:
    """The offers of one store."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def keep(self, rests_on: RestsOn, mending: Mending, title: str = "") -> Kept:
        """Keep offers for a plan; those of older plans and the oldest answers go.

        Raises
        ------
        NotFound
            When the plan is not the latest of its week any more.
        """
        asked = uuid.uuid4().hex
        happened = Happened(mishaps=mending.mishaps, at=mending.at)
        week_id, plan_id, made_from = rests_on
        with self._store._write() as connection:
            if _latest(connection, week_id) != plan_id:
                raise NotFound(f"the week {week_id} was planned anew in the meantime; ask again")
            self._forget(connection, week_id, plan_id)
            kept = []
            for number, offer in enumerate(mending.offers):
                one = KeptOffer(id=uuid.uuid4().hex, offer=offer)
                row = {
                    "id": one.id, "asked": asked, "number": number, "week": week_id, "plan_id": plan_id,
                    "made_from": made_from, "made_at": now().isoformat(), "title": title,
                    "happened": happened.model_dump_json(), "body": offer.model_dump_json(),
                }  # fmt: skip
                connection.execute(insert(mend_offers).values(**row))
                kept.append(one)
        return Kept(title=title, happened=happened, offers=tuple(kept))

    def _forget(self, connection: Connection, week_id: str, plan_id: int) -> None:
        mine = mend_offers.c.week == week_id
        connection.execute(delete(mend_offers).where(and_(mine, mend_offers.c.plan_id != plan_id)))
        answers = select(mend_offers.c.asked).where(and_(mine, mend_offers.c.title == ""))
        newest = answers.group_by(mend_offers.c.asked).order_by(func.max(mend_offers.c.made_at).desc())
        old = connection.scalars(newest.offset(ASKED_KEPT - 1)).all()
        connection.execute(delete(mend_offers).where(mend_offers.c.asked.in_(old)))

    def forget_ready(self, week_id: str, wanted: Sequence[str]) -> None:
        """What was made ahead for another day goes."""
        other = mend_offers.c.title.not_in([*wanted, ""])
        with self._store._write() as connection:
            connection.execute(delete(mend_offers).where(and_(mend_offers.c.week == week_id, other)))

    def made_ready(self, week_id: str) -> set[str]:
        """The titles of what was made ahead for the latest plan, as the week is now."""
        with self._store._read() as connection:
            return set(
                connection.scalars(select(mend_offers.c.title).where(self._fresh(connection, week_id)))
            )

    def ready_json(self, week_id: str) -> str:
        """What was made ahead for the latest plan, as a JSON list of ``Kept``.

        Put together from the texts that are kept: offers hold whole weeks, and reading them as models
        would take longer than a touch may.
        """
        with self._store._read() as connection:
            week_of(self._store._current(connection).document, week_id)
            fresh = and_(self._fresh(connection, week_id), mend_offers.c.title != "")
            rows = connection.execute(
                select(mend_offers).where(fresh).order_by(mend_offers.c.made_at, mend_offers.c.number)
            ).all()
        titles = list(dict.fromkeys(row.title for row in rows))
        groups = ([row for row in rows if row.title == title] for title in titles)
        return f"[{','.join(_group_json(group) for group in groups)}]"

    def _fresh(self, connection: Connection, week_id: str) -> ColumnElement[bool]:
        made_from = self._store._current(connection).made_from(week_id)
        return and_(
            mend_offers.c.week == week_id,
            mend_offers.c.plan_id == _latest(connection, week_id),
            mend_offers.c.made_from == made_from,
        )

    def accept(self, week_id: str, offer_id: str, expected: int | None) -> Accepted:
        """Week and plan of an offer take the place of what is there, as one change.

        Raises
        ------
        NotFound
            When there is no such offer.
        Stale
            When week or plan have changed since it was made, or since the sender read the week.
        """
        what, found = self._offer(week_id, offer_id)
        with self._store._change(what[:300], Watched(plans, plans.c.week == week_id)) as connection:
            current = self._store._current(connection)
            week = week_of(current.document, week_id)
            _expect(f"the week {week_id}", current.versions[week_id], expected, week)
            fresh = and_(self._fresh(connection, week_id), mend_offers.c.id == offer_id)
            if connection.execute(select(mend_offers.c.id).where(fresh)).one_or_none() is None:
                raise Stale("the week has changed since this was worked out; ask again, then choose")
            return _put_both(connection, week_id, found)

    def _offer(self, week_id: str, offer_id: str) -> tuple[str, Offer]:
        """What taking it is called, and the offer."""
        wanted = and_(mend_offers.c.week == week_id, mend_offers.c.id == offer_id)
        with self._store._read() as connection:
            row = connection.execute(select(mend_offers).where(wanted)).one_or_none()
        if row is None:
            raise NotFound("that offer is not kept any more; ask again, then choose")
        offer = Offer.model_validate_json(row.body)
        by_hand = not Happened.model_validate_json(row.happened).mishaps
        return offer.sentence if by_hand else f"the week was mended: {offer.sentence}", offer


def _latest(connection: Connection, week_id: str) -> int | None:
    newest = select(plans.c.id).where(plans.c.week == week_id).order_by(plans.c.id.desc()).limit(1)
    found: int | None = connection.scalar(newest)
    return found


def _put_both(connection: Connection, week_id: str, offer: Offer) -> Accepted:
    version = next_version(connection)
    _put(connection, week_id, Week.model_dump_json(offer.week), version)
    # Read anew, not from what the store remembers: this may still be rolled back.
    made_from = _load(connection).made_from(week_id)
    return Accepted(version, write_plan(connection, offer.plan, made_from))


def _group_json(rows: Sequence[Row[Any]]) -> str:
    first = rows[0]
    offers = ",".join(f'{{"id":"{row.id}","offer":{row.body}}}' for row in rows)
    return f'{{"title":{json.dumps(first.title)},"happened":{first.happened},"offers":[{offers}]}}'
