"""The hash chain of each log, walked again from the texts that are kept."""

import hashlib
from dataclasses import dataclass

from sqlalchemy import select

from fieldlog.store.records import FIRST_HEAD, LogEnd, ends_of_logs, next_head
from fieldlog.store.session import Transaction
from fieldlog.store.tables import records


@dataclass(frozen=True)
class Break:
    """Where a log stops being what was written, and how that shows."""

    log: str
    position: int
    what: str


def logs(tx: Transaction) -> list[str]:
    """Give the keys of all logs."""
    return list(tx.execute(select(records.c.log).distinct().order_by(records.c.log)).scalars())


def heads(tx: Transaction) -> dict[str, LogEnd]:
    """Give where each log ends, by its key."""
    return ends_of_logs(tx, logs(tx))


def breaks(tx: Transaction) -> list[Break]:
    """Walk every log, and give the first place of each that does not hold."""
    walked = (where_the_log_breaks(tx, log) for log in logs(tx))
    return [found for found in walked if found is not None]


def where_the_log_breaks(tx: Transaction, log: str) -> Break | None:
    """Walk a log from its start and give the first place that does not hold, or None."""
    head = FIRST_HEAD
    question = select(records).where(records.c.log == log).order_by(records.c.position)
    for position, row in enumerate(tx.execute(question), start=1):
        if row.position != position:
            return Break(log, position, "an entry is missing")
        if hashlib.sha256(row.text.encode()).hexdigest() != row.hash:
            return Break(log, position, "the text does not have the hash that was kept")
        head = next_head(head, row.hash)
        if row.head != head:
            return Break(log, position, "the head does not follow from the entries before it")
    return None
