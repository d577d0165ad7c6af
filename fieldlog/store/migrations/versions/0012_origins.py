"""From which installations entries of a log were taken over."""

import sqlalchemy as sa
from alembic import op

revision = "0012"
down_revision = "0011"


def upgrade() -> None:
    """Make the table; nothing was taken over yet."""
    op.create_table(
        "origins",
        sa.Column("id", sa.Integer, autoincrement=True, nullable=False),
        sa.Column("account", sa.String(36), nullable=False),
        sa.Column("log", sa.String(36), nullable=False),
        sa.Column("taken_at", sa.String(32), nullable=False),
        sa.Column("issued_at", sa.String(32), nullable=False),
        sa.Column("issuer", sa.String(80), nullable=False),
        sa.Column("position", sa.Integer, nullable=False),
        sa.Column("head", sa.String(64), nullable=False),
        sa.ForeignKeyConstraint(["account"], ["accounts.id"], name=op.f("fk_origins_account_accounts")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_origins")),
    )
    op.create_index("ix_origins_account_log", "origins", ["account", "log"])


def downgrade() -> None:
    """Take it away; what was taken over stays."""
    op.drop_table("origins")
