"""What makes a record right beyond its shape: it contradicts neither itself nor the log."""

from collections.abc import Callable, Iterator, Mapping
from datetime import datetime
from typing import Any, Final

from fieldlog.model.problem import Problem
from fieldlog.model.record import CHECK_KINDS, Record, StoredRecord
from fieldlog.store.records import record_with_id
from fieldlog.store.session import Transaction
from fieldlog.sync.reading_rules import (
    earth_is_read_with_high_impedance,
    readings_fit_the_outlet,
    values_in_range,
)
from fieldlog.sync.shape import pointer


class Log:
    """What an account has in its log, as far as a new record may speak of it."""

    def __init__(self, tx: Transaction, account: str) -> None:
        self._tx = tx
        self._account = account

    def find(self, identity: str | None) -> StoredRecord | None:
        """Give the account's record with this id, if there is one."""
        return None if identity is None else record_with_id(self._tx, self._account, identity)

    def root(self, identity: str | None) -> str | None:
        """Give the first record of the chain that an id belongs to."""
        found = self.find(identity)
        return None if found is None else found.root

    def has(self, identity: str | None, kind: str) -> bool:
        """Say whether the id is that of a record of a kind."""
        found = self.find(identity)
        return found is not None and found.record.kind == kind

    def has_thing(self, identity: str | None, kind: str, rig: str | None) -> bool:
        """Say whether the id is that of a rig or a part of a rig: the id of its first record."""
        found = self.find(identity)
        return found is not None and (found.record.kind, found.record.rig, found.root) == (
            kind,
            rig,
            identity,
        )


def problems_of_text(value: Any, at: str = "") -> Iterator[Problem]:
    """Go through every text for what cannot be kept: half characters and the character nought."""
    if isinstance(value, str):
        if "\0" in value or any("\ud800" <= c <= "\udfff" for c in value):
            yield Problem(at, "The text holds a character that is none; type it again.")
    elif isinstance(value, Mapping):
        for name, inner in value.items():
            yield from problems_of_text(name, at)
            yield from problems_of_text(inner, at + pointer([name]))
    elif isinstance(value, list):
        for i, inner in enumerate(value):
            yield from problems_of_text(inner, f"{at}/{i}")


def problems_by_itself(record: Record) -> list[Problem]:
    """Give where a record that has passed the schema contradicts itself or what can be."""
    return [problem for rule in RULES_BY_ITSELF for problem in rule(record)]


def problems_with_the_log(record: Record, log: Log) -> list[Problem]:
    """Give where a record speaks of what is not in the account's log."""
    return [problem for rule in RULES_WITH_LOG for problem in rule(record, log)]


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
    stored = log.find(record.corrects)
    if stored is None:
        yield Problem("/corrects", "The corrected record is not in your log; send it first.")
        return
    earlier = stored.record
    if earlier.kind != record.kind:
        yield Problem(
            "/kind", f"A correction keeps the kind of the record that it corrects; that was {earlier.kind}."
        )
    if earlier.rig != record.rig:
        yield Problem("/rig", "A correction keeps the rig of the record that it corrects.")
    if earlier.subject != record.subject and log.root(earlier.subject) != log.root(record.subject):
        yield Problem("/subject", "A correction keeps the subject of the record that it corrects.")


def _rig(record: Record, log: Log) -> Iterator[Problem]:
    if record.kind == "rig" and record.corrects is None:
        if record.rig != record.id:
            yield Problem("/rig", "A new rig's record has its own id as rig.")
    elif record.rig is not None and not log.has_thing(record.rig, "rig", record.rig):
        yield Problem("/rig", "This rig is not in your log; send its record first.")


def _instrument(record: Record, log: Log) -> Iterator[Problem]:
    if record.instrument is not None and not log.has(record.instrument, "instrument"):
        yield Problem(
            "/instrument", "This instrument is not in your log; send its record first, or put null."
        )


