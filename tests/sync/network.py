"""The way between phones and the app: a request is delivered, or one of the things befalls it that do."""

import json
from collections.abc import Callable, Container, Mapping
from datetime import timedelta
from http.cookies import SimpleCookie
from typing import Any, Final, NamedTuple

from flask import Flask
from werkzeug.wrappers import Response

from fieldlog.model.account import Account
from fieldlog.model.canonical import sha256_hex
from fieldlog.model.record import StoredRecord
from fieldlog.store.accounts import close_session, open_session
from fieldlog.store.records import records_after
from tests.conftest import OUR_PAGE, Clock
from tests.sync.phones import Answer, Ask, Phone

COOKIE: Final = "fieldlog"
MOST: Final = 10_000
PATIENCE_MS: Final = 10_000  # what a phone waits for an answer
# Of each account, by id: hash and number of its records, in the server's order.
Logs = Mapping[str, Mapping[str, tuple[str, int]]]


class Made(NamedTuple):
    """A record that a phone has told kept."""

    phone: Phone
    account: str | None
    hash: str


class Letter(NamedTuple):
    """A request on its way, with the cookie that it left with."""

    ask: Ask
    token: str | None


class Network:
    """The app, and what is still on its way to it."""

    def __init__(self, app: Flask, clock: Clock) -> None:
        self._client = app.test_client(use_cookies=False)
        self._store = app.extensions["fieldlog"].store
        self._clock = clock
        self._tokens = 0
        self.late: list[Letter] = []

    def answer(self, phone: Phone, ask: Ask, fate: str) -> None:
        """Let one request of a phone meet its fate."""
        answer = FATES[fate](self, phone, Letter(ask, phone.token))
        if answer:
            phone.answer(ask, answer)
        else:
            phone.do("pass", ms=PATIENCE_MS)

    def answered(self, phone: Phone, ask: Ask) -> Answer:
        """Give what the app answers to a request of a phone."""
        return _delivered(self, phone, Letter(ask, phone.token))

    def deliver(self, letter: Letter) -> Response:
        """Hand a request to the app."""
        cookie = {"Cookie": f"{COOKIE}={letter.token}"} if letter.token else {}
        ask = letter.ask
        headers = {**ask.headers, **OUR_PAGE, **cookie}
        return self._client.open(ask.address, method=ask.method, headers=headers, data=ask.body)

    def open_session(self, phone: Phone, account: Account) -> None:
        """Sign in: a new session takes the place of the one before."""
        self.end_session(phone)
        self._tokens += 1
        phone.token = f"{account.id}-{self._tokens}"
        now = self._clock()
        with self._store.writing() as tx:
            open_session(tx, account, phone.token, created_at=now, expires_at=now + timedelta(days=90))

    def end_session(self, phone: Phone) -> None:
        """End a session on the server; the phone keeps its cookie."""
        if phone.token:
            with self._store.writing() as tx:
                close_session(tx, phone.token)

    def log_of(self, account: Account) -> list[StoredRecord]:
        """Give what the server holds of an account, in its order."""
        with self._store.reading() as tx:
            return records_after(tx, account.id, 0, MOST)


def _as_sent(phone: Phone, response: Response) -> Answer:
    """Give an answer of the app as it reaches the browser, which keeps the cookie."""
    for line in response.headers.getlist("Set-Cookie"):
        for name, morsel in SimpleCookie(line).items():
            if name == COOKIE:
                phone.token = morsel.value or None
    kept = tuple((name, value) for name, value in response.headers if name == "Retry-After")
    return Answer(response.status_code, response.mimetype or "", response.get_data(), kept)


def _delivered(network: Network, phone: Phone, letter: Letter) -> Answer:
    return _as_sent(phone, network.deliver(letter))


def _delivered_twice(network: Network, phone: Phone, letter: Letter) -> Answer:
    network.deliver(letter)
    return _as_sent(phone, network.deliver(letter))


def _lost(_network: Network, _phone: Phone, _letter: Letter) -> Answer:
    return Answer(None)


def _answer_lost(network: Network, _phone: Phone, letter: Letter) -> Answer:
    network.deliver(letter)
    return Answer(None)


def _late(network: Network, _phone: Phone, letter: Letter) -> Answer:
    network.late.append(letter)
    return Answer(None)


