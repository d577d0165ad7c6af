"""The log of records: added to, read, never changed."""

import re
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy.exc import IntegrityError

import fieldlog.store
from fieldlog.model.account import Account
from fieldlog.model.canonical import canonical, sha256_hex
from fieldlog.model.record import Flag, Record, StoredRecord
from fieldlog.store.chains import current_records
from fieldlog.store.records import (
    Addition,
    append,
    chain_of_corrections,
    record_with_id,
    records_after,
)
from fieldlog.store.session import Store, Transaction
from tests.builders import NOON, a_rig, an_arrival_check, an_id, an_outlet
from tests.conftest import Person


@pytest.fixture
def account(owner: Person) -> Account:
    """Whose records they are."""
    assert owner.account is not None
    return owner.account


def keep(store: Store, account: Account, *records: dict[str, Any]) -> list[StoredRecord]:
    """Write records at the end of their logs."""
    with store.writing() as tx:
        return write(tx, account, *records)


def write(tx: Transaction, account: Account, *records: dict[str, Any], **members: Any) -> list[StoredRecord]:
    """Write records in a transaction, each on its own, and give them as they are kept."""
    for record in records:
        root = root_of(tx, account, record)
        addition = Addition(
            Record.from_json(record),
            canonical(record),
            sha256_hex(record),
            root,
            noticed=members.get("noticed", ()),
        )
        append(tx, account.id, [addition], received_at=members.get("received_at", NOON))
    found = (record_with_id(tx, account.id, record["id"]) for record in records)
    return [entry for entry in found if entry is not None]


def root_of(tx: Transaction, account: Account, record: dict[str, Any]) -> str:
    earlier = record_with_id(tx, account.id, record["corrects"] or record["id"])
    return str(record["id"]) if earlier is None else earlier.root


def test_a_record_comes_back_as_it_was_written(store: Store, account: Account) -> None:
    sent = an_arrival_check()
    stored = keep(store, account, sent)[0]

    with store.reading() as tx:
        assert record_with_id(tx, account.id, sent["id"]) == stored
    assert stored.record.as_json() == sent


def test_the_kept_text_is_the_canonical_form(store: Store, account: Account) -> None:
    sent = an_arrival_check()
    keep(store, account, sent)

    with store.reading() as tx:
        assert tx.exec_driver_sql("SELECT text FROM records").scalar_one() == canonical(sent).decode()


def test_flags_and_times_come_back(store: Store, account: Account) -> None:
    flag = Flag("clock-differs", "by an hour")
    with store.writing() as tx:
        received = NOON + timedelta(microseconds=7)
        write(tx, account, a_rig(), received_at=received, noticed=[flag])

    with store.reading() as tx:
        found = records_after(tx, account.id, 0, 10)[0]
    assert (found.flags, found.received_at) == ((flag,), received)


def test_what_was_noticed_of_a_record_is_told_of_no_other(store: Store, account: Account) -> None:
    first, second = Flag("clock-differs", "by an hour"), Flag("cannot-judge", "nothing was read")
    with store.writing() as tx:
        write(tx, account, a_rig(), noticed=[first])
        write(tx, account, a_rig())
        write(tx, account, a_rig(), noticed=[second])
        found = records_after(tx, account.id, 0, 10)

    assert [entry.flags for entry in found] == [(first,), (), (second,)]


def test_records_come_in_the_order_of_their_arrival(store: Store, account: Account) -> None:
    sent = [an_arrival_check() for _ in range(5)]
    stored = keep(store, account, *reversed(sent))

    with store.reading() as tx:
        found = records_after(tx, account.id, stored[1].seq, 2)
    assert [entry.record.id for entry in found] == [sent[2]["id"], sent[1]["id"]]


def test_another_accounts_records_are_not_there(store: Store, account: Account) -> None:
    sent = an_arrival_check()
    keep(store, account, sent)

    with store.reading() as tx:
        assert record_with_id(tx, an_id(), sent["id"]) is None
        assert records_after(tx, an_id(), 0, 10) == []
        assert current_records(tx, an_id()) == []


def test_the_newest_of_a_chain_stands_for_it(store: Store, account: Account) -> None:
    rig = a_rig("Wren")
    first = a_rig("Wrenn", id=an_id(), rig=rig["id"], corrects=rig["id"], reason="spelling")
    second = a_rig("Wren II", id=an_id(), rig=rig["id"], corrects=first["id"], reason="a second one")
    other = an_outlet(rig["id"])
    keep(store, account, rig, first, other, second)

    with store.reading() as tx:
        current = current_records(tx, account.id, rig=rig["id"])
        chain = chain_of_corrections(tx, account.id, rig["id"])
    assert [entry.record.id for entry in current] == [second["id"], other["id"]]
    assert chain is not None and chain.body["name"] == "Wren II"
    assert [entry.record.id for entry in chain.versions] == [rig["id"], first["id"], second["id"]]


def test_two_corrections_of_one_record_are_both_kept(store: Store, account: Account) -> None:
    rig = a_rig("Wren")
    twins = [a_rig(name, id=an_id(), rig=rig["id"], corrects=rig["id"], reason="name") for name in ("A", "B")]
    keep(store, account, rig, *twins)

    with store.reading() as tx:
        chain = chain_of_corrections(tx, account.id, rig["id"])
    assert chain is not None
    assert [entry.record.body["name"] for entry in chain.versions] == ["Wren", "A", "B"]


@pytest.mark.parametrize("kinds", [("rig",), ("outlet",), ("rig", "outlet"), ()])
def test_current_records_can_be_asked_for_by_kind(
    store: Store, account: Account, kinds: tuple[str, ...]
) -> None:
    rig = a_rig()
    keep(store, account, rig, an_outlet(rig["id"]))

    with store.reading() as tx:
        found = current_records(tx, account.id, kinds=kinds)
    assert {entry.record.kind for entry in found} == set(kinds or ("rig", "outlet"))


def test_current_records_come_in_pages(store: Store, account: Account) -> None:
    stored = keep(store, account, *(an_arrival_check() for _ in range(5)))

    with store.reading() as tx:
        page = current_records(tx, account.id, before=stored[4].seq, limit=2)
    assert [entry.seq for entry in page] == [stored[3].seq, stored[2].seq]


@pytest.mark.parametrize("table", ["records", "flags"])
@pytest.mark.parametrize("change", ["DELETE FROM {0}", "UPDATE {0} SET {1} = {1}"])
def test_the_database_itself_refuses_to_change_a_record(
    store: Store, account: Account, table: str, change: str
) -> None:
    with store.writing() as tx:
        flag = Flag("clock-differs", "")
        write(tx, account, a_rig(), noticed=[flag])
    column = {"records": "seq", "flags": "id"}[table]

    with pytest.raises(IntegrityError, match="only ever added"), store.writing() as tx:
        tx.exec_driver_sql(change.format(table, column))


def test_no_function_of_the_store_changes_or_takes_away_a_record() -> None:
    package = Path(fieldlog.store.__file__).parent
    for module in package.glob("*.py"):
        changes = re.findall(r"(?:update|delete)\((\w+)\)", module.read_text())
        # What is moved is copied before it goes; what that leaves as it was, tests of handing over hold.
        assert module.name == "moving.py" or not {"records", "flags"} & set(changes), module.name


def test_numbers_are_never_given_twice(store: Store, account: Account) -> None:
    with pytest.raises(ZeroDivisionError), store.writing() as tx:
        write(tx, account, a_rig())
        raise ZeroDivisionError

    stored = keep(store, account, a_rig(), a_rig())
    assert stored[1].seq > stored[0].seq
