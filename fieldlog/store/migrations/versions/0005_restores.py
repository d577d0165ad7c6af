"""When a backup was put back, and where each log stood in it."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"


def upgrade() -> None:
    """Make the table of restores."""
    op.create_table(
        "restores",
        sa.Column("id", sa.Integer(), autoincrement=True, nullable=False),
        sa.Column("restored_at", sa.String(32), nullable=False),
        sa.Column("made_at", sa.String(32), nullable=False),
        sa.Column("heads", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_restores")),
    )


def downgrade() -> None:
    """Take it away again."""
    op.drop_table("restores")
