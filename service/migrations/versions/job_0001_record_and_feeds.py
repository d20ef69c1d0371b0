"""The record and the secret calendar addresses."""

import sqlalchemy as sa
from alembic import op

revision = "job_0001"
down_revision = "0001"


def upgrade() -> None:
    op.create_table(
        "entries",
        sa.Column("kind", sa.Text, primary_key=True),
        sa.Column("id", sa.Text, primary_key=True),
        sa.Column("day", sa.Text, nullable=False),
        sa.Column("body", sa.Text, nullable=False),
    )
    op.create_index("ix_entries_kind_day", "entries", ["kind", "day"])
    op.create_table(
        "feeds",
        sa.Column("id", sa.Text, primary_key=True),
        sa.Column("token_hash", sa.Text, nullable=False, unique=True),
        sa.Column("person", sa.Text, nullable=False),
        sa.Column("made_at", sa.Text, nullable=False),
    )
