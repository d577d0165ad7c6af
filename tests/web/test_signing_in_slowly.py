"""Guesses at a password are slowed down; whoever knows it waits for seconds at most."""

from collections.abc import Callable, Sequence
from datetime import timedelta
from email.utils import parsedate_to_datetime
from itertools import count as count_up
from typing import Any

import pytest
from argon2 import PasswordHasher
from flask import Flask
from werkzeug.test import TestResponse

from fieldlog.app import create_app
from fieldlog.clock import now
from fieldlog.config import Config
from fieldlog.errors import TooManyTries
from fieldlog.store.accounts import replace_password_hash
from fieldlog.store.session import Store
from fieldlog.web.layout.pace import network_of
from fieldlog.web.people.admission import Visitor, admit, marks_with
from tests.conftest import PASSWORD, Clock, Person, token_of
from tests.web.test_signing_in import fresh, sign_in

SECOND = timedelta(seconds=1)
QUICK = PasswordHasher(time_cost=1, memory_cost=8, parallelism=1)
MINUTE_S = 60
HOUR_S = 3600


@pytest.fixture
def owner(owner: Person, store: Store) -> Person:
    """Whose log it is, with a password whose hash is quick to compare; what is counted are the guesses."""
    assert owner.account
    with store.writing() as tx:
        replace_password_hash(tx, owner.account, QUICK.hash(PASSWORD))
    return owner


def guess(app: Flask, address: str, name: str = "Owner") -> TestResponse:
    """Try a wrong password once, with a new browser."""
    return sign_in(fresh(app, address), name, "a wrong guess")


def guesses(app: Flask, address: str, times: int, name: str = "Owner") -> list[int]:
    """Try a wrong password some times at once."""
    return [guess(app, address, name).status_code for _ in range(times)]


def waited_s(answer: TestResponse) -> int:
    """Give how long an answer asks to wait."""
    return int(answer.headers["Retry-After"]) if answer.status_code == 429 else 0


def looked_at(store: Store, clock: Clock, visitors: Sequence[Callable[[], Visitor]], span_s: int) -> int:
    """Count the guesses at a name that were looked at; all visitors come as soon as any of them may."""
    count, end = 0, clock() + span_s * SECOND
    while clock() < end:
        waits = []
        for visitor in visitors:
            try:
                assert admit(store, "Owner", "a wrong guess", visitor(), clock()) is None
                count += 1
            except TooManyTries as error:
                waits.append(error.wait_s)
        clock.pass_by(min(waits, default=0) * SECOND)
    return count


def by_address(*addresses: str) -> list[Callable[[], Visitor]]:
    """Give strangers with an address each."""
    return [lambda address=address: Visitor(address, None) for address in addresses]  # type: ignore[misc]  # bound at once


def test_after_five_failures_each_further_one_doubles_the_wait(
    app: Flask, owner: Person, clock: Clock
) -> None:
    waits = []
    assert guesses(app, "198.51.100.1", 5) == [400] * 5
    for _ in range(5):
        waits.append(waited_s(guess(app, "198.51.100.1")))
        clock.pass_by(waits[-1] * SECOND)
        assert guess(app, "198.51.100.1").status_code == 400

    assert waits == [1, 2, 4, 8, 16]


def test_who_has_to_wait_is_told_how_long_and_keeps_the_name_that_was_typed(
    app: Flask, owner: Person
) -> None:
    guesses(app, "198.51.100.1", 5)
    answer = sign_in(fresh(app, "198.51.100.1"))

    assert answer.status_code == 429 and answer.headers["Retry-After"] == "1"
    assert "so this one was not looked at. Wait 1 s, then try again." in answer.text
    assert 'value="Owner"' in answer.text and PASSWORD not in answer.text


def test_a_try_that_was_not_looked_at_makes_no_wait_longer(app: Flask, owner: Person, clock: Clock) -> None:
    guesses(app, "198.51.100.1", 7)
    clock.pass_by(SECOND)

    assert sign_in(fresh(app, "198.51.100.1")).status_code == 303


