"""PUT and GET /api/photos/<hash>: photos that are what they should be."""

import hashlib
from io import BytesIO
from typing import Any

import pytest
from flask import Flask
from PIL import Image
from werkzeug.test import TestResponse

from fieldlog.store.session import Store
from tests.builders import a_photo, a_rig, an_arrival_check
from tests.conftest import OUR_PAGE, Person
from tests.pictures import a_jpeg, a_picture, written


def sent(person: Person, content: bytes, media: str = "image/jpeg", name: str = "") -> TestResponse:
    """Send a photo as a page of the site does."""
    name = name or hashlib.sha256(content).hexdigest()
    return person.client.put(f"/api/photos/{name}", data=content, content_type=media, headers=OUR_PAGE)


def noted(person: Person, content: bytes, **members: Any) -> dict[str, Any]:
    """Keep a check and the note of a photo, and give that note."""
    check = an_arrival_check()
    photo = a_photo(check["id"], content, **members)
    receipts = person.send(check, photo)
    assert [receipt["status"] for receipt in receipts] == ["stored", "stored"], receipts
    return photo


def rows(store: Store) -> list[Any]:
    """Give what the database holds of photos."""
    with store.reading() as tx:
        return list(tx.exec_driver_sql("SELECT * FROM photos").all())


def test_a_photo_is_kept_after_its_record(owner: Person) -> None:
    content = a_jpeg()
    photo = noted(owner, content)

    answer = sent(owner, content)

    assert answer.status_code == 200
    assert answer.json == {"hash": photo["body"]["hash"], "status": "stored", "problems": []}


def test_a_photo_sent_twice_is_kept_once(owner: Person, store: Store) -> None:
    content = a_jpeg()
    noted(owner, content)

    answers = [sent(owner, content).json, sent(owner, content).json]

    assert [answer and answer["status"] for answer in answers] == ["stored", "known"]
    assert len(rows(store)) == 1


def test_the_picture_comes_back_as_an_attachment_that_runs_nothing(owner: Person) -> None:
    content = a_jpeg(300, 200)
    name = noted(owner, content)["body"]["hash"]
    sent(owner, content)

    answer = owner.client.get(f"/api/photos/{name}")

    assert answer.status_code == 200 and answer.mimetype == "image/jpeg"
    assert answer.headers["Content-Disposition"].startswith("attachment")
    assert answer.headers["Content-Security-Policy"] == "default-src 'none'; sandbox"
    assert answer.headers["X-Content-Type-Options"] == "nosniff"
    assert answer.headers["Cache-Control"] == "no-store"
    assert opened(answer.data).size == (300, 200)


@pytest.mark.parametrize(("kind", "media"), [("PNG", "image/png"), ("WEBP", "image/webp")])
def test_other_kinds_of_picture_are_kept_as_jpeg(owner: Person, kind: str, media: str) -> None:
    content = written(a_picture(), kind)
    name = noted(owner, content, media=media)["body"]["hash"]

    assert sent(owner, content, media).status_code == 200
    assert opened(owner.client.get(f"/api/photos/{name}").data).format == "JPEG"


def test_a_large_picture_is_kept_smaller(owner: Person) -> None:
    content = a_jpeg(4000, 1000)
    name = noted(owner, content)["body"]["hash"]
    sent(owner, content)

    assert opened(owner.client.get(f"/api/photos/{name}").data).size == (2048, 512)


def test_a_photo_of_up_to_twelve_megabytes_is_taken_and_other_routes_keep_their_limit(owner: Person) -> None:
    content = a_jpeg()[:2] + (b"\xff\xfe\xff\xff" + bytes(65533)) * 40 + a_jpeg()[2:]
    noted(owner, content)

    assert len(content) > 2 * 1024 * 1024
    assert sent(owner, content).status_code == 200
    large = owner.client.post("/api/records", data=content, content_type="application/json", headers=OUR_PAGE)
    assert large.status_code == 413


@pytest.mark.parametrize("method", ["POST", "PATCH", "DELETE"])
def test_another_method_is_refused(owner: Person, store: Store, method: str) -> None:
    content = a_jpeg()
    name = noted(owner, content)["body"]["hash"]

    answer = owner.client.open(f"/api/photos/{name}", method=method, data=content, headers=OUR_PAGE)

    assert answer.status_code == 405
    assert rows(store) == []


def test_who_is_not_signed_in_learns_nothing(owner: Person, stranger: Person, store: Store) -> None:
    content = a_jpeg()
    name = noted(owner, content)["body"]["hash"]
    sent(owner, content)

    there, nowhere = (stranger.client.get(f"/api/photos/{each}") for each in (name, "0" * 64))

    assert (there.status_code, there.data) == (nowhere.status_code, nowhere.data)
    assert there.status_code == 401
    assert sent(stranger, a_jpeg(8, 8)).status_code == 401
    assert len(rows(store)) == 1


