"""Where each log ends, kept beside its records, and what lies beyond a place that a phone has come to."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from heapq import nlargest, nsmallest
from typing import NamedTuple

from sqlalchemy import ColumnElement, insert, select, update

from fieldlog.store.access import is_readable, own
from fieldlog.store.session import Transaction, in_parts
from fieldlog.store.tables import hand_overs, logs, records

FIRST_HEAD = bytes(32).hex()


class LogKey(NamedTuple):
    """What names a log for good: whose it is, and its own name among theirs."""

    owner: str
    log: str


class LogEnd(NamedTuple):
    """A place in a log, and the head there: the whole of the log up to it has that name."""

    position: int
    head: str


NOWHERE = LogEnd(0, FIRST_HEAD)


def ends_of_logs(tx: Transaction, owner: str, names: Iterable[str]) -> dict[str, LogEnd]:
    """Give where logs of an owner end now, by their names; one without records has the first head."""
    ends: dict[str, LogEnd] = defaultdict(lambda: NOWHERE)
    for some in in_parts(list(names)):
        found = select(logs.c.log, logs.c.position, logs.c.head).where(
            logs.c.account == owner, logs.c.log.in_(some)
        )
        ends |= {row.log: LogEnd(row.position, row.head) for row in tx.execute(found)}
    return ends


def all_ends(tx: Transaction) -> dict[LogKey, LogEnd]:
    """Give where all logs end now."""
    rows = tx.execute(select(logs))
    return {LogKey(row.account, row.log): LogEnd(row.position, row.head) for row in rows}


def readable_logs(tx: Transaction, account: str) -> dict[LogKey, LogEnd]:
    """Give where those logs end now that an account may read."""
    rows = tx.execute(select(logs).where(is_readable(account, logs)))
    return {LogKey(row.account, row.log): LogEnd(row.position, row.head) for row in rows}


def readable_log(tx: Transaction, account: str, name: str) -> LogKey | None:
    """Give the log of this name that an account may read, if there is one."""
    return next((key for key in readable_logs(tx, account) if key.log == name), None)


def note_ends(tx: Transaction, owner: str, ends: Mapping[str, LogEnd]) -> None:
    """Write down where logs of an owner end now; one that begins becomes the owner's."""
    for log, end in ends.items():
        noted = update(logs).where(logs.c.account == owner, logs.c.log == log).values(end._asdict())
        if tx.execute(noted).rowcount == 0:
            tx.execute(insert(logs).values(account=owner, log=log, **end._asdict()))
            own(tx, owner, log)


def forgotten(tx: Transaction, account: str, seen: Mapping[str, LogEnd]) -> list[str]:
    """Give the logs of which this database does not hold what somebody has seen of them.

    One that the account handed over is not forgotten, but at its new owner's.
    """
    held = {key.log: key for key in readable_logs(tx, account)}
    lost = [
        log
        for log, place in seen.items()
        if place != NOWHERE and not (log in held and is_at(tx, held[log], place))
    ]
    return [log for log in lost if log in held or not was_handed_over(tx, account, log)]


def was_handed_over(tx: Transaction, account: str, log: str) -> bool:
    """Say whether an account has handed a log of this name over."""
    asked = select(hand_overs.c.id).where(hand_overs.c.account == account, hand_overs.c.log == log)
    return tx.execute(asked.where(hand_overs.c.taken_at.is_not(None)).limit(1)).first() is not None


def numbers_beyond(tx: Transaction, account: str, passed: Mapping[str, int], limit: int) -> list[int]:
    """Give the first numbers of what lies beyond the places that were passed, by log, in order of arrival."""
    found: list[int] = []
    for key, end in readable_logs(tx, account).items():
        place = passed.get(key.log, 0)
        if end.position > place:
            beyond = select(records.c.seq).where(*in_log(key), records.c.position > place)
            found += tx.execute(beyond.order_by(records.c.position).limit(limit)).scalars()
    return nsmallest(limit, found)


def newest_numbers(tx: Transaction, account: str, before: int | None, limit: int) -> list[int]:
    """Give the last numbers in the logs that an account reads, on demand before one, newest first.

    Notes
    -----
    Each log is asked for its own end: all of them together would be put in order whole, at every page.
    """
    found: list[int] = []
    for key in readable_logs(tx, account):
        newest = select(records.c.seq).where(*in_log(key)).order_by(records.c.position.desc())
        if before is not None:
            newest = newest.where(records.c.seq < before)
        found += tx.execute(newest.limit(limit)).scalars()
    return nlargest(limit, found)


def in_log(key: LogKey) -> tuple[ColumnElement[bool], ColumnElement[bool]]:
    """Give the conditions under which a record is in a log."""
    return records.c.account == key.owner, records.c.log == key.log


def is_at(tx: Transaction, key: LogKey, place: LogEnd) -> bool:
    """Say whether a log holds what has this name: so many entries, with this head."""
    there = select(records.c.head).where(*in_log(key), records.c.position == place.position)
    return tx.execute(there).scalar_one_or_none() == place.head
