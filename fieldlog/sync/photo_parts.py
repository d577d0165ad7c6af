"""Takes a photo in by parts that fit a slow line; what is here stays, whoever breaks off."""

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any, Final

from fieldlog.errors import NotFound
from fieldlog.store.photo_parts import (
    add_part,
    bytes_here,
    drop_left_parts,
    drop_parts,
    part_bytes_of,
    whole_of,
)
from fieldlog.store.photos import photo_with_hash, record_of_photo
from fieldlog.store.records import hold_account
from fieldlog.store.sizes import assert_room_for_photo
from fieldlog.sync.photos import MOST_BYTES, PhotoInbox, PhotoReceipt

MOST_PART_BYTES: Final = 256 * 1024
LEFT_AFTER: Final = timedelta(days=14)


@dataclass(frozen=True)
class PartReceipt:
    """What became of a part: up to which byte the photo is here now."""

    hash: str
    here: int

    def as_json(self) -> dict[str, Any]:
        """Give the receipt as the API shows it."""
        return {"hash": self.hash, "status": "partial", "here": self.here, "problems": []}


@dataclass(frozen=True)
class PartInbox:
    """Where an account's photos arrive in parts."""

    photos: PhotoInbox

    def here(self, sent_hash: str) -> PartReceipt | PhotoReceipt:
        """Say up to which byte a photo is here, or that it is here as a whole; its record comes first."""
        account = self.photos.account.id
        with self.photos.store.reading() as tx:
            if photo_with_hash(tx, account, sent_hash) is not None:
                return PhotoReceipt(sent_hash, "known")
            if record_of_photo(tx, account, sent_hash) is not None:
                return PartReceipt(sent_hash, bytes_here(tx, account, sent_hash))
        elsewhere = self.photos.handed_over(sent_hash)
        if elsewhere is None:
            raise NotFound("photo")
        return elsewhere

    def receive(
        self, sent_hash: str, start: int, content: bytes, received_at: datetime
    ) -> PartReceipt | PhotoReceipt:
        """Keep a part that begins where the others end; with the last one the photo is taken in as a whole.

        A part that begins elsewhere is left alone, and the answer says where to go on.
        """
        inbox, account = self.photos, self.photos.account.id
        with inbox.store.writing() as tx:
            hold_account(tx, account)
            if start == 0:
                drop_left_parts(tx, received_at - LEFT_AFTER)
            if photo_with_hash(tx, account, sent_hash) is not None:
                return PhotoReceipt(sent_hash, "known")
            noted = record_of_photo(tx, account, sent_hash)
            if noted is None:
                raise NotFound("photo")
            total = min(noted.record.body["bytes"], MOST_BYTES)
            here = bytes_here(tx, account, sent_hash)
            if start == here and content and here + len(content) <= total:
                more = part_bytes_of(tx, account) + len(content)
                assert_room_for_photo(tx, inbox.blobs, account, more, inbox.bounds)
                add_part(tx, account, sent_hash, start, content, received_at=received_at)
                here += len(content)
            whole = whole_of(tx, account, sent_hash) if here == total else None
        return PartReceipt(sent_hash, here) if whole is None else self._taken(sent_hash, whole, received_at)

    def _taken(self, sent_hash: str, whole: bytes, received_at: datetime) -> PhotoReceipt:
        receipt = self.photos.receive(sent_hash, whole, received_at)
        with self.photos.store.writing() as tx:
            drop_parts(tx, self.photos.account.id, sent_hash)
        return receipt
