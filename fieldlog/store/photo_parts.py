"""Parts of photos that came over a slow line, in the database until the whole is there."""

from datetime import datetime

from sqlalchemy import ColumnElement, and_, delete, func, insert, select

from fieldlog.store.session import Transaction
from fieldlog.store.tables import photo_parts as parts


def bytes_here(tx: Transaction, account: str, sent_hash: str) -> int:
    """Give up to which byte a photo on its way is here without a gap."""
    end = func.max(parts.c.start + func.length(parts.c.content))
    return tx.execute(select(end).where(_of(account, sent_hash))).scalar_one() or 0


def add_part(
    tx: Transaction, account: str, sent_hash: str, start: int, content: bytes, *, received_at: datetime
) -> None:
    """Keep the next part of a photo; it has to begin where the others end."""
    row = {"account": account, "sent_hash": sent_hash, "start": start, "content": content}
    tx.execute(insert(parts).values(**row, received_at=received_at))


def whole_of(tx: Transaction, account: str, sent_hash: str) -> bytes:
    """Give the parts of a photo, one after the other."""
    rows = tx.execute(select(parts.c.content).where(_of(account, sent_hash)).order_by(parts.c.start))
    return b"".join(rows.scalars())


def drop_parts(tx: Transaction, account: str, sent_hash: str) -> None:
    """Drop the parts of a photo: the whole is here, or it is begun anew."""
    tx.execute(delete(parts).where(_of(account, sent_hash)))


def drop_left_parts(tx: Transaction, before: datetime) -> None:
    """Drop what nobody has gone on with since a time."""
    newest = select(parts.c.account, parts.c.sent_hash).group_by(parts.c.account, parts.c.sent_hash)
    for row in tx.execute(newest.having(func.max(parts.c.received_at) < before)).all():
        drop_parts(tx, row.account, row.sent_hash)


def part_bytes_of(tx: Transaction, account: str) -> int:
    """Give how many bytes of unfinished photos an account has here."""
    total = func.coalesce(func.sum(func.length(parts.c.content)), 0)
    return int(tx.execute(select(total).where(parts.c.account == account)).scalar_one())


def _of(account: str, sent_hash: str) -> ColumnElement[bool]:
    return and_(parts.c.account == account, parts.c.sent_hash == sent_hash)
