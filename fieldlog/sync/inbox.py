"""Takes records in: each is checked, all good ones are kept in one transaction, every one gets a receipt."""

import hashlib
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property
from typing import Any, Final, Self

from fieldlog.errors import FieldlogError
from fieldlog.model.account import Account
from fieldlog.model.bounds import USUAL, Bounds
from fieldlog.model.canonical import canonical
from fieldlog.model.hand_over import HandOver
from fieldlog.model.identity import UUID_PATTERN, is_identity
from fieldlog.model.problem import Problem
from fieldlog.model.record import Flag, Record
from fieldlog.model.rulebook import Rulebook
from fieldlog.store.hand_overs import left_logs, moved_places
from fieldlog.store.records import Addition, IdEntry, LogPlace, append, hold_account, places
from fieldlog.store.session import Store, Transaction
from fieldlog.store.sizes import take_records
from fieldlog.sync.judging import SendingTimes, flags_of
from fieldlog.sync.rules import Log, problems_by_itself, problems_of_text, problems_with_the_log
from fieldlog.sync.shape import first_of, problems_of_shape

TAKEN: Final = "Another record has this id already and is kept; make a correction with an id of its own."
HANDED_OVER: Final = (
    "“{name}” was handed over on {day} and has another owner here, so nothing more is taken in for it. "
    "Save this to a file, and give that to them if it belongs to the rig."
)
_IDENTITY: Final = re.compile(f'"({UUID_PATTERN.pattern.strip("^$")})"'.encode())


@dataclass(frozen=True)
class Receipt:
    """What became of a record that was sent."""

    id: str | None
    status: str
    seq: int | None = None
    hash: str | None = None
    problems: tuple[Problem, ...] = ()
    log: str | None = None
    position: int | None = None
    head: str | None = None

    def as_json(self, *, placed: bool = False) -> dict[str, Any]:
        """Give the receipt as the records API shows it, on demand with the record's place in its log."""
        problems = [p.as_json() for p in self.problems]
        place = {"log": self.log, "position": self.position, "head": self.head} if placed else {}
        return {
            "id": self.id,
            "seq": self.seq,
            "hash": self.hash,
            "status": self.status,
            "problems": problems,
            **place,
        }


@dataclass(frozen=True)
class Inbox:
    """Where an account's records arrive; of a log that is taken over the instruments stayed elsewhere."""

    store: Store
    rulebook: Rulebook | FieldlogError
    account: Account
    bounds: Bounds = USUAL
    instruments_stayed: bool = False

    def receive(
        self, sent: Sequence[Any], received_at: datetime, sent_at: datetime | None = None
    ) -> list[Receipt]:
        """Keep what is right of a batch, in its order, and answer every record of it.

        sent_at is the time by the clock of whoever sends it.
        """
        arrival = SendingTimes(received_at, sent_at)
        letters = self._opened(sent, arrival)
        with self.store.writing() as tx:
            hold_account(tx, self.account.id)
            stayed = self.instruments_stayed
            log = Log(tx, self.account.id, _mentioned(letters), instruments_stayed=stayed)
            receipts, taken = self._sort(letters, log, Left.of(tx, self.account.id, letters), arrival)
            take_records(tx, self.store, self.account.id, [each.text for each in taken], self.bounds)
            kept = append(
                tx,
                self.account.id,
                taken,
                received_at=received_at,
                clock_offset_ms=arrival.clock_offset_ms,
            )
        return [_placed(receipt, kept) for receipt in receipts]

    def _opened(self, sent: Sequence[Any], arrival: SendingTimes) -> list["_Letter"]:
        """Check and judge each by itself, while nobody waits for the right to write.

        What the log holds already stays closed: a phone that was not told sends hundreds of them again.
        """
        letters = [_Letter(value, _text_of(value)) for value in sent]
        with self.store.reading() as tx:
            known = places(tx, self.account.id, {letter.id for letter in letters if letter.id})
        return [
            letter if _is_known(letter, known.get(letter.id or "")) else self._open(letter, arrival)
            for letter in letters
        ]

    def _open(self, letter: "_Letter", arrival: SendingTimes) -> "_Letter":
        value, text = letter.value, letter.text
        record, problems = _opened(value, text)
        noticed = [] if record is None or problems else list(flags_of(record, self.rulebook, arrival))
        return _Letter(value, text, record, problems, noticed)

    def _sort(
        self, letters: Sequence["_Letter"], log: Log, left: "Left", arrival: SendingTimes
    ) -> tuple[list[Receipt], list[Addition]]:
        """Hold each letter against the log and the letters before it, and give what is to be kept of them."""
        receipts, taken = [], []
        for each in letters:
            # One that was known goes with its account, should that be removed in between.
            is_gone = each.is_closed and log.find(each.id) is None
            letter = self._open(each, arrival) if is_gone else each
            receipt = left.answer(letter) or self._answer(letter, log)
            receipts.append(receipt)
            if receipt.status == "stored" and letter.record is not None:
                addition = letter.addition(log.root(letter.record.corrects))
                log.add(letter.record, _place(addition))
                taken.append(addition)
        return receipts, taken

    def _answer(self, letter: "_Letter", log: Log) -> Receipt:
        known = log.find(letter.id)
        if known is not None:
            if known.hash == letter.hash:
                receipt = Receipt(letter.id, "known", known.seq, known.hash)
                return replace(receipt, log=known.log, position=known.position, head=known.head)
            return letter.refused([Problem("/id", TAKEN)])
        problems = letter.problems
        if letter.record is not None and not problems:
            problems = problems_with_the_log(letter.record, log)
        if letter.record is None or problems:
            return letter.refused(problems)
        return Receipt(letter.id, "stored", hash=letter.hash)


