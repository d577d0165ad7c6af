"""What makes a record of the rig's wiring right: its map can be read, and what it names is there."""

import math
from collections.abc import Callable, Iterator, Mapping
from functools import cache
from typing import Any, Final, Protocol

from fieldlog.engine.protection import map_of_body
from fieldlog.errors import BadInput
from fieldlog.model.identity import is_identity
from fieldlog.model.problem import Problem
from fieldlog.model.proving import BEYOND_THE_METER, is_good
from fieldlog.model.record import Record
from fieldlog.tables import entries

TESTS: Final = ("outlet-test", "trip-test")
SHOWN_BY: Final[Mapping[str, str]] = {
    "outlet-test": "outlet-test",
    "outlet-test-loaded": "outlet-test",
    "trip-test": "trip-test",
}
"""By what a step of a proof asks for, the kind of the record that shows it."""
STEP_RECORDS: Final[Mapping[str, str]] = {"device": "trip-test", "outlet": "outlet-test", "look": "look"}


class RigLog(Protocol):
    """What these rules ask the log."""

    def has_thing(self, identity: str | None, kind: str, rig: str | None) -> bool:
        """Say whether the id is that of a rig or a part of a rig."""

    def is_of(self, identity: str | None, kind: str, rig: str | None) -> bool:
        """Say whether the id is that of any record of a kind that belongs to a rig."""

    def record(self, identity: str | None) -> Record | None:
        """Give the account's record with this id."""


def map_can_be_read(record: Record) -> Iterator[Problem]:
    """Name every loop, second feed and run to nowhere, and every thing that stands on the map twice."""
    if record.kind != "rig-map":
        return
    try:
        map_of_body(record.body)
    except BadInput as bad:
        yield from (Problem(f"/body{each.at}", each.problem) for each in bad.problems)
    for member in ("outlet", "device"):
        yield from _twice(record.body["parts"], member)


def proof_agrees_with_itself(record: Record) -> Iterator[Problem]:
    """Hold a proof against its step: a known one, its unit, and the outcome that its value means."""
    if record.kind != "proof":
        return
    body = record.body
    rule = _steps().get(body["step"])
    if rule is None:
        yield Problem("/body/step", f"There is no step {body['step']}; name one of the steps of a proof.")
        return
    if body["outcome"] is None and not body["note"].strip():
        yield Problem("/body/note", "Say why it was not tested.")
    if body["outcome"] == "good" and "record" in rule and body["record"] is None:
        kind = SHOWN_BY[rule["record"]]
        words = (
            f"A good {body['step']} is shown by a record of the kind {kind}; name it, or put null as outcome."
        )
        yield Problem("/body/record", words)
    if body["value"] is not None:
        yield from _value_of_proof(body, rule)
    elif body["outcome"] is not None and "good" in rule:
        yield from _beyond_the_meter(body, rule)


def look_says_one_thing(record: Record) -> Iterator[Problem]:
    """Refuse a point that was looked at and is listed as not looked at."""
    if record.kind == "look":
        if "volts" in record.body and record.body["of"] != "skin":
            yield Problem("/body/volts", "Volts are noted only of the rig’s skin; take them out.")
        if "ends" in record.body and record.body["of"] != "alarms":
            yield Problem("/body/ends", "Ends are noted only with the alarms; take them out.")
        for i, point in enumerate(record.body["not_tested"]):
            if point in record.body["points"]:
                words = f"{point} has a result and is listed as not tested; keep one of them."
                yield Problem(f"/body/not_tested/{i}", words)


def round_says_one_thing(record: Record) -> Iterator[Problem]:
    """Hold each step of a round against itself: either a record shows it, or it was skipped."""
    if record.kind == "round":
        for i, step in enumerate(record.body["steps"]):
            if step["skipped"] != (step["record"] is None):
                words = "A step was skipped, or a record shows it: correct one of the two."
                yield Problem(f"/body/steps/{i}/skipped", words)


def incident_says_where(record: Record) -> Iterator[Problem]:
    """Hold where an incident happened against its subject, and let only a correction say that it was none."""
    if record.kind != "incident":
        return
    if (record.body["at"] == "thing") != (record.subject is not None):
        words = "At a thing, name it as the subject; at the cord, or where nobody knows, put null there."
        yield Problem("/body/at", words)
    if record.body["what"] == "none" and record.corrects is None:
        yield Problem("/body/what", "Say what happened; none stands only in a correction.")


def incident_is_of_the_rig(record: Record, log: RigLog) -> Iterator[Problem]:
    """Refuse an incident at what the rig has not."""
    if record.kind != "incident" or record.subject is None:
        return
    if not any(log.has_thing(record.subject, kind, record.rig) for kind in ("outlet", "device")):
        words = "The subject is not the id of an outlet or a device of this rig; send its record first."
        yield Problem("/subject", words)


def map_is_of_the_rig(record: Record, log: RigLog) -> Iterator[Problem]:
    """Refuse a map that names an outlet or a device of another rig."""
    if record.kind == "rig-map":
        for i, part in enumerate(record.body["parts"]):
            for kind in ("outlet", "device"):
                named = part.get(kind)
                if named is not None and not log.has_thing(named, kind, record.rig):
                    yield _not_of_rig(f"/body/parts/{i}/{kind}", kind)


def change_is_of_the_rig(record: Record, log: RigLog) -> Iterator[Problem]:
    """Refuse a change that names a map or parts that the rig has not."""
    if record.kind != "change":
        return
    shown = record.body["map"]
    if shown is not None and not log.is_of(shown, "rig-map", record.rig):
        yield Problem("/body/map", "This map is not one of this rig; send its record first, or put null.")
        return
    known = _parts_of(log, shown)
    for i, part in enumerate(record.body["parts"]):
        if shown is None and is_identity(part):
            is_there = any(log.has_thing(part, kind, record.rig) for kind in ("outlet", "device"))
        else:
            is_there = shown is None or part in known
        if not is_there:
            yield Problem(f"/body/parts/{i}", "This part is not on the map; name parts of the map.")


