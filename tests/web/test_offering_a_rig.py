"""Offering a rig to its next owner, and taking it: read by both, once, in time, all of it or nothing."""

import hashlib
import re
from dataclasses import replace
from datetime import timedelta

import pytest
from flask import Flask
from sqlalchemy.exc import IntegrityError

from fieldlog.store.log import breaks, ends_astray
from fieldlog.store.session import Store
from fieldlog.sync.handing_over import MIXED, OWN, TWICE
from fieldlog.web.layout.parts import Parts
from tests.builders import a_rig, an_arrival_check
from tests.conftest import Clock, Person, token_of
from tests.web.handed_over import (
    GONE,
    end_of,
    entries_of,
    hand_over,
    look_at,
    note_all,
    offer,
    offer_page,
    take,
)
from tests.web.rigs import Noted, note_a_rig


@pytest.fixture
def noted(owner: Person) -> Noted:
    """A rig in the owner's log, with more than a rig."""
    return note_all(owner)


def test_both_read_the_same_of_what_moves_before_anything_does(
    owner: Person, colleague: Person, noted: Noted
) -> None:
    def told_of_moves(page: str) -> list[str]:
        return re.findall(r"<li>([^<]*(?:records|photo|call|phones|PDFs|Backups|shared)[^<]*)</li>", page)

    mine, theirs = owner.client.get(offer_page(noted)).text, look_at(colleague, offer(owner, noted)).text

    assert set(told_of_moves(theirs)) <= set(told_of_moves(mine)) and len(told_of_moves(theirs)) >= 5
    assert "8 records" in theirs and "1 photo." in theirs
    assert colleague.client.get(noted.page).status_code == 404
    assert owner.client.get(noted.page).status_code == 200


def test_who_has_not_said_that_it_was_read_gets_nothing(
    owner: Person, colleague: Person, noted: Noted
) -> None:
    answer = take(colleague, offer(owner, noted), is_read="")

    assert answer.status_code == 400 and "nothing was moved" in answer.text
    assert owner.client.get(noted.page).status_code == 200


@pytest.mark.parametrize("name", ["", "Another rig"])
def test_a_rig_is_not_offered_without_its_name(owner: Person, store: Store, noted: Noted, name: str) -> None:
    answer = owner.submit(offer_page(noted), days="7", name=name)

    assert answer.status_code == 400
    with store.reading() as tx:
        assert tx.exec_driver_sql("SELECT count(*) FROM hand_overs").scalar_one() == 0


def test_a_link_is_taken_once(owner: Person, colleague: Person, app: Flask, noted: Noted) -> None:
    secret = offer(owner, noted)
    assert take(colleague, secret).status_code == 303

    for answer in (take(owner, secret), look_at(owner, secret)):
        assert answer.status_code == 400 and GONE in answer.text


def test_a_link_offers_nothing_beyond_its_time(
    owner: Person, colleague: Person, clock: Clock, noted: Noted
) -> None:
    secret = offer(owner, noted, days=1)
    clock.pass_by(timedelta(days=1))

    assert GONE in take(colleague, secret).text and GONE in look_at(colleague, secret).text


def test_an_offer_is_taken_back_and_a_newer_one_ends_it(
    owner: Person, colleague: Person, noted: Noted
) -> None:
    first = offer(owner, noted)
    second = offer(owner, noted)
    assert GONE in look_at(colleague, first).text
    token = token_of(owner.client.get(offer_page(noted)).text)
    owner.client.post(f"{offer_page(noted)}/end", data={"csrf_token": token})

    assert GONE in take(colleague, second).text
    assert owner.client.get(noted.page).status_code == 200


def test_what_is_no_link_offers_nothing(colleague: Person) -> None:
    for code in ("", "x", "x" * 43, "http://localhost/shared#" + "x" * 43, "é" * 43):
        assert take(colleague, code).status_code == 400


def test_a_stranger_is_sent_to_sign_in_and_moves_nothing(
    owner: Person, stranger: Person, noted: Noted
) -> None:
    secret = offer(owner, noted)
    answers = [
        stranger.client.get("/take-over"),
        stranger.client.post("/take-over/taken", data={"code": secret}),
    ]

    assert [answer.status_code for answer in answers] == [303, 401]
    assert owner.client.get(noted.page).status_code == 200


