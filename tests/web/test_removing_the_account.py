"""Removing one's own account: /account/removal."""

import hashlib
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from werkzeug.test import TestResponse

from fieldlog.store.log import breaks
from fieldlog.store.removal import clear_left_photos
from fieldlog.store.session import Store
from fieldlog.store.tables import metadata
from tests.builders import a_device, a_rig, a_trip_test, an_arrival_check
from tests.conftest import PASSWORD, Person, token_of
from tests.pictures import a_jpeg
from tests.web.test_photos_sending import noted, sent
from tests.web.test_signing_in import fresh, is_signed_in, sign_in


def remove(person: Person, name: str = "Owner", password: str = PASSWORD) -> TestResponse:
    """Fill the form in and send it."""
    return person.submit("/account/removal", name=name, password=password)


def rows(store: Store) -> dict[str, list[tuple[Any, ...]]]:
    """Give all that the database holds, by table."""
    with store.reading() as tx:
        return {
            table.name: [tuple(row) for row in tx.exec_driver_sql(f"SELECT * FROM {table.name} ORDER BY 1")]
            for table in metadata.sorted_tables
        }


def pictures(app: Flask) -> set[str]:
    """Give the names of the pictures that are kept."""
    folder: Path = app.extensions["fieldlog"].settings.home.parent / "photos"
    return {path.stem for path in folder.rglob("*.jpg")}


@pytest.fixture
def log(owner: Person, colleague: Person, app: Flask) -> None:
    """A log with something in every table, and another one beside it."""
    rig = a_rig()
    device = a_device(rig["id"])
    owner.send(rig, device, a_trip_test(rig["id"], device["id"], observed_at="2036-01-01T10:00:00+00:00"))
    for person, sizes in ((owner, (32, 48)), (colleague, (48,))):
        for width in sizes:
            noted(person, a_jpeg(width, 32))
            assert sent(person, a_jpeg(width, 32)).status_code == 200
    token = token_of(owner.client.get("/calendar").text)
    assert owner.client.post("/calendar/feed", data={"csrf_token": token}).status_code == 200
    sign_in(fresh(app), "Owner", "a wrong guess")


def test_the_page_offers_the_file_first_and_says_what_stays(owner: Person) -> None:
    owner.send(an_arrival_check())
    page = owner.client.get("/account/removal").text

    assert page.index('href="/account/export"') < page.index('action="/account/removal"')
    assert "1 record and 0 photos" in page
    for what in ("Backups of the server", "What is on phones.", "Files, printed records and labels"):
        assert what in page


@pytest.mark.usefixtures("log")
def test_nothing_of_the_account_is_left_and_nothing_of_another_s_is_touched(
    app: Flask, owner: Person, colleague: Person, store: Store
) -> None:
    assert owner.account and colleague.account
    before = rows(store)
    assert len(before["flags"]) > 2, "some of the records have flags"

    answer = remove(owner)

    assert answer.status_code == 200 and "The account Owner is removed" in answer.text
    after = rows(store)
    for name in after:
        assert set(after[name]) <= set(before[name]), name
        told = repr(
            [row[:3] if name == "access" else row for row in after[name]]
        ).casefold()  # without the role
        assert owner.account.id not in told and "owner" not in told, name
    theirs = colleague.account.id
    for name in ("records", "photos", "sessions", "account_sizes"):
        assert after[name] == [row for row in before[name] if theirs in row], name
    assert (after["removals"], after["left_photos"]) == ([], [])
    assert {row[1] for row in after["flags"]} <= {row[0] for row in after["records"]}
    with store.reading() as tx:
        assert breaks(tx) == []
    assert not is_signed_in(owner) and is_signed_in(colleague)


@pytest.mark.usefixtures("log")
def test_a_picture_goes_unless_another_account_has_it_too(
    app: Flask, owner: Person, colleague: Person
) -> None:
    assert len(pictures(app)) == 2
    remove(owner)

    assert len(pictures(app)) == 1
    name = hashlib.sha256(a_jpeg(48, 32)).hexdigest()
    assert colleague.client.get(f"/api/photos/{name}").status_code == 200


@pytest.mark.usefixtures("log")
def test_a_picture_that_cannot_be_taken_away_is_told_and_tried_again(
    app: Flask, owner: Person, store: Store
) -> None:
    parts = app.extensions["fieldlog"]
    folder: Path = parts.settings.home.parent / "photos"
    [path] = [path for path in folder.rglob("*.jpg") if path.stem not in shared(store)]
    path.unlink()
    path.mkdir()  # what stands there is no file, and cannot be removed as one
    (path / "in the way").write_text("")

    answer = remove(owner)

    assert "1 picture could not be taken away now" in answer.text
    (path / "in the way").unlink()
    path.rmdir()
    path.write_bytes(b"the picture")
    assert clear_left_photos(store, parts.blobs) == 0
    assert not path.exists() and rows(store)["left_photos"] == []


def shared(store: Store) -> set[str]:
    """Give the pictures that two accounts have."""
    with store.reading() as tx:
        question = "SELECT kept_hash FROM photos GROUP BY kept_hash HAVING count(*) > 1"
        return set(tx.exec_driver_sql(question).scalars())


@pytest.mark.usefixtures("log")
@pytest.mark.parametrize(
    ("name", "password", "sentence"),
    [
        ("Ownr", PASSWORD, "The account is called Owner. Type that; nothing was removed."),
        ("", PASSWORD, "Write the name of the account."),
        ("Owner", "", "Write the password."),
        ("Owner", "wrong password", "nothing was changed"),
        ("Colleague", PASSWORD, "nothing was removed"),
    ],
)
def test_without_name_and_password_nothing_is_removed(
    owner: Person, store: Store, name: str, password: str, sentence: str
) -> None:
    before = rows(store)

    answer = remove(owner, name, password)

    assert answer.status_code == 400 and sentence in answer.text
    after = rows(store)
    assert {table: after[table] for table in after if table != "sign_in_tries"} == {
        table: before[table] for table in before if table != "sign_in_tries"
    }
    assert is_signed_in(owner)


@pytest.mark.usefixtures("log")
def test_what_fails_on_the_way_leaves_all_of_it(owner: Person, store: Store) -> None:
    with store.writing() as tx:
        tx.exec_driver_sql(
            "CREATE TRIGGER full BEFORE DELETE ON accounts BEGIN SELECT RAISE(ABORT, 'no room'); END"
        )
    before = rows(store)

    assert remove(owner).status_code == 500

    after = rows(store)
    assert {table: after[table] for table in after if table != "sign_in_tries"} == {
        table: before[table] for table in before if table != "sign_in_tries"
    }


@pytest.mark.usefixtures("log")
def test_a_phone_of_a_removed_account_is_told_to_sign_in_and_its_records_stay_with_it(
    app: Flask, owner: Person
) -> None:
    other = fresh(app)
    sign_in(other)
    remove(owner)

    assert other.post({"records": [an_arrival_check()]}).status_code == 401
    assert sign_in(other).status_code == 400


@pytest.mark.parametrize("method", ["PUT", "PATCH", "DELETE"])
def test_another_method_is_refused(owner: Person, method: str) -> None:
    assert owner.client.open("/account/removal", method=method).status_code in (400, 405)
    assert is_signed_in(owner)


def test_after_a_removal_records_can_still_only_be_added(
    owner: Person, colleague: Person, store: Store
) -> None:
    colleague.send(an_arrival_check())
    remove(owner)

    with pytest.raises(Exception, match="only ever added"), store.writing() as tx:
        tx.exec_driver_sql("DELETE FROM records")
