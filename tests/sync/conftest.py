"""A phone in Node that is asked directly, and the people at it."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from flask import Flask

from fieldlog.model.account import Account
from fieldlog.store.session import Store
from tests.conftest import Clock, an_account
from tests.sync.held import Held


@pytest.fixture
def account(store: Store, clock: Clock) -> Account:
    """Who is signed in on the phone."""
    return an_account(store, clock, "Owner")


@pytest.fixture
def other(store: Store, clock: Clock) -> Account:
    """Somebody else who comes to it."""
    return an_account(store, clock, "Colleague")


@pytest.fixture
def held(app: Flask, clock: Clock, tmp_path: Path, account: Account) -> Iterator[Held]:
    """The phone, with its first account signed in."""
    held = Held(app, clock, tmp_path)
    held.sign_in(account)
    yield held
    held.phone.kill()
