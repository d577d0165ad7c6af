"""From which installations entries of a log were taken over."""

from dataclasses import asdict

from sqlalchemy import insert, select

from fieldlog.model.origin import Origin
from fieldlog.store.session import Transaction
from fieldlog.store.tables import origins


def add_origin(tx: Transaction, account: str, log: str, origin: Origin) -> None:
    """Note where a log of an account comes from, as far as it goes."""
    tx.execute(insert(origins).values(account=account, log=log, **asdict(origin)))


def origins_of(tx: Transaction, account: str, log: str) -> list[Origin]:
    """Give where a log of an account comes from, oldest first."""
    asked = select(*(origins.c[name] for name in Origin.__dataclass_fields__))
    of_it = asked.where(origins.c.account == account, origins.c.log == log)
    return [Origin(*row) for row in tx.execute(of_it.order_by(origins.c.id))]
