"""Accounts, their sessions, and the one-time link for the first of them. Only hashes of tokens are kept."""

import hashlib
from datetime import datetime, timedelta
from typing import Final, NamedTuple

from sqlalchemy import ColumnElement, delete, func, insert, or_, select, update

from fieldlog.model.account import DEMO_NAME, Account
from fieldlog.store.session import Transaction
from fieldlog.store.tables import accounts, first_account_tokens, sessions

IDLE: Final = timedelta(days=30)
MARK_LETTERS: Final = 16


class Credentials(NamedTuple):
    """An account with the hash of its password."""

    account: Account
    password_hash: str


class SessionVisit(NamedTuple):
    """Whose session a request came with, and whether the day of the visit is noted already."""

    account: Account
    is_noted: bool


class Session(NamedTuple):
    """What may be told of a session; visited_at is not known of one from before it was noted."""

    mark: str
    created_at: datetime
    visited_at: datetime | None
    device: str | None


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


def account_with_id(tx: Transaction, identity: str) -> Account | None:
    """Give the account with an id."""
    row = tx.execute(select(accounts.c.id, accounts.c.name).where(accounts.c.id == identity)).one_or_none()
    return None if row is None else Account(*row)


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
    tx: Transaction,
    account: Account,
    token: str,
    *,
    created_at: datetime,
    expires_at: datetime,
    device: str | None = None,
) -> None:
    """Keep a session, and clear away those that have run out or were not visited for long."""
    over = or_(sessions.c.expires_at <= created_at, sessions.c.visited_at <= created_at - IDLE)
    tx.execute(delete(sessions).where(over))
    tx.execute(
        insert(sessions).values(
            token_hash=token_hash(token),
            account=account.id,
            created_at=created_at,
            expires_at=expires_at,
            visited_at=created_at,
            device=device,
        )
    )


def close_session(tx: Transaction, token: str) -> None:
    """End a session; its token opens nothing any more."""
    tx.execute(delete(sessions).where(sessions.c.token_hash == token_hash(token)))


def close_sessions(tx: Transaction, account: str, *, but: str | None = None) -> int:
    """End all sessions of an account, but for the one with a token, and say how many those were."""
    ended = delete(sessions).where(sessions.c.account == account)
    return tx.execute(
        ended if but is None else ended.where(sessions.c.token_hash != token_hash(but))
    ).rowcount


def close_session_with_mark(tx: Transaction, account: str, mark: str) -> bool:
    """End the session of an account that has a mark, and say whether there was one."""
    has_mark = sessions.c.token_hash.startswith(mark, autoescape=True)
    return bool(tx.execute(delete(sessions).where(sessions.c.account == account, has_mark)).rowcount)


def mark_of_session(token: str) -> str:
    """Give what tells a session from another and opens nothing."""
    return token_hash(token)[:MARK_LETTERS]


def visit_of(tx: Transaction, token: str, now: datetime) -> SessionVisit | None:
    """Give whose session it is, while it lasts and is visited, and whether the day of this visit is noted."""
    row = tx.execute(
        select(accounts.c.id, accounts.c.name, sessions.c.visited_at)
        .join(sessions, sessions.c.account == accounts.c.id)
        .where(sessions.c.token_hash == token_hash(token), sessions.c.expires_at > now, _is_visited(now))
    ).one_or_none()
    if row is None:
        return None
    is_noted = row.visited_at is not None and row.visited_at.date() >= now.date()
    return SessionVisit(Account(row.id, row.name), is_noted)


def note_visit(tx: Transaction, token: str, now: datetime) -> None:
    """Note when a session was visited."""
    tx.execute(update(sessions).where(sessions.c.token_hash == token_hash(token)).values(visited_at=now))


def sessions_of(tx: Transaction, account: str, now: datetime) -> list[Session]:
    """Give the sessions of an account that still open it, the newest first."""
    rows = tx.execute(
        select(sessions)
        .where(sessions.c.account == account, sessions.c.expires_at > now, _is_visited(now))
        .order_by(sessions.c.created_at.desc(), sessions.c.token_hash)
    )
    return [
        Session(row.token_hash[:MARK_LETTERS], row.created_at, row.visited_at, row.device) for row in rows
    ]


def _is_visited(now: datetime) -> ColumnElement[bool]:
    return or_(sessions.c.visited_at.is_(None), sessions.c.visited_at > now - IDLE)


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
