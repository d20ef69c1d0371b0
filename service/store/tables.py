"""The tables of the store, as the newest migration leaves them."""

from __future__ import annotations

from sqlalchemy import Column, ForeignKey, Integer, MetaData, Table, Text

metadata = MetaData()

documents = Table(
    "documents",
    metadata,
    Column("name", Text, primary_key=True),
    Column("version", Integer, nullable=False),
    Column("position", Integer, nullable=False),
    Column("body", Text, nullable=False),
)
"""``household``, ``activities`` and each week by its id. ``version`` only ever grows."""

plans = Table(
    "plans",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("week", Text, ForeignKey("documents.name", ondelete="CASCADE"), nullable=False, index=True),
    Column("made_at", Text, nullable=False),
    Column("made_from", Text, nullable=False),
    Column("body", Text, nullable=False),
    sqlite_autoincrement=True,
)
"""``made_from`` holds the versions of household, activities and week, to see when a plan is old."""

jobs = Table(
    "jobs",
    metadata,
    Column("id", Text, primary_key=True),
    Column("number", Integer, nullable=False),
    Column("week", Text, nullable=False, index=True),
    Column("state", Text, nullable=False),
    Column("body", Text, nullable=False),
)
"""``number`` counts up: the latest job of a week has the highest."""

changes = Table(
    "changes",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("made_at", Text, nullable=False),
    Column("what", Text, nullable=False),
    Column("undone", Integer, nullable=False),
    Column("version", Integer, nullable=False),
    Column("marks", Text, nullable=False),
    Column("body", Text, nullable=False),
    sqlite_autoincrement=True,
)
"""``body`` holds the rows as they were before (after, once it is undone), ``marks`` what stood there
then, ``version`` the highest that a document had, so that none is ever given twice."""

pairings = Table(
    "pairings",
    metadata,
    Column("secret_hash", Text, primary_key=True),
    Column("made_at", Integer, nullable=False),
)
"""Secrets that let one device in each, for five minutes; gone once used. ``made_at``: Unix seconds."""

devices = Table(
    "devices",
    metadata,
    Column("id", Text, primary_key=True),
    Column("name", Text, nullable=False),
    Column("token_hash", Text, nullable=False, unique=True),
    Column("paired_at", Text, nullable=False),
    Column("seen_on", Text, nullable=False),
)
"""Devices of the home network that were let in. ``seen_on`` is a day: more would be a record of habits."""
