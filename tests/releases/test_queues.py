"""What a phone may still hold from an earlier release: each folder has what one wrote, by its own modules.

A queue has the stores of the phone as they were: rows of records, drafts, what is remembered, what is kept.
"""

import json
from pathlib import Path
from typing import Any

import pytest

from fieldlog.model.canonical import sha256_hex
from tests.builders import an_arrival_check, an_id
from tests.conftest import Person

QUEUES = {
    path.parent.name: json.loads(path.read_text("utf-8"))
    for path in Path(__file__).parent.glob("*/queue.json")
}
KINDS = {"arrival-check", "outlet-test", "plug-in", "trip-test", "rig", "outlet", "device", "instrument"}
RELEASES = pytest.mark.parametrize("release", QUEUES)


def rows(release: str) -> list[dict[str, Any]]:
    """Give the rows of a release's queue, in the order in which they were made."""
    found: list[dict[str, Any]] = QUEUES[release]["records"]
    return found


def test_every_release_has_a_queue() -> None:
    folders = {
        path.name for path in Path(__file__).parent.iterdir() if path.is_dir() and path.name[:1].isdigit()
    }

    assert folders == set(QUEUES) and "2026-11" in folders


@RELEASES
def test_a_queue_holds_every_kind_and_every_state(release: str) -> None:
    assert {row["record"]["kind"] for row in rows(release)} >= KINDS
    assert {row["saved"] for row in rows(release)} == {"phone", "server", "refused"}
    assert any(row["record"]["corrects"] for row in rows(release)) and QUEUES[release]["drafts"]


@RELEASES
def test_every_record_of_a_queue_is_taken_with_the_hash_that_the_phone_gave_it(
    owner: Person, release: str
) -> None:
    receipts = owner.send(*(row["record"] for row in rows(release)))

    assert [receipt["problems"] for receipt in receipts if receipt["status"] != "stored"] == []
    assert [receipt["hash"] for receipt in receipts] == [row["hash"] for row in rows(release)]


@RELEASES
def test_a_queue_comes_back_as_it_was_and_can_be_judged(owner: Person, release: str) -> None:
    sent = [row["record"] for row in rows(release)]
    owner.send(*sent)

    page = owner.client.get("/api/records").json

    assert page is not None and [entry["record"] for entry in page["records"]] == sent
    assert all(flag["flag"] != "cannot-judge" for entry in page["records"] for flag in entry["flags"])


@RELEASES
def test_a_queue_sent_twice_is_kept_once(owner: Person, release: str) -> None:
    sent = [row["record"] for row in rows(release)]
    owner.send(*sent)

    assert {receipt["status"] for receipt in owner.send(*sent)} == {"known"}


@RELEASES
def test_the_hashes_of_a_queue_are_those_of_its_texts(release: str) -> None:
    assert [sha256_hex(row["record"]) for row in rows(release)] == [row["hash"] for row in rows(release)]


@pytest.mark.parametrize(
    ("changed", "at"),
    [
        ({"kind": "wind-speed"}, "/kind"),
        ({"wind": "3 m/s"}, "/wind"),
        ({"body": {**an_arrival_check()["body"], "wind": "3 m/s"}}, "/body/wind"),
        ({"kind": "wind-speed", "body": {"speed": "3 m/s"}}, "/kind"),
    ],
)
def test_what_only_a_later_release_knows_is_refused_with_a_reason_and_the_rest_is_kept(
    owner: Person, changed: dict[str, Any], at: str
) -> None:
    later = {**an_arrival_check(), "id": an_id(), **changed}

    receipts = owner.send(an_arrival_check(), later, an_arrival_check())

    assert [receipt["status"] for receipt in receipts] == ["stored", "refused", "stored"]
    assert receipts[1]["id"] == later["id"]
    problem = receipts[1]["problems"][0]
    assert problem["at"] == at and (
        "is not one of the kinds" in problem["problem"] or "is not known here" in problem["problem"]
    )
