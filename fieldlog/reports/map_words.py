"""The parts and runs of a rig's map in words, and what its trips and its advice say."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Final

from fieldlog.engine.protection import is_drawable
from fieldlog.engine.protection.one_more import DevicePlace
from fieldlog.model.bodies import BodyRigMap
from fieldlog.model.code_tables import CodeTables
from fieldlog.model.rig_map import Contradiction, MapEdit, MapFinding
from fieldlog.reports.rig_map import DrawnRig, OutletGuards, SelfContradiction
from fieldlog.words.kinds import device_kind, kind_name
from fieldlog.words.map_parts import name_of, names_of, run_words

LOAD_SIDE: Final = "Load side: it goes dead when the device trips."
LINE_SIDE: Final = "Line side: it shares the feed of the device and stays live when the device trips."
CHECK_THE_CODE: Final = "Check the current code."
_SEEN: Final = {"dead": "went dead", "live": "stayed live"}
_EXPECTED: Final = {"dead": "that it goes dead", "live": "that it stays live"}


@dataclass(frozen=True)
class Advice:
    """A finding in words: what it says and of what, what to do, and where that stands."""

    level: str
    says: str
    about: str
    do: str
    source: str


def guard_words(drawn: DrawnRig, parts: Sequence[str], call: Callable[[str], str] | None = None) -> str:
    """Say mode by mode what guards some parts, and what a trip test shows otherwise; "" without power."""
    return "; ".join(
        f"{f'{mode}: ' if mode else ''}{guarded_words(one)}"
        for mode, one in drawn.guards_of(parts, call).items()
    )


def part_guard_words(drawn: DrawnRig, part_id: str) -> str:
    """Say in a sentence what guards one part; "" for one that is never asked, or has no power."""
    said = guard_words(drawn, [part_id], partial(name_of, drawn.body))
    is_denied = any(one.disproved for one in drawn.guards_of([part_id]).values())
    return said and f"Guarded by {said}{'' if is_denied else ', as the map says'}."


def guarded_words(one: OutletGuards) -> str:
    """Say what guards an outlet; a guard that a trip test disproved is never said to be one."""
    denied = (f"the map says {name}, a trip test on {day} shows otherwise" for name, day in one.disproved)
    said = ", then ".join(one.by) or "nothing"
    return ", but ".join([said, *denied]) if one.disproved else said


def contradiction_words(drawn: DrawnRig, one: Contradiction) -> str:
    """Say what was seen, what the map says, and what to do."""
    body, trip = drawn.body, drawn.rig_map.trips[one.trip]
    device = name_of(body, trip.device)
    part = f"The face of {device}" if one.part == trip.device else name_of(body, one.part)
    seen = f"{part} {_SEEN[one.seen]} when {device} tripped on {_day(drawn, one.trip)}{_in_mode(drawn, one)}"
    said = f"{seen}, and the map says {_EXPECTED[one.expected]}."
    if one.seen == "dead":
        return f"{said} Look what feeds it, and mend the map."
    if trip.by == "hand":
        return f"{said} Treat it as live while {device} is off, look what feeds it, and mend the map."
    return f"{said} Treat it as not guarded by {device}, and mend the map or the wiring."


def told_both_words(drawn: DrawnRig, one: SelfContradiction) -> str:
    """Say that a trip test says both of a part, and what to do."""
    device = name_of(drawn.body, one.device)
    part = f"The face of {device}" if one.part == one.device else name_of(drawn.body, one.part)
    day = one.trip.day
    return (
        f"{part} is told both ways when {device} tripped on {day}, as dead and as live, so that test tells "
        "nothing of it. Trip it once more and note this part, or correct that test."
    )


def trips_words(drawn: DrawnRig, contradictions: Sequence[Contradiction]) -> str:
    """Name the trips that contradict the map, with what they showed, as the reason of a change."""
    told = dict.fromkeys(
        f"Trip of {name_of(drawn.body, drawn.rig_map.trips[one.trip].device)} on {_day(drawn, one.trip)}: "
        f"{name_of(drawn.body, one.part)} {_SEEN[one.seen]}."
        for one in contradictions
    )
    words = " ".join(told)
    return words if len(words) <= 500 else f"{words[:498]} …"


def change_words(body: BodyRigMap, change: MapEdit) -> str:
    """Say in what the rig differs from its map."""
    if change.run is None:
        part = name_of(body, change.part or "")
        if change.change == "line-and-load-swapped":
            return f"{part} has line and load swapped: that is a fault, mend it at the device."
        return f"{part} does not trip: that is a fault, replace the device."
    run = body["runs"][change.run]
    start, end = name_of(body, run["from"]), name_of(body, run["to"])
    if change.change == "fed-from-load-side":
        return f"{end} is fed from the load side of {name_of(body, change.start or '')}, not from {start}."
    if change.start is not None:
        return f"{end} is fed from {name_of(body, change.start)}, not from {start}."
    side, other = ("load", "line") if change.change == "to-load-side" else ("line", "load")
    return f"{end} is fed from the {side} side of {start}, not from its {other} side."


def is_for_the_map(changes: Sequence[MapEdit]) -> bool:
    """Say whether the map itself can be mended by one of the changes."""
    return any(is_drawable(change) for change in changes)


def advice_words(body: BodyRigMap, finding: MapFinding, tables: CodeTables) -> Advice:
    """Give a finding in words, with its clause, its edition and how that is known."""
    entry = tables.entries[finding.id]
    figures = {"value": f"{finding.value or 0:g}", "limit": f"{finding.limit or 0:g}"}
    parts = list(dict.fromkeys([*([finding.part] if finding.part else []), *finding.among]))
    runs = [body["runs"][run] for run in finding.runs if run < len(body["runs"])]
    about = [names_of(body, parts), *(run_words(body, run) for run in runs)]
    return Advice(
        level=finding.level,
        says=entry.says.format(**figures),
        about="; ".join(word for word in about if word),
        do=entry.do,
        source=_source(finding),
    )


def stop_words(drawn: DrawnRig, tables: CodeTables) -> list[str]:
    """Say what forbids use, mode by mode: of what, what it is, and what to do."""
    return [
        f"{f'{mode}: ' if mode else ''}{said.about}. {said.says} {said.do}"
        for mode, one in drawn.protections.items()
        for said in (advice_words(drawn.body, stop, tables) for stop in one.stops)
    ]


def place_words(body: BodyRigMap, place: DevicePlace) -> str:
    """Say where one more device would stand and what it would guard."""
    more = kind_name(device_kind(place.kind, is_gfci=True))
    stands = "" if place.kind == "cord-gfci" else " in its place"
    return f"{name_of(body, place.part)}: a {more}{stands} would guard {names_of(body, place.guards)}."


def _source(finding: MapFinding) -> str:
    if finding.clause == "own choice":
        return "Own choice."
    known = f"{finding.known[:1].upper()}{finding.known[1:]}."
    if "memory" in finding.known and "check the current code" not in finding.known.lower():
        known = f"{known} {CHECK_THE_CODE}"
    return f"{finding.clause}, edition {finding.edition}. {known}"


def _in_mode(drawn: DrawnRig, one: Contradiction) -> str:
    """Name the mode where the person did."""
    mode = drawn.trips[one.trip].body.get("mode")
    return f" in mode “{mode}”" if mode else ""


def _day(drawn: DrawnRig, trip: int) -> str:
    return drawn.trips[trip].day
