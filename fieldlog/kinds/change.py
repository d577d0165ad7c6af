"""A change to the wiring of a rig."""

from collections.abc import Iterator
from typing import Final

from fieldlog.kinds.forms import FormReading, these
from fieldlog.kinds.kind import NOT_NOTED, Extent, Glossary, Kind, Log, noted
from fieldlog.model.bodies import BodyChange
from fieldlog.model.identity import is_identity
from fieldlog.model.problem import Problem
from fieldlog.model.record import Record
from fieldlog.words.lines import Line


def _lines(body: BodyChange, known: Glossary) -> Iterator[Line]:
    """Give what was changed, and why."""
    yield Line("What was changed", body["what"])
    yield Line("Why", body["why"] or NOT_NOTED)
    yield Line("Parts", ", ".join(f"“{known.names.get(part, part)}”" for part in body["parts"]))
    yield Line("Wire", body["wire"] or NOT_NOTED)
    yield Line("Device", body["device"] or NOT_NOTED)


def _in_short(body: BodyChange, _known: Glossary) -> str:
    return str(body["what"])


def _of_the_rig(record: Record[BodyChange], log: Log) -> Iterator[Problem]:
    """Refuse a change that names a map or parts that the rig has not."""
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


def _parts_of(log: Log, shown: str | None) -> set[str]:
    """Give the parts of a map and of the version before it, since a change may take parts out."""
    after = log.record(shown)
    before = None if after is None else log.record(after.corrects)
    return {part["id"] for each in (after, before) if each is not None for part in each.body["parts"]}


KIND: Final[Kind[BodyChange]] = Kind(
    parts=noted(_lines),
    in_short=_in_short,
    readings=these(
        FormReading(("what",), "What was changed"),
        FormReading(("why",), "Why"),
        FormReading(("wire",), "Wire"),
        FormReading(("device",), "Device"),
    ),
    log_rules=(_of_the_rig,),
    extent=Extent.ALL,
    is_in_history=True,
)