def _cut_off(network: Network, _phone: Phone, letter: Letter) -> Answer:
    response = network.deliver(letter)
    data = response.get_data()
    return Answer(response.status_code, response.mimetype or "", data[: len(data) // 2])


def _bad_gateway(network: Network, _phone: Phone, letter: Letter) -> Answer:
    network.deliver(letter)
    return Answer(502, "text/html", b"<h1>Bad gateway</h1>")


def _failed_after(network: Network, _phone: Phone, letter: Letter) -> Answer:
    network.deliver(letter)
    return _problem(500)


def _never_answered(_network: Network, _phone: Phone, _letter: Letter) -> None:
    return None


def _never_answered_after(network: Network, _phone: Phone, letter: Letter) -> None:
    network.deliver(letter)


def _entry_spoiled(network: Network, phone: Phone, letter: Letter) -> Answer:
    return spoiled(_delivered(network, phone, letter), lambda _: True)


def spoiled(answer: Answer, is_hit: Callable[[dict[str, Any]], bool]) -> Answer:
    """Alter the first record that is hit among those that an answer brings, but not its hash."""
    if answer.status != 200 or answer.mimetype != "application/json":
        return answer
    body = json.loads(answer.body)
    records = [entry["record"] for entry in body.get("records", [])]
    for record in [record for record in records if is_hit(record)][:1]:
        record["observed_at"] = "1999" + record["observed_at"][4:]
    return answer._replace(body=json.dumps(body).encode())


def _instead(answer: Answer) -> Callable[[Network, Phone, Letter], Answer]:
    """Give a fate in which something else answers and the app never hears of it."""
    return lambda _network, _phone, _letter: answer


def _problem(status: int, *headers: tuple[str, str]) -> Answer:
    return Answer(status, "application/json", b'{"problems": [{"at": "", "problem": "Not now."}]}', headers)


FATES: Final[Mapping[str, Callable[[Network, Phone, Letter], Answer | None]]] = {
    "delivered": _delivered,
    "delivered twice": _delivered_twice,
    "lost": _lost,
    "answer lost": _answer_lost,
    "late": _late,
    "answer cut off": _cut_off,
    "bad gateway after": _bad_gateway,
    "failed after": _failed_after,
    "never answered": _never_answered,
    "never answered after": _never_answered_after,
    "an entry spoiled": _entry_spoiled,
    "failed": _instead(_problem(500)),
    "busy": _instead(_problem(503, ("Retry-After", "7"))),
    "too many": _instead(_problem(429, ("Retry-After", "30"))),
    "not signed in": _instead(_problem(401)),
    "a page instead": _instead(Answer(200, "text/html", b"<h1>Welcome to the park's network</h1>")),
    "something else": _instead(Answer(200, "application/json", b'{"ok": true}')),
}


def nothing_is_told_sent_that_is_not_there(seen: Mapping[str, Any], logs: Logs) -> None:
    """Hold every row that says server against the log."""
    for row in seen["rows"]:
        assert sha256_hex(row["record"]) == row["hash"]
        if row["saved"] == "server":
            there = logs[row["account"]].get(row["id"])
            assert there == (row["hash"], row["seq"]), (row, there)


def nothing_is_shown_to_another_account(seen: Mapping[str, Any], logs: Logs, left: set[str]) -> None:
    """Hold what a phone shows against the logs of the others; what an account left is not there any more."""
    assert [row for row in seen["rows"] if row["saved"] == "server" and row["account"] in left] == []
    for name, log in logs.items():
        if seen["account"] not in (name, None):
            assert not set(seen["visible"]) & set(log), (seen["account"], name)


def nothing_is_lost(
    seen: Mapping[str, Any], logs: Logs, made: Mapping[str, Made], given_up: Container[str]
) -> None:
    """Find every kept record on its phone or in a log."""
    logged = {identity: hash_ for log in logs.values() for identity, (hash_, _) in log.items()}
    rows = {name: {row["id"]: row["hash"] for row in there["rows"]} for name, there in seen.items()}
    for identity, each in made.items():
        if identity not in given_up:
            found = rows[each.phone.name].get(identity) or logged.get(identity)
            assert found == each.hash, (identity, each.phone.name)
