"""The first store: documents with versions, plans, jobs."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    op.create_table(
        "documents",
        sa.Column("name", sa.Text, primary_key=True),
        sa.Column("version", sa.Integer, nullable=False),
        sa.Column("position", sa.Integer, nullable=False),
        sa.Column("body", sa.Text, nullable=False),
    )
    op.create_table(
        "plans",
        sa.Column("id", sa.Integer, primary_key=True),
        sa.Column("week", sa.Text, sa.ForeignKey("documents.name", ondelete="CASCADE"), nullable=False),
        sa.Column("made_at", sa.Text, nullable=False),
        sa.Column("made_from", sa.Text, nullable=False),
        sa.Column("body", sa.Text, nullable=False),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_plans_week", "plans", ["week"])
    op.create_table(
        "jobs",
        sa.Column("id", sa.Text, primary_key=True),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("week", sa.Text, nullable=False),
        sa.Column("state", sa.Text, nullable=False),
        sa.Column("body", sa.Text, nullable=False),
    )
    op.create_index("ix_jobs_week", "jobs", ["week"])
