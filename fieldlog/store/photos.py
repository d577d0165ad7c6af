"""Which photos have arrived, under the hash that the phone sent and the hash of what is kept."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import ColumnElement, insert, select

from fieldlog.model.bodies import PHOTO
from fieldlog.model.record import StoredRecord
from fieldlog.store.chains import current_of
from fieldlog.store.ends import LogKey, in_log
from fieldlog.store.entries import entries_of, of_account
from fieldlog.store.session import Transaction, in_parts
from fieldlog.store.tables import photos, records


@dataclass(frozen=True, kw_only=True)
class Photo:
    """A photo that has arrived: how it was sent, and what is kept of it."""

    sent_hash: str
    kept_hash: str
    bytes: int
    width: int
    height: int
    received_at: datetime


@dataclass(frozen=True)
class PhotoRecord:
    """A record of a photo, and whether the photo itself has arrived."""

    entry: StoredRecord
    is_here: bool


def add_photo(tx: Transaction, account: str, photo: Photo) -> None:
    """Note a photo that has arrived."""
    tx.execute(insert(photos).values(account=account, **vars(photo)))


def photo_with_hash(tx: Transaction, account: str, sent_hash: str) -> Photo | None:
    """Give a photo of the account by the hash of what the phone sent."""
    question = select(photos).where(photos.c.account == account, photos.c.sent_hash == sent_hash)
    row = tx.execute(question).mappings().one_or_none()
    return None if row is None else _photo(row)


def photos_of_account(tx: Transaction, account: str) -> list[Photo]:
    """Give every photo of an account that has arrived, in the order of arrival."""
    question = select(photos).where(photos.c.account == account)
    rows = tx.execute(question.order_by(photos.c.received_at, photos.c.sent_hash)).mappings()
    return [_photo(row) for row in rows]


def photos_lacking(tx: Transaction, account: str, named: Sequence[str]) -> list[str]:
    """Give those of the named photos that have not arrived for the account."""
    here: set[str] = set()
    for some in in_parts(named):
        question = select(photos.c.sent_hash).where(photos.c.account == account)
        here |= set(tx.execute(question.where(photos.c.sent_hash.in_(some))).scalars())
    return [each for each in named if each not in here]


def photos_named(tx: Transaction, key: LogKey) -> list[str]:
    """Give the photos of which the entries of a log speak."""
    return photos_spoken_of(tx, *in_log(key))


def photos_spoken_of(tx: Transaction, *of_it: ColumnElement[bool]) -> list[str]:
    """Give the photos of which those records speak for which something holds."""
    texts = tx.execute(select(records.c.text).where(*of_it, records.c.kind == "photo")).scalars()
    return sorted({str(json.loads(text)["body"]["hash"]) for text in texts})


def record_of_photo(tx: Transaction, account: str, sent_hash: str) -> StoredRecord | None:
    """Give the newest record of the account that speaks of the photo."""
    named = f'"hash":"{sent_hash}"'  # as canonical JSON writes it; inside a text the quotes would be escaped
    question = of_account(account).where(
        records.c.kind == "photo", records.c.text.contains(named, autoescape=True)
    )
    found = entries_of(tx, question.order_by(records.c.seq.desc()).limit(1))
    return found[0] if found else None


def photos_of_entry(tx: Transaction, account: str, entry: StoredRecord) -> list[PhotoRecord]:
    """Give the photos that belong to an entry of the log, oldest first; for a photo's entry, that photo."""
    if entry.record.kind == "photo":
        return _with_arrival(tx, account, [entry])
    noted = current_of(tx, account, PHOTO, [entry.root])
    return _with_arrival(tx, account, noted[::-1])


def _with_arrival(tx: Transaction, account: str, noted: Sequence[StoredRecord]) -> list[PhotoRecord]:
    wanted = {entry.record.body["hash"] for entry in noted}
    question = select(photos.c.sent_hash).where(
        photos.c.account == account, photos.c.sent_hash.in_(sorted(wanted)[:500])
    )
    here = set(tx.execute(question).scalars()) if wanted else set()
    return [PhotoRecord(entry, entry.record.body["hash"] in here) for entry in noted]


def _photo(row: Mapping[Any, Any]) -> Photo:
    return Photo(**{name: row[name] for name in Photo.__dataclass_fields__})
