"""How the database is opened and how its transactions begin."""

import stat
import subprocess
import sys
import threading
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import event

from fieldlog.errors import StoreUnavailable
from fieldlog.store import migrations
from fieldlog.store.session import Store, open_store, sqlite_version


@pytest.mark.parametrize(
    ("pragma", "value"),
    [
        ("busy_timeout", 5000),
        ("journal_mode", "wal"),
        ("synchronous", 2),
        ("foreign_keys", 1),
        ("mmap_size", 0),
    ],
)
def test_every_connection_has_the_settings_that_make_saved_mean_saved(
    store: Store, pragma: str, value: object
) -> None:
    with store.reading() as tx, store.reading() as another:
        read = [t.exec_driver_sql(f"PRAGMA {pragma}").scalar() for t in (tx, another)]

    assert read == [value, value]


def test_the_sqlite_library_is_past_the_versions_that_can_damage_a_shared_log() -> None:
    assert tuple(map(int, sqlite_version().split("."))) >= (3, 51, 3)


def test_the_connection_is_opened_with_that_library(store: Store) -> None:
    with store.reading() as tx:
        assert tx.exec_driver_sql("SELECT sqlite_version()").scalar() == sqlite_version()


def test_a_write_begins_as_a_write(store: Store) -> None:
    said = _statements(store)

    with store.writing():
        pass
    with store.reading():
        pass

    assert [s for s in said if s.startswith("BEGIN")] == ["BEGIN IMMEDIATE", "BEGIN"]


def test_the_driver_begins_no_transaction_of_its_own(store: Store) -> None:
    with store.writing() as tx:
        assert tx.connection.dbapi_connection is not None
        assert tx.connection.dbapi_connection.isolation_level is None


def test_what_fails_in_the_middle_leaves_nothing(store: Store) -> None:
    with pytest.raises(ZeroDivisionError), store.writing() as tx:
        tx.exec_driver_sql("INSERT INTO sign_in_tries VALUES ('who', '2026', 1)")
        raise ZeroDivisionError

    assert _tries(store) == 0


def test_a_second_writer_waits_for_the_first(store: Store) -> None:
    begun, done = threading.Event(), threading.Event()

    def second() -> None:
        begun.set()
        with store.writing() as tx:
            tx.exec_driver_sql("UPDATE sign_in_tries SET tries = tries + 1")
        done.set()

    with store.writing() as tx:
        tx.exec_driver_sql("INSERT INTO sign_in_tries VALUES ('who', '2026', 1)")
        thread = threading.Thread(target=second)
        thread.start()
        begun.wait()
        assert not done.is_set()
    thread.join()

    assert _tries(store) == 2


def test_many_writers_at_once_never_see_the_database_locked(store: Store) -> None:
    with store.writing() as tx:
        tx.exec_driver_sql("INSERT INTO sign_in_tries VALUES ('who', '2026', 0)")
    failures: list[Exception] = []

    def write() -> None:
        for _ in range(25):
            try:
                with store.writing() as tx:
                    tries = tx.exec_driver_sql("SELECT tries FROM sign_in_tries").scalar_one()
                    tx.exec_driver_sql("UPDATE sign_in_tries SET tries = ?", (tries + 1,))
            except StoreUnavailable as error:
                failures.append(error)

    threads = [threading.Thread(target=write) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert (failures, _tries(store)) == ([], 200)


OPEN_AND_UPGRADE = """
import sys
from fieldlog.store import migrations
from fieldlog.store import migrations
from fieldlog.store.session import open_store
migrations.upgrade(open_store(sys.argv[1]))
"""


def test_several_workers_may_make_the_same_new_database_at_once(tmp_path: Path) -> None:
    address = f"sqlite:///{tmp_path / 'new.sqlite3'}"
    workers = [subprocess.Popen([sys.executable, "-c", OPEN_AND_UPGRADE, address]) for _ in range(4)]

    assert [worker.wait() for worker in workers] == [0, 0, 0, 0]


def test_a_database_that_cannot_be_written_says_so_plainly(store: Store) -> None:
    with pytest.raises(StoreUnavailable, match="nothing was changed"), store.writing() as tx:
        tx.exec_driver_sql("PRAGMA query_only=ON")
        tx.exec_driver_sql("INSERT INTO sign_in_tries VALUES ('who', '2026', 1)")


def test_the_folder_of_a_new_database_is_made_and_nobody_else_may_read_it(tmp_path: Path) -> None:
    path = tmp_path / "a" / "b" / "new.sqlite3"
    store = open_store(f"sqlite:///{path}")
    migrations.upgrade(store)

    assert {stat.S_IMODE(each.stat().st_mode) for each in path.parent.iterdir()} == {0o600}
    store.close()


def test_a_damaged_database_says_so_plainly(tmp_path: Path) -> None:
    path = tmp_path / "damaged.sqlite3"
    path.write_bytes(b"no database at all " * 400)
    store = open_store(f"sqlite:///{path}")

    with pytest.raises(StoreUnavailable, match="not a database"), store.reading():
        pass
    store.close()


def _tries(store: Store) -> Any:
    with store.reading() as tx:
        return tx.exec_driver_sql("SELECT coalesce(sum(tries), 0) FROM sign_in_tries").scalar_one()


def _statements(store: Store) -> list[str]:
    said: list[str] = []
    store.engine.dispose()

    def listen(connection: Any, _record: Any) -> None:
        connection.set_trace_callback(said.append)

    event.listen(store.engine, "connect", listen)
    return said
