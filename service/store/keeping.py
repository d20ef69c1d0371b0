"""Contents of files: kept once each, inside the store, so that every copy of it holds them too."""

from __future__ import annotations

import hashlib
from collections.abc import Iterable

from sqlalchemy import Connection, Exists, delete, exists, func, insert, select

from service.errors import TooLarge
from service.store.entries import Entry, write_entries
from service.store.file_tables import files
from service.store.history import Watched
from service.store.job_tables import entries
from service.store.kept import Store
from service.store.tables import changes

ALL_LIMIT = 40 * 1024 * 1024
"""Of all files together: the store is copied once a day, and two weeks of copies are kept."""


def mark_of(body: bytes) -> str:
    """What tells one content from every other."""
    return hashlib.sha256(body).hexdigest()


def keep(store: Store, what: str, body: bytes, named: Entry) -> None:
    """Keep a content under a name, as a change that can be taken back.

    Raises
    ------
    TooLarge
        When all files together would be more than may be kept.
    """
    with store._change(what, Watched(entries, entries.c.kind == named.kind)) as connection:
        put_contents(connection, [body])
        write_entries(connection, [named])


def put_contents(connection: Connection, bodies: Iterable[bytes]) -> None:
    """Keep contents that are not kept yet; those that nothing speaks of any more go first."""
    _forget_unnamed(connection)
    for body in bodies:
        mark = mark_of(body)
        if connection.scalar(select(files.c.mark).where(files.c.mark == mark)):
            continue
        total = connection.scalar(select(func.coalesce(func.sum(files.c.size), 0))) or 0
        if total + len(body) > ALL_LIMIT:
            most = ALL_LIMIT // 1024 // 1024
            raise TooLarge(f"all files together may take {most} MiB; take one out that is not needed")
        connection.execute(insert(files).values(mark=mark, size=len(body), body=body))


def content(store: Store, mark: str) -> bytes | None:
    """The content with this mark, or None."""
    with store._read() as connection:
        found = connection.scalar(select(files.c.body).where(files.c.mark == mark))
    return bytes(found) if found is not None else None


def contents(store: Store) -> tuple[bytes, ...]:
    """Every content that a name of today speaks of."""
    with store._read() as connection:
        rows = connection.scalars(select(files.c.body).where(_is_named()).order_by(files.c.mark))
        return tuple(bytes(body) for body in rows)


def _is_named() -> Exists:
    said = func.json_extract(entries.c.body, "$.mark")
    return exists().where(said == files.c.mark)


def _forget_unnamed(connection: Connection) -> None:
    spoken_of = exists().where(func.instr(changes.c.body, files.c.mark) > 0)
    connection.execute(delete(files).where(~_is_named(), ~spoken_of))
