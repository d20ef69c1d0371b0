"""A change to the documents and the record together, all or nothing, that can be taken back."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from sqlalchemy import Connection, delete

from service.store.entries import Entry, write_entries
from service.store.history import Watched, next_version
from service.store.job_tables import entries
from service.store.kept import Store, _parts, _put
from service.store.tables import documents
from solver.domain.document import Document

Edit = Callable[[Document], Document]


def as_it_is(document: Document) -> Document:
    """The edit that changes nothing."""
    return document


def change(
    store: Store,
    what: str,
    edit: Edit = as_it_is,
    given: Iterable[Entry] = (),
    removed: Iterable[tuple[str, str]] = (),
) -> Document:
    """Edit the documents, keep entries and forget others in one go; the documents as they then are.

    ``what`` says it in words, for whoever takes it back. Parts that stay the same keep their version.
    """
    new, gone = tuple(given), tuple(removed)
    kinds = {one.kind for one in new} | {kind for kind, _ in gone}
    with store._change(what, Watched(entries, entries.c.kind.in_(kinds))) as connection:
        before = store._current(connection).document
        after = edit(before)
        if after != before:
            _write_parts(connection, before, after)
        for kind, ident in gone:
            connection.execute(delete(entries).where((entries.c.kind == kind) & (entries.c.id == ident)))
        write_entries(connection, new)
    return after


def _write_parts(connection: Connection, before: Document, after: Document) -> None:
    old = dict(_parts(before))
    new = list(_parts(after))
    lost = set(old) - {name for name, _ in new}
    connection.execute(delete(documents).where(documents.c.name.in_(lost)))
    version = next_version(connection)
    for position, (name, body) in enumerate(new):
        if old.get(name) != body:
            _put(connection, name, body, version, position)
