"""All proposals: what is open, taking one, refusing one."""

from __future__ import annotations

import datetime

from pydantic import ValidationError

from service.errors import BadInput, NotFound
from service.learning.children import failed_naps, hours, refusals
from service.learning.durations import durations
from service.learning.views import LEAST, REFUSED, Found, Proposal, Refused
from service.record.views import LOG, LogLine
from service.store import Store
from service.store.changing import change
from service.store.entries import Entries, entry
from solver.domain.document import Document
from solver.domain.faults import faults_of

WEEKS = 12
"""Older days say little about a child who grows."""


def found(store: Store, today: datetime.date) -> dict[str, Found]:
    """Every proposal that the log makes, by its name, refused ones left out until there is more to say."""
    document = store.current().document
    since = today - datetime.timedelta(weeks=WEEKS)
    lines = Entries(store).all(LOG, LogLine, since.isoformat(), today.isoformat())
    made = [
        *durations(document, lines),
        *failed_naps(document, today),
        *refusals(document, lines),
        *hours(document, lines),
    ]
    return {one.proposal.id: one for one in made if not _refused(store, one.proposal)}


def _refused(store: Store, proposal: Proposal) -> bool:
    said = Entries(store).get(REFUSED, proposal.id, Refused)
    return said is not None and sum(one.date > said.until for one in proposal.evidence) < LEAST


def take(store: Store, ident: str, today: datetime.date) -> Proposal:
    """Make the change that a proposal stands for; it can be taken back like any other.

    Raises
    ------
    NotFound
        When it is not open (any more).
    """
    one = _open(store, ident, today)
    change(store, one.proposal.sentence.rpartition(": ")[0][:200], lambda document: _edited(one, document))
    return one.proposal


def _edited(one: Found, document: Document) -> Document:
    try:
        changed = one.edit(document)
        return Document(household=changed.household, activities=changed.activities, weeks=changed.weeks)
    except ValidationError as error:
        raise BadInput("it does not fit the rest of the household's data", faults_of(error)) from error


def refuse(store: Store, ident: str, today: datetime.date) -> Proposal:
    """Ask it no more until three newer days say the same."""
    one = _open(store, ident, today)
    last = max(seen.date for seen in one.proposal.evidence)
    said = entry(REFUSED, ident, Refused(until=last))
    change(store, "a proposal was refused", given=[said])
    return one.proposal


def _open(store: Store, ident: str, today: datetime.date) -> Found:
    one = found(store, today).get(ident)
    if one is None:
        raise NotFound("there is no such proposal any more; /api/proposals lists those that are open")
    return one
