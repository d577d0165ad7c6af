"""What befalls the database from outside is noticed."""

import pytest

from fieldlog.model.account import Account
from fieldlog.store import watch as watching
from fieldlog.store.session import Store, open_store
from fieldlog.store.watch import Watch
from tests.builders import an_arrival_check
from tests.conftest import Person
from tests.store.test_records import keep

ALTERED = "UPDATE records SET text = replace(text, '121.3 V', '221.3 V') WHERE position = ?"


@pytest.fixture
def account(owner: Person) -> Account:
    """Whose log it is."""
    assert owner.account is not None
    return owner.account


@pytest.fixture
def watch(store: Store) -> Watch:
    """The watch over a database with six records."""
    return Watch(store, 0)


def alter(store: Store, position: int) -> None:
    with store.writing() as tx:
        tx.exec_driver_sql("DROP TRIGGER records_refuse_update")
        tx.exec_driver_sql(ALTERED, (position,))


def test_a_database_that_holds_has_nothing_wrong(store: Store, account: Account, watch: Watch) -> None:
    keep(store, account, *(an_arrival_check() for _ in range(6)))
    watch.look_at_the_newest()
    watch.walk_all()

    assert watch.wrong() == []


def test_an_altered_reading_among_the_newest_is_noticed_at_once(
    store: Store, account: Account, watch: Watch
) -> None:
    keep(store, account, *(an_arrival_check() for _ in range(6)))
    alter(store, 5)
    watch.look_at_the_newest()

    (found,) = watch.wrong()
    assert account.id in found and "entry 5" in found


def test_an_altered_reading_further_back_is_noticed_by_walking_all(
    store: Store, account: Account, watch: Watch, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(watching, "NEWEST", 2)
    keep(store, account, *(an_arrival_check() for _ in range(6)))
    alter(store, 2)

    assert watch.look_at_the_newest() == []
    watch.walk_all_beside().join()
    assert "entry 2" in watch.wrong()[0]


def test_a_full_disk_is_named(store: Store) -> None:
    (found,) = Watch(store, 2**40).wrong()
    assert "make room" in found


def test_a_database_that_cannot_be_written_is_named_and_read_all_the_same(
    store: Store, account: Account
) -> None:
    keep(store, account, an_arrival_check())
    path = store.engine.url.database
    reading = open_store(f"sqlite:///{path}")
    with reading.engine.connect() as connection:
        connection.exec_driver_sql("PRAGMA query_only = ON")
    try:
        watch = Watch(reading, 0)
        assert watch.walk_all() == []
        (found,) = watch.wrong()
        assert "Nothing can be written" in found
    finally:
        reading.close()
