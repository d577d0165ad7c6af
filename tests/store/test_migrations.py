"""Bringing a database up and back."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy.exc import IntegrityError

from fieldlog.store import migrations
from fieldlog.store.ends import LogEnd, LogKey, readable_logs
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


def test_the_ends_of_logs_of_an_earlier_version_are_written_down(bare: Store) -> None:
    migrations.upgrade(bare, "0005")
    with bare.writing() as tx:
        tx.exec_driver_sql("INSERT INTO accounts VALUES ('a', 'Kim', 'kim', '', '')")
        for seq, (log, position) in enumerate((("a", 1), ("r", 1), ("a", 2)), start=1):
            tx.exec_driver_sql(
                "INSERT INTO records (seq, id, account, log, position, hash, head, text, received_at, kind,"
                " root) VALUES (?, ?, 'a', ?, ?, '', ?, '', '', '', '')",
                (seq, str(seq), log, position, f"head {seq}"),
            )
    migrations.upgrade(bare)

    with bare.reading() as tx:
        assert readable_logs(tx, "a") == {
            LogKey("a", "a"): LogEnd(2, "head 3"),
            LogKey("a", "r"): LogEnd(1, "head 2"),
        }


def test_a_record_of_the_first_tables_is_kept_up_and_down(bare: Store) -> None:
    migrations.upgrade(bare, "0001")
    with bare.writing() as tx:
        tx.exec_driver_sql("INSERT INTO accounts VALUES ('a', 'Kim', 'kim', '', '')")
        tx.exec_driver_sql(
            "INSERT INTO records"
            " VALUES (1, 'r', 'a', 'a', 1, 'h', 'd', '{}', '', 'rig', NULL, NULL, NULL, 'r')"
        )

    migrations.upgrade(bare)
    with bare.reading() as tx:
        up = tx.exec_driver_sql("SELECT id, root, clock_offset_ms FROM records").all()
    migrations.downgrade(bare, "0001")

    assert [tuple(row) for row in up] == [("r", "r", None)]
    with bare.reading() as tx:
        assert [row.id for row in tx.exec_driver_sql("SELECT * FROM records")] == ["r"]


@pytest.mark.parametrize("change", ["DELETE FROM records", "UPDATE records SET clock_offset_ms = 1"])
def test_after_every_step_the_database_refuses_to_change_a_record(bare: Store, change: str) -> None:
    migrations.upgrade(bare)
    with bare.writing() as tx:
        tx.exec_driver_sql("INSERT INTO accounts VALUES ('a', 'Kim', 'kim', '', '')")
        columns = "seq, id, account, log, position, hash, head, text, received_at, kind, root"
        tx.exec_driver_sql(
            f"INSERT INTO records ({columns}) VALUES (1, 'r', 'a', 'a', 1, 'h', 'd', '{{}}', '', 'rig', 'r')"
        )

    with pytest.raises(IntegrityError, match="only ever added"), bare.writing() as tx:
        tx.exec_driver_sql(change)


def test_what_an_account_has_is_counted_when_the_counts_are_made_and_goes_back_with_them(bare: Store) -> None:
    migrations.upgrade(bare, "0005")
    with bare.writing() as tx:
        for account in "ab":
            tx.exec_driver_sql(f"INSERT INTO accounts VALUES ('{account}', '{account}', '{account}', '', '')")
        tx.exec_driver_sql("INSERT INTO sessions VALUES ('t', 'a', '2026-01-01', '2026-04-01')")
        columns = "seq, id, account, log, position, hash, head, text, received_at, kind, root"
        for seq, text in enumerate(("{}", "é"), 1):
            tx.exec_driver_sql(
                f"INSERT INTO records ({columns})"
                f" VALUES ({seq}, 'r{seq}', 'a', 'a', {seq}, 'h', 'd', '{text}', '', 'rig', 'r{seq}')"
            )

    migrations.upgrade(bare)
    with bare.reading() as tx:
        sizes = [tuple(row) for row in tx.exec_driver_sql("SELECT * FROM account_sizes")]
        visited = tx.exec_driver_sql("SELECT visited_at FROM sessions").scalar_one()
    migrations.downgrade(bare, "0005")

    assert (sizes, visited) == ([("a", 2, 4)], None)
    with pytest.raises(IntegrityError, match="only ever added"), bare.writing() as tx:
        tx.exec_driver_sql("DELETE FROM records")


def test_a_copy_of_the_records_keeps_their_flags_and_gives_no_number_twice(bare: Store) -> None:
    migrations.upgrade(bare, "0008")
    columns = "seq, id, account, log, position, hash, head, text, received_at, kind, root"
    added = f"INSERT INTO records ({columns}) VALUES (?, ?, ?, ?, 1, 'h', 'd', '{{}}', '', 'rig', 'r')"
    with bare.writing() as tx:
        for account in "ab":
            tx.exec_driver_sql(f"INSERT INTO accounts VALUES ('{account}', '{account}', '{account}', '', '')")
        tx.exec_driver_sql(added, (4, "kept", "a", "a"))
        tx.exec_driver_sql("INSERT INTO flags VALUES (7, 4, 'clock-differs', 'by an hour')")
        tx.exec_driver_sql(added, (9, "gone", "b", "b"))
        tx.exec_driver_sql("INSERT INTO removals VALUES ('b')")
        tx.exec_driver_sql("DELETE FROM records WHERE account = 'b'")

    migrations.upgrade(bare)

    with bare.writing() as tx:
        assert [tuple(row) for row in tx.exec_driver_sql("SELECT * FROM flags")] == [
            (7, 4, "clock-differs", "by an hour")
        ]
        tx.exec_driver_sql(added.replace("seq, ", "", 1).replace("?, ", "", 1), ("new", "a", "r"))
        assert list(tx.exec_driver_sql("SELECT seq FROM records").scalars()) == [4, 10]
    with pytest.raises(IntegrityError, match="only ever added"), bare.writing() as tx:
        tx.exec_driver_sql("DELETE FROM flags")


def test_records_and_their_flags_go_with_their_account_alone(bare: Store) -> None:
    migrations.upgrade(bare)
    with bare.writing() as tx:
        columns = "seq, id, account, log, position, hash, head, text, received_at, kind, root"
        for seq, account in enumerate("ab", 1):
            log = f"'r{seq}', '{account}', '{account}', 1"
            tx.exec_driver_sql(f"INSERT INTO accounts VALUES ('{account}', '{account}', '{account}', '', '')")
            tx.exec_driver_sql(
                f"INSERT INTO records ({columns})"
                f" VALUES ({seq}, {log}, 'h', 'd', '{{}}', '', 'rig', 'r{seq}')"
            )
            tx.exec_driver_sql(f"INSERT INTO flags VALUES ({seq}, {seq}, 'flag', '')")
    with bare.writing() as tx:
        tx.exec_driver_sql("INSERT INTO removals VALUES ('a')")
        tx.exec_driver_sql("DELETE FROM flags WHERE record = 1")
        tx.exec_driver_sql("DELETE FROM records WHERE account = 'a'")

    for table in ("flags", "records"):
        with pytest.raises(IntegrityError, match="only ever added"), bare.writing() as tx:
            tx.exec_driver_sql(f"DELETE FROM {table}")
    with bare.reading() as tx:
        assert tx.exec_driver_sql("SELECT id FROM records").scalars().all() == ["r2"]


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


def test_a_database_of_a_later_version_is_left_alone(bare: Store) -> None:
    migrations.upgrade(bare)
    with bare.writing() as tx:
        tx.exec_driver_sql("UPDATE alembic_version SET version_num = '9999'")

    with pytest.raises(migrations.ForeignDatabase, match="later version"):
        migrations.upgrade(bare)


def test_a_database_of_another_program_is_left_alone(bare: Store) -> None:
    with bare.writing() as tx:
        tx.exec_driver_sql("CREATE TABLE recipes (name TEXT)")

    with pytest.raises(migrations.ForeignDatabase, match="another program"):
        migrations.upgrade(bare)
    with bare.reading() as tx:
        assert tx.exec_driver_sql("SELECT name FROM sqlite_schema").scalars().all() == ["recipes"]


def test_what_was_handed_over_stays_where_it_is_when_the_way_to_do_so_goes(bare: Store) -> None:
    migrations.upgrade(bare, "0013")
    with bare.writing() as tx:
        for account in "ab":
            tx.exec_driver_sql(f"INSERT INTO accounts VALUES ('{account}', '{account}', '{account}', '', '')")
        columns = "seq, id, account, log, position, hash, head, text, received_at, kind, root"
        added = f"INSERT INTO records ({columns}) VALUES (?, ?, ?, 'r', 1, 'h', 'd', '{{}}', '', 'rig', ?)"
        tx.exec_driver_sql(added, (1, "x", "a", "x"))
        tx.exec_driver_sql("INSERT INTO flags (record, flag, detail) VALUES (1, 'clock-off', '')")
    migrations.upgrade(bare)
    with bare.writing() as tx:
        tx.exec_driver_sql("INSERT INTO moving VALUES ('a', 'r')")
        tx.exec_driver_sql(added, (2, "x", "b", "x"))
        tx.exec_driver_sql("DELETE FROM flags")
        tx.exec_driver_sql("DELETE FROM records WHERE account = 'a'")
    migrations.downgrade(bare, "0013")

    with bare.reading() as tx:
        assert [row.account for row in tx.exec_driver_sql("SELECT * FROM records")] == ["b"]
    with pytest.raises(IntegrityError, match="only ever added"), bare.writing() as tx:
        tx.exec_driver_sql("DELETE FROM records")
