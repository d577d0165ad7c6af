"""Which logs an account may read; today those that it owns."""

from typing import Any, Final

from sqlalchemy import ColumnElement, Table, insert, select, tuple_

from fieldlog.store.session import Transaction
from fieldlog.store.tables import access

OWNER: Final = "owner"


def is_readable(account: str, table: Table) -> ColumnElement[bool]:
    """Give the condition under which rows of records or logs may be read by an account.

    Notes
    -----
    Among the logs that one account reads, a name stands once: whoever gives access to a further log of a name
    that stands there has to refuse.
    """
    granted = select(access.c.owner, access.c.log).where(access.c.account == account)
    place: Any = tuple_(table.c.account, table.c.log)
    return place.in_(granted)  # type: ignore[no-any-return]  # a comparison of places


def own(tx: Transaction, account: str, log: str) -> None:
    """Make an account the owner of a log that begins."""
    tx.execute(insert(access).values(account=account, owner=account, log=log, role=OWNER))
