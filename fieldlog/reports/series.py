"""What was read at an outlet or a device over the years, as series of one quantity each.

Of each chain of corrections the record that counts is handed in; nothing else is asked here.
"""

from bisect import bisect_right
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from functools import cache, cached_property
from itertools import pairwise
from typing import Any, Final

from fieldlog.engine.bands import reading_error
from fieldlog.engine.intake import read_check
from fieldlog.engine.supply import full_amps, supply_of
from fieldlog.engine.trend.apart import rig_part
from fieldlog.engine.trend.intake import Series as Readings
from fieldlog.engine.trend.model import Reading
from fieldlog.engine.trend.trend import told
from fieldlog.errors import FieldlogError
from fieldlog.model.check import Check
from fieldlog.model.measured import check_input, measured
from fieldlog.model.record import Record
from fieldlog.model.rulebook import Rulebook
from fieldlog.tables import entries

ACROSS: Final = "h-n"
"""The pair of an outlet of the rig that loads hang across; what hangs elsewhere is in no series."""

RIGS_PART: Final = "The rig’s own part of the loop"
WHOLE: Final = "The whole loop, site and rig"
NEUTRAL: Final = "Neutral rise per ampere"
VOLTS: Final = "Volts, hot to neutral"
BOTH_READ: Final = "Of visits in which the pedestal was read under a load as well."
NOT_NOTED: Final = (
    "What the tester may be off by is not noted: {percent:g} % and {ms:g} ms are taken ({source})."
)


@dataclass(frozen=True)
class Point:
    """One reading of a series, and the record that it stands in."""

    day: date
    value: float
    uncertainty: float
    record: str
    is_corrected: bool = False

    @property
    def reading(self) -> Reading:
        """Give it as the engine takes it."""
        return Reading(self.day.toordinal(), self.value, self.uncertainty)


@dataclass(frozen=True)
class Mark:
    """A day on which something changed, and what: the baseline starts anew there."""

    day: date
    what: str


@dataclass(frozen=True)
class SeriesLine:
    """A limit that a quantity is held against."""

    value: float
    word: str
    source: str
    valid_from: str


@dataclass(frozen=True)
class Series:
    """The readings of one quantity, oldest first."""

    quantity: str
    name: str
    unit: str
    decimals: int
    points: tuple[Point, ...]
    marks: tuple[Mark, ...] = ()
    lines: tuple[SeriesLine, ...] = ()
    note: str = ""
    is_of_rig: bool = False
    told: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class _CheckFigures:
    """What one check showed: volts, and under a load ohms; with what it was read, and where."""

    record: Record
    check: Check
    volts: Reading | None
    loop: Reading | None
    neutral: Reading | None
    site: tuple[str, ...] | None = None
    pedestal: Reading | None = None

    @property
    def day(self) -> date:
        return self.record.observed.date()

    def point(self, reading: Reading) -> Point:
        return Point(
            self.day, reading.value, reading.uncertainty, self.record.id, self.record.corrects is not None
        )


@dataclass(frozen=True)
class Pedestals:
    """Pedestals as they were read on arrival, oldest first: read once for all outlets of a rig."""

    read: tuple[_CheckFigures, ...]

    @classmethod
    def of(cls, arrivals: Iterable[Record], rulebook: Rulebook) -> "Pedestals":
        """Read arrival checks; one that the engine cannot read is left out."""
        return cls(tuple(sorted(_read_all(arrivals, rulebook), key=_time)))

    @cached_property
    def _times(self) -> list[datetime]:
        return [one.record.observed for one in self.read]

    def before(self, moment: datetime) -> _CheckFigures | None:
        """Give the one that was read last, up to a moment."""
        at = bisect_right(self._times, moment)
        return self.read[at - 1] if at else None