def test_a_photo_of_somebody_else_answers_like_one_that_is_not_there(
    owner: Person, colleague: Person
) -> None:
    content = a_jpeg()
    name = noted(owner, content)["body"]["hash"]
    sent(owner, content)

    theirs, nowhere = (colleague.client.get(f"/api/photos/{each}") for each in (name, "0" * 64))

    assert (theirs.status_code, theirs.data) == (nowhere.status_code, nowhere.data)
    assert theirs.status_code == 404


def test_two_accounts_may_keep_the_same_photo_and_each_sees_its_own(owner: Person, colleague: Person) -> None:
    content = a_jpeg()
    name = noted(owner, content)["body"]["hash"]
    noted(colleague, content)

    assert sent(owner, content).json == {"hash": name, "status": "stored", "problems": []}
    assert colleague.client.get(f"/api/photos/{name}").status_code == 404
    assert sent(colleague, content).json == {"hash": name, "status": "stored", "problems": []}
    assert colleague.client.get(f"/api/photos/{name}").status_code == 200


def test_a_photo_from_another_site_is_refused(owner: Person, store: Store) -> None:
    content = a_jpeg()
    name = noted(owner, content)["body"]["hash"]
    for headers in ({}, {"Sec-Fetch-Site": "cross-site"}, {"Origin": "http://elsewhere.example"}):
        answer = owner.client.put(
            f"/api/photos/{name}", data=content, content_type="image/jpeg", headers=headers
        )
        assert answer.status_code == 403
    assert rows(store) == []


def test_the_history_shows_photos_and_says_which_have_not_arrived(owner: Person) -> None:
    first, second = a_jpeg(32, 32), a_jpeg(48, 32)
    check = an_arrival_check()
    photos = [a_photo(check["id"], first, what="The burned slot"), a_photo(check["id"], second)]
    owner.send(check, *photos)
    sent(owner, first)

    page = owner.client.get(f"/history/{check['id']}").text
    own = owner.client.get(f"/history/{photos[0]['id']}").text

    assert f'src="/api/photos/{photos[0]["body"]["hash"]}"' in page and "The burned slot" in page
    assert f'src="/api/photos/{photos[1]["body"]["hash"]}"' not in page
    assert "has not reached the server yet" in page
    assert f'src="/api/photos/{photos[0]["body"]["hash"]}"' in own and f"/history/{check['id']}" in own


def test_what_a_photo_shows_can_be_worded_otherwise_and_nothing_else(owner: Person) -> None:
    content = a_jpeg()
    photo = noted(owner, content, what="The slot")
    answer = owner.submit(
        f"/history/{photo['id']}/corrections/new",
        what="The burned slot",
        reason="Said too little",
        id=an_arrival_check()["id"],
    )
    other = a_photo(photo["subject"], a_jpeg(8, 8), corrects=photo["id"], reason="Another one")

    receipt = owner.send(other)[0]

    assert answer.status_code == 303
    assert receipt["status"] == "refused" and receipt["problems"][0]["at"] == "/body"


def test_a_photo_of_nothing_in_the_log_is_refused(owner: Person, colleague: Person) -> None:
    check, theirs, rig = an_arrival_check(), an_arrival_check(), a_rig()
    owner.send(check, rig)
    colleague.send(theirs)
    photo = a_photo(check["id"])
    owner.send(photo)
    wrong = [
        a_photo(an_arrival_check()["id"]),
        a_photo(theirs["id"]),
        a_photo(photo["id"]),
        a_photo(check["id"], rig=rig["id"]),
    ]

    receipts = owner.send(*wrong)

    assert [receipt["status"] for receipt in receipts] == ["refused"] * 4
    assert [receipt["problems"][0]["at"] for receipt in receipts] == ["/subject"] * 3 + ["/rig"]


def test_a_place_of_photos_that_does_not_answer_loses_no_record(
    app: Flask, owner: Person, store: Store
) -> None:
    content = a_jpeg()
    noted(owner, content)
    (app.extensions["fieldlog"].settings.home.parent / "photos").write_text("in the way")

    answer = sent(owner, content)

    assert answer.status_code == 503 and answer.headers["Retry-After"]
    assert answer.json and "stays on the phone" in answer.json["problems"][0]["problem"]
    assert rows(store) == []


def opened(content: bytes) -> Image.Image:
    """Open a picture."""
    return Image.open(BytesIO(content))
