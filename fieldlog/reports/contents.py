"""What a service record says about a rig."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from fieldlog.model.check import PAIRS
from fieldlog.model.due import Due, DueState
from fieldlog.model.guarding import contradictions
from fieldlog.model.record import StoredRecord
from fieldlog.model.rig import Chain, Device, Outlet, Rig
from fieldlog.model.rulebook import Rulebook
from fieldlog.reports.changes import changes
from fieldlog.reports.trips import left_out, trip_result
from fieldlog.reports.wording import DEVICE_TYPES, KINDS, pair_words, step_words

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


@dataclass(frozen=True)
class OpenPoint:
    """Something that speaks against the rig, or that nobody has tested."""

    kind: str
    sentence: str


@dataclass(frozen=True)
class TestLine:
    """One test of the log."""

    day: str
    what: str
    result: str
    made_by: str
    number: int
    hash: str


@dataclass(frozen=True)
class CorrectionLine:
    """One correction: what it stands in for, what changed, and why."""

    day: str
    what: str
    changes: tuple[str, ...]
    reason: str
    number: int
    corrects: int


@dataclass(frozen=True)
class Arrivals:
    """How many arrival checks were made with the rig, and how the last one ended."""

    count: int
    last: str


@dataclass(frozen=True)
class LogEnd:
    """How many entries the rig's log holds, and its head."""

    count: int
    head: str


@dataclass(frozen=True)
class Contents:
    """A service record, in words and ready to be laid out."""

    name: str
    plug: str
    note: str
    made_at: str
    address: str
    outlets: tuple[OutletLine, ...]
    devices: tuple[DeviceLine, ...]
    open_points: tuple[OpenPoint, ...]
    tests: tuple[TestLine, ...]
    corrections: tuple[CorrectionLine, ...]
    arrivals: Arrivals
    log: LogEnd
    rulebook: str


def contents(rig: Rig, rulebook: Rulebook, *, made_at: datetime, address: str) -> Contents:
    """Gather what a service record of the rig says on the day on which it is made."""
    today = made_at.date()
    return Contents(
        name=rig.name,
        plug=str(rig.chain.body["outlet"]),
        note=str(rig.chain.body["note"]),
        made_at=made_at.strftime("%Y-%m-%d %H:%M %Z"),
        address=address,
        outlets=tuple(_outlet_line(rig, outlet, rulebook) for outlet in rig.outlets),
        devices=tuple(_device_line(device, rulebook, today) for device in rig.devices),
        open_points=tuple(_open_points(rig, rulebook, today)),
        tests=tuple(_tests(rig, rulebook)),
        corrections=tuple(_corrections(rig)),
        arrivals=_arrivals(rig, rulebook),
        log=LogEnd(rig.log[-1].position, rig.log[-1].head),
        rulebook=rulebook.id,
    )


def verdict_word(chain: Chain, rulebook: Rulebook) -> str:
    """Give the word of the verdict that a check ended in, and the fault that explains it first, if any."""
    words, said = rulebook.raw["words"], chain.body["judgement"]
    word = str(words["verdicts"][said["verdict"]]["word"])
    fault = words["explanations"].get(said["first"])
    return word if fault is None or said["first"] == "correct" else f"{word}: {fault['name']}"


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
        result=NEVER if last is None else verdict_word(last, rulebook),
        day="" if last is None else _day(last),
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
        day="" if last is None else _day(last),
        due=device.due(today),
        note=str(device.chain.body["note"]),
    )


def _open_points(rig: Rig, rulebook: Rulebook, today: date) -> Iterator[OpenPoint]:
    yield from _faults(rig, rulebook)
    yield from (OpenPoint("does not agree", each.sentence) for each in contradictions(rig))
    yield from _flags(rig)
    yield from _never_tested(rig)
    yield from _overdue(rig, today)
    yield from _skipped(rig)


