"""Two phones correct one record without knowing of each other."""

import re
from typing import Any

import pytest

from tests.builders import a_device, a_rig, a_trip_test, an_arrival_check, an_id
from tests.conftest import Person, token_of


def correcting(record: dict[str, Any], reason: str, *also: str, **body: Any) -> dict[str, Any]:
    """Give a correction of a record, perhaps of others as well."""
    changed = {**record, "id": an_id(), "corrects": record["id"], "reason": reason}
    changed["body"] = {**record["body"], **body}
    return {**changed, "also_corrects": list(also)} if also else changed


@pytest.fixture
def rig() -> dict[str, Any]:
    """A rig."""
    return a_rig()


@pytest.fixture
def apart(owner: Person, rig: dict[str, Any]) -> list[dict[str, Any]]:
    """A trip test and two corrections of it, all in the owner's log, after the rig and the device."""
    device = a_device(rig["id"], "Galley GFCI")
    trip = a_trip_test(rig["id"], device["id"])
    first, second = (
        correcting(trip, "It did not reset.", reset=False),
        correcting(trip, "Mine.", tripped=False),
    )
    assert {r["status"] for r in owner.send(rig, device, trip, first, second)} == {"stored"}
    return [trip, first, second]


def status(person: Person, record: dict[str, Any]) -> tuple[str, list[str]]:
    """Hand a record in; give what became of it, and where its problems are."""
    receipt = person.send(record)[0]
    return receipt["status"], [problem["at"] for problem in receipt["problems"]]


def note(page: str) -> str:
    """Give the part of a page about corrections side by side, without its tags."""
    part = page.split("data-apart", 1)[1].split("</section>", 1)[0]
    return " ".join(re.sub(r"<[^>]+>", "", part).split())


def test_both_are_kept_and_a_third_that_names_both_is_taken(
    owner: Person, apart: list[dict[str, Any]]
) -> None:
    _, first, second = apart
    third = correcting(second, "Tried again together.", first["id"])

    assert status(owner, third) == ("stored", [])
    page = owner.client.get("/api/records").json
    assert page is not None and [each["record"] for each in page["records"]][-3:] == [first, second, third]


def test_a_record_with_an_empty_list_comes_back_as_it_was_sent(owner: Person) -> None:
    sent = {**an_arrival_check(), "also_corrects": []}

    receipt = owner.send(sent)[0]

    page = owner.client.get("/api/records").json
    assert receipt["status"] == "stored" and page is not None
    assert (page["records"][0]["record"], page["records"][0]["hash"]) == (sent, receipt["hash"])
    assert owner.send(sent)[0]["status"] == "known"


def test_what_is_named_besides_must_be_a_version_of_the_same_record(
    owner: Person, colleague: Person, apart: list[dict[str, Any]]
) -> None:
    trip, first, second = apart
    other, foreign = an_arrival_check(), an_arrival_check()
    owner.send(other)
    colleague.send(foreign)

    assert status(owner, correcting(second, "x", other["id"])) == ("refused", ["/also_corrects/0"])
    assert status(owner, correcting(second, "x", first["id"], an_id())) == ("refused", ["/also_corrects/1"])
    assert status(owner, correcting(second, "x", foreign["id"])) == ("refused", ["/also_corrects/0"])
    assert status(owner, correcting(second, "x", second["id"])) == ("refused", ["/also_corrects/0"])
    assert status(owner, correcting(second, "x", first["id"], first["id"])) == ("refused", ["/also_corrects"])
    many = [an_id() for _ in range(11)]
    assert status(owner, correcting(second, "x", *many)) == ("refused", ["/also_corrects"])
    assert status(owner, {**trip, "id": an_id(), "also_corrects": [first["id"]]}) == (
        "refused",
        ["/also_corrects"],
    )


def test_a_settling_correction_may_come_in_the_batch_of_what_it_settles(owner: Person) -> None:
    check = an_arrival_check()
    first, second = correcting(check, "one"), correcting(check, "two")

    receipts = owner.send(check, first, second, correcting(second, "both", first["id"]))

    assert [receipt["status"] for receipt in receipts] == ["stored"] * 4


def test_history_shows_both_and_which_one_counts(owner: Person, apart: list[dict[str, Any]]) -> None:
    for record in apart:
        told = note(owner.client.get(f"/history/{record['id']}").text)
        assert "Tripped, did not reset It did not reset. Noted" in told and "It did not reset." in told
        assert "Did not trip, counts now" in told and "Mine." in told
    assert "corrected twice, side by side" in owner.client.get("/history").text


def test_a_correction_by_the_form_settles_it(owner: Person, apart: list[dict[str, Any]]) -> None:
    _, first, second = apart
    path = f"/history/{second['id']}/corrections/new"
    page = owner.client.get(path).text
    fields = {
        "csrf_token": token_of(page),
        "id": an_id(),
        "reason": "Tried again.",
        "by": "button",
        "tripped": "yes",
    }

    answer = owner.client.post(path, data=fields)

    assert "What you keep here stands in for both." in page
    assert answer.status_code == 303, answer.text
    newest = owner.client.get("/api/records").json["records"][-1]["record"]  # type: ignore[index]  # it is JSON
    assert (newest["corrects"], newest["also_corrects"]) == (second["id"], [first["id"]])
    assert "data-apart" not in owner.client.get(answer.location).text


def test_a_correction_of_what_settled_names_nothing_further(
    owner: Person, apart: list[dict[str, Any]]
) -> None:
    _, first, second = apart
    settled = correcting(second, "both", first["id"])
    owner.send(settled)
    path = f"/history/{settled['id']}/corrections/new"
    page = owner.client.get(path).text

    owner.client.post(
        path, data={"csrf_token": token_of(page), "id": an_id(), "reason": "slip", "tripped": "yes"}
    )

    newest = owner.client.get("/api/records").json["records"][-1]["record"]  # type: ignore[index]  # it is JSON
    assert newest["corrects"] == settled["id"] and "also_corrects" not in newest


def test_the_service_record_lists_both_and_says_which_one_counts(
    owner: Person, rig: dict[str, Any], apart: list[dict[str, Any]]
) -> None:
    page = owner.client.get(f"/rigs/{rig['id']}/record").text

    assert "entries 4 and 5 stand side by side. 5 was made last, by the phones’ clocks, and counts" in page
    assert "It did not reset. <b>It stands beside the one that counts.</b>" in page
    assert (
        "Mine. <b>It was made last, by the phones’ clocks, and counts until a correction settles it.</b>"
        in page
    )


def test_once_settled_the_service_record_says_what_stands_in_for_what(
    owner: Person, rig: dict[str, Any], apart: list[dict[str, Any]]
) -> None:
    _, first, second = apart
    owner.send(correcting(second, "Tried again together.", first["id"]))

    page = owner.client.get(f"/rigs/{rig['id']}/record").text

    assert "entry 6 in place of 5 and 4" in page
    assert "side by side" not in page and "counts until" not in page
