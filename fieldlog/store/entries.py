"""Reads entries of the log whole, with what the server noticed of each."""

import json
from collections import defaultdict
from collections.abc import Sequence
from typing import Any

from sqlalchemy import Row, Select, select

from fieldlog.model.record import Flag, Record, StoredRecord
from fieldlog.store.access import is_readable
from fieldlog.store.session import Transaction, in_parts
from fieldlog.store.tables import flags, records


def of_account(account: str) -> Select[Any]:
    """Ask for what an account may read."""
    return select(records).where(is_readable(account, records))


def entries_of(tx: Transaction, question: Select[Any]) -> list[StoredRecord]:
    """Give the entries that a question for rows of records finds, in its order."""
    rows = tx.execute(question).all()
    noticed = _flags(tx, [row.seq for row in rows])
    return [_from_row(row, tuple(noticed[row.seq])) for row in rows]


def entries_with(tx: Transaction, numbers: Sequence[int]) -> list[StoredRecord]:
    """Give the entries with these numbers, in the order of arrival."""
    return [
        entry
        for some in in_parts(sorted(numbers))
        for entry in entries_of(tx, select(records).where(records.c.seq.in_(some)).order_by(records.c.seq))
    ]


def _flags(tx: Transaction, seqs: Sequence[int]) -> dict[int, list[Flag]]:
    found: dict[int, list[Flag]] = defaultdict(list)
    for some in in_parts(seqs):
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
