"""Where each log ends, kept beside its records, and what lies beyond a place that a phone has come to."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from heapq import nsmallest
from typing import NamedTuple

from sqlalchemy import delete, insert, select

from fieldlog.store.session import Transaction, in_parts
from fieldlog.store.tables import logs, records

FIRST_HEAD = bytes(32).hex()


class LogEnd(NamedTuple):
    """A place in a log, and the head there: the whole of the log up to it has that name."""

    position: int
    head: str


NOWHERE = LogEnd(0, FIRST_HEAD)


def ends_of_logs(tx: Transaction, names: Iterable[str]) -> dict[str, LogEnd]:
    """Give where logs end now; one without records has the first head."""
    ends: dict[str, LogEnd] = defaultdict(lambda: NOWHERE)
    for some in in_parts(list(names)):
        found = select(logs.c.log, logs.c.position, logs.c.head).where(logs.c.log.in_(some))
        ends |= {row.log: LogEnd(row.position, row.head) for row in tx.execute(found)}
    return ends


def all_ends(tx: Transaction) -> dict[str, LogEnd]:
    """Give where all logs end now."""
    rows = tx.execute(select(logs.c.log, logs.c.position, logs.c.head))
    return {row.log: LogEnd(row.position, row.head) for row in rows}


def ends_of_account(tx: Transaction, account: str) -> dict[str, LogEnd]:
    """Give where the logs of an account end now."""
    found = select(logs.c.log, logs.c.position, logs.c.head).where(logs.c.account == account)
    return {row.log: LogEnd(row.position, row.head) for row in tx.execute(found)}


def note_ends(tx: Transaction, account: str, ends: Mapping[str, LogEnd]) -> None:
    """Write down where logs of an account end now."""
    for some in in_parts(list(ends)):
        tx.execute(delete(logs).where(logs.c.log.in_(some)))
    rows = [{"log": log, "account": account, **end._asdict()} for log, end in ends.items()]
    tx.execute(insert(logs), rows)


def forgotten(tx: Transaction, account: str, seen: Mapping[str, LogEnd]) -> list[str]:
    """Give the logs of which this database does not hold what somebody has seen of them."""
    ends = ends_of_account(tx, account)
    return [log for log, place in seen.items() if not _holds(tx, log, ends.get(log), place)]


def numbers_beyond(tx: Transaction, account: str, passed: Mapping[str, int], limit: int) -> list[int]:
    """Give the first numbers of what lies beyond the places that were passed, by log, in order of arrival."""
    found: list[int] = []
    for log, end in ends_of_account(tx, account).items():
        place = passed.get(log, 0)
        if end.position > place:
            beyond = select(records.c.seq).where(records.c.log == log, records.c.position > place)
            found += tx.execute(beyond.order_by(records.c.position).limit(limit)).scalars()
    return nsmallest(limit, found)


def _holds(tx: Transaction, log: str, end: LogEnd | None, place: LogEnd) -> bool:
    if place.position == 0:
        return place == NOWHERE
    if end is None or place.position > end.position:
        return False
    there = select(records.c.head).where(records.c.log == log, records.c.position == place.position)
    return tx.execute(there).scalar_one_or_none() == place.head
