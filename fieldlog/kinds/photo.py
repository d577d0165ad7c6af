"""A photo that belongs to another record."""

from collections.abc import Iterator, Sequence
from typing import Any, Final

from fieldlog.kinds.forms import FormReading, these
from fieldlog.kinds.kind import NOT_NOTED, Glossary, Kind, Log, counted, noted
from fieldlog.kinds.paper import Listing, SectionLine, head_of
from fieldlog.model.bodies import BodyPhoto
from fieldlog.model.problem import Problem
from fieldlog.model.record import Record
from fieldlog.model.rig import Chain, Rig
from fieldlog.words.kinds import entry_name
from fieldlog.words.lines import Line

_BY_THEIR_HASHES: Final = (
    "Pictures of them are printed only where their owner chose that. "
    "Each is known by its hash, the SHA-256 of the bytes that the phone sent."
)
_NOT_OF_THE_RIG: Final = "a record that is not of this rig"


def _lines(body: BodyPhoto, _known: Glossary) -> Iterator[Line]:
    yield Line("It shows", body["what"] or NOT_NOTED)
    yield Line("Size", f"{body['width']} × {body['height']} pixels")
    yield Line("Hash of the photo as it was sent", body["hash"])


def _in_short(body: BodyPhoto, _known: Glossary) -> str:
    return str(body["what"] or "A photo")


def _of_a_record(record: Record[BodyPhoto], log: Log) -> Iterator[Problem]:
    """Hold a photo against the record it belongs to; a correction may only word otherwise what it shows."""
    about = log.find(record.subject)
    if about is None or about.root != record.subject or about.kind == record.kind:
        yield Problem("/subject", "The subject is not the first of a record of yours; send its record first.")
    elif about.rig != record.rig:
        yield Problem("/rig", "A photo has the rig of the record that it belongs to.")
    earlier = log.record(record.corrects)
    if earlier is not None and _without_words(earlier) != _without_words(record):
        yield Problem("/body", "A correction keeps the photo; only what it shows can be worded otherwise.")


def _without_words(record: Record) -> dict[str, Any]:
    return {**record.body, "what": ""}


def _in_years(photos: Sequence[Chain[BodyPhoto]]) -> str:
    return f"{counted(len(photos), 'photo', 'photos')}."


def _on_paper(rig: Rig, photo: Chain[BodyPhoto]) -> SectionLine:
    subject = photo.entry.record.subject
    about = next((entry_name(rig, entry) for entry in rig.log if entry.record.id == subject), _NOT_OF_THE_RIG)
    shows = f": {photo.body['what']}" if photo.body["what"] else ""
    return SectionLine(head_of(photo), f"{about}{shows}", hash=str(photo.body["hash"]))


KIND: Final[Kind[BodyPhoto]] = Kind(
    parts=noted(_lines),
    in_short=_in_short,
    readings=these(FormReading(("what",), "What it shows")),
    log_rules=(_of_a_record,),
    in_years=_in_years,
    listing=Listing(title="Photos", place=50, line=_on_paper, intro=_BY_THEIR_HASHES),
)
