"""An account's log as a file, and back: the form in which a phone writes what it holds.

The file is one JSON object: what, version, made_at, account, records (each after what it speaks of) and
photos, whose bytes are base64. A phone's photo has the hash of its bytes. What the server keeps was drawn
anew: such a photo names in `kept` the hash of the bytes in the file.
"""

import base64
import hashlib
import json
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, Final

from fieldlog.errors import BadInput, FieldlogError
from fieldlog.model.account import Account
from fieldlog.model.identity import UUID_PATTERN
from fieldlog.model.problem import Problem
from fieldlog.store.blobs import Blobs
from fieldlog.store.log import assert_logs_hold
from fieldlog.store.photos import Photo, photo_with_hash, photos_of_account, record_of_photo
from fieldlog.store.records import records_after
from fieldlog.store.session import Store, Transaction
from fieldlog.sync.inbox import Inbox, Receipt
from fieldlog.sync.photos import MOST_BYTES, TOO_LARGE, PhotoInbox, PhotoReceipt, is_hash
from fieldlog.sync.pictures import drawn_anew

WHAT: Final = "fieldlog phone export"
VERSION: Final = 1
BATCH: Final = 100
MOST_WRITTEN: Final = -(-MOST_BYTES // 3) * 4  # signs of base64 (RFC 4648, 4): four for three bytes
_ID: Final = re.compile(UUID_PATTERN.pattern.strip("^$"))
NOT_WHOLE: Final = "The bytes of the photo are not in the file; it was not copied whole."
CHANGED: Final = "The bytes do not have the SHA-256 that the file names; the photo is damaged."


@dataclass
class FileReceipt:
    """What became of a file: how many records and photos were stored or known, and what was refused why."""

    stored: int = 0
    known: int = 0
    refused: list[str] = field(default_factory=list)

    def count(self, status: str, what: str, problems: Sequence[Problem]) -> None:
        """Count one answer; a refused one is kept as a sentence."""
        if status == "stored":
            self.stored += 1
        elif status == "known":
            self.known += 1
        else:
            told = " ".join(f"{problem.at} {problem.problem}".strip() for problem in problems)
            self.refused.append(f"{what}: {told}")


def written(store: Store, blobs: Blobs, account: Account, made_at: datetime) -> Iterator[str]:
    """Give the file with all that an account has, piece by piece; it is as the log stood at one moment."""
    head = {
        "what": WHAT,
        "version": VERSION,
        "made_at": made_at.isoformat(timespec="milliseconds"),
        "account": account.name,
    }
    with store.reading() as tx:
        assert_logs_hold(tx, account.id)
        yield json.dumps(head, ensure_ascii=False)[:-1]
        yield from _list_of("records", _records(tx, account))
        yield from _list_of(
            "photos", (_photo_out(photo, blobs) for photo in photos_of_account(tx, account.id))
        )
        yield "}\n"


def read_in(
    file: Any, inbox: Inbox, photo_inbox: PhotoInbox, now: datetime
) -> tuple[FileReceipt, FileReceipt]:
    """Take in what is right of a file, records first, then photos; doing it twice changes nothing."""
    records, photos = _members(file)
    of_records, of_photos = FileReceipt(), FileReceipt()
    for place, receipt in enumerate(_hand_in(records, inbox, now), start=1):
        of_records.count(receipt.status, f"Record {place} ({receipt.id or 'no id'})", receipt.problems)
    for place, photo in enumerate(photos, start=1):
        answer = _take_photo(photo, photo_inbox, now)
        of_photos.count(answer.status, f"Photo {place} ({answer.hash or 'no hash'})", answer.problems)
    return of_records, of_photos


def _list_of(name: str, values: Iterator[Mapping[str, Any]]) -> Iterator[str]:
    yield f', "{name}": ['
    for place, value in enumerate(values):
        yield ("" if place == 0 else ",") + "\n" + json.dumps(value, ensure_ascii=False)
    yield "]"


def _records(tx: Transaction, account: Account) -> Iterator[Mapping[str, Any]]:
    after = 0
    while page := records_after(tx, account.id, after, BATCH):
        yield from (entry.record.as_json() for entry in page)
        after = page[-1].seq


def _photo_out(photo: Photo, blobs: Blobs) -> Mapping[str, Any]:
    content = blobs.read(photo.kept_hash)
    return {
        "hash": photo.sent_hash,
        "kept": photo.kept_hash,
        "type": "image/jpeg",
        "width": photo.width,
        "height": photo.height,
        "bytes": len(content),
        "data": base64.b64encode(content).decode(),
    }


def _members(file: Any) -> tuple[list[Any], list[Any]]:
    if not isinstance(file, Mapping) or file.get("what") != WHAT:
        raise BadInput([Problem("/what", "This is not a file that a phone or fieldlog export wrote.")])
    if file.get("version") != VERSION:
        told = json.dumps(file.get("version"))[:40]
        sentence = f"This file is of version {told}; this program reads version {VERSION}."
        raise BadInput([Problem("/version", sentence)])
    records, photos = file.get("records"), file.get("photos", [])
    if not isinstance(records, list) or not isinstance(photos, list):
        raise BadInput([Problem("/records", "The file has no list of records; it was not copied whole.")])
    return records, photos


def _hand_in(records: Sequence[Any], inbox: Inbox, now: datetime) -> list[Receipt]:
    """Hand the records in, each after what it speaks of; those that speak of each other are tried twice."""
    receipts: dict[int, Receipt] = {}
    left = _places_in_order(records)
    for _ in range(2):
        for start in range(0, len(left), BATCH):
            some = left[start : start + BATCH]
            receipts |= zip(some, inbox.receive([records[place] for place in some], now), strict=True)
        left = [place for place in left if receipts[place].status == "refused"]
    return [receipts[place] for place in range(len(records))]


def _places_in_order(records: Sequence[Any]) -> list[int]:
    """Give the places of the records as they stand, but each after those whose ids are in it.

    Trying again what is refused would do as well, but for a long chain the wrong way round it takes a turn a
    record.
    """
    texts = [json.dumps(record) for record in records]
    ids = [record.get("id") if isinstance(record, Mapping) else None for record in records]
    # Where an id stands twice, the first has it.
    places = {each: place for place, each in reversed(list(enumerate(ids))) if isinstance(each, str)}
    opened: set[int] = set()
    order: dict[int, None] = {}
    for start in range(len(records)):
        stack = [start]
        while stack:
            place = stack[-1]
            if place in opened:
                order.setdefault(stack.pop())
                continue
            opened.add(place)
            named = set(_ID.findall(texts[place]))
            wanted = [places[each] for each in named if places.get(each, place) not in opened]
            stack += sorted(wanted, reverse=True)
    return list(order)


def _take_photo(photo: Any, inbox: PhotoInbox, now: datetime) -> PhotoReceipt:
    named = photo.get("hash") if isinstance(photo, Mapping) else None
    if not is_hash(named):
        return _refused(
            "", "The photo does not name the SHA-256 of its bytes, 64 hex digits; it is left out."
        )
    try:
        content = _content(photo)
        if "kept" not in photo:
            return inbox.receive(named, content, now)
        if hashlib.sha256(content).hexdigest() != photo["kept"]:
            raise BadInput([Problem("", CHANGED)])
        return PhotoReceipt(named, _keep_drawn(named, content, inbox, now))
    except BadInput as error:
        return PhotoReceipt(named, "refused", tuple(error.problems))
    except FieldlogError as error:
        return _refused(named, str(error))


def _content(photo: Mapping[str, Any]) -> bytes:
    written = photo.get("data")
    if not isinstance(written, str) or not written:
        raise BadInput([Problem("/data", NOT_WHOLE)])
    if len(written) > MOST_WRITTEN:
        raise BadInput([Problem("/data", TOO_LARGE)])
    try:
        return base64.b64decode(written, validate=True)
    except ValueError as error:
        raise BadInput([Problem("/data", NOT_WHOLE)]) from error


def _keep_drawn(sent_hash: str, content: bytes, inbox: PhotoInbox, now: datetime) -> str:
    """Keep a picture that a server drew from what a phone sent; it is drawn again, whoever wrote the file."""
    account = inbox.account.id
    with inbox.store.reading() as tx:
        if photo_with_hash(tx, account, sent_hash) is not None:
            return "known"
        if record_of_photo(tx, account, sent_hash) is None:
            raise BadInput([Problem("/hash", "No record of this account speaks of the photo.")])
    return inbox.keep_drawn(sent_hash, drawn_anew(content), now)


def _refused(named: str, sentence: str) -> PhotoReceipt:
    return PhotoReceipt(named, "refused", (Problem("", sentence),))
