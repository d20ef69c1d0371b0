"""The record: small dated documents of several kinds."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Annotated, TypeVar

from pydantic import BaseModel, Field, JsonValue
from sqlalchemy import Connection, delete, insert, select

from service.store.job_tables import entries
from service.store.kept import Store
from solver.domain.base import Frozen

_Kind = TypeVar("_Kind", bound=BaseModel)
ANY_DAY = ""


class Entry(Frozen):
    """One entry as it is kept and carried."""

    kind: Annotated[str, Field(pattern=r"^[a-z_]{1,40}$")]
    id: Annotated[str, Field(min_length=1, max_length=200)]
    day: Annotated[str, Field(pattern=r"^(\d{4}-\d{2}-\d{2})?$")] = ANY_DAY
    body: dict[str, JsonValue]


def entry(kind: str, ident: str, body: BaseModel, day: str = ANY_DAY) -> Entry:
    """An entry around a model."""
    return Entry(kind=kind, id=ident, day=day, body=body.model_dump(mode="json"))


class Entries:
    """The entries of one store."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def put(self, *given: Entry) -> None:
        """Keep entries; one with the same kind and id takes the other's place. All or none."""
        with self._store._write() as connection:
            write_entries(connection, given)

    def remove(self, kind: str, ident: str) -> bool:
        """Forget one entry; whether it was there."""
        with self._store._write() as connection:
            wanted = (entries.c.kind == kind) & (entries.c.id == ident)
            return bool(connection.execute(delete(entries).where(wanted)).rowcount)

    def get(self, kind: str, ident: str, model: type[_Kind]) -> _Kind | None:
        """One entry, or None."""
        wanted = (entries.c.kind == kind) & (entries.c.id == ident)
        with self._store._read() as connection:
            body = connection.scalar(select(entries.c.body).where(wanted))
        return model.model_validate_json(body) if body else None

    def all(self, kind: str, model: type[_Kind], since: str = "", until: str = "9999") -> tuple[_Kind, ...]:
        """Every entry of a kind between two days, both counted, oldest first."""
        wanted = (entries.c.kind == kind) & (entries.c.day >= since) & (entries.c.day <= until)
        ordered = select(entries.c.body).where(wanted).order_by(entries.c.day, entries.c.id)
        with self._store._read() as connection:
            return tuple(model.model_validate_json(body) for body in connection.scalars(ordered))

    def everything(self) -> tuple[Entry, ...]:
        """All entries of all kinds."""
        with self._store._read() as connection:
            rows = connection.execute(select(entries).order_by(entries.c.kind, entries.c.day, entries.c.id))
            return tuple(
                Entry(kind=row.kind, id=row.id, day=row.day, body=json.loads(row.body)) for row in rows
            )


def replace_entries(connection: Connection, given: Iterable[Entry]) -> None:
    """Let these take the place of all there are."""
    connection.execute(delete(entries))
    write_entries(connection, given)


def write_entries(connection: Connection, given: Iterable[Entry]) -> None:
    """Keep entries; one with the same kind and id takes the other's place."""
    for one in given:
        same = (entries.c.kind == one.kind) & (entries.c.id == one.id)
        connection.execute(delete(entries).where(same))
        row = {"kind": one.kind, "id": one.id, "day": one.day, "body": json.dumps(one.body)}
        connection.execute(insert(entries).values(**row))
