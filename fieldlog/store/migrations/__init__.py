"""Brings a database to the tables of this version."""

from pathlib import Path

from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory

from fieldlog.store.session import Store, Transaction
from fieldlog.store.tables import metadata


def upgrade(store: Store, to: str = "head") -> None:
    """Bring the tables up, in one transaction: a crash leaves the old tables, never half of the new."""
    with store.writing() as tx:
        command.upgrade(_settings(tx), to)


def downgrade(store: Store, to: str = "base") -> None:
    """Take the tables back to an older revision."""
    with store.writing() as tx:
        command.downgrade(_settings(tx), to)


def revision(tx: Transaction) -> str | None:
    """Give the revision that the database stands at."""
    return MigrationContext.configure(tx).get_current_revision()


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
