"""An outlet of a rig."""

from collections.abc import Iterator
from typing import Final

from fieldlog.kinds import cord_sets
from fieldlog.kinds.forms import NAME, NOTE, these
from fieldlog.kinds.kind import NOT_NOTED, Extent, Glossary, Kind, Log, name_in_short, named, noted
from fieldlog.model.bodies import BodyOutlet
from fieldlog.model.problem import Problem
from fieldlog.model.record import Record
from fieldlog.words.lines import Line


def _lines(body: BodyOutlet, known: Glossary) -> Iterator[Line]:
    yield Line("Name", body["name"])
    yield Line("Outlet", body["outlet"])
    yield Line("Guarded by, as noted", named([body["guard"]] if body["guard"] else [], known.names))
    yield Line("Note", body["note"] or NOT_NOTED)


def _guard(record: Record[BodyOutlet], log: Log) -> Iterator[Problem]:
    guard = record.body.get("guard")
    if guard is not None and not log.has_thing(guard, "device", record.rig):
        yield Problem(
            "/body/guard", "This device is not one of this rig; send its record first, or put null."
        )


KIND: Final[Kind[BodyOutlet]] = Kind(
    parts=noted(_lines),
    in_short=name_in_short,
    readings=these(NAME, NOTE),
    log_rules=(_guard, cord_sets.guards_nothing(lambda record: [("/body/guard", record.body["guard"])])),
    extent=Extent.ALL,
)
