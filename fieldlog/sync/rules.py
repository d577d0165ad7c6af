"""What makes a record right beyond its shape: it contradicts neither itself nor the log."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import datetime
from typing import Any

from fieldlog.kinds import kind_of
from fieldlog.model.problem import Problem
from fieldlog.model.record import Record
from fieldlog.store.records import IdEntry, places, record_with_id
from fieldlog.store.session import Transaction
from fieldlog.sync.shape import pointer


class Log:
    """What an account has in its log, as far as the new records may speak of it.

    The instruments that a log speaks of that is taken over stayed with who had it.
    """

    def __init__(
        self,
        tx: Transaction,
        account: str,
        mentioned: Iterable[str] = (),
        *,
        instruments_stayed: bool = False,
    ) -> None:
        self._tx = tx
        self.instruments_stayed = instruments_stayed
        self._account = account
        self._added: dict[str, Record] = {}
        looked_up = set(mentioned)
        self._places: dict[str, IdEntry | None] = {
            **dict.fromkeys(looked_up),
            **places(tx, account, looked_up),
        }

    def add(self, record: Record, place: IdEntry) -> None:
        """Take note of a record that is about to be kept, so that later ones may speak of it."""
        self._added[place.id] = record
        self._places[place.id] = place

    def find(self, identity: str | None) -> IdEntry | None:
        """Give what is known of the account's record with this id, if there is one."""
        if identity is None:
            return None
        if identity not in self._places:
            self._places[identity] = places(self._tx, self._account, [identity]).get(identity)
        return self._places[identity]

    def record(self, identity: str | None) -> Record | None:
        """Give the account's record with this id as it was sent, if there is one."""
        if identity is None or self.find(identity) is None:
            return None
        if identity in self._added:
            return self._added[identity]
        stored = record_with_id(self._tx, self._account, identity)
        return None if stored is None else stored.record

    def root(self, identity: str | None) -> str | None:
        """Give the first record of the chain that an id belongs to."""
        found = self.find(identity)
        return None if found is None else found.root

    def has(self, identity: str | None, kind: str) -> bool:
        """Say whether the id is that of a record of a kind."""
        found = self.find(identity)
        return found is not None and found.kind == kind

    def has_thing(self, identity: str | None, kind: str, rig: str | None) -> bool:
        """Say whether the id is that of a rig or a part of a rig: the id of its first record."""
        found = self.find(identity)
        return found is not None and (found.kind, found.rig, found.root) == (kind, rig, identity)

    def is_of(self, identity: str | None, kind: str, rig: str | None) -> bool:
        """Say whether the id is that of any record of a kind that belongs to a rig, a correction too."""
        found = self.find(identity)
        return found is not None and (found.kind, found.rig) == (kind, rig)


def problems_of_text(value: Any, steps: tuple[str | int, ...] = ()) -> Iterator[Problem]:
    """Go through every text for what cannot be kept: half characters and the character nought."""
    if isinstance(value, str):
        if "\0" in value or any("\ud800" <= c <= "\udfff" for c in value):
            # Only here is the place written: a long name above a long list would be written for each entry.
            yield Problem(pointer(steps), "The text holds a character that is none; type it again.")
    elif isinstance(value, Mapping):
        for name, inner in value.items():
            yield from problems_of_text(name, steps)
            yield from problems_of_text(inner, (*steps, name))
    elif isinstance(value, list):
        for i, inner in enumerate(value):
            yield from problems_of_text(inner, (*steps, i))


def problems_by_itself(record: Record) -> list[Problem]:
    """Give where a record that has passed the schema contradicts itself or what can be."""
    return [problem for rule in (*RULES_BY_ITSELF, *kind_of(record.kind).rules) for problem in rule(record)]


def problems_with_the_log(record: Record, log: Log) -> list[Problem]:
    """Give where a record speaks of what is not in the account's log."""
    rules = (*RULES_WITH_LOG, *kind_of(record.kind).log_rules)
    return [problem for rule in rules for problem in rule(record, log)]


def _time(record: Record) -> Iterator[Problem]:
    try:
        datetime.fromisoformat(record.observed_at)
    except ValueError:
        yield Problem("/observed_at", f"There is no such day as in {record.observed_at}; correct the date.")


def _reason(record: Record) -> Iterator[Problem]:
    if record.corrects is None and record.reason is not None:
        yield Problem("/reason", "There is a reason but nothing is corrected; name the record in corrects.")
    if record.corrects is not None and record.reason is None:
        yield Problem("/reason", "Say why the record is corrected.")


def _correction(record: Record, log: Log) -> Iterator[Problem]:
    if record.corrects is None:
        return
    earlier = log.find(record.corrects)
    if earlier is None:
        yield Problem("/corrects", "The corrected record is not in your log; send it first.")
        return
    if earlier.kind != record.kind:
        yield Problem(
            "/kind", f"A correction keeps the kind of the record that it corrects; that was {earlier.kind}."
        )
    if earlier.rig != record.rig:
        yield Problem("/rig", "A correction keeps the rig of the record that it corrects.")
    if earlier.subject != record.subject and log.root(earlier.subject) != log.root(record.subject):
        yield Problem("/subject", "A correction keeps the subject of the record that it corrects.")


def _settled(record: Record) -> Iterator[Problem]:
    if record.corrects is None and record.also_corrects:
        yield Problem(
            "/also_corrects", "Name one of the corrected records in corrects, and only the others here."
        )
    for i, identity in enumerate(record.also_corrects or ()):
        if identity == record.corrects:
            yield Problem(f"/also_corrects/{i}", "This record stands in corrects already; name it once.")


def _settled_chain(record: Record, log: Log) -> Iterator[Problem]:
    for i, identity in enumerate(record.also_corrects or ()):
        if log.find(identity) is None:
            yield Problem(f"/also_corrects/{i}", "This correction is not in your log; send it first.")
        elif log.root(identity) != log.root(record.corrects):
            yield Problem(
                f"/also_corrects/{i}",
                "This is not a version of the record that is corrected; name only versions of the same one.",
            )


def _rig(record: Record, log: Log) -> Iterator[Problem]:
    if kind_of(record.kind).begins_a_rig and record.corrects is None:
        if record.rig != record.id:
            yield Problem("/rig", "A new rig's record has its own id as rig.")
    elif record.rig is not None and not log.has_thing(record.rig, "rig", record.rig):
        yield Problem("/rig", "This rig is not in your log; send its record first.")


def _instrument(record: Record, log: Log) -> Iterator[Problem]:
    if log.instruments_stayed:
        return
    if record.instrument is not None and not log.has(record.instrument, "instrument"):
        yield Problem(
            "/instrument", "This instrument is not in your log; send its record first, or put null."
        )


RULES_BY_ITSELF: tuple[Callable[[Record], Iterator[Problem]], ...] = (_time, _reason, _settled)
RULES_WITH_LOG: tuple[Callable[[Record, Log], Iterator[Problem]], ...] = (
    _correction,
    _settled_chain,
    _rig,
    _instrument,
)
