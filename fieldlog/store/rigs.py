"""The records of rigs, every version of each, so that a rig can be told from them."""

from sqlalchemy import select

from fieldlog.model.record import StoredRecord
from fieldlog.model.rig import Rig, rig_of, rigs_of
from fieldlog.store.records import _of, _stored
from fieldlog.store.session import Transaction
from fieldlog.store.tables import records


def records_of_rig(tx: Transaction, account: str, rig: str) -> list[StoredRecord]:
    """Give all records of one rig, corrections included, oldest first; none where it is not the account's."""
    return _stored(tx, _of(account).where(records.c.rig == rig).order_by(records.c.seq))


def records_of_rigs(tx: Transaction, account: str) -> list[StoredRecord]:
    """Give all records that belong to a rig of the account, oldest first."""
    return _stored(tx, _of(account).where(records.c.rig.is_not(None)).order_by(records.c.seq))


def rig_with_id(tx: Transaction, account: str, rig: str) -> Rig | None:
    """Give one rig of the account."""
    return rig_of(records_of_rig(tx, account, rig), rig)


def rigs_of_account(tx: Transaction, account: str) -> tuple[Rig, ...]:
    """Give every rig of the account, in the order in which they were first noted."""
    return rigs_of(records_of_rigs(tx, account))


def rigs_called(tx: Transaction, called: str) -> list[tuple[str, Rig]]:
    """Give the rigs on this machine that have this id, or bear this name now, each with its owner's id."""
    found = select(records.c.account, records.c.id).where(
        records.c.kind == "rig", records.c.corrects.is_(None)
    )
    rows = tx.execute(found.order_by(records.c.seq)).all()
    rigs = ((account, rig_with_id(tx, account, rig)) for account, rig in rows)
    return [(owner, rig) for owner, rig in rigs if rig is not None and called in (rig.id, rig.name)]
