"""A rig's map: its parts, the runs between them, and its modes; every version corrects the one before."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from fieldlog.engine.protection import map_of_body
from fieldlog.errors import BadInput
from fieldlog.kinds import cord_sets
from fieldlog.kinds.forms import these
from fieldlog.kinds.kind import Body, Extent, Glossary, Kind, Log, noted
from fieldlog.kinds.rules import not_of_the_rig
from fieldlog.model.bodies import BodyRigMap
from fieldlog.model.problem import Problem
from fieldlog.model.record import Record
from fieldlog.words.lines import Line
from fieldlog.words.map_parts import name_of, part_words, side_words, wire_words


def _lines(body: BodyRigMap, _known: Glossary) -> Iterator[Line]:
    """Give each part with what feeds it, and what each mode leaves out."""
    for part in body["parts"]:
        feeds = [_feed(body, run) for run in body["runs"] if run["to"] == part["id"]]
        yield Line(part["name"], "; ".join([part_words(part), *feeds]))
    for mode, said in body["modes"].items():
        runs = [body["runs"][at] for at in said["without"] if at < len(body["runs"])]
        words = [f"no run from {name_of(body, run['from'])} to {name_of(body, run['to'])}" for run in runs]
        yield Line(f"Mode {mode}", "; ".join(words) or "every run is there")


def _feed(body: BodyRigMap, run: Body) -> str:
    words: Sequence[str] = (name_of(body, run["from"]), side_words(body, run), wire_words(run))
    return f"fed from {', '.join(word for word in words if word)}"


def _in_short(body: BodyRigMap, _known: Glossary) -> str:
    return f"{len(body['parts'])} {'part' if len(body['parts']) == 1 else 'parts'}"


def _can_be_read(record: Record[BodyRigMap]) -> Iterator[Problem]:
    """Name every loop, second feed and run to nowhere, and every thing that stands on the map twice."""
    try:
        map_of_body(record.body)
    except BadInput as bad:
        yield from (Problem(f"/body{each.at}", each.problem) for each in bad.problems)
    for member in ("outlet", "device"):
        yield from _twice(record.body["parts"], member)


def _twice(parts: Sequence[Mapping[str, Any]], member: str) -> Iterator[Problem]:
    seen: set[str] = set()
    for i, part in enumerate(parts):
        named = part.get(member)
        if named is not None and named in seen:
            words = f"Two parts stand for the same {member}; take it from one of them."
            yield Problem(f"/body/parts/{i}/{member}", words)
        elif named is not None:
            seen.add(named)


def _of_the_rig(record: Record[BodyRigMap], log: Log) -> Iterator[Problem]:
    """Refuse a map that names an outlet or a device of another rig."""
    for i, part in enumerate(record.body["parts"]):
        for kind, named in (("outlet", part.get("outlet")), ("device", part.get("device"))):
            if named is not None and not log.has_thing(named, kind, record.rig):
                yield not_of_the_rig(f"/body/parts/{i}/{kind}", kind)


def _devices(record: Record[BodyRigMap]) -> Iterator[tuple[str, str | None]]:
    for i, part in enumerate(record.body["parts"]):
        yield f"/body/parts/{i}/device", part.get("device")


KIND: Final[Kind[BodyRigMap]] = Kind(
    parts=noted(_lines),
    in_short=_in_short,
    readings=these(),
    rules=(_can_be_read,),
    log_rules=(_of_the_rig, cord_sets.guards_nothing(_devices)),
    extent=Extent.ALL,
    is_in_history=True,
    corrected_at="rig_map.table",
)
