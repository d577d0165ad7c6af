"""Takes photos in: each must be the one that a record speaks of, is drawn anew, and kept once."""

import hashlib
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final, TypeGuard

from fieldlog.errors import BadInput, NotFound
from fieldlog.model.account import Account
from fieldlog.model.bounds import USUAL, Bounds
from fieldlog.model.problem import Problem
from fieldlog.model.record import StoredRecord
from fieldlog.store.blobs import Blobs
from fieldlog.store.hand_overs import photos_left
from fieldlog.store.photos import Photo, add_photo, photo_with_hash, record_of_photo
from fieldlog.store.records import hold_account
from fieldlog.store.session import Store
from fieldlog.store.sizes import assert_room_for_photo
from fieldlog.sync.pictures import Picture, drawn_anew, type_of

MOST_BYTES: Final = 12 * 1024 * 1024
TOO_LARGE: Final = "The photo has more than 12 MB; make it smaller. Its record is kept."
HANDED_OVER: Final = (
    "Its rig was handed over before the photo had arrived, so nothing is taken in for it. Save it to a file, "
    "and give that to whoever has the rig now."
)
_HASH: Final = re.compile("[0-9a-f]{64}")


def is_hash(value: Any) -> TypeGuard[str]:
    """Say whether a value is the name of a photo: the SHA-256 of its bytes, 64 hex digits."""
    return isinstance(value, str) and _HASH.fullmatch(value) is not None


@dataclass(frozen=True)
class PhotoReceipt:
    """What became of a photo that was sent."""

    hash: str
    status: str
    problems: tuple[Problem, ...] = ()

    def as_json(self) -> dict[str, Any]:
        """Give the receipt as the API shows it."""
        return {
            "hash": self.hash,
            "status": self.status,
            "problems": [problem.as_json() for problem in self.problems],
        }


@dataclass(frozen=True)
class PhotoInbox:
    """Where an account's photos arrive."""

    store: Store
    blobs: Blobs
    account: Account
    bounds: Bounds = USUAL

    def receive(self, sent_hash: str, content: bytes, received_at: datetime) -> PhotoReceipt:
        """Keep a photo under the hash that it was sent by, and answer what became of it."""
        with self.store.reading() as tx:
            noted = record_of_photo(tx, self.account.id, sent_hash)
            known = photo_with_hash(tx, self.account.id, sent_hash)
        elsewhere = self.handed_over(sent_hash) if noted is None else None
        if elsewhere is not None:
            return elsewhere
        problems = tuple(_problems(sent_hash, content, noted))
        if problems:
            return PhotoReceipt(sent_hash, "refused", problems)
        if known is not None:
            return PhotoReceipt(sent_hash, "known")
        try:
            picture = drawn_anew(content)
        except BadInput as error:
            return PhotoReceipt(sent_hash, "refused", error.problems)
        return PhotoReceipt(sent_hash, self.keep_drawn(sent_hash, picture, received_at))

    def handed_over(self, sent_hash: str) -> PhotoReceipt | None:
        """Say what becomes of a photo of a rig that the account handed over; None where it is none."""
        with self.store.reading() as tx:
            is_here = photos_left(tx, self.account.id).get(sent_hash)
        if is_here is None:
            return None
        if is_here:
            return PhotoReceipt(sent_hash, "known")
        return PhotoReceipt(sent_hash, "refused", (Problem("/hash", HANDED_OVER),))

    def keep_drawn(self, sent_hash: str, picture: Picture, received_at: datetime) -> str:
        """Keep what was drawn of a photo, and say whether it was known; raise NoRoom where there is none."""
        size = len(picture.content)
        with self.store.reading() as tx:
            assert_room_for_photo(tx, self.blobs, self.account.id, size, self.bounds)
        kept_hash = self.blobs.keep(picture.content)
        photo = Photo(
            sent_hash=sent_hash,
            kept_hash=kept_hash,
            bytes=size,
            width=picture.width,
            height=picture.height,
            received_at=received_at,
        )
        with self.store.writing() as tx:
            hold_account(tx, self.account.id)
            if photo_with_hash(tx, self.account.id, sent_hash) is not None:
                return "known"
            # Again: an account that had the same picture may have been removed since.
            self.blobs.keep(picture.content)
            add_photo(tx, self.account.id, photo)
            return "stored"

    def picture(self, sent_hash: str) -> bytes:
        """Give what is kept of a photo of the account."""
        with self.store.reading() as tx:
            photo = photo_with_hash(tx, self.account.id, sent_hash)
        if photo is None:
            raise NotFound("photo")
        return self.blobs.read(photo.kept_hash)


def _problems(sent_hash: str, content: bytes, noted: StoredRecord | None) -> Iterator[Problem]:
    """Give where the bytes are not those that the record speaks of."""
    if hashlib.sha256(content).hexdigest() != sent_hash:
        yield Problem(
            "/hash", "The bytes do not have this SHA-256: the photo changed on its way. Send it again."
        )
    elif noted is None:
        yield Problem("/hash", "No record of yours speaks of this photo; send its record first.")
    elif noted.record.body["bytes"] != len(content):
        yield Problem(
            "/bytes", f"The record says {noted.record.body['bytes']} bytes, and {len(content)} came."
        )
    elif type_of(content) not in (None, noted.record.body["type"]):
        yield Problem("/type", f"The record says {noted.record.body['type']}, and another type came.")
