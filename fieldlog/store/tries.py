"""How often someone has tried to sign in, counted in the database so that all workers share the count."""

from datetime import datetime, timedelta

from sqlalchemy import delete, insert, select, update

from fieldlog.store.session import Transaction
from fieldlog.store.tables import sign_in_tries as tries


def wait_of(tx: Transaction, who: str, *, most: int, window: timedelta, now: datetime) -> timedelta | None:
    """Give how long someone has to wait, or None while they have tries left."""
    row = tx.execute(select(tries).where(tries.c.who == who)).one_or_none()
    if row is None or row.since + window <= now or row.tries < most:
        return None
    until: datetime = row.since + window
    return until - now


def count_try(tx: Transaction, who: str, *, window: timedelta, now: datetime) -> None:
    """Count one more try; a window that has passed starts again."""
    tx.execute(delete(tries).where(tries.c.who == who, tries.c.since <= now - window))
    counted = tx.execute(update(tries).where(tries.c.who == who).values(tries=tries.c.tries + 1))
    if counted.rowcount == 0:
        tx.execute(insert(tries).values(who=who, since=now, tries=1))


def give_back_try(tx: Transaction, who: str) -> None:
    """Take one try back: it turned out to be right."""
    tx.execute(update(tries).where(tries.c.who == who, tries.c.tries > 0).values(tries=tries.c.tries - 1))


def forget_old_tries(tx: Transaction, before: datetime) -> None:
    """Clear away counts that no longer hold anyone up."""
    tx.execute(delete(tries).where(tries.c.since <= before))
