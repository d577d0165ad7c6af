"""How a rig stands: its outlets and devices with their last results, and what speaks against it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from fieldlog.model.due import Due, DueState
from fieldlog.model.guarding import contradictions
from fieldlog.model.record import StoredRecord
from fieldlog.model.rig import Chain, Device, Outlet, Rig, chains
from fieldlog.model.rulebook import Rulebook
from fieldlog.reports.age import self_test_sentence
from fieldlog.reports.clock import clock_words
from fieldlog.reports.naming import ending
from fieldlog.reports.trips import left_out, trip_result
from fieldlog.reports.wording import CLOCK_WAS_OFF, CORRECTED_APART, DEVICE_TYPES, KINDS, begun, step_words

NEVER = "never tested"


@dataclass(frozen=True)
class OutletLine:
    """An outlet with its last result; `current` is the id of the record that a correction would correct."""

    id: str
    current: str
    name: str
    type: str
    guard: str
    verdict: str | None
    result: str
    day: str
    note: str


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
    due: Due
    note: str
    made: str = "not noted"
    age: str = ""


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


def overview(rig: Rig, rulebook: Rulebook, today: date) -> Overview:
    """Gather how the rig stands today."""
    return Overview(
        name=rig.name,
        plug=str(rig.chain.body["outlet"]),
        note=str(rig.chain.body["note"]),
        outlets=tuple(_outlet_line(rig, outlet, rulebook) for outlet in rig.outlets),
        devices=tuple(_device_line(device, rulebook, today) for device in rig.devices),
        open_points=tuple(_open_points(rig, rulebook, today)),
    )


def entry_name(rig: Rig, entry: StoredRecord) -> str:
    """Say what an entry of the rig's log is about."""
    kind = KINDS.get(entry.record.kind, entry.record.kind)
    named = rig.outlet(entry.record.subject or entry.root) or rig.device(entry.record.subject or entry.root)
    return kind if named is None else f"{kind} “{named.name}”"


def day_of(chain: Chain) -> str:
    """Give the day of the observation."""
    return chain.at.date().isoformat()


def _outlet_line(rig: Rig, outlet: Outlet, rulebook: Rulebook) -> OutletLine:
    last = outlet.last_test
    guard = rig.device(outlet.guard)
    return OutletLine(
        id=outlet.id,
        current=outlet.chain.entry.record.id,
        name=outlet.name,
        type=str(outlet.chain.body["outlet"]),
        guard="none noted" if guard is None else guard.name,
        verdict=None if last is None else str(last.body["judgement"]["verdict"]),
        result=NEVER if last is None else ending(last.body, rulebook),
        day="" if last is None else day_of(last),
        note=str(outlet.chain.body["note"]),
    )


def _device_line(device: Device, rulebook: Rulebook, today: date) -> DeviceLine:
    last = device.last_trip
    return DeviceLine(
        id=device.id,
        current=device.chain.entry.record.id,
        name=device.name,
        type=DEVICE_TYPES[device.chain.body["type"]],
        installed=str(device.chain.body["installed"] or "not noted"),
        result=NEVER if last is None else trip_result(last.body, rulebook).answers,
        day="" if last is None else day_of(last),
        due=device.due(today),
        note=str(device.chain.body["note"]),
        made=str(device.chain.body.get("made") or "not noted"),
        age=self_test_sentence(device.chain.body),
    )


def _open_points(rig: Rig, rulebook: Rulebook, today: date) -> Iterator[OpenPoint]:
    yield from _faults(rig, rulebook)
    yield from (OpenPoint("does not agree", each.sentence) for each in contradictions(rig))
    yield from _apart(rig)
    yield from _flags(rig)
    yield from _never_tested(rig)
    yield from _overdue(rig, today)
    yield from _skipped(rig)


def _faults(rig: Rig, rulebook: Rulebook) -> Iterator[OpenPoint]:
    for device in rig.devices:
        for trip in device.trips_that_count:
            for sentence in trip_result(trip.body, rulebook).stops:
                yield OpenPoint("does not work", f"“{device.name}”, {day_of(trip)}: {sentence}")
    for outlet in rig.outlets:
        last = outlet.last_test
        if last is not None and last.body["judgement"]["verdict"] != "use":
            yield OpenPoint("last result", f"“{outlet.name}”, {day_of(last)}: {ending(last.body, rulebook)}.")


def _never_tested(rig: Rig) -> Iterator[OpenPoint]:
    for device in rig.devices:
        if device.last_press is None:
            yield OpenPoint(NEVER, f"“{device.name}” was never seen to trip by its own TEST button.")
    for outlet in rig.outlets:
        if outlet.last_test is None:
            yield OpenPoint(NEVER, f"“{outlet.name}” was never tested.")


def _overdue(rig: Rig, today: date) -> Iterator[OpenPoint]:
    for device in rig.devices:
        when = device.due(today)
        if when.state is DueState.OVERDUE:
            yield OpenPoint("overdue", f"“{device.name}”: trip test {when.words}.")


def _skipped(rig: Rig) -> Iterator[OpenPoint]:
    for name, last, steps in _left_out(rig):
        if steps:
            yield OpenPoint("not tested", f"“{name}”, {day_of(last)}: not tested: {', '.join(steps)}.")


def _left_out(rig: Rig) -> Iterator[tuple[str, Chain, tuple[str, ...]]]:
    for device in rig.devices:
        if device.last_trip is not None:
            yield device.name, device.last_trip, left_out(rig, device.last_trip.body)
    for outlet in rig.outlets:
        if outlet.last_test is not None:
            steps = outlet.last_test.body["not_tested"]
            yield outlet.name, outlet.last_test, tuple(step_words(step) for step in steps)


def _apart(rig: Rig) -> Iterator[OpenPoint]:
    for chain in chains(rig.log):
        if chain.beside:
            numbers = [str(leaf.position) for leaf in chain.leaves]
            told = (
                f"{begun(entry_name(rig, chain.entry))}: entries {', '.join(numbers[:-1])} and {numbers[-1]}"
            )
            yield OpenPoint(
                CORRECTED_APART,
                f"{told} stand side by side. {numbers[-1]} arrived last and counts until one settles it.",
            )


def _flags(rig: Rig) -> Iterator[OpenPoint]:
    off = [str(entry.position) for entry in rig.log if clock_words(entry.clock_offset_s)]
    if off:
        yield OpenPoint("flagged", f"{CLOCK_WAS_OFF} Entries: {', '.join(off)}.")
    for entry in rig.log:
        for flag in entry.flags:
            if flag.flag != "clock-differs" or not clock_words(entry.clock_offset_s):
                yield OpenPoint("flagged", f"Entry {entry.position}, {entry_name(rig, entry)}: {flag.detail}")
