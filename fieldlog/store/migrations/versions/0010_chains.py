"""Which record of each chain of corrections counts, kept beside the records; filled once the tables stand."""

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"

NEWEST = (
    "account",
    "log",
    "kind",
    "subject",
    "telling",
    sa.text("observed_at DESC"),
    sa.text("first_seq DESC"),
)


def upgrade() -> None:
    """Make the table, and the one that says by which version of the program it was filled."""
    op.create_table(
        "chains",
        sa.Column("account", sa.String(36), nullable=False),
        sa.Column("root", sa.String(36), nullable=False),
        sa.Column("log", sa.String(36), nullable=False),
        sa.Column("kind", sa.String(20), nullable=False),
        sa.Column("subject", sa.String(36)),
        sa.Column("telling", sa.String(16), nullable=False),
        sa.Column("observed_at", sa.String(32), nullable=False),
        sa.Column("first_seq", sa.Integer, nullable=False),
        sa.Column("shown_seq", sa.Integer, nullable=False),
        sa.Column("is_apart", sa.Integer, nullable=False),
        sa.Column("is_noticed", sa.Integer, nullable=False),
        sa.ForeignKeyConstraint(["account"], ["accounts.id"], name=op.f("fk_chains_account_accounts")),
        sa.PrimaryKeyConstraint("account", "root", name=op.f("pk_chains")),
    )
    op.create_index("ix_chains_shown", "chains", ["account", "log", "shown_seq"])
    op.create_index("ix_chains_newest", "chains", [*NEWEST, "shown_seq", "root"])
    op.create_table(
        "derived",
        sa.Column("name", sa.String(20), nullable=False),
        sa.Column("version", sa.Integer, nullable=False),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_derived")),
    )


def downgrade() -> None:
    """Take the tables away; the records say it all."""
    op.drop_table("derived")
    op.drop_table("chains")
