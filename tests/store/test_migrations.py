"""Bringing a database up and back."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from fieldlog.store import migrations
from fieldlog.store.session import Store, open_store


@pytest.fixture
def bare(tmp_path: Path) -> Iterator[Store]:
    """A database without tables."""
    store = open_store(f"sqlite:///{tmp_path / 'bare.sqlite3'}")
    yield store
    store.close()


def test_a_new_database_is_brought_to_the_newest_revision(bare: Store) -> None:
    migrations.upgrade(bare)

    with bare.reading() as tx:
        assert migrations.revision(tx) == migrations.newest_revision()


def test_the_migrations_make_the_tables_that_the_store_speaks_of(bare: Store) -> None:
    migrations.upgrade(bare)

    with bare.reading() as tx:
        assert migrations.differences(tx) == []


def test_a_missing_column_would_be_noticed(bare: Store) -> None:
    migrations.upgrade(bare)
    with bare.writing() as tx:
        tx.exec_driver_sql("ALTER TABLE accounts DROP COLUMN created_at")

    with bare.reading() as tx:
        assert migrations.differences(tx) != []


def test_it_goes_back_to_nothing_and_up_again(bare: Store) -> None:
    migrations.upgrade(bare)
    migrations.downgrade(bare)
    with bare.reading() as tx:
        left = set(tx.exec_driver_sql("SELECT name FROM sqlite_schema WHERE type = 'table'").scalars())
    migrations.upgrade(bare)

    assert left <= {"alembic_version", "sqlite_sequence"}
    with bare.reading() as tx:
        assert migrations.differences(tx) == []


def test_bringing_it_up_twice_changes_nothing(bare: Store) -> None:
    migrations.upgrade(bare)
    before = _schema(bare)

    migrations.upgrade(bare)

    assert _schema(bare) == before


def test_a_crash_on_the_way_leaves_the_old_tables(bare: Store, monkeypatch: pytest.MonkeyPatch) -> None:
    def crash(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("alembic.operations.Operations.create_index", crash)
    with pytest.raises(KeyboardInterrupt):
        migrations.upgrade(bare)

    assert _schema(bare) == []


def _schema(store: Store) -> list[str]:
    with store.reading() as tx:
        return list(
            tx.exec_driver_sql("SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY name").scalars()
        )
