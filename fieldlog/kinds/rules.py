"""What several kinds of record ask alike of a record and of the log."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import Any

from fieldlog.kinds.kind import Log, LogRule, Rule
from fieldlog.model.kind_of import HeldT
from fieldlog.model.measured import measured, out_of_range, outside
from fieldlog.model.problem import Problem
from fieldlog.model.record import Record
from fieldlog.model.spans import SPANS


def values_in_range(at: str, values: Mapping[str, Any]) -> Iterator[Problem]:
    """Name every measured value that no instrument can have shown."""
    for below, sentence in out_of_range(values):
        yield Problem(f"{at}{below}", sentence)


def volts_in_range(at: str, text: str) -> Iterator[Problem]:
    """Name a value in volts that no instrument can have shown."""
    if not SPANS["volts"].holds(measured(text, SPANS["volts"].unit)):
        yield Problem(at, outside(text, SPANS["volts"]))


def not_tested_once(done: Callable[[HeldT], Iterable[str]]) -> Rule[HeldT]:
    """Refuse a step that has a result and is listed as not tested."""

    def rule(record: Record[HeldT]) -> Iterator[Problem]:
        steps = set(done(record.body))
        for i, step in enumerate(record.body.get("not_tested", ())):
            if step in steps:
                words = f"{step} has a result and is listed as not tested; keep one of them."
                yield Problem(f"/body/not_tested/{i}", words)

    return rule


def subject_is(kind: str) -> LogRule[Mapping[str, Any]]:
    """Refuse a record that is not about a thing of its rig."""

    def rule(record: Record, log: Log) -> Iterator[Problem]:
        if not log.has_thing(record.subject, kind, record.rig):
            words = f"The subject is not the id of {_a(kind)} of this rig; send its record first."
            yield Problem("/subject", words)

    return rule


def not_of_the_rig(at: str, kind: str) -> Problem:
    """Say that what a record names is none of its rig."""
    return Problem(at, f"This {kind} is not one of this rig; send its record first.")


def _a(kind: str) -> str:
    return f"{'an' if kind[0] in 'aeiou' else 'a'} {kind}"
