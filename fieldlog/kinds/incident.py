"""An incident: what went wrong, which makes tests due anew."""

from collections.abc import Iterator
from typing import Final

from fieldlog.kinds.forms import NOTE, FormReading
from fieldlog.kinds.kind import NOT_NOTED, NOTHING_KNOWN, Extent, Glossary, Kind, Log, noted, said_by
from fieldlog.kinds.paper import Listing, SectionLine, head_of
from fieldlog.model.bodies import BodyIncident
from fieldlog.model.problem import Problem
from fieldlog.model.record import Record
from fieldlog.model.rig import Chain, Rig
from fieldlog.tables import entries
from fieldlog.words.lines import Line
from fieldlog.words.wording import begun

_PLACES: Final = {"thing": "at what it is about", "cord": "at the shore cord", "rig": "nobody knows where"}


def _rules() -> list[tuple[str, str, str]]:
    """Give each kind of incident: its id, its name, and what a button says."""
    rules = [rule for rule in entries("facts/incidents.json") if rule["of"] == "incident"]
    return [(str(rule["id"]), str(rule["name"]), str(rule["tap"])) for rule in rules]


def _lines(body: BodyIncident, known: Glossary) -> Iterator[Line]:
    """Give what happened and where."""
    yield Line("What happened", _in_short(body, known))
    yield Line("Where", _PLACES[body["at"]])
    yield Line("Note", body["note"] or NOT_NOTED)


def _in_short(body: BodyIncident, _known: Glossary) -> str:
    return begun(next((name for what, name, _ in _rules() if what == body["what"]), str(body["what"])))


def _readings(_body: BodyIncident) -> Iterator[FormReading]:
    yield FormReading(("what",), "What happened", choices=tuple((what, tap) for what, _, tap in _rules()))
    yield NOTE


def _says_where(record: Record[BodyIncident]) -> Iterator[Problem]:
    """Hold where it happened against its subject, and let only a correction say that it was none."""
    if (record.body["at"] == "thing") != (record.subject is not None):
        words = "At a thing, name it as the subject; at the cord, or where nobody knows, put null there."
        yield Problem("/body/at", words)
    if record.body["what"] == "none" and record.corrects is None:
        yield Problem("/body/what", "Say what happened; none stands only in a correction.")


def _of_the_rig(record: Record[BodyIncident], log: Log) -> Iterator[Problem]:
    """Refuse an incident at what the rig has not."""
    if record.subject is None:
        return
    if not any(log.has_thing(record.subject, kind, record.rig) for kind in ("outlet", "device")):
        words = "The subject is not the id of an outlet or a device of this rig; send its record first."
        yield Problem("/subject", words)


def _on_paper(rig: Rig, incident: Chain[BodyIncident]) -> SectionLine | None:
    body = incident.body
    if body["what"] == "none":
        return None
    thing = rig.thing(incident.entry.record.subject) if body["at"] == "thing" else None
    place = "the shore cord" if body["at"] == "cord" else "nobody knows where"
    where = place if thing is None else f"“{thing.name}”"
    return SectionLine(
        head_of(incident), f"{_in_short(body, NOTHING_KNOWN)}: {where}. {body['note']}".strip()
    )


KIND: Final[Kind[BodyIncident]] = Kind(
    parts=noted(_lines),
    in_short=_in_short,
    readings=_readings,
    rules=(_says_where,),
    log_rules=(_of_the_rig,),
    extent=Extent.NEWEST,
    says=said_by("what", "at"),
    is_in_history=True,
    listing=Listing(title="Incidents", place=10, line=_on_paper, is_whole=True),
)
