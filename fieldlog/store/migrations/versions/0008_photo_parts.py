"""Parts of photos that are on their way over a slow line."""

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"


def upgrade() -> None:
    """Make the table of parts."""
    op.create_table(
        "photo_parts",
        sa.Column("account", sa.String(36), nullable=False),
        sa.Column("sent_hash", sa.String(64), nullable=False),
        sa.Column("start", sa.Integer(), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.Column("received_at", sa.String(32), nullable=False),
        sa.ForeignKeyConstraint(["account"], ["accounts.id"], name=op.f("fk_photo_parts_account_accounts")),
        sa.PrimaryKeyConstraint("account", "sent_hash", "start", name=op.f("pk_photo_parts")),
    )


def downgrade() -> None:
    """Take them away again; phones begin anew with what is on its way."""
    op.drop_table("photo_parts")
