"""The table of files that a family keeps: printables and photos."""

from __future__ import annotations

from sqlalchemy import Column, Integer, LargeBinary, Table, Text

from service.store.tables import metadata

files = Table(
    "files",
    metadata,
    Column("mark", Text, primary_key=True),
    Column("size", Integer, nullable=False),
    Column("body", LargeBinary, nullable=False),
)
"""Contents by their SHA-256. Names are entries of the record, which can be taken back; contents stay as
long as a name, or a step that can be taken back, speaks of them."""
