"""A look at cord, inlet, outlet, alarms, skin or a cord set, point by point."""

from collections.abc import Iterator, Sequence
from typing import Final

from fieldlog.kinds import cord_sets
from fieldlog.kinds.forms import NOTE, these
from fieldlog.kinds.kind import NOT_NOTED, Extent, Glossary, Kind, Log, counted, noted, said_by
from fieldlog.kinds.paper import Listing, SectionLine, head_of
from fieldlog.model.bodies import BodyLook
from fieldlog.model.ends import ENDS
from fieldlog.model.problem import Problem
from fieldlog.model.record import Record
from fieldlog.model.rig import Chain, Rig
from fieldlog.tables import entries
from fieldlog.words.lines import Line
from fieldlog.words.wording import LOOKED_AT, OUTCOMES, UNITS, begun


def look_words(body: BodyLook) -> str:
    """Give all points of a look in a row, the bad ones first."""
    bad = [_asked(point) for point, outcome in body["points"].items() if outcome == "bad"]
    good = [_asked(point) for point, outcome in body["points"].items() if outcome == "good"]
    told = (("BAD", bad), ("good", good), ("not looked at", [_asked(point) for point in body["not_tested"]]))
    return begun("; ".join(f"{how}: {' '.join(asked)}" for how, asked in told if asked))


def _lines(body: BodyLook, _known: Glossary) -> Iterator[Line]:
    """Give each point that was looked at, and those that were not."""
    yield Line("Looked at", LOOKED_AT[body["of"]])
    for point, outcome in body["points"].items():
        yield Line(_asked(point), OUTCOMES[outcome])
    for point in body["not_tested"]:
        yield Line(_asked(point), "not looked at")
    if "volts" in body:
        yield Line("Volts from the skin to earth", body["volts"])
    if "ohms" in body:
        yield Line("Ohms of its ground, end to end", body["ohms"].replace("ohm", UNITS["ohm"]))
    for what, month in body.get("ends", {}).items():
        yield Line(f"{ENDS[what]}: its end", month)
    yield Line("Note", body["note"] or NOT_NOTED)


def _in_short(body: BodyLook, _known: Glossary) -> str:
    return f"{begun(LOOKED_AT[body['of']])}: {look_words(body)}"


def _says_one_thing(record: Record[BodyLook]) -> Iterator[Problem]:
    """Refuse a point that was looked at and is listed as not looked at."""
    if "volts" in record.body and record.body["of"] != "skin":
        yield Problem("/body/volts", "Volts are noted only of the rig’s skin; take them out.")
    if "ends" in record.body and record.body["of"] != "alarms":
        yield Problem("/body/ends", "Ends are noted only with the alarms; take them out.")
    for i, point in enumerate(record.body["not_tested"]):
        if point in record.body["points"]:
            words = f"{point} has a result and is listed as not tested; keep one of them."
            yield Problem(f"/body/not_tested/{i}", words)


def _of_the_rig(record: Record[BodyLook], log: Log) -> Iterator[Problem]:
    """Refuse a look at what the rig has not."""
    is_needed = record.body["of"] == "outlet"
    if record.subject is None and not is_needed:
        return
    kinds = ("outlet",) if is_needed else ("outlet", "device")
    if not any(log.has_thing(record.subject, kind, record.rig) for kind in kinds):
        words = f"The subject is not the id of an {' or a '.join(kinds)} of this rig; send its record first."
        yield Problem("/subject", words)


def _in_years(looks: Sequence[Chain[BodyLook]]) -> str:
    bad = sum("bad" in look.body["points"].values() for look in looks)
    return f"{counted(len(looks), 'look', 'looks')}; at {bad or 'none'} of them something was bad."


def name_of_look(rig: Rig, look: Chain[BodyLook]) -> str:
    """Say at what of a rig a look was."""
    thing = rig.thing(look.entry.record.subject)
    what = begun(LOOKED_AT[look.body["of"]])
    if thing is None:
        return what
    return f"“{thing.name}”" if look.body["of"] == "outlet" else f"{what} at “{thing.name}”"


def _on_paper(rig: Rig, look: Chain[BodyLook]) -> SectionLine:
    return SectionLine(head_of(look), f"{name_of_look(rig, look)}: {look_words(look.body)}")


def _asked(point: str) -> str:
    found = next((each for each in entries("facts/looks.json") if each["id"] == point), None)
    return point if found is None else str(found["ask"])


KIND: Final[Kind[BodyLook]] = Kind(
    parts=noted(_lines),
    in_short=_in_short,
    readings=these(NOTE),
    rules=(_says_one_thing, cord_sets.ohms_agree),
    log_rules=(_of_the_rig, cord_sets.look_is_at_a_set),
    extent=Extent.NEWEST,
    says=said_by("of", "points", "ends"),
    is_in_history=True,
    in_years=_in_years,
    listing=Listing(title="Looked at", place=30, line=_on_paper),
)
