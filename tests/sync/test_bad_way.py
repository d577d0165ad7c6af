"""A phone on a bad way: slow, hanging on one record, spoiling an entry, or signed in as another meanwhile."""

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from flask import Flask

from fieldlog.model.account import Account
from tests.builders import a_photo, an_arrival_check
from tests.conftest import Clock, Person
from tests.sync.drafts import HOUR_MS, MINUTE_MS, correction, drafted
from tests.sync.network import PATIENCE_MS, Letter, Network, spoiled
from tests.sync.phones import NOON_MS, Answer, Ask, Phone

MOST_TRIES_AN_HOUR = 6  # promises C4
Rule = Callable[[Ask], Answer | str | None]


@dataclass
class Way:
    """A phone of the owner and its way to the app, on which a rule says what befalls each request."""

    network: Network
    phone: Phone
    rule: Rule = lambda _: "delivered"

    def sync(self) -> dict[str, Any]:
        """Meet the server once and give what is on the phone then."""
        self.phone.do("sync")
        self.go_on()
        found: dict[str, Any] = self.phone.do("seen")
        return found

    def go_on(self) -> None:
        """Answer what the phone asks until it asks no more; None is no answer at all."""
        while self.phone.asks:
            ask = self.phone.asks[0]
            what = self.rule(ask)
            if isinstance(what, str):
                self.network.answer(self.phone, ask, what)
            elif what is None:
                self.phone.do("pass", ms=PATIENCE_MS)
            else:
                self.phone.answer(ask, what)

    def keep(self, count: int) -> list[str]:
        """Keep records on the phone."""
        made = [drafted(self.phone, [], "arrival-check", n) for n in range(count)]
        for record in made:
            self.phone.do("keep", record=record)
        return [record["id"] for record in made]


@pytest.fixture
def way(app: Flask, clock: Clock, owner: Person, tmp_path: Path) -> Iterator[Way]:
    """A phone at which the owner is signed in."""
    made = Way(Network(app, clock), Phone("1:1", tmp_path / "medium"))
    assert owner.account
    made.network.open_session(made.phone, owner.account)
    made.sync()
    yield made
    made.phone.kill()


def account_of(person: Person) -> Account:
    """Give the account."""
    assert person.account
    return person.account


def ids_in(ask: Ask) -> list[str]:
    """Give the ids of the records that a request hands in."""
    is_batch = ask.method == "POST" and ask.address == "/api/records"
    return [record["id"] for record in json.loads(ask.body)["records"]] if is_batch else []


def limit_in(ask: Ask) -> int | None:
    """Give how many records a request asks for, None where it asks for none."""
    is_fetch = (ask.method, ask.address) == ("POST", "/api/log")
    return int(json.loads(ask.body)["limit"]) if is_fetch else None


def where(seen: dict[str, Any]) -> dict[str, str]:
    """Give where each row is saved."""
    return {row["id"]: row["saved"] for row in seen["rows"]}


def test_a_log_is_not_taken_over_for_another_account_that_signed_in_meanwhile(
    way: Way, owner: Person, colleague: Person
) -> None:
    mine, theirs, more = (an_arrival_check() for _ in range(3))
    for person, record in ((owner, mine), (colleague, theirs), (owner, more)):
        person.send(record)

    def sign_in_meanwhile(ask: Ask) -> str:
        if limit_in(ask):
            way.network.open_session(way.phone, account_of(colleague))
        return "delivered"

    way.rule = sign_in_meanwhile
    assert where(way.sync()) == {}
    way.network.open_session(way.phone, account_of(owner))
    way.rule = lambda _: "delivered"

    assert where(way.sync()) == {mine["id"]: "server", more["id"]: "server"}


