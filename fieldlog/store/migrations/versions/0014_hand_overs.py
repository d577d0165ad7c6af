"""Logs that are handed over to another account, and the way in which their records may leave this one."""

import sqlalchemy as sa
from alembic import op

revision = "0014"
down_revision = "0013"

IS_NOT_REMOVED = {
    "records": "NOT EXISTS (SELECT 1 FROM removals WHERE removals.account = OLD.account)",
    "flags": (
        "NOT EXISTS (SELECT 1 FROM removals JOIN records ON records.account = removals.account"
        " WHERE records.seq = OLD.record)"
    ),
}
IS_NOT_MOVING = {
    "records": (
        "NOT EXISTS (SELECT 1 FROM moving WHERE moving.account = OLD.account AND moving.log = OLD.log)"
    ),
    "flags": (
        "NOT EXISTS (SELECT 1 FROM moving JOIN records ON records.account = moving.account"
        " AND records.log = moving.log WHERE records.seq = OLD.record)"
    ),
}


def upgrade() -> None:
    """Make the tables; nothing was handed over yet."""
    op.create_table(
        "hand_overs",
        sa.Column("id", sa.String(36), nullable=False),
        sa.Column("token_hash", sa.String(64), nullable=False),
        sa.Column("account", sa.String(36), nullable=False),
        sa.Column("log", sa.String(36), nullable=False),
        sa.Column("name", sa.String(200), nullable=False),
        sa.Column("made_at", sa.String(32), nullable=False),
        sa.Column("expires_at", sa.String(32), nullable=False),
        sa.Column("ended_at", sa.String(32)),
        sa.Column("taken_at", sa.String(32)),
        sa.Column("taken_by", sa.String(80)),
        sa.Column("position", sa.Integer),
        sa.Column("receipt", sa.Text),
        sa.ForeignKeyConstraint(["account"], ["accounts.id"], name=op.f("fk_hand_overs_account_accounts")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_hand_overs")),
        sa.UniqueConstraint("token_hash", name=op.f("uq_hand_overs_token_hash")),
    )
    op.create_index("ix_hand_overs_account_log", "hand_overs", ["account", "log"])
    op.create_table(
        "moving",
        sa.Column("account", sa.String(36), nullable=False),
        sa.Column("log", sa.String(36), nullable=False),
        sa.PrimaryKeyConstraint("account", "log", name=op.f("pk_moving")),
    )
    _refuse_deletions({table: f"{each} AND {IS_NOT_MOVING[table]}" for table, each in IS_NOT_REMOVED.items()})


def downgrade() -> None:
    """Take them away; what was handed over stays with whoever has it, and the receipts go."""
    _refuse_deletions(IS_NOT_REMOVED)
    op.drop_table("moving")
    op.drop_table("hand_overs")


def _refuse_deletions(conditions: dict[str, str]) -> None:
    if op.get_bind().dialect.name != "sqlite":
        return
    for table, condition in conditions.items():
        op.execute(f"DROP TRIGGER {table}_refuse_delete")
        op.execute(
            f"CREATE TRIGGER {table}_refuse_delete BEFORE DELETE ON {table} WHEN {condition} "
            f"BEGIN SELECT RAISE(ABORT, '{table} are only ever added'); END"
        )
