"""A phone in Node that is asked directly, and the people at it."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from flask import Flask

from fieldlog.clock import new_id
from fieldlog.model.account import Account
from fieldlog.store.session import Store
from fieldlog.web.people.accounts import create_account
from tests.conftest import PASSWORD, Clock
from tests.sync.held import Held


@pytest.fixture
def account(store: Store, clock: Clock) -> Account:
    """Who is signed in on the phone."""
    return create_account(store, "Owner", PASSWORD, now=clock, new_id=new_id)


@pytest.fixture
def other(store: Store, clock: Clock) -> Account:
    """Somebody else who comes to it."""
    return create_account(store, "Colleague", PASSWORD, now=clock, new_id=new_id)


@pytest.fixture
def held(app: Flask, clock: Clock, tmp_path: Path, account: Account) -> Iterator[Held]:
    """The phone, with its first account signed in."""
    held = Held(app, clock, tmp_path)
    held.sign_in(account)
    yield held
    held.phone.kill()
