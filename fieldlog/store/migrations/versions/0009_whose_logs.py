"""A log is its owner's: ids are unique within a log, and two accounts may have one of the same name."""

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"

NEW = (
    ("uq_records_id", ("account", "log", "id")),
    ("uq_records_position", ("account", "log", "position")),
)
OLD = (("uq_records_id", ("id",)), ("uq_records_log", ("log", "position")))
STANDING = """
SELECT sql FROM sqlite_schema
WHERE tbl_name = 'records' AND type IN ('index', 'trigger') AND sql IS NOT NULL
OR name = 'flags_refuse_delete'
"""


def upgrade() -> None:
    """Hold what is unique by log, key the logs by their owners, and write down who may read them."""
    _hold_unique(OLD, NEW)
    op.create_index("ix_records_id", "records", ["id"])
    _key_logs(("account", "log"))
    op.create_table(
        "access",
        sa.Column("account", sa.String(36), nullable=False),
        sa.Column("owner", sa.String(36), nullable=False),
        sa.Column("log", sa.String(36), nullable=False),
        sa.Column("role", sa.String(10), nullable=False),
        sa.ForeignKeyConstraint(["account"], ["accounts.id"], name=op.f("fk_access_account_accounts")),
        sa.ForeignKeyConstraint(["owner"], ["accounts.id"], name=op.f("fk_access_owner_accounts")),
        sa.PrimaryKeyConstraint("account", "owner", "log", name=op.f("pk_access")),
    )
    op.execute(
        "INSERT INTO access (account, owner, log, role) SELECT account, account, log, 'owner' FROM logs"
    )


def downgrade() -> None:
    """Take it back; two logs of one name, or two records of one id, cannot stand then."""
    op.drop_table("access")
    _key_logs(("log",))
    op.create_index(op.f("ix_logs_account"), "logs", ["account"])
    op.drop_index("ix_records_id", "records")
    _hold_unique(NEW, OLD)


def _hold_unique(
    before: tuple[tuple[str, tuple[str, ...]], ...], after: tuple[tuple[str, tuple[str, ...]], ...]
) -> None:
    if op.get_bind().dialect.name == "sqlite":
        _copy_records(after)
        return
    for name, _ in before:
        op.drop_constraint(name, "records", type_="unique")
    for name, columns in after:
        op.create_unique_constraint(name, "records", list(columns))


def _copy_records(unique: tuple[tuple[str, tuple[str, ...]], ...]) -> None:
    """Copy the records into a table with other constraints; SQLite cannot change those of one that stands.

    Notes
    -----
    Flags point at records, so they wait elsewhere meanwhile. The next number is kept: what was given to a
    record that has gone with its account is given to no other.
    """
    standing = list(op.get_bind().execute(sa.text(STANDING)).scalars())
    op.execute("CREATE TABLE waiting_flags AS SELECT * FROM flags")
    op.execute("CREATE TABLE waiting_number AS SELECT seq FROM sqlite_sequence WHERE name = 'records'")
    op.execute("DROP TRIGGER flags_refuse_delete")
    op.execute("DELETE FROM flags")
    op.create_table(
        "copied_records",
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
        sa.Column("clock_offset_ms", sa.BigInteger),
        sa.ForeignKeyConstraint(["account"], ["accounts.id"], name=op.f("fk_records_account_accounts")),
        sa.PrimaryKeyConstraint("seq", name=op.f("pk_records")),
        *(sa.UniqueConstraint(*columns, name=op.f(name)) for name, columns in unique),
        sqlite_autoincrement=True,
    )
    names = (
        "seq, id, account, log, position, hash, head, text, received_at, kind, rig, subject, corrects, root"
    )
    names += ", clock_offset_ms"
    op.execute(f"INSERT INTO copied_records ({names}) SELECT {names} FROM records ORDER BY seq")
    op.drop_table("records")
    op.rename_table("copied_records", "records")
    op.execute("DELETE FROM sqlite_sequence WHERE name = 'records'")
    op.execute("INSERT INTO sqlite_sequence (name, seq) SELECT 'records', seq FROM waiting_number")
    op.execute("INSERT INTO flags SELECT * FROM waiting_flags")
    op.drop_table("waiting_flags")
    op.drop_table("waiting_number")
    for made in standing:
        op.get_bind().exec_driver_sql(made)


def _key_logs(key: tuple[str, ...]) -> None:
    op.rename_table("logs", "earlier_logs")
    if op.get_bind().dialect.name != "sqlite":
        op.drop_constraint("pk_logs", "earlier_logs", type_="primary")
    op.create_table(
        "logs",
        sa.Column("account", sa.String(36), nullable=False),
        sa.Column("log", sa.String(36), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("head", sa.String(64), nullable=False),
        sa.ForeignKeyConstraint(["account"], ["accounts.id"], name=op.f("fk_logs_account_accounts")),
        sa.PrimaryKeyConstraint(*key, name=op.f("pk_logs")),
    )
    op.execute(
        "INSERT INTO logs (account, log, position, head)"
        " SELECT account, log, position, head FROM earlier_logs"
    )
    op.drop_table("earlier_logs")
