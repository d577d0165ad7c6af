"""The zone of a phone, asked at every page: from the newest records alone, however long the logs are."""

from collections.abc import Iterator
from datetime import UTC, timedelta, timezone

import pytest

from fieldlog.model.account import Account
from fieldlog.store.session import Store
from fieldlog.store.zones import AT_A_TIME, MOST, zone_of_account
from tests.builders import a_device, a_rig, an_arrival_check
from tests.conftest import Person
from tests.store.test_records import keep

EAST = timezone(timedelta(hours=2))


@pytest.fixture
def account(owner: Person) -> Account:
    """Whose zone it is."""
    assert owner.account is not None
    return owner.account


def checks(count: int, offset: str) -> Iterator[dict[str, object]]:
    """Give arrival checks noted by a clock of an offset."""
    return (an_arrival_check(observed_at=f"2026-11-25T12:00:00.000{offset}") for _ in range(count))


def steps_of(store: Store, account: Account) -> int:
    """Count, by tens, the steps that the database takes to tell the zone."""
    taken = [0]

    def count() -> int:
        taken[0] += 1
        return 0

    with store.reading() as tx:
        connection = tx.connection.dbapi_connection
        assert connection is not None
        connection.set_progress_handler(count, 10)
        zone_of_account(tx, account.id)
        connection.set_progress_handler(None, 10)
    return taken[0]


def test_the_newest_of_all_logs_tells_it(store: Store, account: Account) -> None:
    rig = a_rig()
    keep(store, account, *checks(2, "-05:00"), rig)
    keep(store, account, a_device(rig["id"], observed_at="2026-11-25T12:00:00.000+02:00"))

    with store.reading() as tx:
        assert zone_of_account(tx, account.id) == EAST


def test_it_goes_on_to_older_ones_where_the_newest_tell_none(store: Store, account: Account) -> None:
    keep(store, account, *checks(1, "+02:00"), *checks(2 * AT_A_TIME + 1, "Z"))

    with store.reading() as tx:
        assert zone_of_account(tx, account.id) == EAST


def test_without_any_that_tells_it_is_utc(store: Store, account: Account) -> None:
    keep(store, account, *checks(3, "Z"))

    with store.reading() as tx:
        assert zone_of_account(tx, account.id) is UTC


def test_who_never_tells_one_is_not_looked_for_for_ever(store: Store, account: Account) -> None:
    keep(store, account, *checks(MOST + 1, "Z"))
    few = steps_of(store, account)
    keep(store, account, *checks(3 * MOST, "Z"))

    assert steps_of(store, account) < 1.5 * few


def test_ten_times_as_many_records_cost_no_more(store: Store, account: Account) -> None:
    keep(store, account, *checks(3 * AT_A_TIME, "+02:00"))
    few = steps_of(store, account)
    keep(store, account, *checks(30 * AT_A_TIME, "+02:00"))

    assert few and steps_of(store, account) <= few * 1.2
