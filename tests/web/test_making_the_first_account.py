"""The one-time link: /first-account."""

from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from flask import Flask

from fieldlog.clock import new_id
from fieldlog.config import Config
from fieldlog.errors import BadInput
from fieldlog.store.accounts import accounts_by_name
from fieldlog.store.session import Store
from fieldlog.web.people.accounts import create_account, mint_first_account_link
from fieldlog.web.people.passwords import COMMON
from tests.conftest import PASSWORD, Clock, Person


@pytest.fixture
def link(store: Store, clock: Clock) -> str:
    """The link that is printed at the first start."""
    made = mint_first_account_link(store, now=clock)
    assert made is not None
    return made


def make(person: Person, link: str, name: str = "Kim", password: str = PASSWORD) -> Any:
    """Open the link, fill the form in and send it."""
    return person.submit(link, token=link.partition("token=")[2], name=name, password=password)


def names(store: Store) -> list[str]:
    """Give the names of all accounts."""
    with store.reading() as tx:
        return [account.name for account in accounts_by_name(tx)]


def test_the_link_makes_an_account_and_signs_in(stranger: Person, store: Store, link: str) -> None:
    answer = make(stranger, link)

    assert (answer.status_code, answer.location) == (303, "/")
    told: Any = stranger.client.get("/api/session").json
    assert (told["signed_in"], told["name"]) == (True, "Kim")
    assert names(store) == ["Kim"]


def test_the_link_works_once(stranger: Person, app: Flask, store: Store, link: str) -> None:
    make(stranger, link)

    second = Person(app.test_client(), None)
    answer = second.client.get(link)

    assert answer.status_code == 403
    assert "has been used" in answer.text
    assert names(store) == ["Kim"]


def test_of_two_who_opened_it_only_the_first_gets_an_account(app: Flask, store: Store, link: str) -> None:
    first, second = Person(app.test_client(), None), Person(app.test_client(), None)
    page = second.client.get(link).text
    token = page.split('name="csrf_token"', 1)[1].split('value="', 1)[1].split('"', 1)[0]
    make(first, link)

    fields = {
        "csrf_token": token,
        "token": link.partition("token=")[2],
        "name": "Second",
        "password": PASSWORD,
    }
    answer = second.client.post("/first-account", data=fields)

    assert answer.status_code == 403
    assert names(store) == ["Kim"]


@pytest.mark.parametrize("method", ["PUT", "PATCH", "DELETE"])
def test_another_method_is_refused(stranger: Person, link: str, method: str) -> None:
    assert stranger.client.open(link, method=method).status_code in (400, 405)


@pytest.mark.parametrize("token", ["", "x", "A" * 43, "%00", "' OR 1=1 --"])
def test_without_the_right_token_nothing_opens(stranger: Person, store: Store, link: str, token: str) -> None:
    assert stranger.client.get("/first-account", query_string={"token": token}).status_code == 403
    assert names(store) == []


def test_a_day_later_the_link_is_spent(stranger: Person, link: str, clock: Clock) -> None:
    clock.pass_by(timedelta(hours=24) - timedelta(seconds=1))
    assert stranger.client.get(link).status_code == 200

    clock.pass_by(timedelta(seconds=1))
    assert stranger.client.get(link).status_code == 403


def test_where_there_is_an_account_no_link_is_made(store: Store, owner: Person, clock: Clock) -> None:
    assert mint_first_account_link(store, now=clock) is None


def test_an_account_made_elsewhere_spends_the_link(
    stranger: Person, store: Store, link: str, clock: Clock
) -> None:
    create_account(store, "Elsewhere", PASSWORD, now=clock, new_id=new_id)

    assert stranger.client.get(link).status_code == 403


def test_the_database_holds_only_a_hash_of_the_token(store: Store, link: str, config: Config) -> None:
    store.close()

    kept = b"".join(path.read_bytes() for path in Path(config.data).glob("fieldlog.sqlite3*"))
    assert link.partition("token=")[2].encode() not in kept


def test_the_token_has_256_random_bits(link: str, store: Store, clock: Clock) -> None:
    assert len(link.partition("token=")[2]) == 43
    assert mint_first_account_link(store, now=clock) != link


@pytest.mark.parametrize(
    ("name", "password", "sentence"),
    [
        ("", PASSWORD, "Write a name."),
        ("   ", PASSWORD, "Write a name."),
        ("x" * 81, PASSWORD, "shorten it to 80"),
        ("a\tb", PASSWORD, "cannot be shown"),
        ("Kim", "", "Write a password."),
        ("Kim", "1234567", "too short"),
        ("Kim", "x" * 257, "too long"),
        ("Kim", "password1", "among the first"),
        ("Kim", "PASSWORD1", "among the first"),
        ("Kim Campbell", "kim campbell", "among the first"),
    ],
)
def test_a_bad_value_is_named_at_its_field_and_the_name_stays(
    stranger: Person, store: Store, link: str, name: str, password: str, sentence: str
) -> None:
    answer = make(stranger, link, name, password)

    assert answer.status_code == 400
    assert sentence in answer.text
    assert f'value="{name}"' in answer.text
    assert not password or password not in answer.text or password.strip() == ""
    assert names(store) == []
    assert make(stranger, link).status_code == 303


@pytest.mark.parametrize(
    "password", ["8letters", "x" * 256, "päßwörter sind schön", "🏕🔌🌧🌲🌙🔥🚐🛶", "        9"]
)
def test_any_kind_of_characters_makes_a_password(
    store: Store, clock: Clock, app: Flask, password: str
) -> None:
    create_account(store, "Kim", password, now=clock, new_id=new_id)

    assert (
        Person(app.test_client(), None).submit("/sign-in", name="Kim", password=password).status_code == 303
    )


def test_a_name_is_taken_once(store: Store, owner: Person, clock: Clock) -> None:
    with pytest.raises(BadInput, match="already") as caught:
        create_account(store, "OWNER", PASSWORD, now=clock, new_id=new_id)

    assert [problem.at for problem in caught.value.problems] == ["/name"]
    assert names(store) == ["Owner"]


def test_the_list_of_common_passwords_holds_none_twice_and_none_in_capitals() -> None:
    listed = COMMON.read_text(encoding="utf-8").splitlines()

    assert len(set(listed)) == len(listed) >= 200
    assert all(each == each.casefold() and len(each) >= 8 for each in listed)