def test_an_answer_that_does_not_name_the_account_is_not_taken_over(way: Way, owner: Person) -> None:
    owner.send(an_arrival_check())

    def unnamed(ask: Ask) -> Answer | str:
        if not limit_in(ask):
            return "delivered"
        page = json.loads(way.network.deliver(Letter(ask, way.phone.token)).get_data())
        page.pop("account", None)
        return Answer(200, body=json.dumps(page).encode())

    way.rule = unnamed
    assert where(way.sync()) == {}


def test_one_record_on_which_the_server_hangs_holds_up_neither_the_others_nor_what_is_new(
    way: Way, owner: Person
) -> None:
    elsewhere = an_arrival_check()
    owner.send(elsewhere)
    ids = way.keep(5)
    way.rule = lambda ask: None if ids[2] in ids_in(ask) else "delivered"

    seen = way.sync()

    assert where(seen) == dict.fromkeys((*ids, elsewhere["id"]), "server") | {ids[2]: "phone"}
    assert (
        "gave no answer" in next(row for row in seen["rows"] if row["id"] == ids[2])["problems"][0]["problem"]
    )
    assert seen["problem"] is None


def test_what_failed_before_goes_alone_and_after_what_is_new(way: Way) -> None:
    bad = way.keep(1)[0]
    way.rule = lambda ask: None if bad in ids_in(ask) else "delivered"
    way.sync()
    way.phone.do("pass", ms=2 * MINUTE_MS)
    new = way.keep(3)
    batches: list[list[str]] = []

    def hang(ask: Ask) -> str | None:
        batches.extend([ids_in(ask)] if ids_in(ask) else [])
        return None if bad in ids_in(ask) else "delivered"

    way.rule = hang
    way.sync()

    assert (sorted(batches[0]), batches[1:]) == (sorted(new), [[bad]])


