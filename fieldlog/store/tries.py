"""How often someone has tried to sign in, counted in the database so that all workers share the count.

A row counts failures that follow each other within a while, and knows the last of them. It is dropped once
nothing has failed for that while; nothing else about a try is kept.
"""

from collections.abc import Collection
from datetime import datetime, timedelta
from typing import Final, NamedTuple

from sqlalchemy import delete, insert, or_, select, update

from fieldlog.store.session import Transaction
from fieldlog.store.tables import sign_in_tries as tries

# A time further ahead than this comes from a clock that was set back; it holds nobody up.
AHEAD: Final = timedelta(minutes=1)


class Tries(NamedTuple):
    """How many tries failed, and when the last of them was made."""

    failed: int
    last_at: datetime


def tries_of(
    tx: Transaction, names: Collection[str], *, memory: timedelta, now: datetime
) -> dict[str, Tries]:
    """Give what is counted under each name; what is too old to count is left out."""
    counts = (tries.c.who.in_(names), tries.c.last_at > now - memory, tries.c.last_at <= now + AHEAD)
    rows = tx.execute(select(tries).where(*counts))
    return {row.who: Tries(row.tries, row.last_at) for row in rows}


def count_try(tx: Transaction, who: str, *, memory: timedelta, now: datetime) -> None:
    """Count one more try; one that comes long after the others is the first again."""
    stale = or_(tries.c.last_at <= now - memory, tries.c.last_at > now + AHEAD)
    tx.execute(delete(tries).where(tries.c.who == who, stale))
    counted = tx.execute(update(tries).where(tries.c.who == who).values(tries=tries.c.tries + 1, last_at=now))
    if counted.rowcount == 0:
        tx.execute(insert(tries).values(who=who, last_at=now, tries=1))


def give_back_try(tx: Transaction, who: str) -> None:
    """Take one try back: it turned out to be right."""
    tx.execute(delete(tries).where(tries.c.who == who, tries.c.tries <= 1))
    tx.execute(update(tries).where(tries.c.who == who).values(tries=tries.c.tries - 1))


def forget_old_tries(tx: Transaction, before: datetime) -> None:
    """Clear away counts that no longer hold anyone up."""
    tx.execute(delete(tries).where(tries.c.last_at <= before))


def forget_tries_at(tx: Transaction, who: str) -> None:
    """Clear away what is counted under a name, and under that name from anywhere."""
    anywhere = tries.c.who.startswith(f"{who} from ", autoescape=True)
    tx.execute(delete(tries).where(or_(tries.c.who == who, anywhere)))
