"""Rigs, told from their records: as they stand, or with every entry of their logs."""

from sqlalchemy import select

from fieldlog.model.account import Account
from fieldlog.model.rig import Rig, rig_of
from fieldlog.store.chains import NEWEST, what_a_rig_is
from fieldlog.store.ends import LogKey, in_log, readable_log, readable_logs
from fieldlog.store.entries import entries_of, entries_with
from fieldlog.store.records import chain_of_corrections
from fieldlog.store.session import Transaction
from fieldlog.store.tables import accounts, records


def rig_with_id(tx: Transaction, account: str, rig: str, newest: int = NEWEST) -> Rig | None:
    """Give one rig of the account as it stands: how it is built, and the newest of what was done with it."""
    log = readable_log(tx, account, rig)
    return None if log is None else _as_it_stands(tx, log, newest)


def rig_as_built(tx: Transaction, account: str, rig: str) -> Rig | None:
    """Give one rig of the account with what it is built of, and nothing of what was done with it."""
    log = readable_log(tx, account, rig)
    return None if log is None else _as_it_stands(tx, log, newest=0)


def rig_with_all(tx: Transaction, account: str, rig: str) -> Rig | None:
    """Give one rig of the account with every entry of its log."""
    log = readable_log(tx, account, rig)
    if log is None:
        return None
    return rig_of(entries_of(tx, select(records).where(*in_log(log)).order_by(records.c.position)), rig)


def name_of_rig(tx: Transaction, account: str, rig: str) -> str | None:
    """Give what a rig of the account is called now, without reading the rest of its log."""
    chain = chain_of_corrections(tx, account, rig)
    return None if chain is None or chain.entry.record.kind != "rig" else str(chain.body["name"])


def rigs_of_account(tx: Transaction, account: str) -> tuple[Rig, ...]:
    """Give every rig of the account as it stands, in the order in which they were first noted."""
    found = (_as_it_stands(tx, log) for log in readable_logs(tx, account) if log.log != log.owner)
    return tuple(sorted((rig for rig in found if rig), key=lambda rig: rig.chain.versions[0].seq))


def rigs_called(tx: Transaction, called: str) -> list[tuple[Account, Rig]]:
    """Give the rigs on this machine that have this id or bear this name now, each with its owner."""
    found = select(accounts.c.id, accounts.c.name, records.c.id.label("rig")).join_from(records, accounts)
    first = found.where(records.c.kind == "rig", records.c.corrects.is_(None))
    rows = tx.execute(first.order_by(records.c.seq)).all()
    rigs = ((Account(row.id, row.name), rig_as_built(tx, row.id, row.rig)) for row in rows)
    return [(owner, rig) for owner, rig in rigs if rig is not None and called in (rig.id, rig.name)]


def _as_it_stands(tx: Transaction, log: LogKey, newest: int = NEWEST) -> Rig | None:
    return rig_of(entries_with(tx, what_a_rig_is(tx, log, newest)), log.log)