def outlet_series(
    tests: Iterable[Record], pedestals: Pedestals, wiring: Iterable[Mark], rulebook: Rulebook
) -> tuple[Series, ...]:
    """Give the series of an outlet of the rig: the loop, the rig's part of it, the neutral's, and volts.

    A reading that the engine cannot read is in no series.
    """
    read = [_at_site(one, pedestals) for one in sorted(_read_all(tests, rulebook), key=_time)]
    if not read:
        return ()
    marks = (*wiring, *_changes_of(read, _meter_words))
    under_load = (*marks, *_changes_of([one for one in read if one.loop], _load_words))
    sites = _changes_of(read, _site_words)
    lines = tuple(_loop_lines(read[-1].check, rulebook))
    found = (
        Series(
            "loop-ohms", RIGS_PART, "ohm", 2, tuple(_parts(read)), under_load, note=BOTH_READ, is_of_rig=True
        ),
        Series("loop-ohms", WHOLE, "ohm", 2, tuple(_points(read, "loop")), (*under_load, *sites), lines),
        Series(
            *("neutral-ohms", NEUTRAL, "ohm", 2, tuple(_points(read, "neutral")), (*under_load, *sites)),
            tuple(_neutral_lines(rulebook)),
        ),
        Series(
            *("volts", VOLTS, "V", 1, tuple(_points(read, "volts")), (*marks, *sites)),
            tuple(_volt_lines(rulebook)),
        ),
    )
    return tuple(_judged(each) for each in found if each.points)


def device_series(trips: Iterable[Record], wiring: Iterable[Mark]) -> tuple[Series, ...]:
    """Give the series of a ground-fault device: how long it took to trip, where a tester told."""
    timed = sorted(
        (one for one in trips if one.body.get("milliseconds") and one.body.get("tripped")),
        key=lambda one: (one.observed, one.id),
    )
    percent, least_ms = _own("trip-time-percent"), _own("trip-time-ms")
    points, marks, was = [], list(wiring), ""
    for one in timed:
        milliseconds = measured(one.body["milliseconds"], "ms")
        off_by = milliseconds * percent / 100.0 + least_ms
        day, current = one.observed.date(), str(one.body.get("milliamps") or "not noted")
        points.append(Point(day, milliseconds, off_by, one.id, one.corrects is not None))
        if was and current != was:
            marks.append(Mark(day, f"another fault current: {current}"))
        was = current
    if not points:
        return ()
    note = NOT_NOTED.format(percent=percent, ms=least_ms, source=_facts()["trip-time-percent"]["source"])
    series = Series("trip-ms", "Time to trip", "ms", 0, tuple(points), tuple(marks), note=note)
    return (_judged(series),)


@cache
def _facts() -> dict[str, Mapping[str, Any]]:
    return {str(entry["id"]): entry for entry in entries("facts/series.json")}


def _own(name: str) -> float:
    return float(_facts()[name]["value"])


def _visit() -> timedelta:
    return timedelta(hours=_own("visit-hours"))


def _judged(series: Series) -> Series:
    """Put the marks in order, and add what the engine tells."""
    points = tuple(sorted(series.points, key=lambda point: point.day))
    marks = tuple(sorted(series.marks, key=lambda mark: mark.day))
    changes = tuple(mark.day.toordinal() for mark in marks)
    readings = Readings(series.quantity, tuple(point.reading for point in points), changes)
    return replace(series, points=points, marks=marks, told=told(readings))


def _points(read: Sequence[_CheckFigures], name: str) -> Iterator[Point]:
    for one in read:
        reading: Reading | None = getattr(one, name)
        if reading is not None:
            yield one.point(reading)


def _parts(read: Sequence[_CheckFigures]) -> Iterator[Point]:
    for one in read:
        if one.loop is not None and one.pedestal is not None:
            yield one.point(rig_part(one.loop, one.pedestal))


def _time(one: _CheckFigures) -> tuple[Any, str]:
    return one.record.observed, one.record.id


def _read_all(records: Iterable[Record], rulebook: Rulebook) -> Iterator[_CheckFigures]:
    for record in records:
        try:
            check = read_check(check_input(record.body["check"]), rulebook)
        except FieldlogError:
            continue
        yield _loaded(record, check, rulebook)


