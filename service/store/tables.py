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
