"""A ground-fault device or breaker of a rig."""

from collections.abc import Iterator
from typing import Final

from fieldlog.kinds.forms import NAME, NOTE, Reading, these
from fieldlog.kinds.kind import NOT_NOTED, Body, Kept, Kind, Known, name_in_short, noted
from fieldlog.model.problem import Problem
from fieldlog.model.record import Record
from fieldlog.words.kinds import DEVICES
from fieldlog.words.lines import Line
from fieldlog.words.wording import begun


def _lines(body: Body, _known: Known) -> Iterator[Line]:
    yield Line("Name", body["name"])
    yield Line("Type", begun(DEVICES[body["type"]]))
    yield Line("Made in", body.get("made") or NOT_NOTED)
    yield Line("Installed in", body["installed"] or NOT_NOTED)
    yield Line("Note", body["note"] or NOT_NOTED)


def _made(record: Record) -> Iterator[Problem]:
    made, installed = record.body.get("made"), record.body.get("installed")
    if made and installed and made > installed:
        yield Problem(
            "/body/made", f"It was installed in {installed} and cannot be made later; correct one of them."
        )


KIND: Final = Kind(
    parts=noted(_lines),
    in_short=name_in_short,
    readings=these(NAME, Reading(("made",), "Made in which month, as 2021-05", is_optional=True), NOTE),
    rules=(_made,),
    kept=Kept.ALL,
)
