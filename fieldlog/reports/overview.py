"""How a rig stands: its outlets and devices with their last results, and what speaks against it."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from fieldlog.errors import BadInput
from fieldlog.model.due_items import DueItem, Standing
from fieldlog.model.ends import end_lines
from fieldlog.model.rig import Chain, Device, Outlet, Rig
from fieldlog.model.rulebook import Rulebook
from fieldlog.reports.age import self_test_sentence
from fieldlog.reports.change_lines import NOT_YET_PROVED, ChangeLine, change_lines
from fieldlog.reports.clock import clock_words
from fieldlog.reports.cord_sets import SetLine, due_words, set_lines
from fieldlog.reports.due import due_of
from fieldlog.reports.looks import BadPoint, bad_points, ends_of
from fieldlog.reports.map_words import contradiction_words, guard_words, stop_words, told_both_words
from fieldlog.reports.proving import Touching, touching
from fieldlog.reports.rig_map import DrawnRig, drawn
from fieldlog.reports.trips import left_out, trip_result
from fieldlog.tables import entries, load
from fieldlog.words.kinds import GUARDS, entry_name
from fieldlog.words.map_parts import name_of
from fieldlog.words.naming import ending
from fieldlog.words.wording import CLOCK_WAS_OFF, CORRECTED_APART, begun, step_words

NEVER = "never tested"
SORTS = {"ground": ", its ground", "outlet-loaded": ", under load", "outlet-look": ", its look"}


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
    """What the rig's map says in short: what it leaves unguarded, and how many trips say otherwise."""

    is_drawn: bool
    unguarded: tuple[str, ...] = ()
    contradictions: int = 0
    problem: str = ""


@dataclass(frozen=True)
class OpenPoint:
    """Something that speaks against the rig, or that nobody has tested."""

    kind: str
    sentence: str


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


def overview(rig: Rig, rulebook: Rulebook, today: date, *, has_proofs: bool = True) -> Overview:
    """Gather how the rig stands today; the proofs of its changes may be left out."""
    on_map = _judged(rig)
    known = _touching(rig)
    noted = change_lines(rig, entries("facts/proving.json"), known, has_proofs=has_proofs)
    owed = due_of(rig, entries("facts/due.json"), today, known)
    due = {str(item.thing.subject): item for item in owed if item.thing.what == "device"}
    bad = bad_points(rig, entries("facts/looks.json"))
    return Overview(
        name=rig.name,
        plug=str(rig.chain.body["outlet"]),
        note=str(rig.chain.body["note"]),
        outlets=tuple(_outlet_line(outlet, rulebook, on_map, bad) for outlet in rig.outlets),
        devices=tuple(_device_line(device, rulebook, due[device.id]) for device in _guards(rig)),
        open_points=(
            *_not_yet_proved(noted),
            *_struck(owed),
            *_ended(rig, today),
            *_open_points(rig, rulebook, due, bad, on_map),
            *_open_sets(owed),
        ),
        map=_map_line(rig, on_map),
        changes=noted,
        sets=set_lines(rig, owed, bad),
        keeper=str(rig.chain.body.get("assured_by", "")),
    )


def guard_now(rig: Rig, outlet_id: str) -> str:
    """Say what guards an outlet by the map and its trip tests now; "" for what is no outlet of it."""
    outlet = rig.outlet(outlet_id)
    return "" if outlet is None else _guard_words(outlet, _judged(rig))


def disagreements(rig: Rig) -> list[tuple[Chain, str]]:
    """Give each trip test that contradicts the map or itself, and say how."""
    return _disagreements(_judged(rig))


def _guards(rig: Rig) -> list[Device]:
    return [device for device in rig.devices if device.is_guard]


def _judged(rig: Rig) -> DrawnRig | BadInput:
    """Give the map with what it says, or what is wrong with it."""
    try:
        return drawn(rig, load())
    except BadInput as bad:
        return bad


def _touching(rig: Rig) -> Touching | None:
    """Give what the changes touch; by a map that cannot be read, each who asks says so in its own way."""
    try:
        return touching(rig)
    except BadInput:
        return None


def _disagreements(on_map: DrawnRig | BadInput) -> list[tuple[Chain, str]]:
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
        f"{f'{mode}: ' if mode else ''}{name_of(on_map.body, outlet)}"
        for mode, one in on_map.protections.items()
        for outlet in one.unprotected
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


def _open_points(
    rig: Rig,
    rulebook: Rulebook,
    due: Mapping[str, DueItem],
    bad: Sequence[BadPoint],
    on_map: DrawnRig | BadInput,
) -> Iterator[OpenPoint]:
    yield from (OpenPoint("do not switch it on so", sentence) for sentence in _stops(on_map))
    yield from _failed_devices(rig, rulebook)
    yield from (_looked(each) for each in bad if each.is_grave)
    yield from _last_results(rig, rulebook)
    yield from (_looked(each) for each in bad if not each.is_grave)
    yield from (OpenPoint("does not agree", sentence) for _, sentence in _disagreements(on_map))
    yield from _apart(rig)
    yield from _flags(rig)
    yield from _never_tested(rig)
    yield from _overdue(due)
    yield from _skipped(rig)


