"""Signing in: /sign-in."""

import sys
from datetime import timedelta
from pathlib import Path
from types import FrameType
from typing import Any

import pytest
from argon2 import Parameters, PasswordHasher, extract_parameters
from flask import Flask
from sqlalchemy import event
from werkzeug.test import TestResponse

from fieldlog.store.session import Store
from fieldlog.web.people import passwords
from tests.conftest import PASSWORD, Clock, Person, token_of


def fresh(app: Flask, address: str = "192.0.2.1") -> Person:
    """Give somebody with a new browser at an address."""
    client = app.test_client()
    client.environ_base["REMOTE_ADDR"] = address
    return Person(client, None)


def sign_in(person: Person, name: str = "Owner", password: str = PASSWORD, **fields: Any) -> TestResponse:
    """Fill the form in and send it."""
    return person.submit("/sign-in", name=name, password=password, **fields)


def is_signed_in(person: Person) -> bool:
    """Say whether the browser is signed in."""
    answer = person.client.get("/api/session").json
    return bool(answer and answer["signed_in"])


def test_name_and_password_sign_in(app: Flask, owner: Person) -> None:
    person = fresh(app)

    answer = sign_in(person)

    assert (answer.status_code, answer.location) == (303, "/")
    assert is_signed_in(person)


@pytest.mark.parametrize("name", ["owner", "OWNER", " Owner ", "\uff2f\uff57\uff4e\uff45\uff52"])
def test_capitals_and_blanks_in_the_name_do_not_matter(app: Flask, owner: Person, name: str) -> None:
    person = fresh(app)

    sign_in(person, name)

    assert is_signed_in(person)


@pytest.mark.parametrize("method", ["PUT", "PATCH", "DELETE"])
def test_another_method_is_refused(stranger: Person, method: str) -> None:
    stranger.client.get("/sign-in")

    assert stranger.client.open("/sign-in", method=method).status_code in (400, 405)


@pytest.mark.parametrize(
    ("name", "password"),
    [
        ("Owner", "wrong password"),
        ("Owner", PASSWORD.upper()),
        ("Owner", PASSWORD + " "),
        ("Nobody", PASSWORD),
        ("Colleague", PASSWORD),
    ],
)
def test_a_wrong_pair_is_refused_in_the_same_words_whoever_it_is(
    app: Flask, owner: Person, name: str, password: str
) -> None:
    person = fresh(app)

    answer = sign_in(person, name, password)

    assert answer.status_code == 400
    assert "Name and password do not go together." in answer.text
    assert f'value="{name}"' in answer.text and password not in answer.text
    assert not is_signed_in(person)


@pytest.mark.parametrize(
    ("name", "password", "sentence"),
    [
        ("", PASSWORD, "Write your name."),
        ("Owner", "", "Write your password."),
        ("x" * 81, PASSWORD, "No name is that long."),
        ("Owner", "x" * 257, "No password is that long."),
    ],
)
def test_an_empty_or_endless_field_is_named(
    app: Flask, owner: Person, name: str, password: str, sentence: str
) -> None:
    answer = sign_in(fresh(app), name, password)

    assert answer.status_code == 400
    assert sentence in answer.text


def test_a_form_without_its_token_is_refused(app: Flask, owner: Person) -> None:
    person = fresh(app)

    answer = person.client.post("/sign-in", data={"name": "Owner", "password": PASSWORD})

    assert answer.status_code == 400
    assert "nothing was changed" in answer.text
    assert not is_signed_in(person)


def test_the_token_of_somebody_elses_form_is_refused(app: Flask, owner: Person) -> None:
    token = token_of(fresh(app).client.get("/sign-in").text)
    person = fresh(app)
    person.client.get("/sign-in")

    answer = person.client.post("/sign-in", data={"csrf_token": token, "name": "Owner", "password": PASSWORD})

    assert answer.status_code == 400
    assert not is_signed_in(person)


def test_the_cookie_is_out_of_reach_of_scripts_and_of_other_sites(app: Flask, owner: Person) -> None:
    answer = sign_in(fresh(app))

    cookie = next(c for c in answer.headers.getlist("Set-Cookie") if c.startswith("fieldlog="))
    for part in ("HttpOnly", "SameSite=Lax", "Path=/", f"Max-Age={90 * 24 * 3600}"):
        assert part in cookie
    assert "Domain" not in cookie


def test_over_https_the_cookie_is_bound_to_the_host(app: Flask, owner: Person) -> None:
    client = app.test_client()
    token = token_of(client.get("/sign-in", base_url="https://localhost").text)
    fields = {"csrf_token": token, "name": "Owner", "password": PASSWORD}

    answer = client.post(
        "/sign-in",
        data=fields,
        base_url="https://localhost",
        headers={"Referer": "https://localhost/sign-in"},
    )

    cookies = answer.headers.getlist("Set-Cookie")
    assert any(c.startswith("__Host-fieldlog=") and "Secure" in c for c in cookies)
    assert all("Secure" in c for c in cookies)
    told: Any = client.get("/api/session", base_url="https://localhost").json
    assert (told["signed_in"], told["name"]) == (True, "Owner")


def test_a_session_given_beforehand_is_worth_nothing_afterwards(app: Flask, owner: Person) -> None:
    person = fresh(app)
    person.client.set_cookie("fieldlog", "chosen by somebody else")

    sign_in(person)

    cookie = person.client.get_cookie("fieldlog")
    assert cookie is not None and cookie.value != "chosen by somebody else"