def test_strangers_together_have_fewer_than_a_hundred_guesses_an_hour_at_a_name(
    owner: Person, store: Store, clock: Clock
) -> None:
    fresh_each_time = (f"2001:db8:1:{number:x}::1" for number in count_up())
    for visitors in (
        by_address("198.51.100.1"),
        by_address(*(f"198.51.100.{number}" for number in range(7))),
        [lambda: Visitor(next(fresh_each_time), None)],
    ):
        assert 40 < looked_at(store, clock, visitors, HOUR_S) < 100
        clock.pass_by(2 * HOUR_S * SECOND)


def test_the_owner_in_another_network_waits_for_seconds_however_fast_a_stranger_comes(
    app: Flask, owner: Person, store: Store, clock: Clock
) -> None:
    looked_at(store, clock, by_address("198.51.100.1"), 10 * MINUTE_S)
    waited = 0
    while (answer := sign_in(fresh(app, "192.0.2.7"))).status_code == 429:
        for _ in range(waited_s(answer)):
            clock.pass_by(SECOND)
            guess(app, "198.51.100.1")  # always just before
            waited += 1
        assert waited <= MINUTE_S, "the stranger takes every turn"

    assert answer.status_code == 303


def test_who_failed_at_a_name_stands_back_behind_whoever_did_not(app: Flask, owner: Person) -> None:
    for address, times in (("198.51.100.1", 4), ("198.51.100.2", 4), ("198.51.100.3", 2)):
        assert guesses(app, address, times) == [400] * times

    waits = [waited_s(guess(app, address)) for address in ("192.0.2.7", "198.51.100.3", "198.51.100.1")]

    # The first second of the name's own pace, and 5 s for each own failure, 15 s at most (own choice).
    assert waits == [1, 1 + 2 * 5, 1 + 15]


def test_a_browser_that_was_signed_in_before_never_waits_for_a_stranger(
    app: Flask, owner: Person, clock: Clock
) -> None:
    person = fresh(app, "198.51.100.1")
    sign_in(person)
    person.submit("/sign-out/plain")
    for other in range(40):
        guess(app, f"198.51.100.{other}")
    guesses(app, "198.51.100.1", 20)

    assert sign_in(person).status_code == 303


def test_on_a_shared_phone_the_account_before_keeps_its_mark(
    app: Flask, owner: Person, colleague: Person
) -> None:
    person = fresh(app, "198.51.100.1")
    for name in ("Owner", "Colleague"):
        sign_in(person, name)
        person.submit("/sign-out/plain")
    for other in range(40):
        guess(app, f"198.51.100.{other}")

    assert sign_in(person).status_code == 303


def test_the_mark_of_a_browser_is_good_for_its_own_name_only(
    app: Flask, owner: Person, colleague: Person
) -> None:
    person = fresh(app, "198.51.100.1")
    sign_in(person, "Colleague")
    answers = [sign_in(person, "Owner", "a wrong guess").status_code for _ in range(6)]

    assert answers == [400] * 5 + [429]
    assert guess(app, "198.51.100.1").status_code == 429, "they were counted for the network"


def test_a_marked_browser_is_slowed_down_by_its_own_guesses(
    owner: Person, store: Store, clock: Clock
) -> None:
    assert owner.account
    marks = marks_with(None, owner.account, "a token")

    assert 40 < looked_at(store, clock, [lambda: Visitor("198.51.100.1", marks)], HOUR_S) < 100


def test_what_is_tried_at_other_names_holds_up_no_neighbour(
    app: Flask, owner: Person, colleague: Person
) -> None:
    for number in range(60):
        guess(app, "198.51.100.1", f"Name {number}")
    guesses(app, "198.51.100.1", 20, "Colleague")

    assert sign_in(fresh(app, "198.51.100.1")).status_code == 303