def proof_is_of_the_rig(record: Record, log: RigLog) -> Iterator[Problem]:
    """Refuse a proof of another rig's change, or one shown by another rig's test."""
    if record.kind != "proof":
        return
    if record.subject is not None and not log.is_of(record.subject, "change", record.rig):
        yield Problem("/subject", "The subject is not a change of this rig; send its record first.")
    shown = record.body["record"]
    kinds = _kinds_that_show(record.body)
    if shown is not None and not any(log.is_of(shown, kind, record.rig) for kind in kinds):
        words = f"This is not a record of the kind {' or '.join(kinds)} of this rig; send it first."
        yield Problem("/body/record", words)


def look_is_of_the_rig(record: Record, log: RigLog) -> Iterator[Problem]:
    """Refuse a look at what the rig has not."""
    if record.kind != "look":
        return
    kinds = ("outlet",) if record.body["of"] == "outlet" else ("outlet", "device")
    is_needed = record.body["of"] == "outlet"
    if record.subject is None and not is_needed:
        return
    if not any(log.has_thing(record.subject, kind, record.rig) for kind in kinds):
        words = f"The subject is not the id of an {' or a '.join(kinds)} of this rig; send its record first."
        yield Problem("/subject", words)


def round_is_of_the_rig(record: Record, log: RigLog) -> Iterator[Problem]:
    """Refuse a round whose steps name what the rig has not."""
    if record.kind == "round":
        for i, step in enumerate(record.body["steps"]):
            yield from _step_of_round(f"/body/steps/{i}", step, record.rig, log)


def _step_of_round(at: str, step: Mapping[str, Any], rig: str | None, log: RigLog) -> Iterator[Problem]:
    what, subject, shown = step["what"], step["subject"], step["record"]
    kinds = ("outlet", "device") if what == "look" else (what,)
    if (subject is not None or what != "look") and not any(
        log.has_thing(subject, kind, rig) for kind in kinds
    ):
        yield _not_of_rig(f"{at}/subject", kinds[0])
    if shown is not None and not log.is_of(shown, STEP_RECORDS[what], rig):
        words = f"This is not a record of the kind {STEP_RECORDS[what]} of this rig; send it first."
        yield Problem(f"{at}/record", words)


def _value_of_proof(body: Mapping[str, Any], rule: Mapping[str, Any]) -> Iterator[Problem]:
    if body["outcome"] is None:
        yield Problem("/body/value", "It has a value and no outcome; say good or bad, or take the value out.")
    elif "good" in rule and body["unit"] != rule["unit"]:
        yield Problem("/body/unit", f"This step is noted in {rule['unit']}; correct the unit.")
    elif "good" in rule and (body["outcome"] == "good") != is_good(rule, float(body["value"])):
        other = "bad" if body["outcome"] == "good" else "good"
        words = f"{body['value']} {body['unit']} is {other} by this step; correct the value or the outcome."
        yield Problem("/body/outcome", words)


def _beyond_the_meter(body: Mapping[str, Any], rule: Mapping[str, Any]) -> Iterator[Problem]:
    """Let a proof without a value stand only where its note says that the meter showed more than it can."""
    if not body["note"].startswith(BEYOND_THE_METER):
        words = (
            f"This step is noted with its value in {rule['unit']}; send it, or a note that begins with OL."
        )
        yield Problem("/body/value", words)
    elif (body["outcome"] == "good") != is_good(rule, math.inf):
        other = "bad" if body["outcome"] == "good" else "good"
        yield Problem("/body/outcome", f"OL is {other} by this step; correct the note or the outcome.")


def _kinds_that_show(body: Mapping[str, Any]) -> tuple[str, ...]:
    """Give the kinds of record that a proof may name: for a good one, only that which its step asks for."""
    wanted = _steps().get(body["step"], {}).get("record")
    return (SHOWN_BY[wanted],) if wanted and body["outcome"] == "good" else TESTS


def _twice(parts: list[Mapping[str, Any]], member: str) -> Iterator[Problem]:
    seen: set[str] = set()
    for i, part in enumerate(parts):
        named = part.get(member)
        if named is not None and named in seen:
            words = f"Two parts stand for the same {member}; take it from one of them."
            yield Problem(f"/body/parts/{i}/{member}", words)
        elif named is not None:
            seen.add(named)


def _parts_of(log: RigLog, shown: str | None) -> set[str]:
    """Give the parts of a map and of the version before it, since a change may take parts out."""
    after = log.record(shown)
    before = None if after is None else log.record(after.corrects)
    return {part["id"] for each in (after, before) if each is not None for part in each.body["parts"]}


def _not_of_rig(at: str, kind: str) -> Problem:
    return Problem(at, f"This {kind} is not one of this rig; send its record first.")


@cache
def _steps() -> Mapping[str, Mapping[str, Any]]:
    return {rule["id"]: rule for rule in entries("facts/proving.json")}


BY_ITSELF: Final[tuple[Callable[[Record], Iterator[Problem]], ...]] = (
    map_can_be_read,
    proof_agrees_with_itself,
    look_says_one_thing,
    round_says_one_thing,
    incident_says_where,
)
WITH_LOG: Final[tuple[Callable[[Record, RigLog], Iterator[Problem]], ...]] = (
    map_is_of_the_rig,
    change_is_of_the_rig,
    proof_is_of_the_rig,
    look_is_of_the_rig,
    round_is_of_the_rig,
    incident_is_of_the_rig,
)
