"""A phone's modules without a browser: they run in Node, are asked directly, and the app answers them."""

import json
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

from flask import Flask

from fieldlog.errors import NotFound
from fieldlog.model.account import Account
from fieldlog.store.records import records_after
from fieldlog.sync.inbox import Inbox
from fieldlog.sync.photos import PhotoInbox
from tests.asked_phone import AskedPhone
from tests.builders import an_arrival_check
from tests.conftest import Clock
from tests.sync.network import Network
from tests.sync.phones import Answer, Ask, Phone

CUT = Answer(None)
STAYS_ON_ITS_WAY = Answer(0)
Between = Callable[[Ask], Answer | None]


class Held(AskedPhone):
    """One phone of the app, whose modules are asked what they do."""

    def __init__(self, app: Flask, clock: Clock, folder: Path) -> None:
        self.app = app
        self.parts = app.extensions["fieldlog"]
        self.clock = clock
        self.phone = Phone("held", folder / "medium")
        self.network = Network(app, clock)
        self.is_offline = False
        self.between: Between = lambda _: None
        self.asked: list[str] = []

    def set_parts(self, **changed: Any) -> None:
        """Let the server run with other parts."""
        self.parts = replace(self.parts, **changed)
        self.app.extensions["fieldlog"] = self.parts

    def hand_in(self, account: Account, *records: dict[str, Any]) -> None:
        """Keep records as if another device had sent them."""
        receipts = Inbox(self.parts.store, self.parts.rulebook_or_damage, account).receive(
            list(records), self.clock()
        )
        assert [receipt.status for receipt in receipts] == ["stored"] * len(records), receipts

    def records(self, account: Account) -> list[dict[str, Any]]:
        """Give what the server holds, in order."""
        with self.parts.store.reading() as tx:
            return [entry.as_json()["record"] for entry in records_after(tx, account.id, 0, 1000)]

    def stored(self, account: Account) -> list[str]:
        """Give the ids of what the server holds, in order."""
        return [record["id"] for record in self.records(account)]

    def photo_inbox(self, account: Account) -> PhotoInbox:
        """Give what takes an account's photos in."""
        inbox: PhotoInbox = self.parts.photo_inbox(account)
        return inbox

    def has_photo(self, account: Account, name: str) -> bool:
        """Say whether the server holds an account's photo."""
        return has_photo(self.photo_inbox(account), name)

    def ask(self, body: str, given: Any = None) -> Any:
        """Run a text of script that knows the modules by name, and give what it returns."""
        return self.phone.go_through("script", self._answered, body=body, given=given)

    def keep_checks(self, count: int) -> list[str]:
        """Let arrival checks wait on the phone, from a file of them, and give their ids."""
        checks = [an_arrival_check() for _ in range(count)]
        done = self.ask("return file.importFile(given);", a_file(*checks))
        assert done == {"kept": count, "known": 0, "photos": 0, "problems": []}
        return [check["id"] for check in checks]

    def sign_in(self, account: Account) -> None:
        """Sign in, as the page for it does: with a new session in a cookie."""
        self.network.open_session(self.phone, account)

    def sign_out_elsewhere(self) -> None:
        """Lose the cookie of the session."""
        self.phone.token = None

    def reload(self) -> None:
        """Load the page anew."""
        self.phone.kill()

    def wipe(self) -> None:
        """Take the store off the phone, and load the page anew."""
        self.reload()
        self.phone.medium.unlink()

    def pass_by(self, ms: int) -> None:
        """Let time pass, and let happen what happens by itself."""
        while ms > 0:
            ms = self.phone.go_through("pass until asked", self._answered, ms=ms)

    def set_clock(self, ahead_ms: int) -> None:
        """Set the phone's clock so far from where it is."""
        self.phone.do("date", ms=self.phone.date_ms + ahead_ms)

    def _answered(self, ask: Ask) -> Answer | None:
        if self.is_offline:
            return CUT
        answer = self.between(ask)
        if answer is STAYS_ON_ITS_WAY:
            return None
        self.asked.append(f"{ask.method} {ask.address.removeprefix('/api/')}")
        return self._followed(ask, answer or self.network.answered(self.phone, ask))

    def _followed(self, ask: Ask, answer: Answer) -> Answer:
        """Go where an answer leads, as a browser does unasked."""
        to = dict(answer.headers).get("Location")
        return self.network.answered(self.phone, Ask(ask.number, "GET", to, {}, b"")) if to else answer


def has_photo(inbox: PhotoInbox, name: str) -> bool:
    """Say whether a photo can be had."""
    try:
        inbox.picture(name)
    except NotFound:
        return False
    return True


def answers(status: int, body: object = None, *headers: tuple[str, str]) -> Answer:
    """Give an answer of JSON."""
    return Answer(status, "application/json", json.dumps(body or {"problems": []}).encode(), headers)


def a_problem(sentence: str, at: str = "") -> dict[str, Any]:
    """Give what the server says of something that is wrong."""
    return {"problems": [{"at": at, "problem": sentence}]}


def is_batch(ask: Ask) -> bool:
    """Tell whether records are handed in."""
    return (ask.method, ask.address) == ("POST", "/api/records")


def ids_in(ask: Ask) -> list[str]:
    """Give the ids of the records that a request carries."""
    return [record["id"] for record in json.loads(ask.body)["records"]]


def a_file(*records: dict[str, Any], photos: Sequence[dict[str, Any]] = ()) -> str:
    """Give the text of a file as a phone writes it."""
    made_at = "2026-11-25T12:00:00.000+00:00"
    head = {"what": "fieldlog phone export", "version": 1, "made_at": made_at, "account": None}
    return json.dumps({**head, "records": list(records), "photos": list(photos)})
