"""How a rig stands: its outlets and devices with their last results, and what speaks against it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from fieldlog.errors import BadInput
from fieldlog.model.due_items import DueItem
from fieldlog.model.rig import Chain, Device, Outlet, Rig
from fieldlog.model.rulebook import Rulebook
from fieldlog.reports.again import worse_now
from fieldlog.reports.age import self_test_sentence
from fieldlog.reports.change_lines import ChangeLine, change_lines
from fieldlog.reports.cord_sets import SetLine, set_lines
from fieldlog.reports.due import due_of
from fieldlog.reports.health import Health, health_of
from fieldlog.reports.looks import BadPoint, bad_points
from fieldlog.reports.map_words import contradiction_words, guard_words, stop_words, told_both_words
from fieldlog.reports.open_points import NEVER, OpenPoint, PointSources, open_points
from fieldlog.reports.proving import ChangeScopes, touching
from fieldlog.reports.rig_map import DrawnRig, drawn
from fieldlog.reports.round_steps import due_steps
from fieldlog.reports.trips import trip_result
from fieldlog.tables import entries, load
from fieldlog.words.kinds import GUARDS
from fieldlog.words.map_parts import name_of
from fieldlog.words.naming import ending


@dataclass(frozen=True)
class OutletLine:
    """An outlet with its last result; `current` is the id of the record that a correction would correct.

    What looks at it found bad is `looked`, a sentence each.
    """

    id: str
    current: str
    name: str
    type: str
    guard: str
    verdict: str | None
    result: str
    day: str
    note: str
    looked: tuple[str, ...] = ()


@dataclass(frozen=True)
class DeviceLine:
    """A ground-fault device with its last result and when it is next due."""

    id: str
    current: str
    name: str
    type: str
    installed: str
    result: str
    day: str
    due: DueItem
    note: str
    made: str = "not noted"
    age: str = ""


@dataclass(frozen=True)
class MapLine:
    """What the rig's map says in short: what has no guard, by mode, and how many trips say otherwise."""

    is_drawn: bool
    unguarded: tuple[tuple[str, tuple[str, ...]], ...] = ()
    contradictions: int = 0
    problem: str = ""


@dataclass(frozen=True)
class Overview:
    """A rig as it stands on a day, in words."""

    name: str
    plug: str
    note: str
    outlets: tuple[OutletLine, ...]
    devices: tuple[DeviceLine, ...]
    open_points: tuple[OpenPoint, ...]
    map: MapLine = MapLine(False)
    changes: tuple[ChangeLine, ...] = ()
    sets: tuple[SetLine, ...] = ()
    keeper: str = ""
    health: tuple[Health, ...] = ()
    due_steps: int = 0


def overview(rig: Rig, rulebook: Rulebook, today: date, *, has_proofs: bool = True) -> Overview:
    """Gather how the rig stands today; the proofs of its changes may be left out."""
    on_map = _judged(rig)
    known = _touching(rig)
    noted = change_lines(rig, entries("facts/proving.json"), known, has_proofs=has_proofs)
    owed = due_of(rig, entries("facts/due.json"), today, known)
    due = {str(item.thing.subject): item for item in owed if item.thing.what == "device"}
    bad = bad_points(rig, entries("facts/looks.json"))
    contradicting, worse = [said for _, said in _contradictions(on_map)], tuple(worse_now(rig, rulebook))
    points = tuple(
        open_points(
            PointSources(rig, rulebook, today, owed, noted, bad, _stops(on_map), contradicting, worse)
        )
    )
    return Overview(
        name=rig.name,
        plug=str(rig.chain.body["outlet"]),
        note=str(rig.chain.body["note"]),
        outlets=tuple(_outlet_line(outlet, rulebook, on_map, bad) for outlet in rig.outlets),
        devices=tuple(_device_line(device, rulebook, due[device.id]) for device in _guards(rig)),
        open_points=points,
        map=_map_line(rig, on_map),
        changes=noted,
        sets=set_lines(rig, owed, bad),
        keeper=str(rig.chain.body.get("assured_by", "")),
        health=health_of(rig, rulebook, today, owed, points),
        due_steps=len(due_steps(owed)),
    )


