"""Moves a log from one account to another: every entry as it is, with its hash and its head.

The entries get new numbers, as if they had arrived at their new owner's just now: whoever asks for what is
new after a number, a program or the judging by a newer rulebook, gets them as well.
"""

from collections.abc import Sequence
from typing import Any

from sqlalchemy import ColumnElement, delete, insert, literal, select, update

from fieldlog.model.account import Account
from fieldlog.store.access import own
from fieldlog.store.chains import note_chains
from fieldlog.store.ends import LogKey, in_log
from fieldlog.store.photos import photos_named, photos_spoken_of
from fieldlog.store.session import Transaction, in_parts
from fieldlog.store.sizes import Size
from fieldlog.store.tables import access, chains, flags, judged_again, logs, moving, origins, photos, records


def ids_of_log(tx: Transaction, key: LogKey) -> list[str]:
    """Give the ids of all entries of a log."""
    return list(tx.execute(select(records.c.id).where(*in_log(key))).scalars())


def size_of_log(tx: Transaction, key: LogKey) -> Size:
    """Give how much a log and its photos come to."""
    texts = list(tx.execute(select(records.c.text).where(*in_log(key))).scalars())
    named = select(photos.c.bytes, photos.c.sent_hash).where(photos.c.account == key.owner)
    hashes = set(photos_named(tx, key))
    pictures = [row.bytes for row in tx.execute(named) if row.sent_hash in hashes]
    return Size(len(texts), sum(len(text.encode()) for text in texts), len(pictures), sum(pictures))


def move_log(tx: Transaction, key: LogKey, to: Account) -> None:
    """Give a log of one account to another, which has none of its name, with its photos."""
    named = photos_named(tx, key)
    tx.execute(insert(moving).values(account=key.owner, log=key.log))
    _copy_records(tx, key, to.id)
    _drop_records(tx, key)
    tx.execute(delete(moving))
    tx.execute(update(logs).where(logs.c.account == key.owner, logs.c.log == key.log).values(account=to.id))
    tx.execute(delete(access).where(access.c.owner == key.owner, access.c.log == key.log))
    own(tx, to.id, key.log)
    of_it = (origins.c.account == key.owner, origins.c.log == key.log)
    tx.execute(update(origins).where(*of_it).values(account=to.id))
    tx.execute(delete(chains).where(chains.c.account == key.owner, chains.c.log == key.log))
    roots = select(records.c.root).where(*in_log(LogKey(to.id, key.log))).distinct()
    note_chains(tx, to.id, tx.execute(roots).scalars().all())
    for some in in_parts(named):
        _move_photos(tx, key.owner, to.id, some)


def _copy_records(tx: Transaction, key: LogKey, to: str) -> None:
    """Write each entry under its new owner, in the order of the log, with what was noticed of it."""
    kept = [column for column in records.c if column.name not in ("seq", "account")]
    rows = select(literal(to).label("account"), *kept).where(*in_log(key))
    names = ["account", *(column.name for column in kept)]
    tx.execute(insert(records).from_select(names, rows.order_by(records.c.position)))
    old, new = records.alias(), records.alias()
    noticed = (
        select(new.c.seq, flags.c.flag, flags.c.detail)
        .join_from(flags, old, old.c.seq == flags.c.record)
        .join(new, (new.c.log == old.c.log) & (new.c.position == old.c.position))
        .where(old.c.account == key.owner, old.c.log == key.log, new.c.account == to)
    )
    tx.execute(insert(flags).from_select(["record", "flag", "detail"], noticed.order_by(flags.c.id)))


def _drop_records(tx: Transaction, key: LogKey) -> None:
    its_own = select(records.c.seq).where(*in_log(key))
    tx.execute(delete(flags).where(flags.c.record.in_(its_own)))
    tx.execute(delete(judged_again).where(judged_again.c.record.in_(its_own)))
    tx.execute(delete(records).where(*in_log(key)))


def _move_photos(tx: Transaction, owner: str, to: str, named: Sequence[str]) -> None:
    """Give photos to whoever has their records now; what another log of the owner speaks of stays as well."""
    theirs = set(tx.execute(select(photos.c.sent_hash).where(*_among(to, named))).scalars())
    rows: list[dict[str, Any]] = [
        row._asdict() for row in tx.execute(select(photos).where(*_among(owner, named)))
    ]
    fresh = [row | {"account": to} for row in rows if row["sent_hash"] not in theirs]
    if fresh:
        tx.execute(insert(photos), fresh)
    left = set(photos_spoken_of(tx, records.c.account == owner))
    tx.execute(delete(photos).where(*_among(owner, [each for each in named if each not in left])))


def _among(account: str, named: Sequence[str]) -> tuple[ColumnElement[bool], ColumnElement[bool]]:
    return photos.c.account == account, photos.c.sent_hash.in_(named)
