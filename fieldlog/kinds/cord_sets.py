"""What makes a record of a cord set right: its number, what is looked at, and that it guards nothing."""

from collections.abc import Callable, Iterable, Iterator
from functools import cache
from typing import Any, Final

from fieldlog.kinds.forms import ANSWERS, NAME, NOTE, YES_NO, FormReading
from fieldlog.kinds.kind import Body, Log, LogRule
from fieldlog.model.kind_of import HeldT
from fieldlog.model.problem import Problem
from fieldlog.model.proving import is_good
from fieldlog.model.record import Record
from fieldlog.model.rig import is_set
from fieldlog.tables import entries
from fieldlog.words.kinds import SETS
from fieldlog.words.lines import Line

OWN: Final = ("number", "hots", "fixed", "retired")
"""What the body of a cord set has, and no other device."""
NEEDED: Final = {
    "number": "Write what is marked on it: a set is known by its number.",
    "hots": "Say how many hots it has: 1, or 2 for a 14-50 at both ends.",
}
LOOKS: Final = ("set", "set-look")
READINGS: Final = (
    NAME,
    FormReading(("number",), "Number marked on it"),
    FormReading(
        ("fixed",), "Fixed, and not exposed to damage?", choices=YES_NO, is_optional=True, values=ANSWERS
    ),
    FormReading(("retired",), "Gone for good?", choices=YES_NO, is_optional=True, values=ANSWERS),
    NOTE,
)


def lines(body: Body) -> Iterator[Line]:
    """Give what only a cord set has."""
    yield Line("Number marked on it", body["number"])
    yield Line("Hots", str(body["hots"]))
    yield Line("Fixed and not exposed to damage", "yes" if body.get("fixed") else "no")
    if body.get("retired"):
        yield Line("Gone for good", "yes")


def has_a_number(record: Record) -> Iterator[Problem]:
    """Ask a cord set for its number and its hots, and refuse them of any other device."""
    if record.body["type"] in SETS:
        for member, words in NEEDED.items():
            if member not in record.body:
                yield Problem(f"/body/{member}", words)
    else:
        for member in OWN:
            if member in record.body:
                words = "Only a cord, extension or adapter has this; take it out, or correct the type."
                yield Problem(f"/body/{member}", words)


def ohms_agree(record: Record) -> Iterator[Problem]:
    """Hold the ohms of a set's ground against what is said of it."""
    if "ohms" not in record.body:
        return
    if record.body["of"] != "set":
        yield Problem("/body/ohms", "Ohms are noted only with the test of a cord set; take them out.")
        return
    ohms = float(record.body["ohms"].split()[0])
    said = record.body["points"].get("set-ground")
    if said is None:
        yield Problem("/body/ohms", "Say how the set’s ground is as well, or take the ohms out.")
    elif said == "good" and not is_good(_ground(), ohms):
        words = f"{record.body['ohms']} is bad; correct the ohms, or call the ground bad."
        yield Problem("/body/ohms", words)


def look_is_at_a_set(record: Record, log: Log) -> Iterator[Problem]:
    """Refuse the look at a set, or its test, that names none of the rig."""
    if record.body["of"] in LOOKS:
        there = log.has_thing(record.subject, "device", record.rig) and _is_set(record.subject, log)
        if not there:
            yield Problem("/subject", "The subject is not a cord set of this rig; send its record first.")


def guards_nothing(named: Callable[[Record[HeldT]], Iterable[tuple[str, str | None]]]) -> LogRule[HeldT]:
    """Refuse a cord set where a kind names ground-fault devices: each with its place."""

    def rule(record: Record[HeldT], log: Log) -> Iterator[Problem]:
        words = "This is a cord set, which guards nothing; name a ground-fault device."
        for at, identity in named(record):
            if _is_set(identity, log):
                yield Problem(at, words)

    return rule


def _is_set(identity: str | None, log: Log) -> bool:
    found = None if identity is None else log.record(identity)
    return found is not None and found.kind == "device" and is_set(found.body)


@cache
def _ground() -> dict[str, Any]:
    return next(dict(point) for point in entries("facts/looks.json") if point["id"] == "set-ground")
