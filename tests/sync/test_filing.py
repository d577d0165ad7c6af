"""Which records of a file are taken in, and in which order they are handed in."""

import json
from pathlib import Path
from typing import Any

import pytest

from fieldlog.errors import RulebookDamaged
from fieldlog.store.blobs import open_blobs
from fieldlog.store.records import records_after
from fieldlog.store.session import Store
from fieldlog.sync.filing import VERSION, WHAT, FileReceipt, read_in
from fieldlog.sync.inbox import Inbox, Receipt
from fieldlog.sync.photos import PhotoInbox
from fieldlog.sync.shape import problems_of_shape
from tests.builders import NOON, a_device, a_rig, a_trip_test, an_arrival_check, an_outlet
from tests.conftest import Person
from tests.repository import ROOT

CASES = json.loads((ROOT / "tests/cases/filed-records.json").read_text(encoding="utf-8"))


class Desk(Inbox):
    """An inbox that counts what is handed in."""

    handed = 0

    def receive(self, sent: Any, received_at: Any, sent_at: Any = None) -> list[Receipt]:
        """Count, and take in."""
        Desk.handed += len(sent)
        return super().receive(sent, received_at, sent_at)


@pytest.fixture
def desk(owner: Person, store: Store) -> Desk:
    """The owner's inbox, without a rulebook: what is kept does not depend on one."""
    assert owner.account is not None
    Desk.handed = 0
    return Desk(store, RulebookDamaged("it is left out here."), owner.account)


def taken_in(desk: Desk, folder: Path, records: list[Any]) -> FileReceipt:
    """Have a file with these records taken in."""
    photos = PhotoInbox(desk.store, open_blobs(str(folder / "photos")), desk.account)
    return read_in({"what": WHAT, "version": VERSION, "records": records}, desk, photos, NOON)[0]


def ids_kept(desk: Desk) -> list[str]:
    """Give the ids of the log in its order."""
    with desk.store.reading() as tx:
        return [entry.record.id for entry in records_after(tx, desk.account.id, 0, 1000)]


def corrected_often(times: int) -> list[dict[str, Any]]:
    """Give a check and a long chain of corrections of it."""
    chain = [an_arrival_check()]
    for _ in range(times):
        chain.append(an_arrival_check(corrects=chain[-1]["id"], reason="a slip"))
    return chain


def test_a_long_chain_the_wrong_way_round_is_handed_in_once(desk: Desk, tmp_path: Path) -> None:
    chain = corrected_often(150)

    answer = taken_in(desk, tmp_path, chain[::-1])

    assert (answer.stored, answer.refused, Desk.handed) == (151, [], 151)
    assert ids_kept(desk) == [record["id"] for record in chain]


def test_what_stands_in_order_is_kept_in_that_order(desk: Desk, tmp_path: Path) -> None:
    rig = a_rig()
    device, outlet = a_device(rig["id"]), an_outlet(rig["id"])
    records = [
        an_arrival_check(),
        rig,
        outlet,
        device,
        a_trip_test(rig["id"], device["id"]),
        an_arrival_check(),
    ]

    taken_in(desk, tmp_path, records)

    assert ids_kept(desk) == [record["id"] for record in records]


def test_records_that_name_each_other_are_each_kept(desk: Desk, tmp_path: Path) -> None:
    first = an_arrival_check()
    second = an_arrival_check(corrects=first["id"], reason="a slip")
    first["body"]["place"]["park"] = second["id"]

    for_each_order = [taken_in(desk, tmp_path, records) for records in ([second, first], [first, second])]

    assert [(each.stored, each.known, each.refused) for each in for_each_order] == [(2, 0, []), (0, 2, [])]


def test_what_is_refused_is_told_by_its_place_in_the_file(desk: Desk, tmp_path: Path) -> None:
    chain = corrected_often(2)

    answer = taken_in(desk, tmp_path, [3, *chain[::-1], None])

    assert answer.stored == 3
    assert [sentence.split(":")[0] for sentence in answer.refused] == ["Record 1 (no id)", "Record 5 (no id)"]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["what"])
def test_what_a_phone_leaves_out_of_a_file_the_server_refuses_there_too(case: dict[str, Any]) -> None:
    places = [problem.at for problem in problems_of_shape(case["record"])]

    assert (case["wrong_at"] in places) if case["wrong_at"] else places == []