@pytest.mark.parametrize("count", [1, 5, 130])
def test_a_record_on_which_the_server_hangs_is_tried_at_most_six_times_an_hour(way: Way, count: int) -> None:
    bad = way.keep(count)[count // 2]
    tried: list[int] = []

    def hang(ask: Ask) -> str | None:
        if bad not in ids_in(ask):
            return "delivered"
        tried.append(way.phone.date_ms)
        return None

    way.rule = hang
    while way.phone.date_ms < NOON_MS + 3 * HOUR_MS:
        way.sync()
        way.phone.do("pass", ms=3 * MINUTE_MS)

    assert len(tried) > 3
    assert max(sum(at <= other < at + HOUR_MS for other in tried) for at in tried) <= MOST_TRIES_AN_HOUR


def test_a_way_that_is_gone_is_given_up_after_a_few_silences(way: Way) -> None:
    ids = way.keep(100)
    tried: list[int] = []

    def silent(ask: Ask) -> str | None:
        tried.extend([len(ids_in(ask))] if ids_in(ask) else [])
        return None if ids_in(ask) else "delivered"

    way.rule = silent
    seen = way.sync()

    assert tried == [100, 25, 6, 1, 1, 1]
    assert set(where(seen)) == set(ids) and set(where(seen).values()) == {"phone"}
    assert seen["problem"] is not None


def test_a_log_comes_over_a_line_that_brings_few_records_within_the_time(way: Way, owner: Person) -> None:
    sent = [an_arrival_check() for _ in range(70)]
    owner.send(*sent)
    way.rule = lambda ask: None if (limit_in(ask) or 0) > 20 else "delivered"

    seen = way.sync()

    assert where(seen) == {record["id"]: "server" for record in sent}
    assert seen["problem"] is None


def test_a_line_that_is_fast_again_brings_more_at_once_again(way: Way) -> None:
    limits: list[int] = []

    def noted(ask: Ask) -> str | None:
        limits.extend([limit_in(ask) or 0] if limit_in(ask) else [])
        return None if limits == [200] and limit_in(ask) else "delivered"

    way.rule = noted
    for _ in range(4):
        way.sync()

    assert limits == [200, 50, 100, 200, 200]


def test_photos_get_their_turn_where_what_is_new_cannot_be_fetched(way: Way) -> None:
    content = b"a photo"
    check = way.keep(1)[0]
    record = a_photo(check, content)
    photo = {name: record["body"][name] for name in ("hash", "type", "width", "height", "bytes")}
    way.phone.do("photo", photo=photo | {"data": list(content)}, record=record)
    asked: list[str] = []

    def no_fetch(ask: Ask) -> str | None:
        asked.append(ask.address)
        return None if limit_in(ask) else "delivered"

    way.rule = no_fetch
    way.sync()

    assert f"/api/photos/{photo['hash']}" in asked


def test_an_entry_that_was_spoiled_on_the_way_is_asked_for_again(way: Way, owner: Person) -> None:
    first, second, third = (an_arrival_check() for _ in range(3))
    owner.send(first, second, third)
    way.rule = lambda ask: _spoiled(way, ask, second["id"])
    assert set(where(way.sync())) == {first["id"], third["id"]}
    way.rule = lambda _: "delivered"

    seen = way.sync()

    assert set(where(seen)) == {first["id"], second["id"], third["id"]}
    assert (seen["passed"], seen["ahead"]) == ([3], None)


def test_an_entry_that_is_spoiled_each_time_holds_up_nothing_and_is_asked_for_now_and_then(
    way: Way, owner: Person
) -> None:
    first, second, third, late = (an_arrival_check() for _ in range(4))
    owner.send(first, second, third)
    asked: list[int] = []

    def spoil(ask: Ask) -> Answer | str:
        if limit_in(ask) and json.loads(ask.body)["logs"] == {}:
            asked.append(way.phone.date_ms)
        return _spoiled(way, ask, second["id"])

    way.rule = spoil
    way.sync()
    owner.send(late)
    while way.phone.date_ms < NOON_MS + 3 * HOUR_MS:
        seen = way.sync()
        way.phone.do("pass", ms=MINUTE_MS)

    assert set(where(seen)) == {first["id"], third["id"], late["id"]}
    assert seen["passed"] == []
    assert len(asked) >= 4
    assert max(sum(at <= other < at + HOUR_MS for other in asked) for at in asked) <= MOST_TRIES_AN_HOUR


def test_an_account_that_comes_to_a_phone_begins_at_its_own_beginning_where_another_is_ahead(
    way: Way, owner: Person, colleague: Person
) -> None:
    theirs, mine = an_arrival_check(), an_arrival_check()
    colleague.send(theirs)
    owner.send(mine)
    way.rule = lambda ask: _spoiled(way, ask, mine["id"])
    for _ in range(2):
        assert where(way.sync()) == {}
    way.network.open_session(way.phone, account_of(colleague))
    way.rule = lambda _: "delivered"

    assert where(way.sync()) == {theirs["id"]: "server"}


def test_a_correction_is_shown_and_sent_after_what_it_corrects_whatever_the_clock_said(
    way: Way, owner: Person
) -> None:
    way.phone.do("date", ms=NOON_MS + HOUR_MS)
    original = drafted(way.phone, [], "arrival-check", 0)
    way.phone.do("keep", record=original)
    way.phone.do("date", ms=NOON_MS)
    corrected = correction(way.phone, original)
    way.phone.do("keep", record=corrected)
    batches: list[list[str]] = []

    def noted(ask: Ask) -> str:
        batches.extend([ids_in(ask)] if ids_in(ask) else [])
        return "delivered"

    way.rule = noted
    assert way.phone.do("seen")["visible"] == [original["id"], corrected["id"]]
    way.sync()

    assert batches == [[original["id"], corrected["id"]]]


def _spoiled(way: Way, ask: Ask, identity: str) -> Answer | str:
    if not limit_in(ask):
        return "delivered"
    response = way.network.deliver(Letter(ask, way.phone.token))
    answer = Answer(response.status_code, response.mimetype or "", response.get_data())
    return spoiled(answer, lambda record: bool(record["id"] == identity))