# What the subject of a record is, where it is a part of the rig.
SUBJECTS: Final[Mapping[str, str]] = {"outlet-test": "outlet", "trip-test": "device"}


def _subject(record: Record, log: Log) -> Iterator[Problem]:
    kind = SUBJECTS.get(record.kind)
    if kind is not None and not log.has_thing(record.subject, kind, record.rig):
        yield Problem(
            "/subject", f"The subject is not the id of {_a(kind)} of this rig; send its record first."
        )
    if record.kind == "plug-in" and not log.has(record.subject, "arrival-check"):
        yield Problem("/subject", "The subject is not an arrival check of yours; send its record first.")


def _a(kind: str) -> str:
    return f"{'an' if kind[0] in 'aeiou' else 'a'} {kind}"


def _place_of_outlet(record: Record) -> Iterator[Problem]:
    if record.kind == "outlet-test" and record.body["check"].get("where") != "rig":
        yield Problem("/body/check/where", "An outlet test is made at the rig; where has to be rig.")


def _made(record: Record) -> Iterator[Problem]:
    made, installed = record.body.get("made"), record.body.get("installed")
    if record.kind == "device" and made and installed and made > installed:
        yield Problem(
            "/body/made", f"It was installed in {installed} and cannot be made later; correct one of them."
        )


def _time_to_trip(record: Record) -> Iterator[Problem]:
    if record.kind == "trip-test" and "milliseconds" in record.body and record.body["tripped"] is not True:
        yield Problem("/body/milliseconds", "What did not trip has no time to trip; correct one of the two.")


def _not_tested(record: Record) -> Iterator[Problem]:
    done = set(_steps_done(record))
    for i, step in enumerate(record.body.get("not_tested", ())):
        if step in done:
            yield Problem(
                f"/body/not_tested/{i}", f"{step} has a result and is listed as not tested; keep one of them."
            )


def _steps_done(record: Record) -> Iterator[str]:
    body = record.body
    if record.kind in CHECK_KINDS:
        check = body["check"]
        yield from (f"{group}.{pair}" for group in ("volts", "lamps") for pair in check.get(group, ()))
        yield from (member for member in ("look", "loaded", "near", "continuity", "trip") if member in check)
        if body["ready"]["meter_proved"]:
            yield "meter_proved"
    else:
        yield from (
            name for name in ("skin", "inside", "tripped", "face_dead", "reset") if body.get(name) is not None
        )
        if body.get("dead") or body.get("live"):
            yield "outlets"


def _outlets_of_trip(record: Record, log: Log) -> Iterator[Problem]:
    if record.kind != "trip-test":
        return
    for side in ("dead", "live"):
        for i, outlet in enumerate(record.body[side]):
            if not log.has_thing(outlet, "outlet", record.rig):
                yield Problem(
                    f"/body/{side}/{i}", "This outlet is not one of this rig; send its record first."
                )
            elif side == "live" and outlet in record.body["dead"]:
                yield Problem(
                    f"/body/live/{i}", "This outlet is listed as dead and as live; keep one of them."
                )


def _guard(record: Record, log: Log) -> Iterator[Problem]:
    guard = record.body.get("guard") if record.kind == "outlet" else None
    if guard is not None and not log.has_thing(guard, "device", record.rig):
        yield Problem(
            "/body/guard", "This device is not one of this rig; send its record first, or put null."
        )


RULES_BY_ITSELF: tuple[Callable[[Record], Iterator[Problem]], ...] = (
    _time,
    _reason,
    values_in_range,
    readings_fit_the_outlet,
    earth_is_read_with_high_impedance,
    _place_of_outlet,
    _made,
    _time_to_trip,
    _not_tested,
)
RULES_WITH_LOG: tuple[Callable[[Record, Log], Iterator[Problem]], ...] = (
    _correction,
    _rig,
    _instrument,
    _subject,
    _outlets_of_trip,
    _guard,
)
