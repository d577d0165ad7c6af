"""A meter or a lamp tester of a person."""

from collections.abc import Iterator
from typing import Final

from fieldlog.kinds.forms import NAME, these
from fieldlog.kinds.kind import NOT_NOTED, Glossary, Kind, name_in_short, noted
from fieldlog.kinds.rules import values_in_range
from fieldlog.model.bodies import BodyInstrument
from fieldlog.model.problem import Problem
from fieldlog.model.record import Record
from fieldlog.words.lines import Line
from fieldlog.words.readings import METERS
from fieldlog.words.wording import begun, pair_words

INSTRUMENTS: Final = {"meter": "meter", "lamp-tester": "lamp tester"}


def _lines(body: BodyInstrument, _known: Glossary) -> Iterator[Line]:
    yield Line("Instrument", INSTRUMENTS[body["type"]])
    yield Line("Name", body["name"])
    if body["type"] == "meter":
        yield Line("Input", METERS[body["input"]])
        yield Line("Exact to", f"{body['accuracy_percent']} + {body['accuracy_volts']}")
        yield Line("Category", body["category"] or NOT_NOTED)
    for lamp in body.get("lamps", ()):
        yield Line(f"{begun(pair_words(lamp['pair']))} lamp", f"called “{lamp['called']}”")


def _values(record: Record[BodyInstrument]) -> Iterator[Problem]:
    yield from values_in_range("/body", record.body)


KIND: Final[Kind[BodyInstrument]] = Kind(
    parts=noted(_lines), in_short=name_in_short, readings=these(NAME), rules=(_values,)
)
