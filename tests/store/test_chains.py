"""Which record of a chain counts is kept beside the records, and always is what follows from them."""

import random
from datetime import timedelta
from typing import Any

import pytest
from sqlalchemy import Select, select, text

from fieldlog.model.account import Account
from fieldlog.store import migrations
from fieldlog.store.chains import (
    NEWEST,
    asked_of_kind,
    bring_up,
    current_records,
    make_anew,
    newest_of_each_word,
)
from fieldlog.store.ends import LogKey
from fieldlog.store.rigs import rig_with_all, rig_with_id
from fieldlog.store.session import Store, Transaction
from fieldlog.store.tables import chains
from tests.builders import (
    NOON,
    a_device,
    a_look,
    a_photo,
    a_rig,
    a_trip_test,
    an_arrival_check,
    an_id,
    an_outlet,
    an_outlet_test,
)
from tests.conftest import Person

RIG = a_rig()
DEVICE = a_device(RIG["id"])
OUTLET = an_outlet(RIG["id"], guard=DEVICE["id"])


@pytest.fixture
def account(owner: Person) -> Account:
    """Whose records they are."""
    assert owner.account is not None
    return owner.account


def correcting(record: dict[str, Any], *also: str, **members: Any) -> dict[str, Any]:
    """Give a correction of a record, perhaps of others as well."""
    made = {**record, "id": an_id(), "corrects": record["id"], "reason": "once more", **members}
    return {**made, "also_corrects": list(also)} if also else made


def trip(rig: str, device: str, observed_at: str, **body: Any) -> dict[str, Any]:
    """Give a press of TEST, and how it came out."""
    made = a_trip_test(rig, device, observed_at=observed_at)
    return {**made, "body": made["body"] | body}


def rows(tx: Transaction) -> list[tuple[Any, ...]]:
    """Give the whole table."""
    return [tuple(row) for row in tx.execute(select(chains).order_by(chains.c.account, chains.c.root))]


def drawn_records(seed: int) -> list[dict[str, Any]]:
    """Draw a log: tests of all kinds, corrected now and then, also twice on two phones, also settled."""
    draw = random.Random(seed)
    made: list[dict[str, Any]] = [a_rig(), an_arrival_check()]
    rig = made[0]["id"]
    things = [a_device(rig), an_outlet(rig)]
    made += things
    for day in range(60):
        when = (NOON - timedelta(days=draw.randrange(400))).isoformat()
        kind = draw.randrange(6)
        if kind == 0:
            made.append(trip(rig, things[0]["id"], when, tripped=draw.random() < 0.7))
        elif kind == 1:
            made.append(an_outlet_test(rig, things[1]["id"], observed_at=when))
        elif kind == 2:
            made.append(an_arrival_check(rig=draw.choice([rig, None]), observed_at=when))
        else:
            before = draw.choice(made)
            twins = [correcting(before) for _ in range(kind - 2)]
            made += draw.sample(twins, len(twins))
            if day % 3 == 0 and len(twins) > 1:
                made.append(correcting(twins[0], *(twin["id"] for twin in twins[1:])))
    return made


@pytest.mark.parametrize("seed", range(6))
def test_what_is_written_with_the_records_is_what_follows_from_them(
    store: Store, owner: Person, seed: int
) -> None:
    made = drawn_records(seed)
    while made:
        receipts = owner.send(*made[:7])
        assert {receipt["status"] for receipt in receipts} == {"stored"}, receipts
        made = made[7:]

    with store.writing() as tx:
        written = rows(tx)
        make_anew(tx)
        assert written and rows(tx) == written


def test_a_row_that_was_changed_is_seen_beside_what_follows(store: Store, owner: Person) -> None:
    owner.send(RIG, DEVICE)
    with store.writing() as tx:
        tx.execute(chains.update().values(shown_seq=chains.c.shown_seq + 1))
        changed = rows(tx)
        make_anew(tx)

        assert rows(tx) != changed


def test_which_one_counts_hangs_on_no_order_of_arrival(owner: Person, colleague: Person) -> None:
    trip = a_trip_test(RIG["id"], DEVICE["id"])
    first, second = correcting(trip, made_by="Wren"), correcting(trip, made_by="Siskin")
    owner.send(RIG, DEVICE, trip, first, second)
    colleague.send(RIG, DEVICE, trip, second, first)

    told = []
    for person in (owner, colleague):
        page = person.client.get(f"/history/{trip['id']}").text
        told.append([part.split("href")[1][:60] for part in page.split("data-counts")[1:]])

    assert told[0] == told[1] and second["id"] in told[0][0]


def test_an_earlier_version_of_the_table_is_made_anew_at_the_next_start(store: Store, owner: Person) -> None:
    owner.send(RIG, DEVICE, OUTLET)
    with store.writing() as tx:
        written = rows(tx)
        tx.execute(chains.delete())
        bring_up(tx)
        assert rows(tx) == []  # it is not asked for without a reason
        tx.exec_driver_sql("UPDATE derived SET version = 0")
    migrations.upgrade(store)

    with store.reading() as tx:
        assert rows(tx) == written


def test_records_of_an_earlier_release_are_taken_in(store: Store, owner: Person, account: Account) -> None:
    owner.send(RIG, DEVICE, OUTLET, an_arrival_check())
    with store.reading() as tx:
        written = rows(tx)
    migrations.downgrade(store, "0009")
    migrations.upgrade(store)

    with store.reading() as tx:
        assert rows(tx) == written
        assert len(current_records(tx, account.id)) == 4