@dataclass(frozen=True)
class Left:
    """The rigs that an account handed over, and where those of the records lie that were sent again."""

    logs: Mapping[str, HandOver]
    places: Mapping[str, Any]

    @classmethod
    def of(cls, tx: Transaction, account: str, letters: Sequence["_Letter"]) -> Self:
        """Look up what the letters ask."""
        left = left_logs(tx, account)
        moved = moved_places(tx, left, [each.id for each in letters if each.id])
        return cls(left, {row.id: row for row in moved})

    def answer(self, letter: "_Letter") -> Receipt | None:
        """Answer what belongs to a rig that was handed over; None for all else."""
        rig = letter.value.get("rig") if isinstance(letter.value, Mapping) else None
        offer = self.logs.get(rig) if isinstance(rig, str) else None
        if offer is None or offer.taken_at is None:
            return None
        place = self.places.get(letter.id or "")
        if place is not None and place.hash == letter.hash:
            return Receipt(
                place.id, "known", place.seq, place.hash, (), place.log, place.position, place.head
            )
        told = HANDED_OVER.format(name=offer.name, day=f"{offer.taken_at:%Y-%m-%d}")
        return letter.refused([Problem("/rig", told)])


def wrong_with(sent: Any) -> Sequence[Problem]:
    """Give what is wrong with a record by itself, as the inbox would refuse it."""
    return _opened(sent, _text_of(sent))[1]


def _opened(value: Any, text: bytes | None) -> tuple[Record | None, Sequence[Problem]]:
    """Give what was sent as a record, where it has the shape of one, and what is wrong with it by itself.

    text is its canonical form, None where a character in it is none.
    """
    # Half a character cannot be written, nought is written so; all other texts can be kept.
    problems = first_of(problems_of_text(value)) if text is None or b"\\u0000" in text else []
    problems = problems or problems_of_shape(value)
    record = None if problems else Record.from_json(value)
    return record, problems_by_itself(record) if record else problems


@dataclass(frozen=True)
class _Letter:
    """A record as it was sent, opened."""

    value: Any
    text: bytes | None
    record: Record | None = None
    problems: Sequence[Problem] = ()
    noticed: Sequence[Flag] = ()

    @property
    def is_closed(self) -> bool:
        """Whether it was not opened yet."""
        return self.record is None and not self.problems

    @cached_property
    def hash(self) -> str:
        return hashlib.sha256(self.text or b"").hexdigest()

    @property
    def id(self) -> str | None:
        given = self.value.get("id") if isinstance(self.value, Mapping) else None
        return given if isinstance(given, str) and is_identity(given) else None

    def addition(self, root: str | None) -> Addition:
        assert self.record is not None and self.text is not None, "only a record is kept"
        return Addition(self.record, self.text, self.hash, root or self.record.id, self.noticed)

    def refused(self, problems: Sequence[Problem]) -> Receipt:
        return Receipt(self.id, "refused", problems=tuple(first_of(problems)))


def _is_known(letter: _Letter, place: IdEntry | None) -> bool:
    return place is not None and letter.text is not None and place.hash == letter.hash


def _text_of(value: Any) -> bytes | None:
    """Give the canonical text, None where a character in it is none."""
    try:
        return canonical(value)
    except ValueError:
        if any(problems_of_text(value)):
            return None
        raise


def _mentioned(letters: Iterable[_Letter]) -> set[str]:
    """Give every id that the letters speak of, so that the log is asked once."""
    return {found.decode() for letter in letters for found in _IDENTITY.findall(letter.text or b"")}


def _place(addition: Addition) -> IdEntry:
    record = addition.record
    return IdEntry(record.id, None, addition.hash, record.kind, record.rig, record.subject, addition.root)


def _placed(receipt: Receipt, kept: Mapping[str, LogPlace]) -> Receipt:
    """Fill in where that lies which was kept in this batch."""
    found = None if receipt.status == "refused" or receipt.id is None else kept.get(receipt.id)
    return receipt if found is None else replace(receipt, **found._asdict())
