"""The address at which a calendar program fetches what is due, one for an account. Only its hash is kept."""

from datetime import datetime

from sqlalchemy import delete, insert, select

from fieldlog.model.account import Account
from fieldlog.store.accounts import token_hash
from fieldlog.store.session import Transaction
from fieldlog.store.tables import accounts
from fieldlog.store.tables import calendar_feeds as feeds


def open_feed(tx: Transaction, account: str, secret: str, *, created_at: datetime) -> None:
    """Keep a new address of an account's feed; the one before opens nothing any more."""
    revoke_feed(tx, account)
    tx.execute(insert(feeds).values(token_hash=token_hash(secret), account=account, created_at=created_at))


def revoke_feed(tx: Transaction, account: str) -> None:
    """Take away an account's feed, if there is one."""
    tx.execute(delete(feeds).where(feeds.c.account == account))


def feed_made_at(tx: Transaction, account: str) -> datetime | None:
    """Say since when an account has a feed, None where it has none."""
    found: datetime | None = tx.execute(
        select(feeds.c.created_at).where(feeds.c.account == account)
    ).scalar_one_or_none()
    return found


def account_of_feed(tx: Transaction, secret: str) -> Account | None:
    """Give the account whose feed is at an address."""
    row = tx.execute(
        select(accounts.c.id, accounts.c.name)
        .join(feeds, feeds.c.account == accounts.c.id)
        .where(feeds.c.token_hash == token_hash(secret))
    ).one_or_none()
    return None if row is None else Account(*row)
