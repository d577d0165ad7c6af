"""How much an account has; what would go beyond the bounds is not taken, not even in part."""

from collections.abc import Sequence
from typing import NamedTuple

from sqlalchemy import func, insert, select, update

from fieldlog.errors import NoRoom
from fieldlog.model.bounds import MB, Bounds
from fieldlog.store.blobs import Blobs
from fieldlog.store.session import Store, Transaction
from fieldlog.store.tables import account_sizes as sizes
from fieldlog.store.tables import photos


class Size(NamedTuple):
    """How much an account has."""

    records: int
    text_bytes: int
    photos: int
    photo_bytes: int


def size_of(tx: Transaction, account: str) -> Size:
    """Give how much an account has."""
    records = tx.execute(select(sizes).where(sizes.c.account == account)).one_or_none()
    total = func.coalesce(func.sum(photos.c.bytes), 0)
    pictures = tx.execute(select(func.count(), total).where(photos.c.account == account)).one()
    return Size(records.records if records else 0, records.text_bytes if records else 0, *pictures)


def take_records(tx: Transaction, store: Store, account: str, texts: Sequence[bytes], bounds: Bounds) -> None:
    """Count records in that are about to be kept, or raise NoRoom where there is none for all of them."""
    if not texts:
        return
    _assert_disk(store.free_bytes(), bounds)
    _count_in(tx, account, len(texts), sum(map(len, texts)), bounds)


def take_over_size(tx: Transaction, giver: str, taker: str, size: Size, bounds: Bounds) -> None:
    """Count what moves to another account, or raise NoRoom where that has none for all of it."""
    _assert_photos_fit(tx, taker, size.photo_bytes, bounds)
    _count_in(tx, taker, size.records, size.text_bytes, bounds)
    less = update(sizes).where(sizes.c.account == giver)
    records, text_bytes = sizes.c.records - size.records, sizes.c.text_bytes - size.text_bytes
    tx.execute(less.values(records=records, text_bytes=text_bytes))


def _count_in(tx: Transaction, account: str, more_records: int, more_bytes: int, bounds: Bounds) -> None:
    row = tx.execute(select(sizes).where(sizes.c.account == account)).one_or_none()
    records = (row.records if row else 0) + more_records
    text_bytes = (row.text_bytes if row else 0) + more_bytes
    if records > bounds.records:
        raise NoRoom(f"This account may have {bounds.records:,} records.", "raise FIELDLOG_MOST_RECORDS")
    if text_bytes > bounds.text_mb * MB:
        sentence = f"The records of this account may have {bounds.text_mb:,} MB of text."
        raise NoRoom(sentence, "raise FIELDLOG_MOST_TEXT_MB")
    if row is None:
        tx.execute(insert(sizes).values(account=account, records=records, text_bytes=text_bytes))
    else:
        counted = update(sizes).where(sizes.c.account == account)
        tx.execute(counted.values(records=records, text_bytes=text_bytes))


def assert_room_for_photo(
    tx: Transaction, blobs: Blobs, account: str, photo_bytes: int, bounds: Bounds
) -> None:
    """Raise NoRoom where there is none for a photo of this size."""
    _assert_disk(blobs.free_bytes(), bounds)
    _assert_photos_fit(tx, account, photo_bytes, bounds)


def _assert_photos_fit(tx: Transaction, account: str, photo_bytes: int, bounds: Bounds) -> None:
    if size_of(tx, account).photo_bytes + photo_bytes > bounds.photos_mb * MB:
        sentence = f"The photos of this account may have {bounds.photos_mb:,} MB."
        raise NoRoom(sentence, "raise FIELDLOG_MOST_PHOTOS_MB")


def _assert_disk(free_bytes: int | None, bounds: Bounds) -> None:
    if free_bytes is not None and free_bytes < bounds.least_free_mb * MB:
        sentence = f"The disk of the server has {free_bytes // MB:,} MB left, and takes no more."
        raise NoRoom(sentence, "make room on it, or lower FIELDLOG_LEAST_FREE_MB")
