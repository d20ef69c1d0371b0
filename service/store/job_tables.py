"""The tables of the record and of the feeds."""

from __future__ import annotations

from sqlalchemy import Column, Index, Table, Text

from service.store.tables import metadata

entries = Table(
    "entries",
    metadata,
    Column("kind", Text, primary_key=True),
    Column("id", Text, primary_key=True),
    Column("day", Text, nullable=False),
    Column("body", Text, nullable=False),
    Index("ix_entries_kind_day", "kind", "day"),
)
"""Log lines, observations, settings of the record: each with its kind and, where it has one, its day."""

feeds = Table(
    "feeds",
    metadata,
    Column("id", Text, primary_key=True),
    Column("token_hash", Text, nullable=False, unique=True),
    Column("person", Text, nullable=False),
    Column("made_at", Text, nullable=False),
)
"""Secret calendar addresses; only the hash of the secret is kept. ``person`` is empty for everybody."""
