"""One's own account: /account, its password and its sessions."""

import json
from datetime import timedelta

import pytest
from flask import Flask
from werkzeug.test import TestResponse

from fieldlog.store.accounts import mark_of_session
from tests.builders import an_arrival_check
from tests.conftest import PASSWORD, Clock, Person, token_of
from tests.pictures import a_jpeg
from tests.web.test_photos_sending import noted, sent
from tests.web.test_signing_in import fresh, is_signed_in, sign_in

NEW = "four dry socks"


def change(person: Person, current: str = PASSWORD, password: str = NEW) -> tuple[int, str, str]:
    """Fill in the form for another password, and give status, place and page."""
    fields = {"current": current, "password": password}
    answer = post(person, "/account/password", **fields)
    return answer.status_code, answer.location or "", answer.text


def post(person: Person, path: str, **fields: str) -> TestResponse:
    """Send one of the forms of the page."""
    token = token_of(person.client.get("/account").text)
    return person.client.post(path, data={"csrf_token": token, **fields})


def another(app: Flask, device: str = "") -> Person:
    """Sign the owner in with one more browser."""
    person = fresh(app)
    if device:
        person.client.environ_base["HTTP_USER_AGENT"] = device
    sign_in(person)
    return person


def test_the_page_says_whose_account_it_is_and_how_much_is_kept(owner: Person) -> None:
    owner.send(an_arrival_check(), an_arrival_check())
    page = owner.client.get("/account").text

    assert "<h1>Owner</h1>" in page and "2 of at most 200,000 records" in page
    for place in ("/sign-out", "/account/export", "/account/removal"):
        assert f'href="{place}"' in page


def test_a_stranger_is_led_to_the_sign_in_and_back(stranger: Person) -> None:
    assert stranger.client.get("/account").location == "/sign-in?next=/account"


def test_another_password_is_taken_and_ends_every_other_session(app: Flask, owner: Person) -> None:
    other = another(app)

    status, place, _ = change(owner)

    assert (status, place) == (303, "/account?said=password")
    assert "Every other session of this account was ended." in owner.client.get(place).text
    assert is_signed_in(owner) and not is_signed_in(other)
    assert sign_in(fresh(app)).status_code == 400
    assert sign_in(fresh(app), password=NEW).status_code == 303


def test_the_session_itself_gets_another_token(owner: Person, app: Flask) -> None:
    before = owner.client.get_cookie("fieldlog")
    change(owner)
    old = fresh(app)
    assert before is not None
    old.client.set_cookie("fieldlog", before.value)

    assert not is_signed_in(old)


@pytest.mark.parametrize(
    ("current", "password", "sentence"),
    [
        ("wrong password", NEW, "This is not the password of this account; nothing was changed."),
        ("", NEW, "Write the password there is."),
        (PASSWORD, "", "Write a new password."),
        (PASSWORD, "short", "The password is too short"),
        (PASSWORD, "password1", "among the first"),
        (PASSWORD, "OWNER", "The password is too short"),
    ],
)
def test_what_is_no_good_is_named_and_changes_nothing(
    app: Flask, owner: Person, current: str, password: str, sentence: str
) -> None:
    other = another(app)

    status, _, page = change(owner, current, password)

    assert status == 400 and sentence in page
    assert is_signed_in(other)
    assert sign_in(fresh(app)).status_code == 303


def test_whoever_took_a_session_over_guesses_slowly(app: Flask, owner: Person, clock: Clock) -> None:
    statuses = [change(owner, "a wrong guess")[0] for _ in range(6)]
    right = change(owner)[0]
    clock.pass_by(timedelta(seconds=2))

    assert statuses == [400] * 5 + [429]
    assert (right, change(owner)[0]) == (429, 303)


def test_strangers_guesses_keep_nobody_from_changing_the_password(app: Flask, owner: Person) -> None:
    for number in range(30):
        sign_in(fresh(app, f"198.51.100.{number}"), "Owner", "a wrong guess")

    assert change(owner)[0] == 303


def test_each_session_says_when_it_began_and_was_visited(app: Flask, owner: Person, clock: Clock) -> None:
    another(app, "Mozilla/5.0 (Linux; Android 14; Pixel 7) AppleWebKit/537.36 Chrome/140.0 Mobile")
    clock.pass_by(timedelta(days=3))
    page = owner.client.get("/account").text

    assert page.count("<b>This session</b>") == 1 and page.count("<b>Another session</b>") == 1
    assert "a browser on Android" in page and "Pixel" not in page
    assert page.count("Begun 2026-11-25") == 2
    assert page.count("last visit 2026-11-28") == 1 and page.count("last visit 2026-11-25") == 1


def test_one_session_is_ended_and_no_other(app: Flask, owner: Person) -> None:
    lost, kept = another(app), another(app)
    cookie = lost.client.get_cookie("fieldlog")
    assert cookie is not None

    answer = post(owner, f"/account/sessions/{mark_of_session(cookie.value)}/ending")

    assert (answer.status_code, answer.location) == (303, "/account?said=session")
    assert [is_signed_in(person) for person in (owner, lost, kept)] == [True, False, True]


@pytest.mark.parametrize("mark", ["0" * 16, "", "%25", "_" * 16])
def test_a_session_that_is_not_there_ends_nothing(app: Flask, owner: Person, mark: str) -> None:
    other = another(app)

    answer = post(owner, f"/account/sessions/{mark}/ending")

    assert answer.status_code in (404, 308)
    assert is_signed_in(other) and is_signed_in(owner)


def test_all_others_are_ended_at_once(app: Flask, owner: Person, colleague: Person) -> None:
    others = [another(app), another(app)]

    answer = post(owner, "/account/sessions/ending")

    assert answer.location == "/account?said=sessions"
    assert is_signed_in(owner) and not any(map(is_signed_in, others))
    assert is_signed_in(colleague)


@pytest.mark.parametrize("path", ["/account/password", "/account/sessions/ending", "/account/removal"])
def test_another_site_changes_nothing(app: Flask, owner: Person, path: str) -> None:
    other = another(app)
    fields = {"current": PASSWORD, "password": PASSWORD, "name": "Owner"}

    assert owner.client.post(path, data=fields).status_code == 400
    assert is_signed_in(owner) and is_signed_in(other)


def test_the_whole_log_comes_as_a_file_that_can_be_taken_in_again(owner: Person, colleague: Person) -> None:
    picture = a_jpeg()
    note = noted(owner, picture)
    sent(owner, picture)
    colleague.send(an_arrival_check())

    answer = owner.client.get("/account/export")
    file = json.loads(answer.text)

    assert answer.headers["Content-Disposition"] == 'attachment; filename="fieldlog-all-2026-11-25.json"'
    assert answer.headers["Cache-Control"] == "no-store"
    assert (file["what"], file["account"]) == ("fieldlog phone export", "Owner")
    assert len(file["records"]) == 2 and file["records"][1] == note
    assert [photo["hash"] for photo in file["photos"]] == [note["body"]["hash"]]


def test_a_file_that_would_lack_a_photo_is_not_begun(app: Flask, owner: Person) -> None:
    picture = a_jpeg()
    noted(owner, picture)
    sent(owner, picture)
    folder = app.extensions["fieldlog"].settings.home.parent / "photos"
    for path in folder.rglob("*.jpg"):
        path.unlink()

    assert owner.client.get("/account/export").status_code == 503
