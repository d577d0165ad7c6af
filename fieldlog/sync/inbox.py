"""Takes records in: each is checked, all good ones are kept in one transaction, every one gets a receipt."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from fieldlog.errors import FieldlogError
from fieldlog.model.account import Account
from fieldlog.model.canonical import sha256_hex
from fieldlog.model.identity import is_identity
from fieldlog.model.problem import Problem
from fieldlog.model.record import Flag, Record
from fieldlog.model.rulebook import Rulebook
from fieldlog.store.records import append, hold_account, what_is_known
from fieldlog.store.session import Store, Transaction
from fieldlog.sync.judging import flags_of
from fieldlog.sync.rules import Log, problems_by_itself, problems_of_text, problems_with_the_log
from fieldlog.sync.shape import problems_of_shape

TAKEN = "Another record has this id already and is kept; make a correction with an id of its own."


@dataclass(frozen=True)
class Receipt:
    """What became of a record that was sent."""

    id: str | None
    status: str
    seq: int | None = None
    hash: str | None = None
    problems: tuple[Problem, ...] = ()

    def as_json(self) -> dict[str, Any]:
        """Give the receipt as the records API shows it."""
        problems = [p.as_json() for p in self.problems]
        return {
            "id": self.id,
            "seq": self.seq,
            "hash": self.hash,
            "status": self.status,
            "problems": problems,
        }


@dataclass(frozen=True)
class Inbox:
    """Where an account's records arrive."""

    store: Store
    rulebook: Rulebook | FieldlogError
    account: Account

    def receive(self, sent: Sequence[Any], received_at: datetime) -> list[Receipt]:
        """Keep what is right of a batch, in its order, and answer every record of it."""
        opened = [self._open(value, received_at) for value in sent]
        with self.store.writing() as tx:
            hold_account(tx, self.account.id)
            return [self._take(tx, letter, received_at) for letter in opened]

    def _open(self, value: Any, received_at: datetime) -> "_Letter":
        """Check and judge a record by itself, while nobody waits for the right to write."""
        problems = list(problems_of_text(value))
        if problems:
            return _Letter(value, None, problems=problems)
        problems = problems_of_shape(value)
        record = None if problems else Record.from_json(value)
        if record is not None:
            problems = problems_by_itself(record)
        noticed = [] if record is None or problems else list(flags_of(record, self.rulebook, received_at))
        return _Letter(value, sha256_hex(value), record, problems, noticed)

    def _take(self, tx: Transaction, letter: "_Letter", received_at: datetime) -> Receipt:
        known = what_is_known(tx, letter.id) if letter.id else None
        if known is not None:
            if known.account == self.account.id and known.hash == letter.hash:
                return Receipt(letter.id, "known", known.seq, known.hash)
            return letter.refused([Problem("/id", TAKEN)])
        problems = letter.problems
        if letter.record is not None and not problems:
            problems = problems_with_the_log(letter.record, Log(tx, self.account.id))
        if letter.record is None or problems:
            return letter.refused(problems)
        stored = append(tx, self.account.id, letter.record, received_at=received_at, noticed=letter.noticed)
        return Receipt(letter.id, "stored", stored.seq, stored.hash)


@dataclass(frozen=True)
class _Letter:
    """A record as it was sent, opened."""

    value: Any
    hash: str | None
    record: Record | None = None
    problems: Sequence[Problem] = ()
    noticed: Sequence[Flag] = ()

    @property
    def id(self) -> str | None:
        given = self.value.get("id") if isinstance(self.value, Mapping) else None
        return given if isinstance(given, str) and is_identity(given) else None

    def refused(self, problems: Sequence[Problem]) -> Receipt:
        return Receipt(self.id, "refused", problems=tuple(problems))