def test_signing_in_again_ends_the_session_before(app: Flask, owner: Person) -> None:
    person = fresh(app)
    sign_in(person)
    first = person.client.get_cookie("fieldlog")
    sign_in(person)

    other = fresh(app)
    assert first is not None
    other.client.set_cookie("fieldlog", first.value)
    assert is_signed_in(person) and not is_signed_in(other)


def test_the_database_holds_neither_token_nor_password(
    app: Flask, owner: Person, config: Any, store: Store
) -> None:
    person = fresh(app)
    sign_in(person)
    cookie = person.client.get_cookie("fieldlog")
    assert cookie is not None
    store.close()

    kept = b"".join(path.read_bytes() for path in Path(config.data).glob("fieldlog.sqlite3*"))
    assert cookie.value.encode() not in kept
    assert PASSWORD.encode() not in kept
    assert b"$argon2id$v=19$m=19456,t=2,p=1$" in kept


def test_a_session_lasts_ninety_days_and_no_longer(app: Flask, owner: Person, clock: Clock) -> None:
    person = fresh(app)
    sign_in(person)

    for _ in range(9):
        clock.pass_by(timedelta(days=10) - timedelta(seconds=1))
        assert is_signed_in(person)
    clock.pass_by(timedelta(seconds=9))

    assert not is_signed_in(person)


def test_a_session_ends_after_thirty_days_without_a_visit(app: Flask, owner: Person, clock: Clock) -> None:
    person, other = fresh(app), fresh(app)
    sign_in(person)
    sign_in(other)

    clock.pass_by(timedelta(days=30) - timedelta(seconds=1))
    lasted = is_signed_in(person)
    clock.pass_by(timedelta(seconds=1))

    assert (lasted, is_signed_in(person), is_signed_in(other)) == (True, True, False)


def test_a_visit_is_written_once_a_day_and_no_request_more(
    app: Flask, owner: Person, store: Store, clock: Clock
) -> None:
    person = fresh(app)
    sign_in(person)
    writes: list[str] = []
    event.listen(store.engine, "before_cursor_execute", lambda *given: writes.append(given[2]))

    for _ in range(6):
        clock.pass_by(timedelta(hours=8))
        assert [is_signed_in(person) for _ in range(3)] == [True] * 3

    assert sum(said.startswith("UPDATE sessions") for said in writes) == 2


def test_a_visit_that_cannot_be_written_bars_no_page(
    app: Flask, owner: Person, store: Store, clock: Clock
) -> None:
    clock.pass_by(timedelta(days=1))
    event.listen(store.engine, "begin", lambda tx: tx.exec_driver_sql("PRAGMA query_only=ON"))

    assert owner.client.get("/history").status_code == 200


def test_a_session_from_before_visits_were_noted_goes_on(owner: Person, store: Store, clock: Clock) -> None:
    with store.writing() as tx:
        tx.exec_driver_sql("UPDATE sessions SET visited_at = NULL")
    clock.pass_by(timedelta(days=60))

    assert is_signed_in(owner)
    with store.reading() as tx:
        assert tx.exec_driver_sql("SELECT visited_at FROM sessions").scalar_one() is not None


@pytest.mark.parametrize("path", ["/history", "/rigs", "/arrive", "/", "/history?before=9"])
def test_after_signing_in_the_wanted_page_is_shown(app: Flask, owner: Person, path: str) -> None:
    assert sign_in(fresh(app), next=path).location == path


@pytest.mark.parametrize(
    "path",
    [
        "//elsewhere.example/",
        "https://elsewhere.example/",
        "http:history",
        "/\\elsewhere.example",
        "\\\\elsewhere.example",
        "javascript:alert(1)",
        "/no-such-page",
        "history",
        "/history\n",
        "///elsewhere.example/history",
        "/%5celsewhere.example",
        " /history",
        "/api/records\r\nX: y",
        "",
    ],
)
def test_nobody_is_sent_to_another_place(app: Flask, owner: Person, path: str) -> None:
    assert sign_in(fresh(app), next=path).location == "/"
    assert (
        'name="next" type="hidden" value="/"'
        in fresh(app).client.get("/sign-in", query_string={"next": path}).text
    )


def test_a_page_that_needs_an_account_leads_to_the_form_and_back(stranger: Person) -> None:
    answer = stranger.client.get("/history?before=9")

    assert (answer.status_code, answer.location) == (303, "/sign-in?next=/history?before%3D9")


def test_a_weaker_hash_is_made_anew_at_the_next_sign_in(app: Flask, owner: Person, store: Store) -> None:
    weak = PasswordHasher(time_cost=1, memory_cost=8192, parallelism=1).hash(PASSWORD)
    with store.writing() as tx:
        tx.exec_driver_sql("UPDATE accounts SET password_hash = ?", (weak,))

    sign_in(fresh(app))

    with store.reading() as tx:
        now = tx.exec_driver_sql("SELECT password_hash FROM accounts").scalar_one()
    assert "m=19456,t=2,p=1" in now
    assert passwords.is_password(PASSWORD, now)


def hashing_for(password: str, kept: str | None) -> list[Parameters]:
    """Give the settings of every hash that a comparison works out."""
    done: list[Parameters] = []

    def watch(frame: FrameType, event: str, _: Any) -> None:
        if event == "call" and frame.f_code is PasswordHasher.verify.__code__:
            done.append(extract_parameters(frame.f_locals["hash"]))

    sys.setprofile(watch)
    try:
        assert not passwords.is_password(password, kept)
    finally:
        sys.setprofile(None)
    return done


def test_an_unknown_name_costs_the_same_work_as_a_wrong_password() -> None:
    known = hashing_for("wrong password", passwords.hash_of(PASSWORD))

    assert len(known) == 1
    assert hashing_for("wrong password", None) == known
