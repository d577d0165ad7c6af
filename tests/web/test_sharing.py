"""Sharing a rig's record with somebody who has no account: seen before, opened, noted, ended."""

import hashlib
import json
import re
from datetime import timedelta
from typing import Any

import pytest
from flask import Flask
from werkzeug.test import TestResponse

from fieldlog.bundle.verifying import Verification, verified
from fieldlog.model.share import ShareVisit, Terms
from fieldlog.store.removal import remove_account
from fieldlog.store.session import Store
from fieldlog.store.shares import note_opening, share_opened_by
from fieldlog.sync.sharing import MOST_OPEN, Sharing
from fieldlog.web.layout.shared_record import ENDED
from tests.builders import a_full_check, a_photo, a_rig, an_arrival_check, an_id
from tests.conftest import OUR_PAGE, Clock, Person
from tests.pictures import a_jpeg, exif

ADDRESS = re.compile(r">http://localhost/shared#([A-Za-z0-9_-]{43})<")
PICTURE = a_jpeg(exif=exif(1))
LINK = {"use": "link", "days": "30"}


@pytest.fixture
def rig(owner: Person) -> dict[str, Any]:
    """A rig with a check on arrival and a photo."""
    rig = a_rig()
    check = an_arrival_check(a_full_check(), rig=rig["id"], park="Owners Rest")
    owner.send(rig, check, a_photo(rig["id"], rig=rig["id"]))
    return rig


def at(rig: dict[str, Any]) -> str:
    return f"/rigs/{rig['id']}/shares"


def make(owner: Person, rig: dict[str, Any], **given: str) -> TestResponse:
    """Send what the preview asks to be sent."""
    preview = f"{at(rig)}/preview?" + "&".join(f"{name}={value}" for name, value in (LINK | given).items())
    token = owner.client.get(preview).text.split('name="csrf_token"', 1)[1].split('value="', 1)[1]
    return owner.client.post(at(rig), data={"csrf_token": token.split('"', 1)[0], **LINK, **given})


def a_link(owner: Person, rig: dict[str, Any], **given: str) -> str:
    """Make a link and give its secret, off the page that shows it."""
    (secret,) = re.findall(
        r"data-address>http://localhost/shared#([A-Za-z0-9_-]{43})<", make(owner, rig, **given).text
    )
    return str(secret)


def on_paper(owner: Person, rig: dict[str, Any]) -> str:
    """Give the secret of the code that stands on the record."""
    (secret,) = re.findall(
        r"http://localhost/shared#([A-Za-z0-9_-]{43})<", owner.client.get(f"/rigs/{rig['id']}/record").text
    )
    return str(secret)


def opened(person: Person, secret: str, **headers: str) -> TestResponse:
    return person.client.post("/shared/opened", json={"secret": secret}, headers=OUR_PAGE | headers)


def told(person: Person, secret: str) -> dict[str, Any]:
    answer = opened(person, secret)
    assert answer.status_code == 200, answer.text
    return dict(answer.get_json())


def held(person: Person, secret: str) -> Verification:
    return verified(told(person, secret)["record"].encode())


def end_all(owner: Person, rig: dict[str, Any]) -> None:
    """Tap once for each that can be ended."""
    page = owner.client.get(at(rig)).text
    token = page.split('name="csrf_token"', 1)[1].split('value="', 1)[1].split('"', 1)[0]
    for path in re.findall(r'action="([^"]*/end)"', page):
        assert owner.client.post(path, data={"csrf_token": token}).status_code == 303


# A link


def test_who_holds_the_link_gets_the_signed_record_and_nothing_of_parks(
    owner: Person, stranger: Person, rig: dict[str, Any]
) -> None:
    found = held(stranger, a_link(owner, rig))

    assert [entry["record"]["kind"] for entry in found.subject["entries"]] == ["rig"]
    assert [entry["kind"] for entry in found.subject["outlined"]] == ["arrival-check", "photo"]
    assert "Owners Rest" not in json.dumps(found.document)


