"""The hash chain of each log, walked again from the texts that are kept."""

import hashlib
from dataclasses import dataclass

from sqlalchemy import func, select

from fieldlog.errors import LogDamaged
from fieldlog.store.ends import FIRST_HEAD, NOWHERE, LogEnd, all_ends, ends_of_account, ends_of_logs
from fieldlog.store.records import next_head
from fieldlog.store.session import Transaction
from fieldlog.store.tables import records

ASTRAY = "the log does not end where it did"


@dataclass(frozen=True)
class Break:
    """Where a log stops being what was written, and how that shows."""

    log: str
    position: int
    what: str


def logs(tx: Transaction, account: str | None = None) -> list[str]:
    """Give the keys of all logs that have records; on demand those of one account alone."""
    question = select(records.c.log).distinct().order_by(records.c.log)
    if account is not None:
        question = question.where(records.c.account == account)
    return list(tx.execute(question).scalars())


def heads(tx: Transaction) -> dict[str, LogEnd]:
    """Give where each log ends by its records, by its key."""
    last = select(records.c.log, func.max(records.c.position).label("position"))
    last_of = last.group_by(records.c.log).subquery()
    found = select(records.c.log, records.c.position, records.c.head).join(
        last_of, (records.c.log == last_of.c.log) & (records.c.position == last_of.c.position)
    )
    return {row.log: LogEnd(row.position, row.head) for row in tx.execute(found)}


def breaks(tx: Transaction) -> list[Break]:
    """Walk every log, and give the first place of each that does not hold."""
    walked = (where_the_log_breaks(tx, log) for log in logs(tx))
    return [found for found in walked if found is not None]


def ends_astray(tx: Transaction) -> list[Break]:
    """Give the logs that end elsewhere than was written down when their last record was kept."""
    by_records = heads(tx)
    noted = all_ends(tx)
    return [
        Break(log, noted.get(log, by_records.get(log, NOWHERE)).position, ASTRAY)
        for log in sorted({*by_records, *noted})
        if by_records.get(log) != noted.get(log)
    ]


def newest_breaks(tx: Transaction, most: int) -> list[Break]:
    """Walk only the newest entries of all logs, each from the one before it."""
    newest = select(records.c.seq).order_by(records.c.seq.desc()).limit(most).subquery()
    firsts = select(records.c.log, func.min(records.c.position).label("position"))
    rows = tx.execute(firsts.where(records.c.seq.in_(select(newest.c.seq))).group_by(records.c.log)).all()
    walked = (where_the_log_breaks(tx, row.log, row.position) for row in rows)
    return [found for found in walked if found is not None]


def assert_logs_hold(tx: Transaction, account: str) -> None:
    """Walk every log of an account; raise LogDamaged with the first place that does not hold."""
    for log in sorted({*ends_of_account(tx, account), *logs(tx, account)}):
        assert_log_holds(tx, log)


def assert_log_holds(tx: Transaction, log: str) -> None:
    """Walk a log; raise LogDamaged with the first place that does not hold."""
    found = where_the_log_breaks(tx, log)
    if found is not None:
        raise LogDamaged(log, found.position, found.what)
    noted = ends_of_logs(tx, [log])[log]
    last = select(records.c.position, records.c.head).where(records.c.log == log)
    row = tx.execute(last.order_by(records.c.position.desc()).limit(1)).one_or_none()
    if noted != (NOWHERE if row is None else LogEnd(*row)):
        raise LogDamaged(log, noted.position, ASTRAY)


def where_the_log_breaks(tx: Transaction, log: str, start: int = 1) -> Break | None:
    """Walk a log from a place and give the first one that does not hold, or None."""
    of_log = select(records.c.position, records.c.text, records.c.hash, records.c.head).where(
        records.c.log == log
    )
    before = tx.execute(of_log.where(records.c.position == start - 1)).one_or_none()
    head = FIRST_HEAD if before is None else before.head
    question = of_log.where(records.c.position >= start).order_by(records.c.position)
    walked = tx.execute(question.execution_options(yield_per=500))
    for position, row in enumerate(walked, start=start):
        if row.position != position:
            return Break(log, position, "an entry is missing")
        if hashlib.sha256(row.text.encode()).hexdigest() != row.hash:
            return Break(log, position, "the text does not have the hash that was kept")
        head = next_head(head, row.hash)
        if row.head != head:
            return Break(log, position, "the head does not follow from the entries before it")
    return None
