"""The log of records: appended to, read, never changed."""

import hashlib
from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple

from sqlalchemy import insert, select

from fieldlog.model.record import Flag, Record, StoredRecord
from fieldlog.model.rig import Chain
from fieldlog.store.access import is_readable
from fieldlog.store.chains import note_begun, note_chains
from fieldlog.store.ends import LogEnd, ends_of_logs, note_ends, numbers_beyond
from fieldlog.store.entries import entries_of, of_account
from fieldlog.store.session import Transaction, in_parts
from fieldlog.store.tables import accounts, flags, records


class IdEntry(NamedTuple):
    """What an account's logs know of an id: what of it is, and where its chain of corrections begins.

    A record that is about to be kept has no number yet, and no place in its log.
    """

    id: str
    seq: int | None
    hash: str
    kind: str
    rig: str | None
    subject: str | None
    root: str
    log: str | None = None
    position: int | None = None
    head: str | None = None


class LogPlace(NamedTuple):
    """Where a record came to lie: its number, its log, its place in that, and the head there."""

    seq: int
    log: str
    position: int
    head: str


@dataclass(frozen=True)
class Addition:
    """A record on its way into the log: its canonical text, the hash of that, and what was noticed of it."""

    record: Record
    text: bytes
    hash: str
    root: str
    noticed: Sequence[Flag] = ()


def append(
    tx: Transaction,
    owner: str,
    additions: Sequence[Addition],
    *,
    received_at: datetime,
    clock_offset_ms: int | None = None,
) -> dict[str, LogPlace]:
    """Write records at the end of an owner's logs, in this order; give by their ids where they lie now."""
    if not additions:
        return {}
    of_all: dict[str, object] = {
        "account": owner,
        "received_at": received_at,
        "clock_offset_ms": clock_offset_ms,
    }
    ends = ends_of_logs(tx, owner, {each.record.rig or owner for each in additions})
    tx.execute(insert(records), [of_all | row for row in _rows(owner, additions, ends)])
    note_ends(tx, owner, ends)
    kept = _kept(tx, owner, additions)
    noticed = [
        {"record": kept[each.record.id].seq, "flag": flag.flag, "detail": flag.detail}
        for each in additions
        for flag in each.noticed
    ]
    if noticed:
        tx.execute(insert(flags), noticed)
    corrected = {each.root for each in additions if each.root != each.record.id}
    note_begun(tx, owner, list(_begun(additions, corrected, kept, received_at)))
    note_chains(tx, owner, corrected)
    return kept


def _begun(
    additions: Sequence[Addition], corrected: Set[str], kept: Mapping[str, LogPlace], received_at: datetime
) -> Iterator[StoredRecord]:
    """Give those that begin a chain and are not corrected in the same batch, as they are kept."""
    for each in additions:
        if each.root == each.record.id and each.root not in corrected:
            yield StoredRecord(
                **kept[each.root]._asdict(),
                received_at=received_at,
                hash=each.hash,
                root=each.root,
                flags=tuple(each.noticed),
                record=each.record,
            )


def next_head(head: str, digest: str) -> str:
    """Give a log's head after a record: SHA-256 of the last head and the record's hash, as raw bytes."""
    return hashlib.sha256(bytes.fromhex(head) + bytes.fromhex(digest)).hexdigest()


def hold_account(tx: Transaction, account: str) -> None:
    """Keep other writers of the same account waiting, so that its numbers become visible in order."""
    tx.execute(select(accounts.c.id).where(accounts.c.id == account).with_for_update()).all()


def places(tx: Transaction, account: str, ids: Iterable[str]) -> dict[str, IdEntry]:
    """Look ids up in the logs that an account reads; what is not there is left out."""
    columns = [records.c[name] for name in IdEntry._fields]
    return {
        row.id: IdEntry(*row)
        for some in in_parts(list(ids))
        for row in tx.execute(select(*columns).where(records.c.id.in_(some), is_readable(account, records)))
    }


def record_with_id(tx: Transaction, account: str, identity: str) -> StoredRecord | None:
    """Give one record of the account."""
    found = entries_of(tx, of_account(account).where(records.c.id == identity))
    return found[0] if found else None


def records_after(tx: Transaction, account: str, seq: int, limit: int) -> list[StoredRecord]:
    """Give the account's records that arrived after a number, oldest first."""
    return entries_of(tx, of_account(account).where(records.c.seq > seq).order_by(records.c.seq).limit(limit))


def records_beyond(
    tx: Transaction, account: str, passed: Mapping[str, int], limit: int
) -> list[StoredRecord]:
    """Give what lies in the account's logs beyond the places that were passed, in order of arrival."""
    numbers = numbers_beyond(tx, account, passed, limit)
    return entries_of(tx, of_account(account).where(records.c.seq.in_(numbers)).order_by(records.c.seq))


def missing_of(tx: Transaction, account: str, named: Mapping[str, str]) -> list[str]:
    """Give the ids of those records, named with their hashes, that the account's logs do not hold."""
    found: dict[str, str] = {}
    for some in in_parts(list(named)):
        asked = select(records.c.id, records.c.hash).where(
            records.c.id.in_(some), is_readable(account, records)
        )
        found |= {row.id: row.hash for row in tx.execute(asked)}
    return [identity for identity, digest in named.items() if found.get(identity) != digest]


def chain_of_corrections(tx: Transaction, account: str, root: str) -> Chain | None:
    """Give a record with all that correct it, None where the account has none of this id."""
    versions = entries_of(tx, of_account(account).where(records.c.root == root).order_by(records.c.seq))
    return Chain(tuple(versions)) if versions else None


def _rows(owner: str, additions: Iterable[Addition], ends: dict[str, LogEnd]) -> Iterator[dict[str, object]]:
    """Give each record's row; the ends of the logs move on with them."""
    for each in additions:
        record = each.record
        log = record.rig or owner
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


def _kept(tx: Transaction, owner: str, additions: Sequence[Addition]) -> dict[str, LogPlace]:
    columns = [records.c[name] for name in LogPlace._fields]
    asked = select(records.c.id, *columns).where(records.c.account == owner)
    logs_by_id = {each.record.id: each.record.rig or owner for each in additions}
    return {
        row.id: LogPlace(*row[1:])
        for some in in_parts(list(logs_by_id))
        for row in tx.execute(asked.where(records.c.id.in_(some)))
        if row.log == logs_by_id[row.id]
    }
