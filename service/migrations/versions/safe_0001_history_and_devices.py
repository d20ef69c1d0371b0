"""What can be taken back, and which devices of the home network are let in."""

import sqlalchemy as sa
from alembic import op

revision = "safe_0001"
down_revision = "job_0001"


def upgrade() -> None:
    op.create_table(
        "changes",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("made_at", sa.Text, nullable=False),
        sa.Column("what", sa.Text, nullable=False),
        sa.Column("undone", sa.Integer, nullable=False),
        sa.Column("version", sa.Integer, nullable=False),
        sa.Column("marks", sa.Text, nullable=False),
        sa.Column("body", sa.Text, nullable=False),
        sqlite_autoincrement=True,
    )
    op.create_table(
        "pairings",
        sa.Column("secret_hash", sa.Text, primary_key=True),
        sa.Column("made_at", sa.Integer, nullable=False),
    )
    op.create_table(
        "devices",
        sa.Column("id", sa.Text, primary_key=True),
        sa.Column("name", sa.Text, nullable=False),
        sa.Column("token_hash", sa.Text, nullable=False, unique=True),
        sa.Column("paired_at", sa.Text, nullable=False),
        sa.Column("seen_on", sa.Text, nullable=False),
    )
