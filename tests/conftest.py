"""The few fixtures: an app with a store and a clock of its own, and the cast: owner, colleague, stranger."""

import json
import shutil
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from hypothesis import settings
from werkzeug.test import TestResponse

from fieldlog.app import create_app
from fieldlog.clock import new_id
from fieldlog.config import Config
from fieldlog.model.account import Account
from fieldlog.store import migrations
from fieldlog.store.accounts import open_session
from fieldlog.store.session import Store, open_store
from fieldlog.web.people.accounts import create_account
from tests.builders import NOON
from tests.large_sizes import pytest_configure, pytest_runtest_makereport

__all__ = ["pytest_configure", "pytest_runtest_makereport"]

PASSWORD = "rain on the awning"

# Time is shown by the bench, never by a test. The same examples are drawn each time, so that a change is
# judged by what it changed; pytest --hypothesis-profile=wander draws others.
settings.register_profile("patient", deadline=None, derandomize=True)
settings.register_profile("wander", deadline=None)
settings.load_profile("patient")


class Clock:
    """A clock that stands still until it is moved."""

    def __init__(self) -> None:
        self.time = NOON

    def __call__(self) -> datetime:
        """Give the time it shows."""
        return self.time

    def pass_by(self, span: timedelta) -> None:
        """Move it on."""
        self.time += span


class Person:
    """Somebody with a browser."""

    def __init__(self, client: FlaskClient, account: Account | None) -> None:
        self.client = client
        self.account = account

    def send(self, *records: Any) -> list[dict[str, Any]]:
        """Hand records in and give the receipts."""
        answer = self.post({"records": list(records)})
        assert answer.status_code == 200, answer.text
        receipts: list[dict[str, Any]] = answer.json["receipts"] if answer.json else []
        return receipts

    def post(self, batch: Any) -> TestResponse:
        """Post a batch as a page of the site does."""
        body = json.dumps(batch)
        return self.client.post("/api/records", data=body, content_type="application/json", headers=OUR_PAGE)

    def submit(self, path: str, **fields: Any) -> TestResponse:
        """Open a page's form and send it with these fields, its token included."""
        token = token_of(self.client.get(path).text)
        return self.client.post(path.partition("?")[0], data={"csrf_token": token, **fields})


OUR_PAGE = {"Sec-Fetch-Site": "same-origin"}


def token_of(page: str) -> str:
    """Give the form token that a page holds."""
    assert 'name="csrf_token"' in page, page
    return page.split('name="csrf_token"', 1)[1].split('value="', 1)[1].split('"', 1)[0]


@pytest.fixture(scope="session")
def empty_database(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A database with all tables and nothing in them, to be copied."""
    path = tmp_path_factory.mktemp("empty") / "fieldlog.sqlite3"
    store = open_store(f"sqlite:///{path}")
    migrations.upgrade(store)
    store.close()
    return path


@pytest.fixture
def clock() -> Clock:
    """The clock of the app."""
    return Clock()


@pytest.fixture
def config(tmp_path: Path, empty_database: Path) -> Config:
    """Settings with a folder of their own."""
    path = tmp_path / "fieldlog.sqlite3"
    shutil.copy(empty_database, path)
    return Config(data=tmp_path, database_url=f"sqlite:///{path}")


@pytest.fixture
def app(config: Config, clock: Clock) -> Iterator[Flask]:
    """The app."""
    app = create_app(config, now=clock)
    app.testing = True
    yield app
    app.extensions["fieldlog"].store.close()


@pytest.fixture
def store(app: Flask) -> Store:
    """The app's store."""
    found: Store = app.extensions["fieldlog"].store
    return found


@pytest.fixture
def owner(app: Flask, store: Store, clock: Clock) -> Person:
    """Whose log it is."""
    return _signed_in(app, store, clock, "Owner")


@pytest.fixture
def colleague(app: Flask, store: Store, clock: Clock) -> Person:
    """Somebody with another account."""
    return _signed_in(app, store, clock, "Colleague")


@pytest.fixture
def stranger(app: Flask) -> Person:
    """Somebody who is not signed in."""
    return Person(app.test_client(), None)


@pytest.fixture
def client(stranger: Person) -> FlaskClient:
    """The browser of somebody who is not signed in."""
    return stranger.client


def _signed_in(app: Flask, store: Store, clock: Clock, name: str) -> Person:
    account = create_account(store, name, PASSWORD, now=clock, new_id=new_id)
    token = f"session of {name}"
    with store.writing() as tx:
        open_session(tx, account, token, created_at=clock(), expires_at=clock() + timedelta(days=90))
    client = app.test_client()
    client.set_cookie("fieldlog", token)
    return Person(client, account)
