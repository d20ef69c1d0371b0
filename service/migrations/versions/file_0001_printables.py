"""Files that belong to activities and to the record."""

import sqlalchemy as sa
from alembic import op

revision = "file_0001"
down_revision = "mend_0001"


def upgrade() -> None:
    op.create_table(
        "files",
        sa.Column("mark", sa.Text, primary_key=True),
        sa.Column("size", sa.Integer, nullable=False),
        sa.Column("body", sa.LargeBinary, nullable=False),
    )