def test_who_has_it_already_cannot_take_it(owner: Person, noted: Noted) -> None:
    answer = take(owner, offer(owner, noted))

    assert answer.status_code == 400 and OWN in answer.text


def test_an_account_with_a_log_of_the_rig_cannot_take_another(
    owner: Person, colleague: Person, store: Store, noted: Noted
) -> None:
    colleague.send(a_rig(id=noted.rig))
    before = entries_of(store, owner, noted.rig)

    assert TWICE in take(colleague, offer(owner, noted)).text
    assert entries_of(store, owner, noted.rig) == before


def test_an_account_with_an_entry_of_it_elsewhere_cannot_take_it(
    owner: Person, colleague: Person, store: Store
) -> None:
    noted, check = note_a_rig(owner), an_arrival_check()
    owner.send(check | {"rig": noted.rig})
    colleague.send(check)

    assert MIXED in take(colleague, offer(owner, noted)).text
    assert end_of(store, owner, noted.rig).position == 5


def test_one_without_room_for_it_takes_nothing(
    app: Flask, owner: Person, colleague: Person, store: Store, noted: Noted
) -> None:
    secret = offer(owner, noted)
    p: Parts = app.extensions["fieldlog"]
    bounds = replace(p.settings.bounds, records=8)
    app.extensions["fieldlog"] = replace(p, settings=replace(p.settings, bounds=bounds))
    before = entries_of(store, owner, noted.rig)

    assert take(colleague, secret).status_code == 507
    assert entries_of(store, owner, noted.rig) == before
    with store.reading() as tx:
        assert breaks(tx) == [] and ends_astray(tx) == []


def test_a_log_that_does_not_hold_is_not_handed_over(
    owner: Person, colleague: Person, store: Store, noted: Noted
) -> None:
    secret = offer(owner, noted)
    with store.writing() as tx:
        tx.exec_driver_sql("DROP TRIGGER records_refuse_update")
        tx.exec_driver_sql("UPDATE records SET text = replace(text, 'Owners', 'Nobodys')")

    assert take(colleague, secret).status_code == 503
    assert owner.client.get(noted.page).status_code == 200


def test_without_a_key_to_sign_the_receipt_nothing_moves(
    app: Flask, owner: Person, colleague: Person, noted: Noted
) -> None:
    secret = offer(owner, noted)
    folder = app.extensions["fieldlog"].settings.signing
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "1.key").write_bytes(b"short")

    assert take(colleague, secret).status_code == 500
    assert owner.client.get(noted.page).status_code == 200


def test_the_secret_stands_on_one_page_and_in_no_table(owner: Person, store: Store, noted: Noted) -> None:
    secret = offer(owner, noted)

    assert secret not in owner.client.get(offer_page(noted)).text
    with store.reading() as tx:
        rows = str(tx.exec_driver_sql("SELECT * FROM hand_overs").all())
    assert secret not in rows and hashlib.sha256(secret.encode()).hexdigest() in rows


def test_records_still_cannot_be_deleted_or_changed_otherwise(
    owner: Person, colleague: Person, store: Store, noted: Noted
) -> None:
    hand_over(owner, colleague, noted)
    for change in ("DELETE FROM records", "UPDATE records SET account = account", "DELETE FROM flags"):
        with pytest.raises(IntegrityError, match="only ever added"), store.writing() as tx:
            tx.exec_driver_sql("INSERT INTO flags (record, flag, detail) SELECT seq, 'x', '' FROM records")
            tx.exec_driver_sql(change)


def test_the_record_says_from_where_on_another_entered_it(
    owner: Person, colleague: Person, noted: Noted
) -> None:
    hand_over(owner, colleague, noted)
    page = colleague.client.get(f"{noted.page}/record").text

    assert "Handed over" in page and "entries 1 to 8, was entered by an earlier owner" in page


def test_a_name_with_an_apostrophe_of_print_is_typed_with_that_of_a_keyboard(owner: Person) -> None:
    rig = a_rig("Robin’s  Bin")
    owner.send(rig)

    page = owner.submit(f"/rigs/{rig['id']}/hand-over", days="7", name=" robin's bin ")
    assert page.status_code == 200 and "data-address>" in page.text
    refused = owner.submit(f"/rigs/{rig['id']}/hand-over", days="7", name="Robins Bin")
    assert refused.status_code == 400
