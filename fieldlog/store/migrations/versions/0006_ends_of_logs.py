"""Where each log ends, and whose it is, beside its records."""

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"

LAST = """
INSERT INTO logs (log, account, position, head)
SELECT records.log, records.account, records.position, records.head
FROM records
JOIN (SELECT log, MAX(position) AS position FROM records GROUP BY log) AS last
ON last.log = records.log AND last.position = records.position
"""


def upgrade() -> None:
    """Make the table, and write down where the logs end that are there."""
    op.create_table(
        "logs",
        sa.Column("log", sa.String(36), nullable=False),
        sa.Column("account", sa.String(36), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("head", sa.String(64), nullable=False),
        sa.ForeignKeyConstraint(["account"], ["accounts.id"], name=op.f("fk_logs_account_accounts")),
        sa.PrimaryKeyConstraint("log", name=op.f("pk_logs")),
    )
    op.create_index(op.f("ix_logs_account"), "logs", ["account"])
    op.execute(LAST)


def downgrade() -> None:
    """Take it away again; the records hold all of it."""
    op.drop_table("logs")