def test_what_is_shown_is_what_was_chosen(owner: Person, stranger: Person, rig: dict[str, Any]) -> None:
    with_all = held(stranger, a_link(owner, rig, arrivals="y", photos="y"))

    assert [entry["record"]["kind"] for entry in with_all.subject["entries"]] == [
        "rig",
        "arrival-check",
        "photo",
    ]


@pytest.mark.parametrize("chosen", [{}, {"arrivals": "y"}, {"arrivals": "y", "photos": "y"}])
def test_the_preview_is_given_what_the_other_is_given(
    owner: Person, stranger: Person, rig: dict[str, Any], chosen: dict[str, str]
) -> None:
    secret = a_link(owner, rig, **chosen)
    preview = owner.client.get(f"{at(rig)}/preview.json", query_string=LINK | chosen).get_json()

    assert preview == told(stranger, secret)


def test_the_secret_stands_on_one_page_and_in_no_table(
    owner: Person, stranger: Person, store: Store, rig: dict[str, Any]
) -> None:
    secret, code = a_link(owner, rig), on_paper(owner, rig)
    opened(stranger, secret)

    assert secret not in owner.client.get(at(rig)).text
    with store.reading() as tx:
        tables = tx.exec_driver_sql("SELECT name FROM sqlite_schema WHERE type = 'table'").scalars().all()
        rows = "".join(str(tx.exec_driver_sql(f"SELECT * FROM {each}").all()) for each in tables)
    assert secret not in rows and code not in rows


def test_a_link_opens_nothing_beyond_its_time(
    owner: Person, stranger: Person, clock: Clock, rig: dict[str, Any]
) -> None:
    secret = a_link(owner, rig, owner_name="Kim", how_to_ask="555 0100")
    clock.pass_by(timedelta(days=30))
    answer = told(stranger, secret)

    assert answer == {
        "state": "expired",
        "record": None,
        "sentence": "This is the record of a rig of Kim; to see it, ask 555 0100.",
    }


def test_one_tap_ends_it_and_then_not_even_a_name_is_told(
    owner: Person, stranger: Person, rig: dict[str, Any]
) -> None:
    secret = a_link(owner, rig, owner_name="Kim")
    end_all(owner, rig)

    assert told(stranger, secret) == {"state": "ended", "record": None, "sentence": ENDED}


def test_the_owner_sees_when_it_was_opened_and_what_was_shown(
    owner: Person, stranger: Person, clock: Clock, rig: dict[str, Any]
) -> None:
    secret = a_link(owner, rig, days="7")
    opened(stranger, secret)
    clock.pass_by(timedelta(days=7))
    opened(stranger, secret)
    page = owner.client.get(at(rig)).text

    assert "Opened 2 times" in page
    assert page.index("nothing of the record was shown") < page.index("the record was shown</li>")


def test_only_the_newest_openings_are_kept(
    owner: Person, stranger: Person, clock: Clock, store: Store, rig: dict[str, Any]
) -> None:
    secret = a_link(owner, rig)
    opened(stranger, secret)
    with store.writing() as tx:
        share = share_opened_by(tx, secret)
        assert share is not None
        for _ in range(3):
            note_opening(tx, share, ShareVisit(clock(), was_shown=False), most=2)
    page = owner.client.get(at(rig)).text

    assert (page.count("nothing of the record was shown</li>"), "Opened 4 times" in page) == (2, True)
    assert ": the record was shown" not in page


def test_a_wrong_secret_opens_nothing_and_guessing_has_to_wait(
    owner: Person, stranger: Person, rig: dict[str, Any]
) -> None:
    secret = a_link(owner, rig)
    answers = [opened(stranger, f"{number:043}").status_code for number in range(11)]

    assert answers == [404] * 10 + [429]
    late = opened(stranger, secret)
    assert (late.status_code, late.headers["Retry-After"]) == (429, "1")


def test_opening_it_without_end_has_to_wait(owner: Person, stranger: Person, rig: dict[str, Any]) -> None:
    code = on_paper(owner, rig)
    answers = [opened(stranger, code).status_code for _ in range(61)]

    assert answers == [200] * 60 + [429]


