"""Offers to mend a week, kept with the plan they belong to."""

import sqlalchemy as sa
from alembic import op

revision = "mend_0001"
down_revision = "safe_0001"


def upgrade() -> None:
    op.create_table(
        "mend_offers",
        sa.Column("id", sa.Text, primary_key=True),
        sa.Column("asked", sa.Text, nullable=False),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("week", sa.Text, nullable=False),
        sa.Column("plan_id", sa.Integer, nullable=False),
        sa.Column("made_from", sa.Text, nullable=False),
        sa.Column("made_at", sa.Text, nullable=False),
        sa.Column("title", sa.Text, nullable=False),
        sa.Column("happened", sa.Text, nullable=False),
        sa.Column("body", sa.Text, nullable=False),
    )
    op.create_index("ix_mend_offers_asked", "mend_offers", ["asked"])
    op.create_index("ix_mend_offers_week", "mend_offers", ["week"])
