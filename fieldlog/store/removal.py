"""Takes an account away with all that is its own, in one transaction; pictures follow once that is kept."""

from typing import Any

from sqlalchemy import Table, delete, insert, select

from fieldlog.errors import StoreUnavailable
from fieldlog.model.account import Account
from fieldlog.store.blobs import Blobs
from fieldlog.store.session import Store, Transaction
from fieldlog.store.tables import accounts, left_photos, metadata, photos, records, removals


def remove_account(tx: Transaction, account: Account) -> None:
    """Delete every row that is the account's, whatever table it stands in; others' rows stay.

    Its pictures are noted as left over, unless another account has the same.
    """
    others = photos.alias()
    shared = select(others.c.kept_hash).where(others.c.account != account.id)
    noted = select(left_photos.c.kept_hash)
    own = select(photos.c.kept_hash).distinct().where(photos.c.account == account.id)
    left = own.where(photos.c.kept_hash.not_in(shared), photos.c.kept_hash.not_in(noted))
    tx.execute(insert(left_photos).from_select(["kept_hash"], left))
    tx.execute(insert(removals).values(account=account.id))
    for table in reversed(metadata.sorted_tables):
        for owned in _owned(table, account.id):
            tx.execute(delete(table).where(owned))
    tx.execute(delete(accounts).where(accounts.c.id == account.id))
    tx.execute(delete(removals).where(removals.c.account == account.id))


def clear_left_photos(store: Store, blobs: Blobs) -> int:
    """Take pictures away that belong to nobody any more, and say how many could not be.

    Each in a transaction that holds the right to write, so that nobody notes the same picture meanwhile.
    """
    with store.reading() as tx:
        names = list(tx.execute(select(left_photos.c.kept_hash)).scalars())
    return sum(not _is_cleared(store, blobs, name) for name in names)


def _is_cleared(store: Store, blobs: Blobs, name: str) -> bool:
    try:
        with store.writing() as tx:
            is_used = tx.execute(select(photos.c.account).where(photos.c.kept_hash == name).limit(1)).first()
            if is_used is None:
                blobs.remove(name)
            tx.execute(delete(left_photos).where(left_photos.c.kept_hash == name))
    except StoreUnavailable:
        return False  # it is noted still, and tried again at the next start
    return True


def _owned(table: Table, account: str) -> list[Any]:
    """Give how rows of a table belong to an account: by its id, or by one of its records."""
    its_records = select(records.c.seq).where(records.c.account == account)
    found = []
    for key in table.foreign_keys:
        if key.column is accounts.c.id:
            found.append(key.parent == account)
        elif key.column is records.c.seq:
            found.append(key.parent.in_(its_records))
    return found
