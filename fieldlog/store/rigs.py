"""The records of rigs, every version of each, so that a rig can be told from them."""

from sqlalchemy import select

from fieldlog.model.account import Account
from fieldlog.model.record import StoredRecord
from fieldlog.model.rig import Rig, rig_of, rigs_of
from fieldlog.store.ends import in_log, readable_log
from fieldlog.store.records import _of, _stored
from fieldlog.store.session import Transaction
from fieldlog.store.tables import accounts, records


def records_of_rig(tx: Transaction, account: str, rig: str) -> list[StoredRecord]:
    """Give all records of one rig, corrections included, oldest first; none where it is not the account's."""
    log = readable_log(tx, account, rig)
    return (
        [] if log is None else _stored(tx, select(records).where(*in_log(log)).order_by(records.c.position))
    )


def records_of_rigs(tx: Transaction, account: str) -> list[StoredRecord]:
    """Give all records that belong to a rig of the account, oldest first."""
    return _stored(tx, _of(account).where(records.c.rig.is_not(None)).order_by(records.c.seq))


def rig_with_id(tx: Transaction, account: str, rig: str) -> Rig | None:
    """Give one rig of the account."""
    return rig_of(records_of_rig(tx, account, rig), rig)


def rigs_of_account(tx: Transaction, account: str) -> tuple[Rig, ...]:
    """Give every rig of the account, in the order in which they were first noted."""
    return rigs_of(records_of_rigs(tx, account))


def rigs_called(tx: Transaction, called: str) -> list[tuple[Account, Rig]]:
    """Give the rigs on this machine that have this id or bear this name now, each with its owner."""
    found = select(accounts.c.id, accounts.c.name, records.c.id.label("rig")).join_from(records, accounts)
    first = found.where(records.c.kind == "rig", records.c.corrects.is_(None))
    rows = tx.execute(first.order_by(records.c.seq)).all()
    rigs = ((Account(row.id, row.name), rig_with_id(tx, row.id, row.rig)) for row in rows)
    return [(owner, rig) for owner, rig in rigs if rig is not None and called in (rig.id, rig.name)]