def guard_now(rig: Rig, outlet_id: str) -> str:
    """Say what guards an outlet by the map and its trip tests now; "" for what is no outlet of it."""
    outlet = rig.outlet(outlet_id)
    return "" if outlet is None else _guard_words(outlet, _judged(rig))


def contradictions(rig: Rig) -> list[tuple[Chain, str]]:
    """Give each trip test that contradicts the map or itself, and say how."""
    return _contradictions(_judged(rig))


def _guards(rig: Rig) -> list[Device]:
    return [device for device in rig.devices if device.is_guard]


def _judged(rig: Rig) -> DrawnRig | BadInput:
    """Give the map with what it says, or what is wrong with it."""
    try:
        return drawn(rig, load())
    except BadInput as bad:
        return bad


def _touching(rig: Rig) -> ChangeScopes | None:
    """Give what the changes touch; by a map that cannot be read, each who asks says so in its own way."""
    try:
        return touching(rig)
    except BadInput:
        return None


def _contradictions(on_map: DrawnRig | BadInput) -> list[tuple[Chain, str]]:
    if isinstance(on_map, BadInput):
        return []
    return [
        *((on_map.trips[one.trip], contradiction_words(on_map, one)) for one in on_map.contradictions),
        *((one.trip, told_both_words(on_map, one)) for one in on_map.told_both),
    ]


def _map_line(rig: Rig, on_map: DrawnRig | BadInput) -> MapLine:
    if isinstance(on_map, BadInput):
        return MapLine(rig.map is not None, problem=on_map.problems[0].problem)
    unguarded = (
        (mode, tuple(name_of(on_map.body, outlet) for outlet in one.unguarded))
        for mode, one in on_map.protections.items()
        if one.unguarded
    )
    return MapLine(on_map.is_drawn, tuple(unguarded), len(on_map.contradictions))


def _guard_words(outlet: Outlet, on_map: DrawnRig | BadInput) -> str:
    if isinstance(on_map, BadInput):
        return "not known: the map cannot be judged"
    parts = [part["id"] for part in on_map.body["parts"] if part.get("outlet") == outlet.id]
    return guard_words(on_map, parts) or "not known: it is not on the map, or without a feed there"


def _outlet_line(
    outlet: Outlet, rulebook: Rulebook, on_map: DrawnRig | BadInput, bad: Sequence[BadPoint]
) -> OutletLine:
    last = outlet.last_test
    return OutletLine(
        id=outlet.id,
        current=outlet.chain.entry.record.id,
        name=outlet.name,
        type=str(outlet.chain.body["outlet"]),
        guard=_guard_words(outlet, on_map),
        verdict=None if last is None else str(last.body["judgement"]["verdict"]),
        result=NEVER if last is None else ending(last.body, rulebook),
        day="" if last is None else last.day,
        note=str(outlet.chain.body["note"]),
        looked=tuple(f"{each.day}: {each.sentence}" for each in bad if each.subject == outlet.id),
    )


def _device_line(device: Device, rulebook: Rulebook, due: DueItem) -> DeviceLine:
    last = device.last_trip
    return DeviceLine(
        id=device.id,
        current=device.chain.entry.record.id,
        name=device.name,
        type=GUARDS[device.chain.body["type"]],
        installed=str(device.chain.body["installed"] or "not noted"),
        result=NEVER if last is None else trip_result(last.body, rulebook).answers,
        day="" if last is None else last.day,
        due=due,
        note=str(device.chain.body["note"]),
        made=str(device.chain.body.get("made") or "not noted"),
        age=self_test_sentence(device.chain.body),
    )


def _stops(on_map: DrawnRig | BadInput) -> list[str]:
    return [] if isinstance(on_map, BadInput) else stop_words(on_map, load())
