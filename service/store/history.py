"""What the family changed, kept so that it can be taken back: the rows as they were before."""

from __future__ import annotations

import hashlib
import itertools
import json
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any, NamedTuple

from sqlalchemy import ColumnElement, Connection, Table, and_, delete, func, insert, select

from service.store.moments import now
from service.store.tables import changes, documents, metadata, plans

STEPS_KEPT = 50
STEPS_AT_LEAST = 10
BYTES_KEPT = 64 * 1024 * 1024
SMALL = 64 * 1024
"""To know how much all take, each has to be read; ticks, of which fifty are nothing, are spared that."""
PUT_IN = "a household file was put in"
TAKEN_IN = "a whole household was taken in"
"""What replaces all that was here: taken back only by whoever means just that."""
_Key = tuple[str, tuple[str | int, ...]]


class Watched(NamedTuple):
    """Rows that a change may touch: the table and which of its rows."""

    table: Table
    where: ColumnElement[bool] | None = None


class Image(NamedTuple):
    """One row as it stood; None when it was not there."""

    table: str
    key: Sequence[str | int]
    row: dict[str, Any] | None


def next_version(connection: Connection) -> int:
    """A version that no document ever had, not even one that was taken out."""
    kept = (select(func.max(table.c.version)).scalar_subquery() for table in (documents, changes))
    found = connection.execute(select(*kept)).one()
    return int(max((number or 0) for number in found)) + 1


@contextmanager
def noted(connection: Connection, what: str, *watched: Watched) -> Iterator[None]:
    """Whatever happens to the rows named inside can be taken back later."""
    before = _rows(connection, watched)
    yield
    after = _rows(connection, watched)
    touched = [key for key in before | after if _content(before.get(key)) != _content(after.get(key))]
    if touched:
        images = [Image(table, key, before.get((table, key))) for table, key in touched]
        _forget_undone(connection)
        _keep(connection, what, images)


def _rows(connection: Connection, watched: Sequence[Watched]) -> dict[_Key, dict[str, Any]]:
    found: dict[_Key, dict[str, Any]] = {}
    for table, where in watched:
        asked = select(table) if where is None else select(table).where(where)
        for row in connection.execute(asked).mappings():
            found[table.name, tuple(row[column.name] for column in table.primary_key)] = dict(row)
    return found


def this(image: Image) -> ColumnElement[bool]:
    """The row that an image is of."""
    columns = metadata.tables[image.table].primary_key
    return and_(*(column == value for column, value in zip(columns, image.key, strict=True)))


def _keep(connection: Connection, what: str, images: Sequence[Image]) -> None:
    body = json.dumps(images)
    row = {
        "made_at": now().isoformat(),
        "what": what,
        "undone": 0,
        "version": newest_version(connection),
        "marks": json.dumps(marks(connection, images)),
        "body": body,
    }
    connection.execute(insert(changes).values(**row))
    _forget_beyond(connection, STEPS_KEPT)
    if len(body) > SMALL:
        _forget_heaviest(connection)


def newest_version(connection: Connection) -> int:
    """The highest version that any document ever had."""
    return next_version(connection) - 1


def marks(connection: Connection, images: Sequence[Image]) -> dict[str, str | None]:
    """What stands where these images are from, to see later whether it still does.

    Plans are never changed in place, and old ones are dropped: that one is gone stops nobody.
    """
    firm = [one for one in images if one.table != plans.name]
    return {json.dumps([one.table, *one.key]): _mark(stands(connection, one)) for one in firm}


def stands(connection: Connection, image: Image) -> dict[str, Any] | None:
    """The row that stands where the image is from."""
    table = metadata.tables[image.table]
    row = connection.execute(select(table).where(this(image))).mappings().one_or_none()
    return dict(row) if row else None


def _content(row: dict[str, Any] | None) -> dict[str, Any] | None:
    """A row without its version, which taking back renews."""
    return {name: value for name, value in row.items() if name != "version"} if row else None


def _mark(row: dict[str, Any] | None) -> str | None:
    """What tells later whether a row still holds the same."""
    content = _content(row)
    return hashlib.sha256(json.dumps(content, sort_keys=True).encode()).hexdigest() if content else None


def _forget_undone(connection: Connection) -> None:
    # What was taken back and then overtaken by another change can no longer be brought back.
    connection.execute(delete(changes).where(changes.c.undone == 1))


def _forget_beyond(connection: Connection, count: int) -> None:
    newest = select(changes.c.id).order_by(changes.c.id.desc())
    first_gone = newest.offset(count).limit(1).scalar_subquery()
    connection.execute(delete(changes).where(changes.c.id <= first_gone))


def _forget_heaviest(connection: Connection) -> None:
    """The oldest go, as long as all together take too much."""
    sizes = connection.scalars(select(func.length(changes.c.body)).order_by(changes.c.id.desc()))
    kept = sum(total <= BYTES_KEPT for total in itertools.accumulate(sizes))
    _forget_beyond(connection, max(kept, STEPS_AT_LEAST))
