"""What is shared with people who have no account, and when it was opened."""

import sqlalchemy as sa
from alembic import op

revision = "0011"
down_revision = "0010"


def upgrade() -> None:
    """Make the tables; nothing is shared yet."""
    op.create_table(
        "shares",
        sa.Column("id", sa.String(36), nullable=False),
        sa.Column("token_hash", sa.String(64), nullable=False),
        sa.Column("account", sa.String(36), nullable=False),
        sa.Column("log", sa.String(36), nullable=False),
        sa.Column("use", sa.String(10), nullable=False),
        sa.Column("made_at", sa.String(32), nullable=False),
        sa.Column("expires_at", sa.String(32)),
        sa.Column("ended_at", sa.String(32)),
        sa.Column("opened", sa.Integer, nullable=False),
        sa.Column("is_open", sa.Integer, nullable=False),
        sa.Column("arrivals", sa.Integer, nullable=False),
        sa.Column("photos", sa.Integer, nullable=False),
        sa.Column("owner_name", sa.String(80), nullable=False),
        sa.Column("how_to_ask", sa.String(160), nullable=False),
        sa.ForeignKeyConstraint(["account"], ["accounts.id"], name=op.f("fk_shares_account_accounts")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_shares")),
        sa.UniqueConstraint("token_hash", name=op.f("uq_shares_token_hash")),
    )
    op.create_index("ix_shares_account_log", "shares", ["account", "log"])
    op.create_table(
        "share_visits",
        sa.Column("id", sa.Integer, autoincrement=True, nullable=False),
        sa.Column("share", sa.String(36), nullable=False),
        sa.Column("account", sa.String(36), nullable=False),
        sa.Column("at", sa.String(32), nullable=False),
        sa.Column("was_shown", sa.Integer, nullable=False),
        sa.ForeignKeyConstraint(["share"], ["shares.id"], name=op.f("fk_share_visits_share_shares")),
        sa.ForeignKeyConstraint(["account"], ["accounts.id"], name=op.f("fk_share_visits_account_accounts")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_share_visits")),
    )
    op.create_index(op.f("ix_share_visits_share"), "share_visits", ["share"])


def downgrade() -> None:
    """Take them away; whoever held a link finds nothing then."""
    op.drop_table("share_visits")
    op.drop_table("shares")