def test_a_text_that_is_no_record_hides_no_other(store: Store, owner: Person) -> None:
    owner.send(RIG, DEVICE, OUTLET)
    with store.writing() as tx:
        for (name,) in tx.execute(text("SELECT name FROM sqlite_schema WHERE type = 'trigger'")).all():
            tx.exec_driver_sql(f"DROP TRIGGER {name}")
        tx.execute(text("UPDATE records SET text = '{' WHERE id = :id"), {"id": DEVICE["id"]})
        make_anew(tx)

        assert {row[1] for row in rows(tx)} == {RIG["id"], OUTLET["id"]}


def test_a_failure_long_ago_is_not_hidden_by_the_days_on_which_it_worked(
    store: Store, owner: Person, account: Account
) -> None:
    outlets = [an_outlet(RIG["id"]) for _ in range(2)]
    failed = trip(RIG["id"], DEVICE["id"], at(400), tripped=False)
    reached = trip(RIG["id"], DEVICE["id"], at(399), dead=[outlets[0]["id"]], not_tested=[])
    slow = trip(RIG["id"], DEVICE["id"], at(398), milliseconds="5700 ms", milliamps="6 mA")
    worked = [trip(RIG["id"], DEVICE["id"], at(day)) for day in range(3 * NEWEST)]
    owner.send(RIG, DEVICE, *outlets, failed, reached, slow, *worked)

    with store.reading() as tx:
        rig, whole = rig_with_id(tx, account.id, RIG["id"]), rig_with_all(tx, account.id, RIG["id"])
    assert rig is not None and whole is not None
    seen = [trip.id for trip in rig.devices[0].trips]
    assert seen == [each["id"] for each in worked[:NEWEST]] + [slow["id"], reached["id"], failed["id"]]
    assert len(whole.devices[0].trips) == 3 * NEWEST + 3


def test_what_stands_apart_or_was_noticed_is_read_however_old(
    store: Store, owner: Person, account: Account
) -> None:
    old, early = (trip(RIG["id"], DEVICE["id"], at(days)) for days in (500, 400))
    noticed = a_look(RIG["id"], observed_at=at(-30))  # which had not come yet when it arrived
    newer = [trip(RIG["id"], DEVICE["id"], at(day)) for day in range(NEWEST)]
    twins = [correcting(old), correcting(old)]
    owner.send(RIG, DEVICE, noticed, early, old, *twins, *newer, *[a_look(RIG["id"]) for _ in newer])

    with store.reading() as tx:
        rig = rig_with_id(tx, account.id, RIG["id"])
    assert rig is not None
    read = {entry.record.id for entry in rig.log}
    assert {old["id"], noticed["id"], *(twin["id"] for twin in twins)} <= read
    assert early["id"] not in read


def test_a_rig_costs_as_many_rows_however_long_its_log(store: Store, owner: Person, account: Account) -> None:
    owner.send(RIG, DEVICE, OUTLET)
    counted = []
    for count in (NEWEST, 90, 90):
        owner.send(*(trip(RIG["id"], DEVICE["id"], at(day)) for day in range(count)))
        owner.send(*(a_photo(OUTLET["id"], rig=RIG["id"]) for _ in range(count)))
        with store.reading() as tx:
            rig = rig_with_id(tx, account.id, RIG["id"])
        assert rig is not None
        counted.append(len(rig.log))

    assert counted == [3 + NEWEST] * 3


def at(day: int) -> str:
    """Give a moment so many days ago."""
    return (NOON - timedelta(days=day)).isoformat()


def test_a_rig_is_read_by_its_words_and_no_log_is_gone_through(store: Store) -> None:
    """The plan of SQLite, by its own EXPLAIN QUERY PLAN: only the words themselves are scanned."""
    asked = newest_of_each_word(LogKey("a", "r"), NEWEST)
    with store.reading() as tx:
        plan = plan_of(tx, asked)

    read = [step for step in plan if "chains" in step]
    assert len(read) == 4 and all("USING" in step and "ix_chains_word" in step for step in read), plan
    assert not [step for step in plan if step.startswith("SCAN") and step != "SCAN words"], plan


def test_a_rare_kind_and_what_is_of_a_thing_are_found_by_an_index(store: Store) -> None:
    """The plan of SQLite, by its own EXPLAIN QUERY PLAN: the newest of a kind come in order from an index."""
    log = LogKey("a", "r")
    with store.reading() as tx:
        rare = plan_of(tx, asked_of_kind(log, "incident", before=100, limit=50))
        after = plan_of(tx, asked_of_kind(log, "plug-in", subjects=["x", "y"]))

    (read,) = rare
    assert read.endswith("INDEX ix_chains_kind (account=? AND log=? AND kind=? AND shown_seq<?)"), rare
    (read,) = after
    assert read.endswith("INDEX ix_chains_newest (account=? AND log=? AND kind=? AND subject=?)"), after


def plan_of(tx: Transaction, asked: Select[Any]) -> list[str]:
    text = str(asked.compile(tx, compile_kwargs={"literal_binds": True}))
    return [str(row[-1]) for row in tx.exec_driver_sql(f"EXPLAIN QUERY PLAN {text}")]
