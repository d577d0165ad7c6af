"""What becomes of records that are handed in."""

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fieldlog.errors import RulebookDamaged
from fieldlog.model.canonical import sha256_hex
from fieldlog.model.record import StoredRecord
from fieldlog.store.ends import LogKey, all_ends, forgotten
from fieldlog.store.log import heads
from fieldlog.store.records import records_after
from fieldlog.store.removal import remove_account
from fieldlog.store.session import Store
from fieldlog.sync.inbox import Inbox, Receipt
from tests.builders import NOON, a_check, a_device, a_rig, an_arrival_check, an_id, an_outlet
from tests.conftest import Person


@pytest.fixture
def inbox(owner: Person, store: Store) -> Inbox:
    """The owner's inbox, without a rulebook: what is kept does not depend on one."""
    assert owner.account is not None
    return Inbox(store, RulebookDamaged("it is left out here."), owner.account)


def kept(inbox: Inbox) -> list[StoredRecord]:
    """Give all that is in the account's logs."""
    with inbox.store.reading() as tx:
        return records_after(tx, inbox.account.id, 0, 1000)


def statuses(receipts: list[Receipt]) -> list[str]:
    """Give what became of each."""
    return [receipt.status for receipt in receipts]


def test_a_record_is_kept_and_its_receipt_has_number_and_hash(inbox: Inbox) -> None:
    sent = an_arrival_check()

    receipt = inbox.receive([sent], NOON)[0]

    stored = kept(inbox)[0]
    wanted = Receipt(sent["id"], "stored", stored.seq, sha256_hex(sent))
    assert receipt == replace(wanted, log=stored.log, position=stored.position, head=stored.head)
    assert stored.record.as_json() == sent


def test_a_record_sent_twice_is_kept_once(inbox: Inbox) -> None:
    sent = an_arrival_check()
    first = inbox.receive([sent], NOON)[0]

    again = inbox.receive([sent], NOON + timedelta(days=3))[0]

    assert again == replace(first, status="known")
    assert len(kept(inbox)) == 1


class Asked:
    """A rulebook that counts how often anything of it is asked for, and has nothing."""

    def __init__(self) -> None:
        self.times = 0

    def __getattr__(self, name: str) -> Any:
        """Count, and fail."""
        self.times += 1
        raise AttributeError(name)


def test_what_the_log_holds_is_not_judged_again(inbox: Inbox) -> None:
    asked: Any = Asked()
    judging = replace(inbox, rulebook=asked)
    sent, other = an_arrival_check(), an_arrival_check()

    assert statuses(judging.receive([sent], NOON)) == ["stored"]
    once = asked.times
    assert statuses(judging.receive([sent], NOON)) == ["known"] and asked.times == once > 0
    assert statuses(judging.receive([sent, other], NOON)) == ["known", "stored"] and asked.times > once


def test_another_text_under_a_known_id_is_looked_at(inbox: Inbox) -> None:
    sent = an_arrival_check()
    inbox.receive([sent], NOON)

    refused = inbox.receive([{**sent, "kind": "no such kind"}], NOON)[0]

    assert (refused.status, [problem.at for problem in refused.problems]) == ("refused", ["/id"])


def test_a_record_twice_in_one_batch_is_kept_once(inbox: Inbox) -> None:
    sent = an_arrival_check()

    assert statuses(inbox.receive([sent, sent], NOON)) == ["stored", "known"]
    assert len(kept(inbox)) == 1


def test_the_order_of_members_does_not_make_another_record(inbox: Inbox) -> None:
    sent = an_arrival_check()
    inbox.receive([sent], NOON)

    assert statuses(inbox.receive([dict(reversed(sent.items()))], NOON)) == ["known"]


def test_another_body_under_a_known_id_is_refused_and_the_rest_is_kept(inbox: Inbox) -> None:
    sent, other = an_arrival_check(), an_arrival_check()
    inbox.receive([sent], NOON)

    receipts = inbox.receive([sent | {"made_by": "Somebody else"}, other], NOON)

    assert statuses(receipts) == ["refused", "stored"]
    assert [(p.at, "id already" in p.problem) for p in receipts[0].problems] == [("/id", True)]
    assert [entry.record.as_json() for entry in kept(inbox)] == [sent, other]


def test_ids_that_somebody_else_took_first_keep_nobody_out_and_tell_nothing(
    inbox: Inbox, colleague: Person, store: Store
) -> None:
    rig, check = a_rig(), an_arrival_check()
    device = a_device(rig["id"])
    assert colleague.account is not None
    thief = Inbox(store, inbox.rulebook, colleague.account)
    thief.receive([rig | {"made_by": "A thief"}, device | {"made_by": "A thief"}, check], NOON)

    receipts = inbox.receive([rig, device, check], NOON)

    assert statuses(receipts) == ["stored"] * 3
    assert [(receipt.log, receipt.position) for receipt in receipts] == [
        (rig["id"], 1),
        (rig["id"], 2),
        (inbox.account.id, 1),
    ]
    assert [entry.record.as_json() for entry in kept(inbox)] == [rig, device, check]
    assert [entry.record.made_by for entry in kept(thief)] == ["A thief", "A thief", check["made_by"]]


def test_what_somebody_else_has_is_not_there_to_speak_of(
    inbox: Inbox, colleague: Person, store: Store
) -> None:
    rig = a_rig()
    inbox.receive([rig], NOON)
    assert colleague.account is not None
    stranger = Inbox(store, inbox.rulebook, colleague.account)

    known, unknown = (stranger.receive([a_device(of)], NOON)[0] for of in (rig["id"], a_rig()["id"]))

    assert known.problems == unknown.problems != ()