def test_it_is_asked_for_from_our_page_alone_and_in_a_body(
    owner: Person, stranger: Person, rig: dict[str, Any]
) -> None:
    secret = a_link(owner, rig)
    foreign = opened(stranger, secret, **{"Sec-Fetch-Site": "cross-site"})

    assert foreign.status_code == 403
    assert stranger.client.get("/shared/opened", query_string={"secret": secret}).status_code == 405
    assert stranger.client.post("/shared/opened", data={"secret": secret}).status_code == 415
    wrong: list[Any] = [{}, {"secret": 1}, [], "x"]
    for body in wrong:
        assert stranger.client.post("/shared/opened", json=body, headers=OUR_PAGE).status_code == 400


def test_the_page_and_what_it_is_given_are_kept_and_found_nowhere(
    owner: Person, stranger: Person, rig: dict[str, Any]
) -> None:
    for answer in (stranger.client.get("/shared"), opened(stranger, a_link(owner, rig))):
        assert answer.headers["Cache-Control"] == "no-store"
        assert answer.headers["X-Robots-Tag"] == "noindex, nofollow"
        assert answer.headers["Referrer-Policy"] == "no-referrer"
        assert "Set-Cookie" not in answer.headers


# What is printed


def test_the_code_on_paper_says_whose_it_is_until_the_owner_opens_it(
    owner: Person, stranger: Person, rig: dict[str, Any]
) -> None:
    code = on_paper(owner, rig)
    before = told(stranger, code)
    make(owner, rig, use="paper")
    shown = held(stranger, code)
    make(owner, rig, use="whose", owner_name="Kim of site 4", how_to_ask="at the gate")

    assert before["sentence"] == (
        "This is the record of a rig whose owner chose to show no name; to see it, ask whoever gave you this."
    )
    assert shown.subject["rig"]["name"] == "Wren"
    assert told(stranger, code)["sentence"] == (
        "This is the record of a rig of Kim of site 4; to see it, ask at the gate."
    )


def test_the_same_record_printed_twice_bears_the_same_code_and_a_revoked_one_never_again(
    owner: Person, stranger: Person, rig: dict[str, Any]
) -> None:
    first = on_paper(owner, rig)
    assert on_paper(owner, rig) == first
    end_all(owner, rig)
    second = on_paper(owner, rig)
    make(owner, rig, use="paper")

    assert second != first
    assert (told(stranger, first)["state"], told(stranger, second)["state"]) == ("ended", "open")


# Who and what


def test_another_account_neither_shares_nor_ends_it(
    owner: Person, colleague: Person, stranger: Person, rig: dict[str, Any]
) -> None:
    secret = a_link(owner, rig)
    path = re.findall(r'action="([^"]*/end)"', owner.client.get(at(rig)).text)[0]
    colleague.send(theirs := a_rig())
    token = colleague.client.get(f"{at(theirs)}/preview?use=link&days=7").text
    token = token.split('name="csrf_token"', 1)[1].split('value="', 1)[1].split('"', 1)[0]

    own = path.replace(rig["id"], theirs["id"])
    for wrong in (path, own, at(rig)):
        assert colleague.client.post(wrong, data={"csrf_token": token, **LINK}).status_code == 404
    assert told(stranger, secret)["state"] == "open"


@pytest.mark.parametrize(
    "given", [{"use": "x"}, {"days": "9"}, {"owner_name": "x" * 81}, {"how_to_ask": "x" * 161}, {"use": ""}]
)
def test_what_cannot_be_shared_so_is_said_beside_its_field_and_nothing_typed_is_lost(
    owner: Person, rig: dict[str, Any], given: dict[str, str]
) -> None:
    asked = LINK | {"owner_name": "Kim"} | given
    page = owner.client.get(f"{at(rig)}/preview", query_string=asked)

    assert page.status_code == 400
    assert 'class="problem"' in page.text and asked["owner_name"] in page.text
    assert owner.client.get(f"{at(rig)}/preview.json", query_string=asked).status_code == 400


def test_the_preview_makes_nothing(owner: Person, rig: dict[str, Any]) -> None:
    owner.client.get(f"{at(rig)}/preview", query_string=LINK)

    assert "Nothing is shared, and nothing was printed yet." in owner.client.get(at(rig)).text


