"""A proof: one step by which a change is proved, or grounds are shown without a change."""

import math
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from typing import Any, Final

from fieldlog.kinds.forms import NOTE, these
from fieldlog.kinds.kind import NOT_NOTED, Body, Extent, Glossary, Kind, Log, Names, noted, said_by
from fieldlog.model.bodies import BodyProof
from fieldlog.model.problem import Problem
from fieldlog.model.proving import BEYOND_THE_METER, Step, is_good
from fieldlog.model.record import Record
from fieldlog.tables import entries
from fieldlog.words.kinds import PARTS
from fieldlog.words.lines import Line
from fieldlog.words.steps import StepWording, noted_words
from fieldlog.words.wording import OUTCOMES, UNITS, begun, pair_words

TESTS: Final = ("outlet-test", "trip-test")
SHOWN_BY: Final[Mapping[str, str]] = {
    "outlet-test": "outlet-test",
    "outlet-test-loaded": "outlet-test",
    "trip-test": "trip-test",
}
"""By what a step of a proof asks for, the kind of the record that shows it."""


def _lines(body: BodyProof, known: Glossary) -> Iterator[Line]:
    """Give the step, what was read, and what that means."""
    yield Line("Step", _step_words(body, known.parts))
    if body["part"]:
        yield Line("Part", _part(body["part"], known))
    if body["pair"]:
        yield Line("Between", pair_words(body["pair"]))
    if body["value"] is not None:
        unit = body["unit"] or ""
        yield Line("Value", f"{body['value']} {UNITS.get(unit, unit)}".strip())
    yield Line("Outcome", OUTCOMES[body["outcome"]])
    yield Line("Note", body["note"] or NOT_NOTED)


def _in_short(body: BodyProof, known: Glossary) -> str:
    """Give a proof as one line: what came out, at which step and where."""
    pair = pair_words(body["pair"]) if body["pair"] else ""
    part = _called(body["part"], known.names) if body["part"] else ""
    place = ", ".join(each for each in (part, pair) if each)
    words = _step_words(body, known.parts)
    return f"{begun(noted_words(body))}. {words}{f' ({place})' if place else ''}"


def _called(part: str, names: Names) -> str:
    """Give a part's name where the log knows it; a part of the map alone keeps its id."""
    return f"“{names.get(part, part)}”"


def _part(part: str, known: Glossary) -> str:
    """Give a part's name and, where the map tells it, its kind."""
    kinds = [PARTS[each["kind"]] for each in known.parts if each["id"] == part]
    return ", ".join((_called(part, known.names), *kinds))


def _step_words(body: BodyProof, parts: Sequence[Body]) -> str:
    return StepWording(parts, _steps()).words(Step(body["step"], body["part"], body["pair"]))


def _agrees_with_itself(record: Record[BodyProof]) -> Iterator[Problem]:
    """Hold a proof against its step: a known one, its unit, and the outcome that its value means."""
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
        yield from _value(body, body["value"], rule)
    elif body["outcome"] is not None and "good" in rule:
        yield from _beyond_the_meter(body, rule)


def _value(body: BodyProof, value: str, rule: Mapping[str, Any]) -> Iterator[Problem]:
    if body["outcome"] is None:
        yield Problem("/body/value", "It has a value and no outcome; say good or bad, or take the value out.")
    elif "good" in rule and body["unit"] != rule["unit"]:
        yield Problem("/body/unit", f"This step is noted in {rule['unit']}; correct the unit.")
    elif "good" in rule and (body["outcome"] == "good") != is_good(rule, float(value)):
        other = "bad" if body["outcome"] == "good" else "good"
        words = f"{value} {body['unit']} is {other} by this step; correct the value or the outcome."
        yield Problem("/body/outcome", words)


def _beyond_the_meter(body: BodyProof, rule: Mapping[str, Any]) -> Iterator[Problem]:
    """Let a proof without a value stand only where its note says that the meter showed more than it can."""
    if not body["note"].startswith(BEYOND_THE_METER):
        words = (
            f"This step is noted with its value in {rule['unit']}; send it, or a note that begins with OL."
        )
        yield Problem("/body/value", words)
    elif (body["outcome"] == "good") != is_good(rule, math.inf):
        other = "bad" if body["outcome"] == "good" else "good"
        yield Problem("/body/outcome", f"OL is {other} by this step; correct the note or the outcome.")


def _of_the_rig(record: Record[BodyProof], log: Log) -> Iterator[Problem]:
    """Refuse a proof of another rig's change, or one shown by another rig's test."""
    if record.subject is not None and not log.is_of(record.subject, "change", record.rig):
        yield Problem("/subject", "The subject is not a change of this rig; send its record first.")
    shown = record.body["record"]
    kinds = _kinds_that_show(record.body)
    if shown is not None and not any(log.is_of(shown, kind, record.rig) for kind in kinds):
        words = f"This is not a record of the kind {' or '.join(kinds)} of this rig; send it first."
        yield Problem("/body/record", words)


def _kinds_that_show(body: BodyProof) -> tuple[str, ...]:
    """Give the kinds of record that a proof may name: for a good one, only that which its step asks for."""
    wanted = _steps().get(body["step"], {}).get("record")
    return (SHOWN_BY[wanted],) if wanted and body["outcome"] == "good" else TESTS


@cache
def _steps() -> Mapping[str, Mapping[str, Any]]:
    return {str(rule["id"]): rule for rule in entries("facts/proving.json")}


KIND: Final[Kind[BodyProof]] = Kind(
    parts=noted(_lines),
    in_short=_in_short,
    readings=these(NOTE),
    rules=(_agrees_with_itself,),
    log_rules=(_of_the_rig,),
    extent=Extent.NEWEST,
    says=said_by("step", "part", "pair", "outcome"),
    is_in_history=True,
)
