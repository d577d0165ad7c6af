"""The log of records: appended to, read, never changed."""

import hashlib
import json
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, NamedTuple, TypeVar

from sqlalchemy import Row, Select, func, insert, select

from fieldlog.model.record import Flag, Record, StoredRecord
from fieldlog.store.session import Transaction
from fieldlog.store.tables import accounts, flags, records

T = TypeVar("T")

FIRST_HEAD = bytes(32).hex()
MOST_VALUES = 500  # a statement takes a limited number of values


class Place(NamedTuple):
    """What the log knows of an id: whose record it is, what of, and where its chain of corrections begins.

    A record that is about to be kept has no number yet.
    """

    id: str
    account: str
    seq: int | None
    hash: str
    kind: str
    rig: str | None
    subject: str | None
    root: str


@dataclass(frozen=True)
class Addition:
    """A record on its way into the log: its canonical text, the hash of that, and what was noticed of it."""

    record: Record
    text: bytes
    hash: str
    root: str
    noticed: Sequence[Flag] = ()


class LogEnd(NamedTuple):
    """Where a log ends now."""

    position: int
    head: str


def append(
    tx: Transaction,
    account: str,
    additions: Sequence[Addition],
    *,
    received_at: datetime,
    clock_offset_ms: int | None = None,
) -> dict[str, int]:
    """Write records at the end of their logs, in this order, and give their numbers by their ids."""
    if not additions:
        return {}
    of_all: dict[str, object] = {
        "account": account,
        "received_at": received_at,
        "clock_offset_ms": clock_offset_ms,
    }
    ends = ends_of_logs(tx, {each.record.rig or account for each in additions})
    tx.execute(insert(records), [of_all | row for row in _rows(account, additions, ends)])
    seqs = _numbers(tx, [each.record.id for each in additions])
    noticed = [
        {"record": seqs[each.record.id], "flag": flag.flag, "detail": flag.detail}
        for each in additions
        for flag in each.noticed
    ]
    if noticed:
        tx.execute(insert(flags), noticed)
    return seqs


def next_head(head: str, digest: str) -> str:
    """Give a log's head after a record: SHA-256 of the last head and the record's hash, as raw bytes."""
    return hashlib.sha256(bytes.fromhex(head) + bytes.fromhex(digest)).hexdigest()


def hold_account(tx: Transaction, account: str) -> None:
    """Keep other writers of the same account waiting, so that its numbers become visible in order."""
    tx.execute(select(accounts.c.id).where(accounts.c.id == account).with_for_update()).all()


def places(tx: Transaction, ids: Iterable[str]) -> dict[str, Place]:
    """Look ids up in the logs of all accounts; what is not there is left out."""
    columns = [records.c[name] for name in Place._fields]
    return {
        row.id: Place(*row)
        for some in _in_parts(list(ids))
        for row in tx.execute(select(*columns).where(records.c.id.in_(some)))
    }


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


def ends_of_logs(tx: Transaction, logs: Iterable[str]) -> dict[str, LogEnd]:
    """Give where logs end now; one without records has the first head."""
    ends: dict[str, LogEnd] = defaultdict(lambda: LogEnd(0, FIRST_HEAD))
    for some in _in_parts(list(logs)):
        last = (
            select(records.c.log, func.max(records.c.position).label("position"))
            .where(records.c.log.in_(some))
            .group_by(records.c.log)
            .subquery()
        )
        found = select(records.c.log, records.c.position, records.c.head).join(
            last, (records.c.log == last.c.log) & (records.c.position == last.c.position)
        )
        ends |= {row.log: LogEnd(row.position, row.head) for row in tx.execute(found)}
    return ends


def _rows(
    account: str, additions: Iterable[Addition], ends: dict[str, LogEnd]
) -> Iterator[dict[str, object]]:
    """Give each record's row; the ends of the logs move on with them."""
    for each in additions:
        record = each.record
        log = record.rig or account
        position, head = ends[log]
        ends[log] = LogEnd(position + 1, next_head(head, each.hash))
        yield {
            "log": log,
            "position": position + 1,
            "head": ends[log].head,
            "hash": each.hash,
            "text": each.text.decode(),
            "root": each.root,
            "id": record.id,
            "kind": record.kind,
            "rig": record.rig,
            "subject": record.subject,
            "corrects": record.corrects,
        }


def _numbers(tx: Transaction, ids: Sequence[str]) -> dict[str, int]:
    return {
        row.id: row.seq
        for some in _in_parts(ids)
        for row in tx.execute(select(records.c.id, records.c.seq).where(records.c.id.in_(some)))
    }


def _in_parts(values: Sequence[T]) -> Iterator[Sequence[T]]:
    return (values[at : at + MOST_VALUES] for at in range(0, len(values), MOST_VALUES))


def _stored(tx: Transaction, question: Select[Any]) -> list[StoredRecord]:
    rows = tx.execute(question).all()
    noticed = _flags(tx, [row.seq for row in rows])
    return [_from_row(row, tuple(noticed[row.seq])) for row in rows]


def _flags(tx: Transaction, seqs: Sequence[int]) -> dict[int, list[Flag]]:
    found: dict[int, list[Flag]] = defaultdict(list)
    for some in _in_parts(seqs):
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
        clock_offset_s=None if row.clock_offset_ms is None else row.clock_offset_ms / 1000,
    )