def test_links_of_a_rig_have_a_bound(owner: Person, clock: Clock, store: Store, rig: dict[str, Any]) -> None:
    assert owner.account is not None
    sharing = Sharing(store=store, secret="", new_id=an_id, now=clock())
    for _ in range(MOST_OPEN):
        sharing.link(owner.account.id, rig["id"], Terms(is_open=True), 7)
    refused = make(owner, rig)
    end_all(owner, rig)

    assert refused.status_code == 400 and "End one first" in refused.text
    assert len(a_link(owner, rig)) == 43


def test_an_owner_who_is_gone_shares_nothing(
    app: Flask, owner: Person, stranger: Person, rig: dict[str, Any], store: Store
) -> None:
    secret = a_link(owner, rig)
    assert owner.account is not None
    with store.writing() as tx:
        remove_account(tx, owner.account)

    assert opened(stranger, secret).status_code == 404


# Photos


@pytest.fixture
def pictured(owner: Person, rig: dict[str, Any]) -> dict[str, Any]:
    """A rig of whose photos one has arrived."""
    owner.send(a_photo(rig["id"], PICTURE, rig=rig["id"]))
    put(owner, PICTURE)
    return rig


def put(person: Person, picture: bytes) -> None:
    path = f"/api/photos/{name_of(picture)}"
    person.client.put(path, data=picture, content_type="image/jpeg", headers=OUR_PAGE)


def name_of(picture: bytes) -> str:
    return hashlib.sha256(picture).hexdigest()


def picture_by(person: Person, secret: str, name: Any = None) -> TestResponse:
    body = {"secret": secret, "hash": name or name_of(PICTURE)}
    return person.client.post("/shared/picture", json=body, headers=OUR_PAGE)


def test_a_photo_is_shown_where_it_was_chosen_and_is_what_the_server_drew(
    owner: Person, stranger: Person, pictured: dict[str, Any]
) -> None:
    secret = a_link(owner, pictured, pictures="y")
    answer = picture_by(stranger, secret)

    assert told(stranger, secret)["pictures"] is True
    assert (answer.status_code, answer.mimetype) == (200, "image/jpeg")
    assert answer.data == owner.client.get(f"/api/photos/{name_of(PICTURE)}").data != PICTURE
    assert b"Exif" in PICTURE and b"Exif" not in answer.data
    assert (answer.headers["Cache-Control"], answer.headers["X-Robots-Tag"]) == (
        "no-store",
        "noindex, nofollow",
    )
    assert answer.headers["Referrer-Policy"] == "no-referrer"
    assert "photo" in [entry["record"]["kind"] for entry in held(stranger, secret).subject["entries"]]


@pytest.mark.parametrize("chosen", [{}, {"photos": "y"}, {"arrivals": "y", "photos": "y"}])
def test_no_photo_is_shown_where_it_was_not_chosen(
    owner: Person, stranger: Person, pictured: dict[str, Any], chosen: dict[str, str]
) -> None:
    secret = a_link(owner, pictured, **chosen)

    assert "pictures" not in told(stranger, secret)
    assert picture_by(stranger, secret).status_code == 404


def test_no_photo_of_another_log_is_shown(owner: Person, stranger: Person, pictured: dict[str, Any]) -> None:
    other, picture = an_arrival_check(), a_jpeg(9, 8)
    owner.send(other, a_photo(other["id"], picture))
    put(owner, picture)
    secret = a_link(owner, pictured, pictures="y")

    assert owner.client.get(f"/api/photos/{name_of(picture)}").status_code == 200
    for name in (name_of(picture), "0" * 64, "../" + "0" * 61, 7, ["x"]):
        assert picture_by(stranger, secret, name).status_code == 404, name


def test_a_photo_ends_with_what_showed_it(
    owner: Person, stranger: Person, clock: Clock, pictured: dict[str, Any]
) -> None:
    secret, other = a_link(owner, pictured, pictures="y"), a_link(owner, pictured, pictures="y", days="7")
    clock.pass_by(timedelta(days=8))
    assert (picture_by(stranger, other).status_code, picture_by(stranger, secret).status_code) == (404, 200)
    end_all(owner, pictured)

    assert picture_by(stranger, secret).status_code == 404
