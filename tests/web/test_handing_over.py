"""A rig is handed over to another account: its log goes on where it was, and what the one before keeps."""

import json
import re

import pytest
from flask import Flask

from fieldlog.bundle.checkpoint import Checkpoint
from fieldlog.bundle.refused import say
from fieldlog.bundle.verifying import verified
from fieldlog.store.log import breaks, ends_astray
from fieldlog.store.removal import remove_account
from fieldlog.store.session import Store
from fieldlog.store.sizes import size_of
from tests.builders import a_photo, an_arrival_check, an_outlet, an_outlet_test
from tests.conftest import OUR_PAGE, Person, token_of
from tests.web.handed_over import (
    PHOTO,
    PICTURE,
    end_of,
    entries_of,
    hand_over,
    note_all,
    pages_of,
    receipt_of,
)
from tests.web.rigs import Noted
from tests.web.test_sharing import a_link, on_paper, told


@pytest.fixture
def noted(owner: Person) -> Noted:
    """A rig in the owner's log, with more than a rig."""
    return note_all(owner)


# What moves


def test_the_log_moves_whole_its_hashes_as_they_were_and_the_hand_over_is_its_next_entry(
    owner: Person, colleague: Person, store: Store, noted: Noted
) -> None:
    before, end = entries_of(store, owner, noted.rig), end_of(store, owner, noted.rig)
    hand_over(owner, colleague, noted)

    *moved, last = entries_of(store, colleague, noted.rig)
    assert moved == before
    assert (last[0], last[6].kind, last[6].body) == (
        end.position + 1,
        "hand-over",
        {"count": end.position, "head": end.head},
    )
    with store.reading() as tx:
        assert breaks(tx) == [] and ends_astray(tx) == []


def test_the_new_owner_goes_on_in_it_and_corrects_what_the_one_before_noted(
    owner: Person, colleague: Person, noted: Noted
) -> None:
    hand_over(owner, colleague, noted)
    (first,) = colleague.send(an_outlet_test(noted.rig, noted.galley))
    (outlet,) = colleague.send(an_outlet(noted.rig, "Galley, left", corrects=noted.galley, reason="Renamed"))

    assert (first["status"], outlet["status"]) == ("stored", "stored")
    assert "Galley, left" in colleague.client.get(noted.page).text


def test_every_page_of_the_rig_opens_for_the_new_owner(
    app: Flask, owner: Person, colleague: Person, noted: Noted
) -> None:
    hand_over(owner, colleague, noted)

    for path in pages_of(app, noted):
        assert colleague.client.get(path, buffered=True).status_code in (200, 303), path


def test_a_phone_of_the_new_owner_gets_every_entry_and_a_program_finds_them_after_the_last_number(
    owner: Person, colleague: Person, store: Store, noted: Noted
) -> None:
    colleague.send(an_arrival_check())
    last = colleague.client.get("/api/records").get_json()["next"]
    hand_over(owner, colleague, noted)
    count = end_of(store, colleague, noted.rig).position

    assert colleague.account is not None
    body = {"account": colleague.account.name, "logs": {}}
    fetched = colleague.client.post("/api/log", json=body, headers=OUR_PAGE).get_json()["records"]
    assert [e["position"] for e in fetched if e["log"] == noted.rig] == list(range(1, count + 1))
    found = colleague.client.get(f"/api/records?after={last}").get_json()["records"]
    assert len(found) == count


def test_the_photo_goes_with_its_record(owner: Person, colleague: Person, noted: Noted) -> None:
    assert owner.client.get(f"/api/photos/{PHOTO}").status_code == 200
    hand_over(owner, colleague, noted)

    assert owner.client.get(f"/api/photos/{PHOTO}").status_code == 404
    assert colleague.client.get(f"/api/photos/{PHOTO}").status_code == 200


def test_a_photo_of_which_another_log_speaks_stays_there_too(
    owner: Person, colleague: Person, noted: Noted
) -> None:
    check = an_arrival_check()
    owner.send(check, a_photo(check["id"], PICTURE))
    hand_over(owner, colleague, noted)

    assert owner.client.get(f"/api/photos/{PHOTO}").status_code == 200
    assert colleague.client.get(f"/api/photos/{PHOTO}").status_code == 200


def test_printed_labels_lead_both_to_the_same_place(owner: Person, colleague: Person, noted: Noted) -> None:
    def addresses(person: Person) -> list[str]:
        return re.findall(r"/outlets/[0-9a-f-]{36}", person.client.get(f"{noted.page}/labels").text)

    before = addresses(owner)
    hand_over(owner, colleague, noted)

    assert addresses(colleague) == before


