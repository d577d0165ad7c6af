"""A note of a site: what is worth knowing of a pedestal the next time, beside what was read there."""

from collections.abc import Iterator
from typing import Final

from fieldlog.kinds.forms import NOTE, FormReading
from fieldlog.kinds.kind import NOT_NOTED, Body, Glossary, Kind, noted
from fieldlog.words.lines import Line


def _lines(body: Body, _known: Glossary) -> Iterator[Line]:
    yield Line("Campground", body["place"]["park"] or NOT_NOTED)
    yield Line("Site", body["place"]["site"] or NOT_NOTED)
    yield Line("Note", body["note"])


def _in_short(body: Body, _known: Glossary) -> str:
    return str(body["note"])


def _readings(_body: Body) -> Iterator[FormReading]:
    yield FormReading(("place", "park"), "Campground")
    yield FormReading(("place", "site"), "Site")
    yield NOTE


KIND: Final = Kind(parts=noted(_lines), in_short=_in_short, readings=_readings, is_in_history=True)
