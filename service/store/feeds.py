"""Secret calendar addresses: made, looked up by their hash, revoked."""

from __future__ import annotations

import datetime
import hashlib
import secrets
from typing import NamedTuple

from sqlalchemy import delete, insert, select

from service.store.job_tables import feeds
from service.store.kept import Store, now
from solver.domain.base import Frozen, Id

TOKEN_BYTES = 32


class Feed(Frozen):
    """A calendar address that somebody's phone may know."""

    id: Id
    person: Id | None = None
    """Whose calendar; None: the whole household's."""
    made_at: datetime.datetime


class Made(NamedTuple):
    """A new feed with its secret, which nobody can read again."""

    feed: Feed
    token: str


class Feeds:
    """The feeds of one store."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def make(self, person: str | None) -> Made:
        """A new address for a person's calendar, or the household's."""
        token = secrets.token_urlsafe(TOKEN_BYTES)
        feed = Feed(id=secrets.token_hex(6), person=person, made_at=now())
        row = {"id": feed.id, "token_hash": _hash(token), "person": person or ""}
        with self._store._write() as connection:
            connection.execute(insert(feeds).values(**row, made_at=feed.made_at.isoformat()))
        return Made(feed, token)

    def all(self) -> tuple[Feed, ...]:
        """Every address that still works, oldest first."""
        with self._store._read() as connection:
            rows = connection.execute(select(feeds).order_by(feeds.c.made_at, feeds.c.id))
            return tuple(_feed(row.id, row.person, row.made_at) for row in rows)

    def by_token(self, token: str) -> Feed | None:
        """The feed with this secret, or None."""
        with self._store._read() as connection:
            wanted = feeds.c.token_hash == _hash(token)
            row = connection.execute(select(feeds).where(wanted)).one_or_none()
            return _feed(row.id, row.person, row.made_at) if row else None

    def revoke(self, ident: str) -> bool:
        """Let an address work no longer; whether there was one."""
        with self._store._write() as connection:
            return bool(connection.execute(delete(feeds).where(feeds.c.id == ident)).rowcount)


def _feed(ident: str, person: str, made_at: str) -> Feed:
    return Feed(id=ident, person=person or None, made_at=datetime.datetime.fromisoformat(made_at))


def _hash(token: str) -> str:
    # The secret has 256 random bits, so a plain hash cannot be turned back by guessing.
    return hashlib.sha256(token.encode()).hexdigest()
