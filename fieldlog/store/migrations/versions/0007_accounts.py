"""Visits of sessions, the pace of tries, how much an account has, and the way to remove one."""

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"

# Records and what was noticed about them are only ever added; they go with their account, and not otherwise.
IS_NOT_REMOVED = {
    "records": "NOT EXISTS (SELECT 1 FROM removals WHERE removals.account = OLD.account)",
    "flags": (
        "NOT EXISTS (SELECT 1 FROM removals JOIN records ON records.account = removals.account"
        " WHERE records.seq = OLD.record)"
    ),
}


def upgrade() -> None:
    """Make the tables and columns; the counts of tries begin anew."""
    op.add_column("sessions", sa.Column("visited_at", sa.String(32)))
    op.add_column("sessions", sa.Column("device", sa.String(20)))
    _make_tries("last_at")
    op.create_index(op.f("ix_sign_in_tries_last_at"), "sign_in_tries", ["last_at"])
    op.create_table(
        "account_sizes",
        sa.Column("account", sa.String(36), nullable=False),
        sa.Column("records", sa.BigInteger, nullable=False),
        sa.Column("text_bytes", sa.BigInteger, nullable=False),
        sa.ForeignKeyConstraint(["account"], ["accounts.id"], name=op.f("fk_account_sizes_account_accounts")),
        sa.PrimaryKeyConstraint("account", name=op.f("pk_account_sizes")),
    )
    op.create_table(
        "removals",
        sa.Column("account", sa.String(36), nullable=False),
        sa.PrimaryKeyConstraint("account", name=op.f("pk_removals")),
    )
    op.create_table(
        "left_photos",
        sa.Column("kept_hash", sa.String(64), nullable=False),
        sa.PrimaryKeyConstraint("kept_hash", name=op.f("pk_left_photos")),
    )
    is_sqlite = op.get_bind().dialect.name == "sqlite"
    size = "length(CAST(text AS BLOB))" if is_sqlite else "octet_length(text)"
    op.execute(
        "INSERT INTO account_sizes (account, records, text_bytes)"
        f" SELECT account, count(*), sum({size}) FROM records GROUP BY account"
    )
    if is_sqlite:
        for table, condition in IS_NOT_REMOVED.items():
            _refuse_deletion(table, f" WHEN {condition}")


def downgrade() -> None:
    """Take them away again."""
    if op.get_bind().dialect.name == "sqlite":
        for table in IS_NOT_REMOVED:
            _refuse_deletion(table, "")
    for table in ("left_photos", "removals", "account_sizes"):
        op.drop_table(table)
    _make_tries("since")
    for column in ("device", "visited_at"):
        op.drop_column("sessions", column)


def _make_tries(when: str) -> None:
    op.drop_table("sign_in_tries")
    op.create_table(
        "sign_in_tries",
        sa.Column("who", sa.String(300), nullable=False),
        sa.Column(when, sa.String(32), nullable=False),
        sa.Column("tries", sa.Integer, nullable=False),
        sa.PrimaryKeyConstraint("who", name=op.f("pk_sign_in_tries")),
    )


def _refuse_deletion(table: str, condition: str) -> None:
    op.execute(f"DROP TRIGGER {table}_refuse_delete")
    op.execute(
        f"CREATE TRIGGER {table}_refuse_delete BEFORE DELETE ON {table}{condition} "
        f"BEGIN SELECT RAISE(ABORT, '{table} are only ever added'); END"
    )
