"""The addresses at which calendar programs fetch what is due; only their hashes."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"


def upgrade() -> None:
    """Make the table of feeds."""
    op.create_table(
        "calendar_feeds",
        sa.Column("token_hash", sa.String(64), nullable=False),
        sa.Column("account", sa.String(36), nullable=False),
        sa.Column("created_at", sa.String(32), nullable=False),
        sa.ForeignKeyConstraint(
            ["account"], ["accounts.id"], name=op.f("fk_calendar_feeds_account_accounts")
        ),
        sa.PrimaryKeyConstraint("token_hash", name=op.f("pk_calendar_feeds")),
        sa.UniqueConstraint("account", name=op.f("uq_calendar_feeds_account")),
    )


def downgrade() -> None:
    """Take it away again."""
    op.drop_table("calendar_feeds")