def _stops(on_map: DrawnRig | BadInput) -> list[str]:
    return [] if isinstance(on_map, BadInput) else stop_words(on_map, load())


def _looked(bad: BadPoint) -> OpenPoint:
    return OpenPoint("bad when looked at", f"{bad.name}, {bad.day}: {bad.sentence}")


def _not_yet_proved(changes: Iterable[ChangeLine]) -> Iterator[OpenPoint]:
    for change in changes:
        if not change.is_proved:
            said = f"“{change.what}”, {change.day}: {change.standing}."
            yield OpenPoint(NOT_YET_PROVED.lower(), said)


def _struck(owed: Iterable[DueItem]) -> Iterator[OpenPoint]:
    for item in owed:
        if item.struck is not None:
            yield OpenPoint(
                "after an incident", f"“{item.thing.name}”{SORTS.get(item.thing.what, '')}: {item.words}."
            )


def _ended(rig: Rig, today: date) -> Iterator[OpenPoint]:
    for line in end_lines(ends_of(rig), today):
        yield OpenPoint("its end", line)


def _failed_devices(rig: Rig, rulebook: Rulebook) -> Iterator[OpenPoint]:
    for device in rig.devices:
        for trip in device.trips_that_count:
            for sentence in trip_result(trip.body, rulebook).stops:
                yield OpenPoint("does not work", f"“{device.name}”, {trip.day}: {sentence}")


def _last_results(rig: Rig, rulebook: Rulebook) -> Iterator[OpenPoint]:
    for outlet in rig.outlets:
        last = outlet.last_test
        if last is not None and last.body["judgement"]["verdict"] != "use":
            yield OpenPoint("last result", f"“{outlet.name}”, {last.day}: {ending(last.body, rulebook)}.")


def _never_tested(rig: Rig) -> Iterator[OpenPoint]:
    for device in _guards(rig):
        if device.last_press is None:
            yield OpenPoint(NEVER, f"“{device.name}” was never seen to trip by its own TEST button.")
    for outlet in rig.outlets:
        if outlet.last_test is None:
            yield OpenPoint(NEVER, f"“{outlet.name}” was never tested.")


def _overdue(due: Mapping[str, DueItem]) -> Iterator[OpenPoint]:
    for item in due.values():
        if item.standing is Standing.OVERDUE and item.struck is None:
            yield OpenPoint("overdue", f"“{item.thing.name}”: trip test {item.words}.")


def _open_sets(owed: Iterable[DueItem]) -> Iterator[OpenPoint]:
    """Give the cord sets that are not to be used: never tested, overdue, or found bad."""
    for item in owed:
        if item.thing.what in ("set", "set-fixed") and item.is_due and item.struck is None:
            yield OpenPoint("cord set", f"“{item.thing.name}”: {due_words(item)}.")


def _skipped(rig: Rig) -> Iterator[OpenPoint]:
    for name, last, steps in _left_out(rig):
        if steps:
            yield OpenPoint("not tested", f"“{name}”, {last.day}: not tested: {', '.join(steps)}.")


def _left_out(rig: Rig) -> Iterator[tuple[str, Chain, tuple[str, ...]]]:
    for device in rig.devices:
        if device.last_trip is not None:
            yield device.name, device.last_trip, left_out(rig, device.last_trip.body)
    for outlet in rig.outlets:
        if outlet.last_test is not None:
            steps = outlet.last_test.body["not_tested"]
            yield outlet.name, outlet.last_test, tuple(step_words(step) for step in steps)


def _apart(rig: Rig) -> Iterator[OpenPoint]:
    for chain in rig.chains:
        if chain.beside:
            numbers = sorted(leaf.position for leaf in chain.leaves)
            told = f"entries {', '.join(map(str, numbers[:-1]))} and {numbers[-1]} stand side by side"
            counts = f"{chain.entry.position} was made last, by the phones’ clocks, and counts"
            yield OpenPoint(
                CORRECTED_APART,
                f"{begun(entry_name(rig, chain.entry))}: {told}. {counts} until one settles it.",
            )


def _flags(rig: Rig) -> Iterator[OpenPoint]:
    off = [str(entry.position) for entry in rig.log if clock_words(entry.clock_offset_s)]
    if off:
        yield OpenPoint("flagged", f"{CLOCK_WAS_OFF} Entries: {', '.join(off)}.")
    for entry in rig.log:
        for flag in entry.flags:
            if flag.flag != "clock-differs" or not clock_words(entry.clock_offset_s):
                yield OpenPoint("flagged", f"Entry {entry.position}, {entry_name(rig, entry)}: {flag.detail}")
