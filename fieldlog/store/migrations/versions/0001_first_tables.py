"""Accounts, sessions, the log of records and its flags."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None

# Records and what was noticed about them are only ever added.
ADDED_ONLY = ("records", "flags")


def upgrade() -> None:
    """Make the first tables."""
    op.create_table(
        "accounts",
        sa.Column("id", sa.String(36), nullable=False),
        sa.Column("name", sa.String(80), nullable=False),
        sa.Column("name_key", sa.String(240), nullable=False),
        sa.Column("password_hash", sa.String(200), nullable=False),
        sa.Column("created_at", sa.String(32), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_accounts")),
        sa.UniqueConstraint("name_key", name=op.f("uq_accounts_name_key")),
    )
    op.create_table(
        "first_account_tokens",
        sa.Column("token_hash", sa.String(64), nullable=False),
        sa.Column("expires_at", sa.String(32), nullable=False),
        sa.Column("used_at", sa.String(32)),
        sa.PrimaryKeyConstraint("token_hash", name=op.f("pk_first_account_tokens")),
    )
    op.create_table(
        "sign_in_tries",
        sa.Column("who", sa.String(300), nullable=False),
        sa.Column("since", sa.String(32), nullable=False),
        sa.Column("tries", sa.Integer, nullable=False),
        sa.PrimaryKeyConstraint("who", name=op.f("pk_sign_in_tries")),
    )
    op.create_table(
        "sessions",
        sa.Column("token_hash", sa.String(64), nullable=False),
        sa.Column("account", sa.String(36), nullable=False),
        sa.Column("created_at", sa.String(32), nullable=False),
        sa.Column("expires_at", sa.String(32), nullable=False),
        sa.ForeignKeyConstraint(["account"], ["accounts.id"], name=op.f("fk_sessions_account_accounts")),
        sa.PrimaryKeyConstraint("token_hash", name=op.f("pk_sessions")),
    )
    op.create_table(
        "records",
        sa.Column("seq", sa.Integer, autoincrement=True, nullable=False),
        sa.Column("id", sa.String(36), nullable=False),
        sa.Column("account", sa.String(36), nullable=False),
        sa.Column("log", sa.String(36), nullable=False),
        sa.Column("position", sa.Integer, nullable=False),
        sa.Column("hash", sa.String(64), nullable=False),
        sa.Column("head", sa.String(64), nullable=False),
        sa.Column("text", sa.Text, nullable=False),
        sa.Column("received_at", sa.String(32), nullable=False),
        sa.Column("kind", sa.String(20), nullable=False),
        sa.Column("rig", sa.String(36)),
        sa.Column("subject", sa.String(36)),
        sa.Column("corrects", sa.String(36)),
        sa.Column("root", sa.String(36), nullable=False),
        sa.ForeignKeyConstraint(["account"], ["accounts.id"], name=op.f("fk_records_account_accounts")),
        sa.PrimaryKeyConstraint("seq", name=op.f("pk_records")),
        sa.UniqueConstraint("id", name=op.f("uq_records_id")),
        sa.UniqueConstraint("log", "position", name=op.f("uq_records_log")),
        sqlite_autoincrement=True,
    )
    op.create_index("ix_records_account_seq", "records", ["account", "seq"])
    op.create_index("ix_records_account_rig_kind", "records", ["account", "rig", "kind"])
    op.create_index("ix_records_root", "records", ["root"])
    op.create_table(
        "flags",
        sa.Column("id", sa.Integer, autoincrement=True, nullable=False),
        sa.Column("record", sa.Integer, nullable=False),
        sa.Column("flag", sa.String(40), nullable=False),
        sa.Column("detail", sa.Text, nullable=False),
        sa.ForeignKeyConstraint(["record"], ["records.seq"], name=op.f("fk_flags_record_records")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_flags")),
    )
    op.create_index(op.f("ix_flags_record"), "flags", ["record"])
    if op.get_bind().dialect.name == "sqlite":
        for table in ADDED_ONLY:
            _refuse_changes(table)


def downgrade() -> None:
    """Take them away again."""
    for table in ("flags", "records", "sessions", "sign_in_tries", "first_account_tokens", "accounts"):
        op.drop_table(table)


def _refuse_changes(table: str) -> None:
    for change in ("UPDATE", "DELETE"):
        op.execute(
            f"CREATE TRIGGER {table}_refuse_{change.lower()} BEFORE {change} ON {table} "
            f"BEGIN SELECT RAISE(ABORT, '{table} are only ever added'); END"
        )
