"""The addresses of calendar feeds."""

from collections.abc import Iterator
from datetime import timedelta

import pytest
from sqlalchemy.exc import IntegrityError

from fieldlog.model.account import Account
from fieldlog.store.accounts import add_account
from fieldlog.store.feeds import account_of_feed, feed_made_at, open_feed, revoke_feed
from fieldlog.store.session import Store, Transaction
from tests.builders import NOON, an_id

KIM, ROBIN = Account(an_id(), "Kim"), Account(an_id(), "Robin")


@pytest.fixture
def tx(store: Store) -> Iterator[Transaction]:
    """A transaction with two accounts."""
    with store.writing() as tx:
        for account in (KIM, ROBIN):
            add_account(tx, account, name_key=account.name, password_hash="", created_at=NOON)
        yield tx


def test_an_account_has_no_feed_at_first(tx: Transaction) -> None:
    assert feed_made_at(tx, KIM.id) is None
    assert account_of_feed(tx, "") is None


def test_a_feed_is_found_by_its_address_and_by_nothing_else(tx: Transaction) -> None:
    open_feed(tx, KIM.id, "kims", created_at=NOON)
    open_feed(tx, ROBIN.id, "robins", created_at=NOON)

    assert (account_of_feed(tx, "kims"), account_of_feed(tx, "robins")) == (KIM, ROBIN)
    assert [account_of_feed(tx, wrong) for wrong in ("", "kim", "kimss", "KIMS", "%", "ki\0ms")] == [None] * 6
    assert feed_made_at(tx, KIM.id) == NOON


def test_a_new_address_takes_the_place_of_the_one_before(tx: Transaction) -> None:
    open_feed(tx, KIM.id, "first", created_at=NOON)
    open_feed(tx, ROBIN.id, "robins", created_at=NOON)
    open_feed(tx, KIM.id, "second", created_at=NOON + timedelta(days=1))

    assert account_of_feed(tx, "first") is None
    assert (account_of_feed(tx, "second"), account_of_feed(tx, "robins")) == (KIM, ROBIN)
    assert feed_made_at(tx, KIM.id) == NOON + timedelta(days=1)


def test_a_revoked_feed_opens_nothing_and_leaves_others_alone(tx: Transaction) -> None:
    open_feed(tx, KIM.id, "kims", created_at=NOON)
    open_feed(tx, ROBIN.id, "robins", created_at=NOON)
    revoke_feed(tx, KIM.id)
    revoke_feed(tx, KIM.id)

    assert (account_of_feed(tx, "kims"), feed_made_at(tx, KIM.id)) == (None, None)
    assert account_of_feed(tx, "robins") == ROBIN


def test_the_address_itself_is_not_kept(tx: Transaction) -> None:
    """FIPS 180-4, the example of SHA-256 of the text abc."""
    open_feed(tx, KIM.id, "abc", created_at=NOON)

    (row,) = tx.exec_driver_sql("SELECT * FROM calendar_feeds").all()
    assert row.token_hash == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert "abc" not in tuple(row)


def test_the_database_refuses_a_second_feed_of_an_account(tx: Transaction) -> None:
    open_feed(tx, KIM.id, "kims", created_at=NOON)

    with pytest.raises(IntegrityError, match="calendar_feeds"), tx.begin_nested():
        tx.exec_driver_sql(f"INSERT INTO calendar_feeds VALUES ('another', '{KIM.id}', '')")
    assert account_of_feed(tx, "kims") == KIM
