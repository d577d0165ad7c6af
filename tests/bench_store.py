"""An installation of its own for a bench, and a log written into it without being handed in."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from flask import Flask

from fieldlog.app import create_app
from fieldlog.clock import new_id
from fieldlog.config import Config
from fieldlog.model.account import Account
from fieldlog.model.canonical import canonical, sha256_hex
from fieldlog.model.record import Record
from fieldlog.store.records import Addition, append
from fieldlog.store.session import Store
from fieldlog.web.people.accounts import create_account

AT_ONCE = 100


@dataclass(frozen=True)
class Installation:
    """An app with its store in a folder, and one account."""

    app: Flask
    url: str
    store: Store
    account: Account
    now: datetime

    def fill(self, records: Sequence[dict[str, Any]]) -> None:
        """Write records, in hundreds, as they would lie in the log."""
        for start in range(0, len(records), AT_ONCE):
            additions = [
                Addition(Record.from_json(each), canonical(each), sha256_hex(each), each["id"])
                for each in records[start : start + AT_ONCE]
            ]
            with self.store.writing() as tx:
                append(tx, self.account.id, additions, received_at=self.now)


def installation(folder: Path, now: datetime) -> Installation:
    """Set one up in an empty folder, at a time that stands still."""
    url = f"sqlite:///{folder / 'fieldlog.sqlite3'}"
    app = create_app(Config(data=folder, database_url=url), now=lambda: now)
    store = app.extensions["fieldlog"].store
    account = create_account(store, "Kim", "rain on the awning", now=lambda: now, new_id=new_id)
    return Installation(app, url, store, account, now)