def _faults(rig: Rig, rulebook: Rulebook) -> Iterator[OpenPoint]:
    for device in rig.devices:
        for trip in device.trips_that_count:
            for sentence in trip_result(trip.body, rulebook).stops:
                yield OpenPoint("does not work", f"“{device.name}”, {_day(trip)}: {sentence}")
    for outlet in rig.outlets:
        last = outlet.last_test
        if last is not None and last.body["judgement"]["verdict"] != "use":
            yield OpenPoint("last result", f"“{outlet.name}”, {_day(last)}: {verdict_word(last, rulebook)}.")


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
            yield OpenPoint("not tested", f"“{name}”, {_day(last)}: not tested: {', '.join(steps)}.")


def _left_out(rig: Rig) -> Iterator[tuple[str, Chain, tuple[str, ...]]]:
    for device in rig.devices:
        if device.last_trip is not None:
            yield device.name, device.last_trip, left_out(rig, device.last_trip.body)
    for outlet in rig.outlets:
        if outlet.last_test is not None:
            steps = outlet.last_test.body["not_tested"]
            yield outlet.name, outlet.last_test, tuple(step_words(step) for step in steps)


def _tests(rig: Rig, rulebook: Rulebook) -> Iterator[TestLine]:
    """Every test of an outlet or a device, newest first."""
    done = [(outlet.name, test) for outlet in rig.outlets for test in outlet.tests]
    done += [(device.name, trip) for device in rig.devices for trip in device.trips]
    for name, chain in sorted(done, key=lambda each: (each[1].at, each[1].entry.seq), reverse=True):
        entry, corrected = chain.entry, " (corrected)" if chain.corrections else ""
        result = _result(chain, rulebook) + corrected
        yield TestLine(_day(chain), name, result, entry.record.made_by, entry.position, entry.hash[:16])


def _result(chain: Chain, rulebook: Rulebook) -> str:
    if chain.entry.record.is_check:
        return "; ".join([verdict_word(chain, rulebook), *_readings(chain.body["check"])])
    return trip_result(chain.body, rulebook).answers


def _readings(check: dict[str, Any]) -> Iterator[str]:
    """Give what a meter or lamps showed, pair by pair."""
    for part in ("volts", "lamps"):
        shown = check.get(part, {})
        yield from (f"{pair_words(pair)} {shown[pair]}" for pair in PAIRS if pair in shown)


def _corrections(rig: Rig) -> Iterator[CorrectionLine]:
    by_id = {entry.record.id: entry for entry in rig.log}
    names = {outlet.id: outlet.name for outlet in rig.outlets}
    names |= {device.id: device.name for device in rig.devices}
    for entry in rig.log:
        before = by_id.get(entry.record.corrects or "")
        if before is not None:
            yield CorrectionLine(
                day=entry.received_at.date().isoformat(),
                what=_what(rig, entry),
                changes=changes(before.record.body, entry.record.body, names),
                reason=entry.record.reason or "",
                number=entry.position,
                corrects=before.position,
            )


def _flags(rig: Rig) -> Iterator[OpenPoint]:
    for entry in rig.log:
        for flag in entry.flags:
            yield OpenPoint("flagged", f"Entry {entry.position}, {_what(rig, entry)}: {flag.detail}")


def _what(rig: Rig, entry: StoredRecord) -> str:
    kind = KINDS.get(entry.record.kind, entry.record.kind)
    named = rig.outlet(entry.record.subject or entry.root) or rig.device(entry.record.subject or entry.root)
    return kind if named is None else f"{kind} “{named.name}”"


def _arrivals(rig: Rig, rulebook: Rulebook) -> Arrivals:
    if not rig.arrivals:
        return Arrivals(0, "none noted")
    last = rig.arrivals[0]
    outlet: Any = last.body["check"]["outlet"]
    return Arrivals(len(rig.arrivals), f"{_day(last)}, {outlet}: {verdict_word(last, rulebook)}")


def _day(chain: Chain) -> str:
    return chain.at.date().isoformat()
