"""A kind of record that is made up: the file that test_one_more_kind.py puts beside the others."""

from collections.abc import Iterator
from typing import Final

from fieldlog.kinds.forms import NOTE, FormReading, these
from fieldlog.kinds.kind import Body, Extent, Glossary, Kind, noted, said_by
from fieldlog.kinds.paper import Listing, SectionLine, head_of
from fieldlog.model.problem import Problem
from fieldlog.model.record import Record
from fieldlog.model.rig import Chain, Rig
from fieldlog.words.lines import Line


def _lines(body: Body, _known: Glossary) -> Iterator[Line]:
    yield Line("Remarked", body["what"])
    yield Line("Note", body["note"])


def _in_short(body: Body, _known: Glossary) -> str:
    return f"Remark: {body['what']}"


def _is_more_than_its_note(record: Record) -> Iterator[Problem]:
    if record.body["what"] == record.body["note"]:
        yield Problem("/body/note", "The note repeats the remark; leave it empty.")


def _on_paper(_rig: Rig, remark: Chain) -> SectionLine:
    return SectionLine(head_of(remark), remark.body["what"])


KIND: Final = Kind(
    parts=noted(_lines),
    in_short=_in_short,
    readings=these(FormReading(("what",), "What was remarked"), NOTE),
    rules=(_is_more_than_its_note,),
    extent=Extent.NEWEST,
    says=said_by("what"),
    is_in_history=True,
    listing=Listing(title="Remarks", place=25, line=_on_paper),
)
