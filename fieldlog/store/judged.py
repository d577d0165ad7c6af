"""What today's rulebook says of checks that another judged; how far that was asked stands beside it."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import delete, func, insert, select, update

from fieldlog.model.record import CHECK_KINDS, StoredRecord
from fieldlog.store.entries import entries_with
from fieldlog.store.session import Transaction
from fieldlog.store.tables import chains, judged_again, judgings, records


@dataclass(frozen=True)
class Difference:
    """A check of which a rulebook says something else than was said: its number, and both."""

    seq: int
    account: str
    said: str
    verdict: str | None
    first: str | None
    reason: str
    is_worse: bool


@dataclass(frozen=True)
class JudgingReach:
    """How far the checks were judged again by a rulebook: to which number, and how many they were."""

    last_seq: int
    checks: int


def reached_by(tx: Transaction, rulebook: str) -> JudgingReach | None:
    """Say how far the checks were judged again by this rulebook; None where that was never begun."""
    row = tx.execute(select(judgings).where(judgings.c.rulebook == rulebook)).one_or_none()
    return None if row is None else JudgingReach(row.last_seq, row.checks)


def begin(tx: Transaction, rulebook: str) -> JudgingReach:
    """Begin with a rulebook, or go on where it was left; what another one said is dropped."""
    found = reached_by(tx, rulebook)
    if found is None:
        tx.execute(delete(judged_again))
        tx.execute(delete(judgings))
        tx.execute(insert(judgings).values(rulebook=rulebook, last_seq=0, checks=0))
    return found or JudgingReach(0, 0)


def newest_seq(tx: Transaction) -> int:
    """Give the number of the newest record, 0 where there is none."""
    return int(tx.execute(select(func.max(records.c.seq))).scalar_one() or 0)


def checks_after(tx: Transaction, seq: int, limit: int) -> Sequence[Any]:
    """Give number, owner and text of the next checks, in the order of arrival."""
    asked = select(records.c.seq, records.c.account, records.c.text)
    wanted = asked.where(records.c.seq > seq, records.c.kind.in_(CHECK_KINDS)).order_by(records.c.seq)
    return tx.execute(wanted.limit(limit)).all()


def note(tx: Transaction, rulebook: str, reached: JudgingReach, found: Sequence[Difference]) -> None:
    """Keep what differs, and how far it was asked: both or nothing."""
    if found:
        rows = [vars(each) | {"is_worse": int(each.is_worse)} for each in found]
        tx.execute(insert(judged_again), [{"record": row.pop("seq"), **row} for row in rows])
    wanted = update(judgings).where(judgings.c.rulebook == rulebook)
    tx.execute(wanted.values(last_seq=reached.last_seq, checks=reached.checks))


def differing(
    tx: Transaction, account: str, before: int | None, limit: int
) -> Iterator[tuple[StoredRecord, Difference]]:
    """Give of an account what counts and is judged otherwise now, newest first."""
    counts = (chains.c.account == judged_again.c.account) & (chains.c.root == records.c.root)
    wanted = (
        select(judged_again)
        .join(records, records.c.seq == judged_again.c.record)
        .join(chains, counts)
        .where(judged_again.c.account == account, chains.c.shown_seq == judged_again.c.record)
        .order_by(judged_again.c.record.desc())
        .limit(limit)
    )
    if before is not None:
        wanted = wanted.where(judged_again.c.record < before)
    rows = {row.record: row for row in tx.execute(wanted)}
    for entry in reversed(entries_with(tx, list(rows))):
        row = rows[entry.seq]
        said = (row.account, row.said, row.verdict, row.first, row.reason, bool(row.is_worse))
        yield entry, Difference(entry.seq, *said)