def test_logs_of_one_name_are_walked_ended_and_forgotten_each_by_itself(
    inbox: Inbox, colleague: Person, store: Store
) -> None:
    rig = a_rig()
    inbox.receive([rig, a_device(rig["id"])], NOON)
    assert colleague.account is not None
    theirs = Inbox(store, inbox.rulebook, colleague.account)
    theirs.receive([rig], NOON)

    with store.reading() as tx:
        ends = all_ends(tx)
        assert heads(tx) == ends and [end.position for end in ends.values()] == [2, 1]
        own, other = (ends[LogKey(each.account.id, rig["id"])] for each in (inbox, theirs))
        assert forgotten(tx, inbox.account.id, {rig["id"]: own}) == []
        assert forgotten(tx, theirs.account.id, {rig["id"]: own}) == [rig["id"]]
        assert forgotten(tx, theirs.account.id, {rig["id"]: other}) == []
    with store.writing() as tx:
        remove_account(tx, theirs.account)
    with store.reading() as tx:
        assert {key.owner for key in all_ends(tx)} == {inbox.account.id}
    assert [entry.record.kind for entry in kept(inbox)] == ["rig", "device"]


def test_without_access_a_log_is_not_read_by_whoever_wrote_it(inbox: Inbox, store: Store) -> None:
    inbox.receive([an_arrival_check()], NOON)
    with store.writing() as tx:
        tx.exec_driver_sql("DELETE FROM access")

    assert kept(inbox) == []


@pytest.mark.parametrize(
    "bad", [3, None, [], "x", {}, {"id": 1}, {"id": "x"}, an_arrival_check(a_check(volts={"h-n": "x"}))]
)
def test_a_bad_record_holds_no_other_back(inbox: Inbox, bad: Any) -> None:
    first, last = an_arrival_check(), an_arrival_check()

    receipts = inbox.receive([first, bad, last], NOON)

    assert statuses(receipts) == ["stored", "refused", "stored"]
    assert receipts[1].problems and receipts[1].seq is None
    assert [entry.record.id for entry in kept(inbox)] == [first["id"], last["id"]]


@pytest.mark.parametrize("text", ["\ud800", "a\0b", "x\udfff"])
@pytest.mark.parametrize("member", ["made_by", "park", "name of a member"])
def test_a_text_that_cannot_be_kept_is_refused_with_its_place(inbox: Inbox, text: str, member: str) -> None:
    sent = an_arrival_check(park=text if member == "park" else "Alder Bend")
    sent |= {"made_by": text} if member == "made_by" else {text: ""} if member == "name of a member" else {}

    receipt = inbox.receive([sent], NOON)[0]

    assert receipt.status == "refused"
    assert receipt.problems[0].at == {"made_by": "/made_by", "park": "/body/place/park"}.get(member, "")


def test_later_records_of_a_batch_may_speak_of_earlier_ones(inbox: Inbox) -> None:
    rig = a_rig()

    assert statuses(inbox.receive([rig, an_outlet(rig["id"])], NOON)) == ["stored", "stored"]


def test_a_failure_in_the_middle_of_a_batch_leaves_nothing(inbox: Inbox) -> None:
    class Failing(Inbox):
        def _answer(self, letter: Any, log: Any) -> Receipt:
            if letter.id == last["id"]:
                raise MemoryError
            return super()._answer(letter, log)

    last = an_arrival_check()
    failing = Failing(inbox.store, inbox.rulebook, inbox.account)

    with pytest.raises(MemoryError):
        failing.receive([an_arrival_check(), an_arrival_check(), last], NOON)

    assert kept(inbox) == []


def test_a_record_is_kept_even_where_nothing_can_be_judged(inbox: Inbox) -> None:
    inbox.receive([an_arrival_check()], NOON)

    assert [flag.flag for flag in kept(inbox)[0].flags] == ["cannot-judge"]


@pytest.mark.parametrize(
    ("observed_at", "is_noticed"),
    [
        ("2026-11-25T12:05:00Z", False),
        ("2026-11-25T12:05:01Z", True),
        ("2026-11-25T13:04:00+01:00", False),
        ("2026-11-25T13:06:00+01:00", True),
        ("2036-01-01T00:00:00Z", True),
        ("1970-01-01T00:00:00Z", False),
    ],
)
def test_a_clock_that_runs_ahead_is_noticed_and_orders_nothing(
    inbox: Inbox, observed_at: str, is_noticed: bool
) -> None:
    inbox.receive([an_arrival_check(observed_at=observed_at), an_arrival_check()], NOON)

    found = kept(inbox)
    assert found[0].record.observed_at == observed_at
    assert ("clock-differs" in [flag.flag for flag in found[0].flags]) is is_noticed


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], max_examples=25, deadline=None)
@given(st.data())
def test_in_whatever_batches_records_are_sent_and_sent_again_each_is_kept_once(
    inbox: Inbox, data: st.DataObject
) -> None:
    records = [an_arrival_check(id=an_id()) for _ in range(6)]
    before = len(kept(inbox))
    for _ in range(3):
        inbox.receive(data.draw(st.lists(st.sampled_from(records), max_size=8)), NOON)

    inbox.receive(records, NOON)

    assert sorted(e.record.id for e in kept(inbox)[before:]) == sorted(r["id"] for r in records)
