"""The few fixtures: an app with a store and a clock of its own, and the cast: owner, colleague, stranger."""

import json
import secrets
import shutil
from collections.abc import Callable, Iterator
from copy import copy
from dataclasses import replace
from datetime import datetime, timedelta
from functools import cache
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
from fieldlog.pdf.child import draw
from fieldlog.pdf.jobs import PdfJobs
from fieldlog.pdf.process import Order
from fieldlog.store import migrations
from fieldlog.store.accounts import add_account, open_session
from fieldlog.store.blobs import open_blobs
from fieldlog.store.session import Store, open_store
from fieldlog.store.watch import Watch
from fieldlog.web.layout.for_everybody import serve_static
from fieldlog.web.layout.parts import Parts
from fieldlog.web.people.accounts import name_key
from fieldlog.web.people.passwords import hash_of
from tests.builders import NOON
from tests.large_sizes import pytest_configure, pytest_runtest_makereport

__all__ = ["pytest_configure", "pytest_runtest_makereport"]

PASSWORD = "rain on the awning"

# Time is shown by the bench, never by a test. The same examples are drawn each time, so that a change is
# judged by what it changed; pytest --hypothesis-profile=wander draws others.
settings.register_profile("patient", deadline=None, derandomize=True)
settings.register_profile("wander", deadline=None)
settings.load_profile("patient")


# The order in which the longest begin, so that no worker is left alone with one; seconds on a slow core.
LONGEST = (
    "tests/sync/test_two_phones.py::test_phones_lose_and_mix_up_nothing",  # 35
    "tests/engine/test_rulebook.py::test_compiling_again_gives_the_same_bytes",  # 30
    "tests/web/test_whatever_was_accepted.py::test_every_page_draws_whatever_was_accepted",  # 30
    "tests/engine/test_faulty_rulebooks.py::test_a_damaged_rulebook_never_gives_a_use_in_javascript",  # 25
    "tests/engine/test_priors.py::test_ten_times_a_prior_or_a_tenth_of_it_moves_only_the_verdicts",  # 22
    "tests/faults/test_kills.py::test_what_was_acknowledged_survives_a_few_kills",  # 20
    "tests/engine/test_twins.py::test_drawn_and_simulated_outlets_are_answered_alike",  # 20
    "tests/engine/test_simulated.py::test_over_all_kinds_the_truth_comes_first_and_is_kept",  # 20
    "tests/engine/test_next_test_saves_readings.py::test_following_the_proposals_takes_fewer_readings",  # 17
    "tests/browser/test_screens.py::test_every_screen_is_fit_for_rain_and_gloves",  # 130
    "tests/browser/test_engine.py::test_chromium_answers_as_python_does",  # 40
    "tests/browser/test_killed_browsers.py::test_kills_of_the_browser_and_of_the_server_lose_nothing",  # 30
    "tests/browser/test_killed_browsers.py::test_a_check_that_was_said_to_be_saved_survives_a_kill",  # 20
)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Let the longest begin first; the others keep their order."""

    def place(item: pytest.Item) -> int:
        named = [at for at, name in enumerate(LONGEST) if item.nodeid.startswith(name)]
        return named[0] if named else len(LONGEST)

    items.sort(key=place)


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


class DrawnHere:
    """Stands for the process that draws, where a test is not about that: it draws in a thread."""

    def __init__(self, order: Order, _held: int) -> None:
        self._status = draw(order)

    def wait(self, _span_s: float) -> int:
        """Say how it went."""
        return self._status

    def most_resident_bytes(self) -> int:
        """Say that it is not measured."""
        return 0

    def end(self) -> None:
        """It has ended."""


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory) -> Flask:
    """An app whose routes and templates are made once; it answers nothing itself."""
    data = tmp_path_factory.mktemp("built")
    app = create_app(Config(data=data, database_url=f"sqlite:///{data / 'fieldlog.sqlite3'}"))
    app.extensions["fieldlog"].store.close()
    app.testing = True
    return app


@pytest.fixture
def app(built: Flask, config: Config, clock: Clock) -> Iterator[Flask]:
    """The app, as create_app makes it for these settings, with parts of its own."""
    parts: Parts = built.extensions["fieldlog"]
    store = open_store(config.database_url)
    app = copy(built)
    app.view_functions = dict(built.view_functions)
    serve_static(app)  # it looks at the folder of the app that it is given
    app.config = copy(built.config)
    app.config["SECRET_KEY"] = config.secret()
    own = replace(
        parts,
        store=store,
        now=clock,
        settings=replace(parts.settings, home=config.home, signing=config.signing, pdf_patience_s=60),
        blobs=open_blobs(config.photos_address),
        watch=Watch(store, config.bounds.least_free_mb),
        pdfs=PdfJobs(
            config.pdfs,
            store.address,
            now=clock,
            new_id=new_id,
            begin=DrawnHere,
            signing=str(config.signing),
            photos=config.photos_address,
        ),
    )
    app.extensions = {**built.extensions, "fieldlog": own}
    yield app
    own.pdfs.close()
    store.close()


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


def an_account(store: Store, now: Callable[[], datetime], name: str) -> Account:
    """Keep an account that signs in with PASSWORD."""
    account = Account(new_id(), name)
    with store.writing() as tx:
        add_account(tx, account, name_key=name_key(name), password_hash=_hash_of_password(), created_at=now())
    return account


@cache
def _hash_of_password() -> str:
    """Hash it once: that is slow on purpose."""
    return hash_of(PASSWORD)


def begin_session(person: Person, store: Store, clock: Clock, token: str | None = None) -> None:
    """Sign somebody in with a new session, as is needed after a month without a visit."""
    assert person.account is not None
    token = token or secrets.token_hex(8)
    ends = clock() + timedelta(days=90)
    with store.writing() as tx:
        open_session(tx, person.account, token, created_at=clock(), expires_at=ends)
    person.client.set_cookie("fieldlog", token)


def _signed_in(app: Flask, store: Store, clock: Clock, name: str) -> Person:
    person = Person(app.test_client(), an_account(store, clock, name))
    begin_session(person, store, clock, f"session of {name}")
    return person
