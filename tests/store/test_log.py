"""The hash chain of a log, and where it breaks."""

import hashlib

import pytest

from fieldlog.model.account import Account
from fieldlog.model.canonical import canonical
from fieldlog.store.ends import LogKey
from fieldlog.store.log import ends_astray, logs, where_the_log_breaks
from fieldlog.store.records import records_after
from fieldlog.store.session import Store
from tests.builders import a_device, a_rig, an_arrival_check
from tests.conftest import Person
from tests.store.test_records import keep


@pytest.fixture
def account(owner: Person) -> Account:
    """Whose log it is."""
    assert owner.account is not None
    return owner.account


def own_log(account: Account) -> LogKey:
    """Give the key of the log of what belongs to no rig."""
    return LogKey(account.id, account.id)


def test_each_head_is_the_hash_of_the_head_before_and_the_record(store: Store, account: Account) -> None:
    sent = [an_arrival_check() for _ in range(3)]
    stored = keep(store, account, *sent)

    head = bytes(32)
    for record, entry in zip(sent, stored, strict=True):
        head = hashlib.sha256(head + hashlib.sha256(canonical(record)).digest()).digest()
        assert entry.head == head.hex()


def test_every_rig_has_a_log_of_its_own_and_the_rest_goes_to_the_accounts(
    store: Store, account: Account
) -> None:
    rig = a_rig()
    stored = keep(store, account, an_arrival_check(), rig, an_arrival_check(), a_device(rig["id"]))

    assert [(e.log, e.position) for e in stored] == [
        (account.id, 1),
        (rig["id"], 1),
        (account.id, 2),
        (rig["id"], 2),
    ]
    with store.reading() as tx:
        assert set(logs(tx)) == {own_log(account), LogKey(account.id, rig["id"])}


def test_an_untouched_log_does_not_break(store: Store, account: Account) -> None:
    keep(store, account, *(an_arrival_check() for _ in range(20)))

    with store.reading() as tx:
        assert where_the_log_breaks(tx, own_log(account)) is None


@pytest.mark.parametrize(
    ("damage", "position", "what"),
    [
        ("UPDATE records SET text = replace(text, '121.3 V', '121.4 V') WHERE position = 3", 3, "text"),
        ("UPDATE records SET text = replace(text, '121.3 V', '121.30 V') WHERE position = 4", 4, "text"),
        ("DELETE FROM records WHERE position = 2", 2, "missing"),
        ("UPDATE records SET head = upper(hex(randomblob(32))) WHERE position = 5", 5, "head"),
    ],
)
def test_the_first_entry_that_does_not_hold_is_named(
    store: Store, account: Account, damage: str, position: int, what: str
) -> None:
    keep(store, account, *(an_arrival_check() for _ in range(6)))
    with store.writing() as tx:
        for trigger in ("update", "delete"):
            tx.exec_driver_sql(f"DROP TRIGGER records_refuse_{trigger}")
        tx.exec_driver_sql(damage)

    with store.reading() as tx:
        found = where_the_log_breaks(tx, own_log(account))
    assert found is not None and found.position == position and what in found.what


@pytest.mark.parametrize(
    "damage", ["DELETE FROM records WHERE position > 4", "DELETE FROM logs", "UPDATE logs SET position = 5"]
)
def test_a_log_that_does_not_end_where_it_did_is_named(store: Store, account: Account, damage: str) -> None:
    keep(store, account, *(an_arrival_check() for _ in range(6)))
    with store.reading() as tx:
        assert ends_astray(tx) == []
    with store.writing() as tx:
        tx.exec_driver_sql("DROP TRIGGER records_refuse_delete")
        tx.exec_driver_sql(damage)

    with store.reading() as tx:
        assert where_the_log_breaks(tx, own_log(account)) is None
        assert [each.key for each in ends_astray(tx)] == [own_log(account)]


def test_a_record_put_in_the_place_of_another_is_found(store: Store, account: Account) -> None:
    keep(store, account, *(an_arrival_check() for _ in range(4)))
    with store.writing() as tx:
        tx.exec_driver_sql("DROP TRIGGER records_refuse_update")
        for a, b in ((2, -1), (3, 2), (-1, 3)):
            tx.exec_driver_sql("UPDATE records SET position = ? WHERE position = ?", (b, a))

    with store.reading() as tx:
        found = where_the_log_breaks(tx, own_log(account))
    assert found is not None and found.position == 2


def test_logs_that_grow_in_one_batch_hold_and_keep_its_order(
    owner: Person, store: Store, account: Account
) -> None:
    rigs = [a_rig(), a_rig()]
    parts = [a_device(rig["id"]) for _ in range(3) for rig in rigs]
    owner.send(rigs[0])

    receipts = owner.send(rigs[1], *parts, an_arrival_check(), an_arrival_check())

    assert [receipt["seq"] for receipt in receipts] == list(range(2, 11))
    with store.reading() as tx:
        assert [where_the_log_breaks(tx, log) for log in logs(tx)] == [None] * 3
        found = records_after(tx, account.id, 0, 100)
    of_first = [(entry.position, entry.record.id) for entry in found if entry.log == rigs[0]["id"]]
    assert of_first == list(enumerate([rigs[0]["id"], *(part["id"] for part in parts[::2])], start=1))
