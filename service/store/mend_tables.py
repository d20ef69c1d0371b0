"""The table of the mends that were worked out."""

from __future__ import annotations

from sqlalchemy import Column, Integer, Table, Text

from service.store.tables import metadata

mend_offers = Table(
    "mend_offers",
    metadata,
    Column("id", Text, primary_key=True),
    Column("asked", Text, nullable=False, index=True),
    Column("number", Integer, nullable=False),
    Column("week", Text, nullable=False, index=True),
    Column("plan_id", Integer, nullable=False),
    Column("made_from", Text, nullable=False),
    Column("made_at", Text, nullable=False),
    Column("title", Text, nullable=False),
    Column("happened", Text, nullable=False),
    Column("body", Text, nullable=False),
)
"""One row for each offer; those of one question share ``asked``. ``title`` is empty unless it was made
ahead; ``happened`` holds mishaps and time, ``body`` the offer."""

plan_hangs = Table(
    "plan_hangs",
    metadata,
    Column("plan_id", Integer, primary_key=True),
    Column("week", Text, nullable=False),
    Column("made_from", Text, nullable=False),
    Column("body", Text, nullable=False),
)
"""For the latest plan of a week that did not bring it along: ``body`` is a list of ``Hang``."""