def _loaded(record: Record, check: Check, rulebook: Rulebook) -> _CheckFigures:
    day = record.observed.date().toordinal()
    first = next((one for one in check.live_sets if ACROSS in one.volts), None)
    volts = None
    if first is not None:
        shown = first.volts[ACROSS]
        volts = Reading(day, shown, reading_error(shown, first.meter) or _own("least-error"))
    supply = supply_of(check, rulebook)
    if supply is None or supply.across != ACROSS:
        return _CheckFigures(record, check, volts, None, None)
    off_by = supply.ohms_uncertainty or _own("least-error")
    neutral = None if supply.neutral_ohms is None else Reading(day, supply.neutral_ohms, off_by)
    return _CheckFigures(record, check, volts, Reading(day, supply.ohms, off_by), neutral)


def _at_site(one: _CheckFigures, pedestals: Pedestals) -> _CheckFigures:
    """Add where it was read: at the pedestal that was read last, where that was in the same visit."""
    last = pedestals.before(one.record.observed)
    if last is None or one.record.observed - last.record.observed > _visit():
        return one
    place = last.record.body.get("place") or {}
    is_same_supply = last.check.supply == one.check.supply
    return replace(
        one,
        site=tuple(str(place.get(name) or "").strip().casefold() for name in ("park", "site")),
        pedestal=last.loop if is_same_supply else None,
    )


def _changes_of(
    read: Sequence[_CheckFigures], words: Callable[[_CheckFigures, _CheckFigures], str]
) -> list[Mark]:
    """Give the days from which on something was another than at the reading before."""
    found = []
    for before, now in pairwise(read):
        what = words(before, now)
        if what:
            found.append(Mark(now.day, what))
    return found


def _meter_words(before: _CheckFigures, now: _CheckFigures) -> str:
    then, here = before.check.sets[0].meter, now.check.sets[0].meter
    if (then, before.record.instrument) != (here, now.record.instrument):
        return "another meter"
    return (
        ""
        if before.check.supply == now.check.supply
        else f"fed by another kind of source: {now.check.supply}"
    )


def _load_words(before: _CheckFigures, now: _CheckFigures) -> str:
    then, here = (_load_of(one.check) for one in (before, now))
    allowed = then[0] * then[1] / 100.0 + here[0] * here[1] / 100.0
    return f"another load: {here[0]:g} A" if abs(here[0] - then[0]) > allowed else ""


def _load_of(check: Check) -> tuple[float, float]:
    loads = [one.loaded for one in check.live_sets if one.loaded is not None]
    return (loads[0].amps, loads[0].amps_percent) if loads else (0.0, 0.0)


def _site_words(before: _CheckFigures, now: _CheckFigures) -> str:
    return "" if before.site == now.site else "another site" if now.site else "site not known"


def _loop_lines(check: Check, rulebook: Rulebook) -> Iterator[SeriesLine]:
    """Give the drop at 80 % of the outlet's rating as ohms."""
    amps = full_amps(check, rulebook)
    for level, word in (("note", "note"), ("limit", "limit"), ("stop", "stop")):
        limit = rulebook.limits[f"loop-drop-{level}"]
        said = f"{word}: {limit.value:g} V lost at {amps:g} A"
        yield SeriesLine(limit.value / amps, said, limit.source, limit.valid_from)


def _neutral_lines(rulebook: Rulebook) -> Iterator[SeriesLine]:
    limit = rulebook.limits["joint-least-ohms"]
    yield SeriesLine(limit.value, "a loose joint from here on", limit.source, limit.valid_from)


def _volt_lines(rulebook: Rulebook) -> Iterator[SeriesLine]:
    for name, word in (
        ("low-stop", "stop below"),
        ("rig-low-limit", "limit below"),
        ("high-limit", "limit above"),
        ("high-stop", "stop above"),
    ):
        limit = rulebook.limits[name]
        yield SeriesLine(limit.value, word, limit.source, limit.valid_from)
