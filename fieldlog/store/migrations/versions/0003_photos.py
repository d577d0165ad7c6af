"""The photos that have arrived; the pictures themselves lie outside the database."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    """Make the table of photos."""
    op.create_table(
        "photos",
        sa.Column("account", sa.String(36), nullable=False),
        sa.Column("sent_hash", sa.String(64), nullable=False),
        sa.Column("kept_hash", sa.String(64), nullable=False),
        sa.Column("bytes", sa.Integer, nullable=False),
        sa.Column("width", sa.Integer, nullable=False),
        sa.Column("height", sa.Integer, nullable=False),
        sa.Column("received_at", sa.String(32), nullable=False),
        sa.ForeignKeyConstraint(["account"], ["accounts.id"], name=op.f("fk_photos_account_accounts")),
        sa.PrimaryKeyConstraint("account", "sent_hash", name=op.f("pk_photos")),
    )


def downgrade() -> None:
    """Take it away again."""
    op.drop_table("photos")
