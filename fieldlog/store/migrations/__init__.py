"""Brings a database to the tables of this version."""

from pathlib import Path

from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import inspect

from fieldlog.errors import FieldlogError
from fieldlog.store import chains
from fieldlog.store.session import Store, Transaction
from fieldlog.store.tables import metadata


class ForeignDatabase(FieldlogError):
    """The database is not one of this program, or one of a later version of it; nothing was changed."""

    def __init__(self, reason: str) -> None:
        super().__init__(f"This database is not used: {reason} Nothing was changed.")


def upgrade(store: Store, to: str = "head") -> None:
    """Bring the tables up, and what follows from the records, in one transaction.

    A crash leaves the old tables, never half of the new.

    Raises
    ------
    ForeignDatabase
        Where the tables are of a later version, or of another program.
    """
    with store.writing() as tx:
        _assert_own(tx)
        command.upgrade(_settings(tx), to)
        if to == "head":
            chains.bring_up(tx)


def downgrade(store: Store, to: str = "base") -> None:
    """Take the tables back to an older revision."""
    with store.writing() as tx:
        command.downgrade(_settings(tx), to)


def revision(tx: Transaction) -> str | None:
    """Give the revision that the database stands at."""
    return MigrationContext.configure(tx).get_current_revision()


def _assert_own(tx: Transaction) -> None:
    stands_at = revision(tx)
    known = {each.revision for each in ScriptDirectory.from_config(_settings(None)).walk_revisions()}
    if stands_at is not None and stands_at not in known:
        raise ForeignDatabase(
            "a later version of fieldlog has changed it. Start that version, or a later one."
        )
    if stands_at is None and {*inspect(tx).get_table_names()} - {"alembic_version"}:
        raise ForeignDatabase("it has tables of another program. Name another file in DATABASE_URL.")


def newest_revision() -> str:
    """Give the revision that this version needs."""
    head = ScriptDirectory.from_config(_settings(None)).get_current_head()
    assert head is not None, "there is a first revision"
    return head


def differences(tx: Transaction) -> list[object]:
    """Give what the tables of the database and those of this version do not have in common."""
    context = MigrationContext.configure(tx, opts={"compare_type": True})
    return list(compare_metadata(context, metadata))


def _settings(tx: Transaction | None) -> Config:
    config = Config()
    config.set_main_option("script_location", str(Path(__file__).parent).replace("%", "%%"))
    config.attributes["transaction"] = tx
    return config
