"""How each outlet and device of a rig went over the years, as small charts for paper. Pure."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final

from fieldlog.errors import BadInput
from fieldlog.model.record import Record
from fieldlog.model.rig import Chain, Change, Rig
from fieldlog.model.rulebook import Rulebook
from fieldlog.reports.chart import Chart, chart_of
from fieldlog.reports.proving import ChangeScopes, touching
from fieldlog.reports.series import Mark, Pedestals, Series, device_series, outlet_series
from fieldlog.reports.series_words import flag_of, summary

LEAST: Final = 4
"""Below so many readings nothing is said of how a quantity went; the engine says too few as well."""
MOST: Final = 36
"""Own choice: so many of the newest readings are drawn, three years of a reading a month."""
MOST_ARRIVALS: Final = 200
"""Own choice: the newest arrival checks, which tell the site apart from the rig."""


@dataclass(frozen=True)
class Trend:
    """A chart of one quantity of one thing: what it is of, how it went, and where everything stands.

    Parameters
    ----------
    thing, what : str
        What the outlet or device is called, and which quantity with its unit.
    told : str
        How it went, in a sentence or two.
    chart : Chart
        Where everything stands.
    dots, errors : str
        The readings, and what each may be off by, as paths.
    """

    thing: str
    what: str
    told: str
    chart: Chart
    dots: str
    errors: str


def trends_of(rig: Rig, rulebook: Rulebook) -> Iterator[Trend]:
    """Give a chart of each outlet and device of which some quantity was read often enough.

    Of several the one that drifts, or the first.
    """
    newest = sorted(rig.arrivals, key=lambda each: each.at)[-MOST_ARRIVALS:]
    pedestals = Pedestals.of((each.entry.record for each in newest), rulebook)
    touched = scopes_or_none(rig)
    for outlet in rig.outlets:
        marks = wiring_marks(touched.changes_of_outlet(outlet.id)) if touched else ()
        yield from _of(outlet.name, outlet_series(_newest(outlet.tests), pedestals, marks, rulebook))
    for device in rig.devices:
        if device.is_guard:
            marks = wiring_marks(touched.changes_of_device(device.id)) if touched else ()
            yield from _of(device.name, device_series(_newest(device.trips), marks))


def _of(thing: str, found: Sequence[Series]) -> Iterator[Trend]:
    told = [each for each in found if len(each.points) >= LEAST]
    drifting = (each for each in told if flag_of(each, found) is not None)
    shown = next(drifting, told[0] if told else None)
    if shown is None:
        return
    chart = chart_of(shown)
    flag = flag_of(shown, found)
    said = summary(shown) if flag is None else " ".join((*flag.sentences, summary(shown)))
    yield Trend(
        thing=thing,
        what=f"{shown.name}, {shown.unit}",
        told=said,
        chart=chart,
        dots="".join(f"M{dot.x:.1f} {dot.y:.1f}h0" for dot in chart.dots),
        errors="".join(f"M{dot.x:.1f} {dot.top:.1f}V{dot.bottom:.1f}" for dot in chart.dots),
    )


def _newest(tests: Iterable[Chain]) -> list[Record]:
    newest = sorted(tests, key=lambda each: (each.at, each.entry.seq))[-MOST:]
    return [each.entry.record for each in newest]


def wiring_marks(changes: Iterable[Change]) -> tuple[Mark, ...]:
    """Give the days on which the wiring of a thing was changed, with what was done."""
    return tuple(Mark(each.chain.at.date(), f"wiring changed: {each.chain.body['what']}") for each in changes)


def scopes_or_none(rig: Rig) -> ChangeScopes | None:
    """Give what the changes touch; nothing by a map that cannot be read: then no change is marked."""
    try:
        return touching(rig)
    except BadInput:
        return None
