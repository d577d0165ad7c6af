"""Accounts, their sessions, and the one-time link for the first of them. Only hashes of tokens are kept."""

import hashlib
from datetime import datetime
from typing import NamedTuple

from sqlalchemy import delete, func, insert, select, update

from fieldlog.model.account import DEMO_NAME, Account
from fieldlog.store.session import Transaction
from fieldlog.store.tables import accounts, first_account_tokens, sessions


class Credentials(NamedTuple):
    """An account with the hash of its password."""

    account: Account
    password_hash: str


def token_hash(token: str) -> str:
    """Give what is kept of a token; with 256 random bits a plain hash is enough."""
    return hashlib.sha256(token.encode()).hexdigest()


def any_account(tx: Transaction) -> bool:
    """Say whether somebody has an account; that of the demo is nobody's."""
    question = select(func.count()).select_from(accounts).where(accounts.c.name != DEMO_NAME)
    return bool(tx.execute(question).scalar_one())


def accounts_by_name(tx: Transaction) -> list[Account]:
    """Give all accounts, by name."""
    rows = tx.execute(select(accounts.c.id, accounts.c.name).order_by(accounts.c.name_key))
    return [Account(*row) for row in rows]


def credentials_of(tx: Transaction, name_key: str) -> Credentials | None:
    """Give the account with a name, and its password hash."""
    row = tx.execute(select(accounts).where(accounts.c.name_key == name_key)).one_or_none()
    return None if row is None else Credentials(Account(row.id, row.name), row.password_hash)


def add_account(
    tx: Transaction, account: Account, *, name_key: str, password_hash: str, created_at: datetime
) -> None:
    """Keep a new account."""
    tx.execute(
        insert(accounts).values(
            id=account.id,
            name=account.name,
            name_key=name_key,
            password_hash=password_hash,
            created_at=created_at,
        )
    )


def replace_password_hash(tx: Transaction, account: Account, password_hash: str) -> None:
    """Keep another hash of the account's password."""
    tx.execute(update(accounts).where(accounts.c.id == account.id).values(password_hash=password_hash))


def open_session(
    tx: Transaction, account: Account, token: str, *, created_at: datetime, expires_at: datetime
) -> None:
    """Keep a session, and clear away those that have run out."""
    tx.execute(delete(sessions).where(sessions.c.expires_at <= created_at))
    tx.execute(
        insert(sessions).values(
            token_hash=token_hash(token), account=account.id, created_at=created_at, expires_at=expires_at
        )
    )


def close_session(tx: Transaction, token: str) -> None:
    """End a session; its token opens nothing any more."""
    tx.execute(delete(sessions).where(sessions.c.token_hash == token_hash(token)))


def account_of_session(tx: Transaction, token: str, now: datetime) -> Account | None:
    """Give the account that a session belongs to, while it lasts."""
    row = tx.execute(
        select(accounts.c.id, accounts.c.name)
        .join(sessions, sessions.c.account == accounts.c.id)
        .where(sessions.c.token_hash == token_hash(token), sessions.c.expires_at > now)
    ).one_or_none()
    return None if row is None else Account(*row)


def add_first_account_token(tx: Transaction, token: str, expires_at: datetime) -> None:
    """Keep the token of a link for the first account."""
    tx.execute(insert(first_account_tokens).values(token_hash=token_hash(token), expires_at=expires_at))


def first_account_token_opens(tx: Transaction, token: str, now: datetime) -> bool:
    """Say whether a link still makes the first account: unused, in time, and no account there yet."""
    question = select(func.count()).where(
        first_account_tokens.c.token_hash == token_hash(token),
        first_account_tokens.c.used_at.is_(None),
        first_account_tokens.c.expires_at > now,
    )
    return bool(tx.execute(question).scalar_one()) and not any_account(tx)


def spend_first_account_token(tx: Transaction, token: str, now: datetime) -> None:
    """Mark a link as used."""
    used = first_account_tokens.c.token_hash == token_hash(token)
    tx.execute(update(first_account_tokens).where(used).values(used_at=now))
