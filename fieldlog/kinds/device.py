"""A ground-fault device or breaker of a rig, or a cord set: that is one with a number."""

from collections.abc import Iterator, Sequence
from typing import Final

from fieldlog.kinds import cord_sets
from fieldlog.kinds.forms import NAME, NOTE, FormReading
from fieldlog.kinds.kind import NOT_NOTED, Extent, Glossary, Kind, name_in_short, noted
from fieldlog.model.bodies import BodyDevice
from fieldlog.model.problem import Problem
from fieldlog.model.record import Record
from fieldlog.model.rig import is_set
from fieldlog.words.kinds import kind_name
from fieldlog.words.lines import Line
from fieldlog.words.wording import begun


def _lines(body: BodyDevice, _known: Glossary) -> Iterator[Line]:
    yield Line("Name", body["name"])
    yield Line("Type", begun(kind_name(body["type"])))
    if is_set(body):
        yield from cord_sets.lines(body)
    yield Line("Made in", body.get("made") or NOT_NOTED)
    yield Line("Installed in", body["installed"] or NOT_NOTED)
    yield Line("Marked", body.get("marked") or NOT_NOTED)
    yield Line("Note", body["note"] or NOT_NOTED)


def _made(record: Record[BodyDevice]) -> Iterator[Problem]:
    made, installed = record.body.get("made"), record.body.get("installed")
    if made and installed and made > installed:
        yield Problem(
            "/body/made", f"It was installed in {installed} and cannot be made later; correct one of them."
        )


_READINGS: Final = (
    NAME,
    FormReading(("made",), "Made in which month, as 2021-05", is_optional=True),
    FormReading(("marked",), "Maker, type and date code as marked on it", is_optional=True),
    NOTE,
)


def _readings(body: BodyDevice) -> Sequence[FormReading]:
    return cord_sets.READINGS if is_set(body) else _READINGS


KIND: Final[Kind[BodyDevice]] = Kind(
    parts=noted(_lines),
    in_short=name_in_short,
    readings=_readings,
    rules=(_made, cord_sets.has_a_number),
    extent=Extent.ALL,
)
