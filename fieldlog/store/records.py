"""The log of records: appended to, read, never changed."""

import hashlib
import json
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime
from typing import Any, NamedTuple

from sqlalchemy import Row, Select, func, insert, select

from fieldlog.model.canonical import canonical
from fieldlog.model.record import Flag, Record, StoredRecord
from fieldlog.store.session import Transaction
from fieldlog.store.tables import accounts, flags, records

FIRST_HEAD = bytes(32).hex()


class Known(NamedTuple):
    """What is known of an id: whose it is, its number and its hash."""

    account: str
    seq: int
    hash: str


class LogEnd(NamedTuple):
    """Where a log ends now."""

    position: int
    head: str


def append(
    tx: Transaction, account: str, record: Record, *, received_at: datetime, noticed: Sequence[Flag] = ()
) -> StoredRecord:
    """Write a record at the end of its log, with what was noticed about it."""
    text = canonical(record.as_json())
    digest = hashlib.sha256(text).hexdigest()
    log = record.rig or account
    end = _end_of_log(tx, log)
    entry = StoredRecord(
        seq=0,
        received_at=received_at,
        hash=digest,
        head=next_head(end.head, digest),
        log=log,
        position=end.position + 1,
        root=_root(tx, record),
        flags=tuple(noticed),
        record=record,
    )
    row = _row(entry, account, text.decode())
    seq: int = tx.execute(insert(records).values(row).returning(records.c.seq)).scalar_one()
    if noticed:
        tx.execute(insert(flags), [{"record": seq, "flag": f.flag, "detail": f.detail} for f in noticed])
    return replace(entry, seq=seq)


def next_head(head: str, digest: str) -> str:
    """Give a log's head after a record: SHA-256 of the last head and the record's hash, as raw bytes."""
    return hashlib.sha256(bytes.fromhex(head) + bytes.fromhex(digest)).hexdigest()


def hold_account(tx: Transaction, account: str) -> None:
    """Keep other writers of the same account waiting, so that its numbers become visible in order."""
    tx.execute(select(accounts.c.id).where(accounts.c.id == account).with_for_update()).all()


def what_is_known(tx: Transaction, identity: str) -> Known | None:
    """Look an id up in every log."""
    row = tx.execute(
        select(records.c.account, records.c.seq, records.c.hash).where(records.c.id == identity)
    ).one_or_none()
    return None if row is None else Known(*row)


def record_with_id(tx: Transaction, account: str, identity: str) -> StoredRecord | None:
    """Give one record of the account."""
    found = _stored(tx, _of(account).where(records.c.id == identity))
    return found[0] if found else None


def records_after(tx: Transaction, account: str, seq: int, limit: int) -> list[StoredRecord]:
    """Give the account's records that arrived after a number, oldest first."""
    return _stored(tx, _of(account).where(records.c.seq > seq).order_by(records.c.seq).limit(limit))


def chain_of_corrections(tx: Transaction, account: str, root: str) -> list[StoredRecord]:
    """Give a record and all that correct it, oldest first."""
    return _stored(tx, _of(account).where(records.c.root == root).order_by(records.c.seq))


def current_record(tx: Transaction, account: str, root: str) -> StoredRecord | None:
    """Give the newest of a chain of corrections, by the id of its first record."""
    chain = chain_of_corrections(tx, account, root)
    return chain[-1] if chain else None


def current_records(
    tx: Transaction,
    account: str,
    *,
    kinds: Sequence[str] = (),
    rig: str | None = None,
    subject: str | None = None,
    before: int | None = None,
    limit: int | None = None,
) -> list[StoredRecord]:
    """Give the newest record of each chain of corrections, newest first."""
    newest = select(func.max(records.c.seq)).where(records.c.account == account).group_by(records.c.root)
    if kinds:
        newest = newest.where(records.c.kind.in_(kinds))
    if rig is not None:
        newest = newest.where(records.c.rig == rig)
    if subject is not None:
        newest = newest.where(records.c.subject == subject)
    question = select(records).where(records.c.seq.in_(newest)).order_by(records.c.seq.desc())
    if before is not None:
        question = question.where(records.c.seq < before)
    return _stored(tx, question.limit(limit))


def _of(account: str) -> Select[Any]:
    return select(records).where(records.c.account == account)


def _end_of_log(tx: Transaction, log: str) -> LogEnd:
    row = tx.execute(
        select(records.c.position, records.c.head)
        .where(records.c.log == log)
        .order_by(records.c.position.desc())
        .limit(1)
    ).one_or_none()
    return LogEnd(0, FIRST_HEAD) if row is None else LogEnd(*row)


def _row(entry: StoredRecord, account: str, text: str) -> dict[str, Any]:
    of_entry = {
        name: getattr(entry, name) for name in ("received_at", "hash", "head", "log", "position", "root")
    }
    of_record = {name: getattr(entry.record, name) for name in ("id", "kind", "rig", "subject", "corrects")}
    return {"account": account, "text": text, **of_entry, **of_record}


def _root(tx: Transaction, record: Record) -> str:
    if record.corrects is None:
        return record.id
    root: str = tx.execute(select(records.c.root).where(records.c.id == record.corrects)).scalar_one()
    return root


def _stored(tx: Transaction, question: Select[Any]) -> list[StoredRecord]:
    rows = tx.execute(question).all()
    noticed = _flags(tx, [row.seq for row in rows])
    return [_from_row(row, tuple(noticed[row.seq])) for row in rows]


def _flags(tx: Transaction, seqs: Sequence[int]) -> dict[int, list[Flag]]:
    found: dict[int, list[Flag]] = defaultdict(list)
    for at in range(0, len(seqs), 500):  # a statement takes a limited number of values
        some = seqs[at : at + 500]
        for row in tx.execute(select(flags).where(flags.c.record.in_(some)).order_by(flags.c.id)):
            found[row.record].append(Flag(row.flag, row.detail))
    return found


def _from_row(row: Row[Any], noticed: tuple[Flag, ...]) -> StoredRecord:
    return StoredRecord(
        seq=row.seq,
        received_at=row.received_at,
        hash=row.hash,
        head=row.head,
        log=row.log,
        position=row.position,
        root=row.root,
        flags=noticed,
        record=Record.from_json(json.loads(row.text)),
    )
