"""Ticks and notes from the page: each is taken once, whatever is sent again, and can be taken back."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Mapping
from types import MappingProxyType
from typing import Annotated, Literal

from pydantic import AwareDatetime, Field
from sqlalchemy import Connection, insert, select, tuple_

from service.store.entries import Entry, entry, write_entries
from service.store.history import Watched
from service.store.job_tables import entries
from service.store.kept import Store
from solver.domain.base import BookingId, ChildId, Frozen, Name
from solver.domain.week import WeekId

TICK, NOTE, SEEN = "tick", "note", "seen_item"
Outcome = Literal["done", "loved", "fine", "no"]
_NOTHING: Mapping[str, Entry] = MappingProxyType({})
ItemId = Annotated[str, Field(min_length=8, max_length=64, pattern=r"^[\w-]+$")]


class Refused(Frozen):
    """A child would not, and why."""

    child: ChildId
    reason: Name = "not today"
    minutes: Annotated[int, Field(ge=0, le=480)] = 0
    """How long it was tried, where it was begun."""


class Item(Frozen):
    """One thing that somebody ticked or noted, named by the page so that it is taken only once."""

    id: ItemId
    at: AwareDatetime
    week: WeekId
    booking: BookingId | None = None
    outcome: Outcome | None = None
    """Of a tick; None takes the tick away."""
    note: Annotated[str, Field(max_length=2000)] | None = None
    """Of a note; then it is no tick."""
    refused: Refused | None = None
    """Of a refusal; then it is no tick either, and goes into the log."""


class Tick(Frozen):
    """How a booking went."""

    week: WeekId
    booking: BookingId
    outcome: Outcome | None
    at: AwareDatetime


class Note(Frozen):
    """What somebody wrote down."""

    id: ItemId
    week: WeekId
    booking: BookingId | None
    text: str
    at: AwareDatetime


class Marks(Frozen):
    """Ticks and notes of one week."""

    ticks: tuple[Tick, ...]
    notes: tuple[Note, ...]


def take(store: Store, items: Iterable[Item], logged: Mapping[str, Entry] = _NOTHING) -> list[str]:
    """Keep what was not taken before; the ids of all, which the page may forget now.

    ``logged`` holds the entry that an item makes in the log, by the item's id.
    """
    given = sorted(items, key=lambda one: one.at)
    with store._change(_what(given), _touched(given, logged), beside=True) as connection:
        for item in given:
            if not _seen(connection, item.id):
                write_entries(connection, _kept(connection, item))
                write_entries(connection, [logged[item.id]] if item.id in logged else [])
                # Remembered beside the history: taking the tick back must not let it come a second time.
                connection.execute(
                    insert(entries).values(kind=SEEN, id=item.id, day=item.at.date().isoformat(), body="{}")
                )
    return [item.id for item in given]


def _touched(items: Iterable[Item], logged: Mapping[str, Entry]) -> Watched:
    """The rows that these may change: by name, since a year of ticks is too much to look through for one."""
    named = [(TICK, f"{one.week} {one.booking}") for one in items if one.note is None]
    named += [(NOTE, f"{one.week} {one.id}") for one in items if one.note is not None]
    named += [(one.kind, one.id) for one in logged.values()]
    return Watched(entries, tuple_(entries.c.kind, entries.c.id).in_(named))


def marks_of(store: Store, week: str) -> Marks:
    """All ticks and notes of a week."""
    with store._read() as connection:
        ticks = [Tick.model_validate_json(body) for body in _bodies(connection, TICK, week)]
        notes = [Note.model_validate_json(body) for body in _bodies(connection, NOTE, week)]
    return Marks(
        ticks=tuple(one for one in ticks if one.outcome), notes=tuple(sorted(notes, key=lambda one: one.at))
    )


def _bodies(connection: Connection, kind: str, week: str) -> Iterable[str]:
    wanted = (entries.c.kind == kind) & entries.c.id.startswith(f"{week} ", autoescape=True)
    return connection.scalars(select(entries.c.body).where(wanted).order_by(entries.c.id))


def _what(items: list[Item]) -> str:
    if len(items) != 1:
        return f"{len(items)} things were ticked or noted"
    if items[0].refused is not None:
        return "a refusal was noted"
    return "a note was written" if items[0].note is not None else "a tick was set"


def _seen(connection: Connection, ident: str) -> bool:
    wanted = (entries.c.kind == SEEN) & (entries.c.id == ident)
    return connection.scalar(select(entries.c.id).where(wanted)) is not None


def _kept(connection: Connection, item: Item) -> Iterator[Entry]:
    day = item.at.date().isoformat()
    if item.note is not None:
        note = Note(id=item.id, week=item.week, booking=item.booking, text=item.note, at=item.at)
        yield entry(NOTE, f"{item.week} {item.id}", note, day)
    elif item.refused is None and item.booking is not None and _is_newer(connection, item):
        tick = Tick(week=item.week, booking=item.booking, outcome=item.outcome, at=item.at)
        yield entry(TICK, f"{item.week} {item.booking}", tick, day)


def _is_newer(connection: Connection, item: Item) -> bool:
    """Of two devices, the one that ticked last is right, in whatever order they are heard."""
    wanted = (entries.c.kind == TICK) & (entries.c.id == f"{item.week} {item.booking}")
    body = connection.scalar(select(entries.c.body).where(wanted))
    return body is None or Tick.model_validate_json(body).at <= item.at.astimezone(datetime.UTC)
