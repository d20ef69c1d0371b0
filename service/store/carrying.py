"""Taking a whole household in: all of it or none, and it can be taken back."""

from __future__ import annotations

from collections.abc import Iterable

from service.store.entries import Entry, replace_entries
from service.store.history import TAKEN_IN, Watched
from service.store.job_tables import entries
from service.store.keeping import put_contents
from service.store.kept import Store, reread, write_document, write_plan
from service.store.tables import plans
from solver.domain.document import Document
from solver.domain.plan import Plan


def take_in(
    store: Store,
    document: Document,
    found: Iterable[Plan],
    record: Iterable[Entry],
    contents: Iterable[bytes] = (),
) -> None:
    """Let these take the place of everything that is kept."""
    with store._change(TAKEN_IN, Watched(plans), Watched(entries)) as connection:
        write_document(connection, document)
        # Before names change: what the old ones speak of must still be there when this is taken back.
        put_contents(connection, contents)
        replace_entries(connection, record)
        current = reread(connection)
        for plan in found:
            write_plan(connection, plan, current.made_from(plan.week) if current else "")