def test_what_each_has_is_counted_anew(owner: Person, colleague: Person, store: Store, noted: Noted) -> None:
    assert owner.account is not None and colleague.account is not None
    hand_over(owner, colleague, noted)

    with store.reading() as tx:
        for account in (owner.account.id, colleague.account.id):
            size = size_of(tx, account)
            row = tx.exec_driver_sql(
                "SELECT count(*), sum(length(CAST(text AS BLOB))) FROM records WHERE account = ?", (account,)
            ).one()
            assert (size.records, size.text_bytes) == tuple(row)
        assert (size_of(tx, owner.account.id).photos, size_of(tx, colleague.account.id).photos) == (0, 1)


# What the one before keeps


def test_no_page_of_the_rig_opens_for_the_one_before(
    app: Flask, owner: Person, colleague: Person, noted: Noted
) -> None:
    entry = re.findall(r"/history/[0-9a-f-]{36}", owner.client.get("/history").text)
    hand_over(owner, colleague, noted)

    token = token_of(owner.client.get("/take-over").text)
    for path in pages_of(app, noted):
        assert owner.client.get(path).status_code == 404, path
        assert owner.client.post(path, data={"csrf_token": token}).status_code in (404, 405), path
    assert {owner.client.get(path).status_code for path in entry} == {200, 404}
    for path in ("/rigs", "/history", "/api/records", "/find?words=Owners", "/calendar"):
        assert "Owners Rest" not in owner.client.get(path).text, path
        assert noted.rig not in owner.client.get(path).text, path


def test_the_receipt_holds_names_every_entry_and_shows_nothing_else(
    owner: Person, colleague: Person, store: Store, noted: Noted
) -> None:
    end = end_of(store, owner, noted.rig)
    hand_over(owner, colleague, noted)
    held = verified(receipt_of(owner), checkpoints=[Checkpoint(noted.rig, *end, "2026-11-25")])
    said = say("holds-handed-over", position=end.position + 1, day="2026-11-25", count=end.position)

    assert (held.subject["log"]["count"], held.subject["log"]["head"]) == tuple(
        end_of(store, colleague, noted.rig)
    )
    (entry,) = held.subject["entries"]
    assert entry["record"]["body"] == {"count": end.position, "head": end.head}
    assert len(held.subject["outlined"]) == end.position
    assert said in held.sentences


def test_a_signed_record_made_after_it_holds_and_has_all_that_the_receipt_names(
    owner: Person, colleague: Person, noted: Noted
) -> None:
    hand_over(owner, colleague, noted)
    colleague.send(an_outlet_test(noted.rig, noted.galley))
    held = verified(colleague.client.get(f"{noted.page}/signed.json").data)

    hashes = json.loads(receipt_of(owner))["credentialSubject"]["log"]["hashes"]
    assert held.subject["log"]["hashes"][: len(hashes)] == hashes


def test_the_receipt_is_the_one_befores_alone(owner: Person, colleague: Person, noted: Noted) -> None:
    hand_over(owner, colleague, noted)
    (path,) = re.findall(r'href="(/hand-overs/[^"]*/receipt.json)"', owner.client.get("/hand-overs").text)

    assert colleague.client.get(path).status_code == 404
    assert "/receipt.json" not in colleague.client.get("/hand-overs").text


def test_what_was_shared_ends(owner: Person, colleague: Person, stranger: Person, noted: Noted) -> None:
    rig = {"id": noted.rig}
    secret, code = a_link(owner, rig), on_paper(owner, rig)
    hand_over(owner, colleague, noted)

    assert (told(stranger, secret)["state"], told(stranger, code)["state"]) == ("ended", "ended")
    assert on_paper(colleague, rig) != code


def test_removing_the_account_of_the_one_before_leaves_the_rig_where_it_is(
    owner: Person, colleague: Person, store: Store, noted: Noted
) -> None:
    hand_over(owner, colleague, noted)
    before = entries_of(store, colleague, noted.rig)
    assert owner.account is not None
    with store.writing() as tx:
        remove_account(tx, owner.account)

    assert entries_of(store, colleague, noted.rig) == before
    assert colleague.client.get(f"{noted.page}/record").status_code == 200
    assert colleague.client.get(f"/api/photos/{PHOTO}").status_code == 200
