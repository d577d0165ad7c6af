"""How much an account may have: what would be more is not taken, and nothing is refused for good."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from flask import Flask
from werkzeug.test import TestResponse

from fieldlog.config import Config
from fieldlog.model.bounds import Bounds
from fieldlog.store.session import Store
from tests.builders import a_rig, an_arrival_check
from tests.conftest import Person
from tests.pictures import a_jpeg
from tests.web.test_photos_sending import noted, rows, sent

Bounded = Callable[..., None]


@pytest.fixture
def bounded(app: Flask) -> Bounded:
    """Sets the bounds of the server."""

    def set_bounds(**bounds: int) -> None:
        parts = app.extensions["fieldlog"]
        settings = replace(parts.settings, bounds=Bounds(**bounds))
        app.extensions["fieldlog"] = replace(parts, settings=settings)

    return set_bounds


def hand_in(person: Person, *records: dict[str, Any]) -> TestResponse:
    """Hand records in, whatever comes back."""
    return person.post({"records": list(records)})


def kept(store: Store) -> int:
    """Count the records."""
    with store.reading() as tx:
        return int(tx.exec_driver_sql("SELECT count(*) FROM records").scalar_one())


def test_a_batch_beyond_the_bound_is_not_taken_even_in_part(
    owner: Person, store: Store, bounded: Bounded
) -> None:
    bounded(records=3)
    assert hand_in(owner, an_arrival_check(), an_arrival_check()).status_code == 200

    answer = hand_in(owner, an_arrival_check(), an_arrival_check())

    assert answer.status_code == 507 and answer.json
    [problem] = answer.json["problems"]
    assert "This account may have 3 records. Nothing of this was taken;" in problem["problem"]
    assert "FIELDLOG_MOST_RECORDS" in problem["problem"]
    assert kept(store) == 2
    assert hand_in(owner, an_arrival_check()).status_code == 200


def test_what_the_server_has_already_needs_no_room(owner: Person, bounded: Bounded) -> None:
    check = an_arrival_check()
    owner.send(check)
    bounded(records=1, least_free_mb=0)

    assert owner.send(check)[0]["status"] == "known"


def test_one_account_takes_no_room_from_another(owner: Person, colleague: Person, bounded: Bounded) -> None:
    bounded(records=1)
    owner.send(an_arrival_check())

    assert hand_in(colleague, an_arrival_check()).status_code == 200
    assert hand_in(owner, an_arrival_check()).status_code == 507


def test_the_text_of_records_is_counted(owner: Person, store: Store, bounded: Bounded) -> None:
    owner.send(an_arrival_check())
    with store.writing() as tx:
        counted = tx.exec_driver_sql("SELECT text_bytes FROM account_sizes").scalar_one()
        there = tx.exec_driver_sql("SELECT length(CAST(text AS BLOB)) FROM records").scalar_one()
        tx.exec_driver_sql("UPDATE account_sizes SET text_bytes = 999900")
    bounded(text_mb=1)

    answer = hand_in(owner, an_arrival_check(), an_arrival_check())

    assert counted == there
    assert answer.status_code == 507 and "1 MB of text" in answer.text


def test_a_full_disk_takes_no_more_records_and_no_more_photos(
    owner: Person, store: Store, bounded: Bounded
) -> None:
    noted(owner, a_jpeg())
    bounded(least_free_mb=10**9)

    records, photo = hand_in(owner, an_arrival_check()), sent(owner, a_jpeg())

    assert (records.status_code, photo.status_code) == (507, 507)
    assert "FIELDLOG_LEAST_FREE_MB" in records.text and "FIELDLOG_LEAST_FREE_MB" in photo.text
    assert kept(store) == 2 and rows(store) == []


def test_a_photo_beyond_the_bound_is_not_taken_and_leaves_no_picture(
    app: Flask, owner: Person, store: Store, bounded: Bounded
) -> None:
    for width in (32, 48):
        noted(owner, a_jpeg(width, 32))
    sent(owner, a_jpeg(32, 32))
    bounded(photos_mb=0)

    answer = sent(owner, a_jpeg(48, 32))

    assert answer.status_code == 507 and answer.json
    assert "FIELDLOG_MOST_PHOTOS_MB" in answer.json["problems"][0]["problem"]
    assert len(rows(store)) == 1
    folder = app.extensions["fieldlog"].settings.home.parent / "photos"
    assert len(list(folder.rglob("*.jpg"))) == 1
    there = sent(owner, a_jpeg(32, 32)).json
    assert there and there["status"] == "known"


def test_a_form_says_it_too(owner: Person, store: Store, bounded: Bounded) -> None:
    bounded(records=0)

    answer = owner.submit("/rigs/new", name="Bin", outlet="TT-30", note="", id=a_rig()["id"])

    assert answer.status_code == 507 and "This account may have 0 records." in answer.text
    assert kept(store) == 0


def test_the_environment_sets_the_bounds() -> None:
    names = ("MOST_RECORDS", "MOST_TEXT_MB", "MOST_PHOTOS_MB", "LEAST_FREE_MB")
    config = Config.from_environment({f"FIELDLOG_{name}": str(at) for at, name in enumerate(names)})

    assert config.bounds == Bounds(records=0, text_mb=1, photos_mb=2, least_free_mb=3)
    assert Config.from_environment({}).bounds == Bounds()
