"""Taking changes back, and bringing them back, one by one."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from pydantic import ValidationError
from sqlalchemy import Connection, Row, delete, insert, select, update

from service.errors import NotFound, Stale
from service.store.history import PUT_IN, TAKEN_IN, Image, marks, newest_version, next_version, stands, this
from service.store.kept import Store, reread
from service.store.tables import changes, documents, metadata
from service.views import Change


class Changes:
    """What was changed in one store, to be taken back and brought back."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def all(self) -> list[Change]:
        """Every change that can be taken back or brought back, the newest first."""
        with self._store._read() as connection:
            rows = connection.execute(select(*_SHOWN).order_by(changes.c.id.desc()))
            return [_change(row) for row in rows]

    def undo(self, wanted: int | None = None) -> Change:
        """Take the newest change back.

        Raises
        ------
        NotFound
            When there is none.
        Stale
            When another than the wanted one is the newest, or its rows were changed since.
        """
        return self._turned(wanted, undone=False)

    def redo(self, wanted: int | None = None) -> Change:
        """Bring back what was taken back last."""
        return self._turned(wanted, undone=True)

    def _turned(self, wanted: int | None, undone: bool) -> Change:
        with self._store._write() as connection:
            change = _turn(connection, wanted, undone)
            try:
                reread(connection)
            except ValidationError as error:
                why = "what was before does not fit what was changed since; change it by hand"
                raise Stale(why) from error
            return change


_SHOWN = (changes.c.id, changes.c.made_at, changes.c.what, changes.c.undone)


def _change(row: Any) -> Change:
    return Change(
        id=row.id,
        made_at=row.made_at,
        what=row.what,
        whole=row.what in (PUT_IN, TAKEN_IN),
        undone=bool(row.undone),
    )


def _turn(connection: Connection, wanted: int | None, undone: bool) -> Change:
    row = _next_to_turn(connection, undone)
    if wanted is not None and wanted != row.id:
        raise Stale(
            f"the change {wanted} is not the latest any more, {row.id} is; look at /api/changes again"
        )
    images = [Image(*parts) for parts in json.loads(row.body)]
    if marks(connection, images) != json.loads(row.marks):
        raise Stale("what it changed was changed again since, so it cannot be taken back alone")
    other = _swap(connection, images)
    turned = {
        "undone": int(not undone),
        "version": newest_version(connection),
        "marks": json.dumps(marks(connection, images)),
        "body": json.dumps(other),
    }
    connection.execute(update(changes).where(changes.c.id == row.id).values(**turned))
    return _change(row).model_copy(update={"undone": not undone})


def _next_to_turn(connection: Connection, undone: bool) -> Row[Any]:
    # Taken back from the newest on; brought back the other way round.
    order = changes.c.id if undone else changes.c.id.desc()
    wanted = select(changes).where(changes.c.undone == int(undone)).order_by(order).limit(1)
    row = connection.execute(wanted).one_or_none()
    if row is None:
        raise NotFound("there is nothing to bring back" if undone else "there is nothing to take back")
    return row


def _swap(connection: Connection, images: Sequence[Image]) -> list[Image]:
    """Put the images back; the images of what stood there."""
    stood = [Image(one.table, one.key, stands(connection, one)) for one in images]
    version = next_version(connection)
    in_order = sorted(images, key=lambda one: _order(one.table))
    for image in reversed(in_order):
        if image.row is None:
            table = metadata.tables[image.table]
            connection.execute(delete(table).where(this(image)))
    for image in in_order:
        if image.row is not None:
            _put(connection, image, version)
    return stood


def _order(table: str) -> int:
    """A table comes after those that it refers to."""
    return [one.name for one in metadata.sorted_tables].index(table)


def _put(connection: Connection, image: Image, version: int) -> None:
    table = metadata.tables[image.table]
    row = dict(image.row or {})
    if table is documents:
        row["version"] = version
    # Never deleted and put anew: that would take along all that refers to it.
    found = connection.execute(update(table).where(this(image)).values(**row))
    if not found.rowcount:
        connection.execute(insert(table).values(**row))
