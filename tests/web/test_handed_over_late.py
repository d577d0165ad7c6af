"""What a phone still holds of a rig that was handed over, and what backups have of it."""

import json
from pathlib import Path

import pytest
from flask import Flask
from sqlalchemy import insert

from fieldlog.model.restore import Restore
from fieldlog.store.backup import write_backup
from fieldlog.store.blobs import open_blobs
from fieldlog.store.ends import LogKey, all_ends
from fieldlog.store.hand_overs import handed_over_by, offer_taken_by
from fieldlog.store.hand_overs import receipt_of as receipt_in
from fieldlog.store.restore import restore_backup, restores_noted
from fieldlog.store.session import Store, open_store
from fieldlog.store.tables import restores
from fieldlog.sync.photos import HANDED_OVER as PHOTO_HANDED_OVER
from fieldlog.web.layout.parts import Parts
from tests.builders import NOON, a_photo, a_rig, an_outlet_test
from tests.conftest import OUR_PAGE, Person
from tests.web.handed_over import (
    PHOTO,
    PICTURE,
    end_of,
    given_away,
    hand_over,
    note_all,
    offer,
    put_photo,
    receipt_of,
)
from tests.web.rigs import Noted, note_a_rig


@pytest.fixture
def noted(owner: Person) -> Noted:
    """A rig in the owner's log, with more than a rig."""
    return note_all(owner)


# Phones


def test_what_comes_late_from_a_phone_is_refused_with_the_reason_and_nothing_begins_anew(
    owner: Person, colleague: Person, store: Store, noted: Noted
) -> None:
    hand_over(owner, colleague, noted)
    late = [an_outlet_test(noted.rig, noted.galley), a_rig("Begun anew", id=noted.rig)]
    receipts = owner.send(*late)

    for receipt in receipts:
        assert receipt["status"] == "refused"
        (problem,) = receipt["problems"]
        assert problem["at"] == "/rig" and "was handed over on 2026-11-25" in problem["problem"]
    assert owner.account is not None
    with store.reading() as tx:
        assert LogKey(owner.account.id, noted.rig) not in all_ends(tx)


def test_what_had_arrived_before_counts_as_arrived_when_it_is_sent_again(
    owner: Person, colleague: Person, noted: Noted
) -> None:
    test = an_outlet_test(noted.rig, noted.galley)
    (first,) = owner.send(test)
    hand_over(owner, colleague, noted)
    (again,) = owner.send(test)

    assert (first["status"], again["status"], again["hash"]) == ("stored", "known", first["hash"])


def test_what_the_new_owner_added_is_not_told_to_the_one_before(
    owner: Person, colleague: Person, noted: Noted
) -> None:
    hand_over(owner, colleague, noted)
    added = an_outlet_test(noted.rig, noted.galley)
    (stored,) = colleague.send(added)
    (answer,) = owner.send(added)

    assert answer["status"] == "refused"
    assert owner.account is not None
    body = {"account": owner.account.name, "records": {added["id"]: stored["hash"]}, "photos": []}
    missing = owner.client.post("/api/known", json=body, headers=OUR_PAGE).get_json()["missing"]
    assert missing["records"] == [added["id"]]


def test_a_phone_is_not_told_that_the_server_forgot_the_log_so_it_sends_nothing_anew(
    owner: Person, colleague: Person, noted: Noted
) -> None:
    assert given_away(owner, noted.rig) == [noted.rig], "no such head was ever there"
    hand_over(owner, colleague, noted)

    assert given_away(owner, noted.rig) == []


def test_a_phone_that_signs_out_is_told_that_what_moved_is_here(
    owner: Person, colleague: Person, noted: Noted
) -> None:
    test = an_outlet_test(noted.rig, noted.galley)
    (receipt,) = owner.send(test)
    hand_over(owner, colleague, noted)

    assert owner.account is not None
    body = {"account": owner.account.name, "records": {test["id"]: receipt["hash"]}, "photos": [PHOTO]}
    missing = owner.client.post("/api/known", json=body, headers=OUR_PAGE).get_json()["missing"]
    assert missing == {"records": [], "photos": []}
    assert put_photo(owner).get_json()["status"] == "known"


def test_a_photo_that_had_not_arrived_is_refused_with_the_reason(owner: Person, colleague: Person) -> None:
    noted = note_a_rig(owner)
    owner.send(a_photo(noted.galley, PICTURE, rig=noted.rig))
    hand_over(owner, colleague, noted)

    for answer in (put_photo(owner), owner.client.get(f"/api/photos/{PHOTO}/parts")):
        assert (answer.status_code, answer.get_json()["status"]) == (422, "refused")
        assert answer.get_json()["problems"] == [{"at": "/hash", "problem": PHOTO_HANDED_OVER}]


def test_a_rig_that_comes_back_is_taken_in_again(owner: Person, colleague: Person, noted: Noted) -> None:
    hand_over(owner, colleague, noted)
    hand_over(colleague, owner, noted)
    (receipt,) = owner.send(an_outlet_test(noted.rig, noted.galley))
    (late,) = colleague.send(an_outlet_test(noted.rig, noted.galley))

    assert (receipt["status"], late["status"]) == ("stored", "refused")
    assert owner.client.get(noted.page).status_code == 200


# Backups


def test_a_restore_of_before_is_still_told_of_the_log_where_another_has_one_of_its_name(
    owner: Person, colleague: Person, store: Store, noted: Noted
) -> None:
    end = end_of(store, owner, noted.rig)
    assert owner.account is not None and colleague.account is not None
    heads = {f"{noted.rig}/{owner.account.id}": list(end), f"{noted.rig}/another": [7, "1" * 64]}
    with store.writing() as tx:
        tx.execute(insert(restores).values(restored_at=NOON, made_at=NOON, heads=json.dumps(heads)))
    hand_over(owner, colleague, noted)

    with store.reading() as tx:
        assert restores_noted(tx, colleague.account.id, noted.rig) == [Restore(NOON, NOON, *end)]


def test_a_backup_has_the_rig_with_its_new_owner_the_receipt_and_no_offer_that_stands(
    app: Flask, owner: Person, colleague: Person, store: Store, noted: Noted, tmp_path: Path
) -> None:
    hand_over(owner, colleague, noted)
    secret = offer(colleague, noted)
    p: Parts = app.extensions["fieldlog"]
    write_backup(store, p.blobs, {}, tmp_path / "backup.zip", made_at=NOON)
    data = tmp_path / "new"
    blobs = open_blobs(str(data / "photos"))
    restore_backup(tmp_path / "backup.zip", data, data / "log.sqlite3", blobs, restored_at=NOON)

    again = open_store(f"sqlite:///{data / 'log.sqlite3'}")
    with store.reading() as old, again.reading() as new:
        assert all_ends(new) == all_ends(old)
        assert owner.account is not None
        (taken,) = handed_over_by(new, owner.account.id)
        assert receipt_in(new, owner.account.id, taken.id) == receipt_of(owner).decode()
        found = offer_taken_by(new, secret)
    again.close()
    assert found is not None and not found.stands(NOON)