def test_a_name_that_is_nobodys_waits_like_one_that_is_somebodys(
    app: Flask, owner: Person, clock: Clock
) -> None:
    known = [(a.status_code, waited_s(a)) for a in (guess(app, "198.51.100.1") for _ in range(8))]
    unknown = [(a.status_code, waited_s(a)) for a in (guess(app, "198.51.100.1", "Nobody") for _ in range(8))]

    assert known == unknown


@pytest.mark.parametrize(
    ("address", "network"),
    [
        ("198.51.100.1", "198.51.100.1"),
        ("2001:db8:1:2:3:4:5:6", "2001:db8:1:2::/64"),
        ("2001:db8:1:2::1", "2001:db8:1:2::/64"),
        ("::ffff:198.51.100.1", "198.51.100.1"),
        ("", "nowhere"),
        ("unix:", "unix:"),
    ],
)
def test_a_network_is_what_one_household_has(address: str, network: str) -> None:
    assert network_of(address) == network


def test_addresses_of_one_v6_network_count_together(app: Flask, owner: Person) -> None:
    answers = [guess(app, f"2001:db8:1:2::{number}").status_code for number in range(6)]

    assert answers == [400] * 5 + [429]
    assert guess(app, "2001:db8:1:3::1").status_code == 400


def test_signing_in_rightly_uses_no_try_up(app: Flask, owner: Person, store: Store) -> None:
    answers = {sign_in(fresh(app)).status_code for _ in range(12)}

    assert answers == {303}
    assert counted(store) == {}


def test_two_workers_count_together(config: Config, app: Flask, owner: Person, clock: Clock) -> None:
    other = create_app(config, now=clock)
    answers = [guess(each, "198.51.100.1").status_code for each in (app, other) * 3]
    other.extensions["fieldlog"].store.close()

    assert answers == [400] * 5 + [429]


def test_an_hour_after_the_last_failure_nothing_of_it_is_kept(
    app: Flask, owner: Person, store: Store, clock: Clock
) -> None:
    guesses(app, "198.51.100.1", 5)
    clock.pass_by(timedelta(hours=1))
    guess(app, "198.51.100.2", "Other")

    assert counted(store) == {"name other": 1, "name other from 198.51.100.2": 1}
    assert guesses(app, "198.51.100.1", 5) == [400] * 5


def test_a_clock_that_was_set_back_keeps_nobody_waiting(app: Flask, owner: Person, clock: Clock) -> None:
    guesses(app, "198.51.100.1", 6)
    clock.pass_by(timedelta(days=-30))

    assert sign_in(fresh(app, "198.51.100.1")).status_code == 303


def test_an_address_that_somebody_only_claims_does_not_count(app: Flask, owner: Person) -> None:
    person = fresh(app, "198.51.100.1")
    token = token_of(person.client.get("/sign-in").text)
    answers = [
        person.client.post(
            "/sign-in",
            data={"csrf_token": token, "name": "Owner", "password": "a wrong guess"},
            headers={"X-Forwarded-For": f"203.0.113.{i}", "X-Real-IP": f"203.0.113.{i}"},
        ).status_code
        for i in range(6)
    ]

    assert answers == [400] * 5 + [429]


def test_the_mark_is_out_of_reach_of_scripts_and_outlives_the_session(app: Flask, owner: Person) -> None:
    answer = sign_in(fresh(app))

    [cookie] = [each for each in answer.headers.getlist("Set-Cookie") if each.startswith("fieldlog_form=")]
    ends = parsedate_to_datetime(cookie.split("Expires=", 1)[1].split(";", 1)[0])
    assert "HttpOnly" in cookie and "SameSite=Lax" in cookie
    assert ends - now() > timedelta(days=300)


def counted(store: Store) -> dict[str, Any]:
    """Give what is counted, by the name under which it is."""
    with store.reading() as tx:
        return {row.who: row.tries for row in tx.exec_driver_sql("SELECT who, tries FROM sign_in_tries")}
