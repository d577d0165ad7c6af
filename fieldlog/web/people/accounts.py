"""Makes accounts, for the pages and the command line alike."""

import secrets
import unicodedata
from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Final

from fieldlog.errors import BadInput, LinkSpent
from fieldlog.model.account import Account
from fieldlog.model.problem import Problem
from fieldlog.store import accounts
from fieldlog.store.session import Store, Transaction
from fieldlog.web.people.passwords import hash_of, problem_of_password

LINK_LASTS: Final = timedelta(hours=24)
LONGEST_NAME: Final = 80


def create_account(
    store: Store, name: str, password: str, *, now: Callable[[], datetime], new_id: Callable[[], str]
) -> Account:
    """Make an account, or raise BadInput with what is wrong with the name or the password."""
    account, password_hash = _prepared(name, password, new_id)
    with store.writing() as tx:
        _add(tx, account, password_hash, now())
    return account


def create_first_account(
    store: Store,
    token: str,
    name: str,
    password: str,
    *,
    now: Callable[[], datetime],
    new_id: Callable[[], str],
) -> Account:
    """Make the first account with a one-time link, which is spent by it."""
    check_first_account_token(store, token, now())
    account, password_hash = _prepared(name, password, new_id)
    with store.writing() as tx:
        if not accounts.first_account_token_opens(tx, token, now()):
            raise LinkSpent
        _add(tx, account, password_hash, now())
        accounts.spend_first_account_token(tx, token, now())
    return account


def mint_first_account_link(store: Store, *, now: Callable[[], datetime]) -> str | None:
    """Give the path of a one-time link for the first account, or None when there is an account."""
    token = secrets.token_urlsafe(32)
    with store.writing() as tx:
        if accounts.any_account(tx):
            return None
        accounts.add_first_account_token(tx, token, now() + LINK_LASTS)
    return f"/first-account?token={token}"


def check_first_account_token(store: Store, token: str, now: datetime) -> None:
    """Raise LinkSpent unless the link can still make the first account."""
    with store.reading() as tx:
        if not accounts.first_account_token_opens(tx, token, now):
            raise LinkSpent


def name_key(name: str) -> str:
    """Give the form of a name by which it is found: capitals and ways of typing a letter do not matter."""
    return unicodedata.normalize("NFKC", name.strip()).casefold()[:240]


def _prepared(name: str, password: str, new_id: Callable[[], str]) -> tuple[Account, str]:
    name = unicodedata.normalize("NFC", name.strip())
    problems = [p for p in (_problem_of_name(name), problem_of_password(password, name)) if p]
    if problems:
        raise BadInput(problems)
    return Account(new_id(), name), hash_of(password)


def _problem_of_name(name: str) -> Problem | None:
    if not name:
        return Problem("/name", "Write a name.")
    if len(name) > LONGEST_NAME:
        return Problem("/name", f"The name has {len(name)} characters; shorten it to {LONGEST_NAME}.")
    if not name.isprintable():
        return Problem("/name", "The name holds a character that cannot be shown; type it again.")
    return None


def _add(tx: Transaction, account: Account, password_hash: str, now: datetime) -> None:
    key = name_key(account.name)
    if accounts.credentials_of(tx, key) is not None:
        raise BadInput(
            [Problem("/name", f"There is an account with the name {account.name} already; take another.")]
        )
    accounts.add_account(tx, account, name_key=key, password_hash=password_hash, created_at=now)
