"""Which promises of a plan hang on a single day, once that was worked out."""

import sqlalchemy as sa
from alembic import op

revision = "mend_0002"
down_revision = "file_0001"


def upgrade() -> None:
    op.create_table(
        "plan_hangs",
        sa.Column("plan_id", sa.Integer, primary_key=True),
        sa.Column("week", sa.Text, nullable=False),
        sa.Column("made_from", sa.Text, nullable=False),
        sa.Column("body", sa.Text, nullable=False),
    )
