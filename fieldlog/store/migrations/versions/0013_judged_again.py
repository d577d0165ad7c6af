"""What counts is found by its kind and by its word; what today's rulebook says of older checks."""

import sqlalchemy as sa
from alembic import op

revision = "0013"
down_revision = "0012"

INDEXES = {
    "ix_chains_kind": ("account", "log", "kind", "shown_seq"),
    "ix_chains_apart": ("account", "log", "is_apart"),
    "ix_chains_noticed": ("account", "log", "is_noticed", "shown_seq"),
    "ix_chains_word": ("account", "log", "word", "observed_at", "first_seq"),
}


def upgrade() -> None:
    """Add the word, empty until all of it is made anew, the indexes, and the two tables."""
    with op.batch_alter_table("chains") as chains:
        chains.add_column(sa.Column("word", sa.String(80), nullable=False, server_default=""))
    for name, columns in INDEXES.items():
        op.create_index(name, "chains", list(columns))
    op.create_table(
        "judged_again",
        sa.Column("record", sa.Integer, autoincrement=False, nullable=False),
        sa.Column("account", sa.String(36), nullable=False),
        sa.Column("said", sa.String(20), nullable=False),
        sa.Column("verdict", sa.String(20)),
        sa.Column("first", sa.String(60)),
        sa.Column("reason", sa.Text, nullable=False),
        sa.Column("is_worse", sa.Integer, nullable=False),
        sa.ForeignKeyConstraint(["record"], ["records.seq"], name=op.f("fk_judged_again_record_records")),
        sa.ForeignKeyConstraint(["account"], ["accounts.id"], name=op.f("fk_judged_again_account_accounts")),
        sa.PrimaryKeyConstraint("record", name=op.f("pk_judged_again")),
    )
    op.create_index("ix_judged_again_account", "judged_again", ["account", "record"])
    op.create_table(
        "judgings",
        sa.Column("rulebook", sa.String(80), nullable=False),
        sa.Column("last_seq", sa.BigInteger, nullable=False),
        sa.Column("checks", sa.BigInteger, nullable=False),
        sa.PrimaryKeyConstraint("rulebook", name=op.f("pk_judgings")),
    )


def downgrade() -> None:
    """Take it away; the records say it all."""
    op.drop_table("judgings")
    op.drop_table("judged_again")
    for name in INDEXES:
        op.drop_index(name, "chains")
    with op.batch_alter_table("chains") as chains:
        chains.drop_column("word")
