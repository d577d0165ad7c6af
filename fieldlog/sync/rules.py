"""What makes a record right beyond its shape: it contradicts neither itself nor the log."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from datetime import datetime
from typing import Any, Final

from fieldlog.model.problem import Problem
from fieldlog.model.record import CHECK_KINDS, Record, shows_skin
from fieldlog.store.records import Place, places, record_with_id
from fieldlog.store.session import Transaction
from fieldlog.sync import rig_rules, set_rules
from fieldlog.sync.reading_rules import (
    earth_is_read_with_high_impedance,
    readings_fit_the_outlet,
    values_in_range,
)
from fieldlog.sync.shape import pointer


class Log:
    """What an account has in its log, as far as the new records may speak of it."""

    def __init__(self, tx: Transaction, account: str, mentioned: Iterable[str] = ()) -> None:
        self._tx = tx
        self._account = account
        self._added: dict[str, Record] = {}
        looked_up = set(mentioned)
        self._places: dict[str, Place | None] = {**dict.fromkeys(looked_up), **places(tx, account, looked_up)}

    def add(self, record: Record, place: Place) -> None:
        """Take note of a record that is about to be kept, so that later ones may speak of it."""
        self._added[place.id] = record
        self._places[place.id] = place

    def find(self, identity: str | None) -> Place | None:
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


def _photo(record: Record, log: Log) -> Iterator[Problem]:
    """Hold a photo against the record it belongs to; a correction may only word otherwise what it shows."""
    if record.kind != "photo":
        return
    about = log.find(record.subject)
    if about is None or about.root != record.subject or about.kind == "photo":
        yield Problem("/subject", "The subject is not the first of a record of yours; send its record first.")
    elif about.rig != record.rig:
        yield Problem("/rig", "A photo has the rig of the record that it belongs to.")
    earlier = log.record(record.corrects)
    if earlier is not None and _without_words(earlier) != _without_words(record):
        yield Problem("/body", "A correction keeps the photo; only what it shows can be worded otherwise.")


def _without_words(record: Record) -> dict[str, Any]:
    return {**record.body, "what": ""}


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
        for trip in check.get("trip", ()):
            if trip.get("device", "this") == "this":
                yield from (answer for answer in ("tripped", "face_dead", "reset") if answer in trip)
        if body["ready"]["meter_proved"]:
            yield "meter_proved"
    else:
        yield from (
            name for name in ("inside", "tripped", "face_dead", "reset") if body.get(name) is not None
        )
        if shows_skin(body.get("skin")):
            yield "skin"
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
    _settled,
    values_in_range,
    readings_fit_the_outlet,
    earth_is_read_with_high_impedance,
    _place_of_outlet,
    _made,
    _time_to_trip,
    _not_tested,
    *rig_rules.BY_ITSELF,
    *set_rules.BY_ITSELF,
)
RULES_WITH_LOG: tuple[Callable[[Record, Log], Iterator[Problem]], ...] = (
    _correction,
    _settled_chain,
    _rig,
    _instrument,
    _subject,
    _photo,
    _outlets_of_trip,
    _guard,
    *rig_rules.WITH_LOG,
    *set_rules.WITH_LOG,
)
