"""The hash chain of each log, walked again from the texts that are kept."""

import hashlib
from dataclasses import dataclass

from sqlalchemy import func, select

from fieldlog.errors import LogDamaged
from fieldlog.store.access import is_readable
from fieldlog.store.ends import (
    FIRST_HEAD,
    NOWHERE,
    LogEnd,
    LogKey,
    all_ends,
    in_log,
    readable_log,
    readable_logs,
)
from fieldlog.store.records import next_head
from fieldlog.store.session import Transaction
from fieldlog.store.tables import records

ASTRAY = "the log does not end where it did"
_KEY = (records.c.account, records.c.log)


@dataclass(frozen=True)
class Break:
    """Where a log stops being what was written, and how that shows."""

    key: LogKey
    position: int
    what: str

    @property
    def log(self) -> str:
        """Give the name of the log."""
        return self.key.log


def logs(tx: Transaction, account: str | None = None) -> list[LogKey]:
    """Give the keys of all logs that have records; on demand of those alone that an account reads."""
    question = select(*_KEY).distinct().order_by(records.c.log, records.c.account)
    if account is not None:
        question = question.where(is_readable(account, records))
    return [LogKey(*row) for row in tx.execute(question)]


def heads(tx: Transaction) -> dict[LogKey, LogEnd]:
    """Give where each log ends by its records, by its key; it reads databases of earlier versions as well."""
    last = select(*_KEY, func.max(records.c.position).label("position"))
    last_of = last.group_by(*_KEY).subquery()
    found = select(*_KEY, records.c.position, records.c.head).join(
        last_of,
        (records.c.account == last_of.c.account)
        & (records.c.log == last_of.c.log)
        & (records.c.position == last_of.c.position),
    )
    return {
        LogKey(row.account, row.log): LogEnd(row.position, row.head)
        for row in tx.execute(found.order_by(records.c.log, records.c.account))
    }


def breaks(tx: Transaction) -> list[Break]:
    """Walk every log, and give the first place of each that does not hold."""
    walked = (where_the_log_breaks(tx, key) for key in logs(tx))
    return [found for found in walked if found is not None]


def ends_astray(tx: Transaction) -> list[Break]:
    """Give the logs that end elsewhere than was written down when their last record was kept."""
    by_records = heads(tx)
    noted = all_ends(tx)
    return [
        Break(key, noted.get(key, by_records.get(key, NOWHERE)).position, ASTRAY)
        for key in sorted({*by_records, *noted})
        if by_records.get(key) != noted.get(key)
    ]


def newest_breaks(tx: Transaction, most: int) -> list[Break]:
    """Walk only the newest entries of all logs, each from the one before it."""
    newest = select(records.c.seq).order_by(records.c.seq.desc()).limit(most).subquery()
    firsts = select(*_KEY, func.min(records.c.position).label("position"))
    rows = tx.execute(firsts.where(records.c.seq.in_(select(newest.c.seq))).group_by(*_KEY)).all()
    walked = (where_the_log_breaks(tx, LogKey(row.account, row.log), row.position) for row in rows)
    return [found for found in walked if found is not None]


def assert_logs_hold(tx: Transaction, account: str) -> None:
    """Walk every log that an account reads; raise LogDamaged with the first place that does not hold."""
    noted = readable_logs(tx, account)
    for key in sorted({*noted, *logs(tx, account)}):
        _assert_holds(tx, key, noted.get(key, NOWHERE))


def assert_log_holds(tx: Transaction, account: str, log: str) -> None:
    """Walk a log that an account reads; raise LogDamaged with the first place that does not hold."""
    key = readable_log(tx, account, log)
    if key is None:
        raise LogDamaged(log, 0, ASTRAY)
    _assert_holds(tx, key, readable_logs(tx, account)[key])


def _assert_holds(tx: Transaction, key: LogKey, noted: LogEnd) -> None:
    found = where_the_log_breaks(tx, key)
    if found is not None:
        raise LogDamaged(key.log, found.position, found.what)
    last = select(records.c.position, records.c.head).where(*in_log(key))
    row = tx.execute(last.order_by(records.c.position.desc()).limit(1)).one_or_none()
    if noted != (NOWHERE if row is None else LogEnd(*row)):
        raise LogDamaged(key.log, noted.position, ASTRAY)


def where_the_log_breaks(tx: Transaction, key: LogKey, start: int = 1) -> Break | None:
    """Walk a log from a place and give the first one that does not hold, or None."""
    of_log = select(records.c.position, records.c.text, records.c.hash, records.c.head).where(*in_log(key))
    before = tx.execute(of_log.where(records.c.position == start - 1)).one_or_none()
    head = FIRST_HEAD if before is None else before.head
    question = of_log.where(records.c.position >= start).order_by(records.c.position)
    walked = tx.execute(question.execution_options(yield_per=500))
    for position, row in enumerate(walked, start=start):
        if row.position != position:
            return Break(key, position, "an entry is missing")
        if hashlib.sha256(row.text.encode()).hexdigest() != row.hash:
            return Break(key, position, "the text does not have the hash that was kept")
        head = next_head(head, row.hash)
        if row.head != head:
            return Break(key, position, "the head does not follow from the entries before it")
    return None
