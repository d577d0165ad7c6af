"""Where the volts lie: the bands of the supply, unloaded and under load, and the two hots of a split phase.

The same comparisons, in the same order, stand in static/js/engine/bands.js.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from fieldlog.engine.limits import Finding
from fieldlog.model.check import Check, Meter
from fieldlog.model.rulebook import Limit, Rulebook

BANDED_PAIRS = ("h-n", "x-n", "y-n")
BOTH_HOTS = "x-y"
LEVELS = ("stop", "limit", "note")


@dataclass(frozen=True)
class Level:
    """One reading whose level counts.

    Parameters
    ----------
    quantity : str
        The pair, with "loaded." before it under load.
    volts, accuracy : float
        The reading and its meter's accuracy at it [V].
    is_loaded : bool
        Whether it was read under load.
    times : float
        What the bands of 120 V are multiplied by: 1, or 2 between the hots of a 240 V system.
    """

    quantity: str
    volts: float
    accuracy: float
    is_loaded: bool
    times: float = 1.0


def voltage_findings(check: Check, rulebook: Rulebook) -> list[Finding]:
    """Judge the level of every reading from hot to neutral, and between two hots.

    Parameters
    ----------
    check : Check
        Sets of readings [V] with their meters.
    rulebook : Rulebook
        Bands.

    Returns
    -------
    list of Finding
        For each quantity the worst one of a kind; none where the whole of v +- a lies within 114 to 126 V.

    Notes
    -----
    A reading v has the uncertainty a = v * percent / 100 + digits. The worst band that [v - a, v + a]
    meets counts; a border belongs to the better band. Guarding a limit by the full accuracy is the decision
    rule of ILAC-G8:09/2019, section 4.2.2, with the guard band equal to the uncertainty. Readings of a meter
    that is too coarse count only where no finer one read the same.
    """
    levels = list(_levels(check, rulebook))
    coarse = rulebook.limits["meter-coarse"]
    fine = {one.quantity for one in levels if not one.accuracy > coarse.value * one.times}
    found: list[Finding] = []
    for one in levels:
        is_coarse = one.accuracy > coarse.value * one.times
        if is_coarse and one.quantity in fine:
            continue
        if is_coarse:
            found.append(_finding("meter-too-coarse", "limit", one, coarse.source, coarse.value, False))
        found.extend(_band_findings(one, check, rulebook))
    return _worst([*found, *_legs_208(check, rulebook)])


def _levels(check: Check, rulebook: Rulebook) -> Iterator[Level]:
    for one in check.live_sets:
        yield from _levels_in(one.volts, one.meter, False, rulebook)
        if one.loaded is not None:
            yield from _levels_in(one.loaded.volts, one.meter, True, rulebook)


def _levels_in(
    volts: Mapping[str, float], meter: Meter, is_loaded: bool, rulebook: Rulebook
) -> Iterator[Level]:
    prefix = "loaded." if is_loaded else ""
    for pair in BANDED_PAIRS:
        if pair in volts:
            yield _level(f"{prefix}{pair}", volts[pair], meter, is_loaded)
    if _is_240(volts, rulebook):
        yield _level(f"{prefix}{BOTH_HOTS}", volts[BOTH_HOTS], meter, is_loaded, 2.0)


def _level(quantity: str, volts: float, meter: Meter, is_loaded: bool, times: float = 1.0) -> Level:
    accuracy = volts * meter.accuracy_percent / 100.0 + meter.accuracy_volts
    return Level(quantity, volts, accuracy, is_loaded, times)


def _share_of_legs(volts: Mapping[str, float]) -> float | None:
    """Give the volts between the hots as a share of the legs' sum, None where one was not read."""
    if any(pair not in volts for pair in (BOTH_HOTS, "x-n", "y-n")):
        return None
    legs = volts["x-n"] + volts["y-n"]
    return volts[BOTH_HOTS] / legs if legs > 0.0 else None


def _is_240(volts: Mapping[str, float], rulebook: Rulebook) -> bool:
    share = _share_of_legs(volts)
    return share is not None and share > rulebook.limit("legs-240-from")


def _legs_208(check: Check, rulebook: Rulebook) -> list[Finding]:
    """Tell a legal 120/208 V supply, and where its volts between the hots leave their own range."""
    found: list[Finding] = []
    for one in check.live_sets:
        share = _share_of_legs(one.volts)
        if (
            share is None
            or share > rulebook.limit("legs-240-from")
            or share < rulebook.limit("legs-208-from")
        ):
            continue
        level = _level(BOTH_HOTS, one.volts[BOTH_HOTS], one.meter, False)
        low, high = rulebook.limits["legs-208-low"], rulebook.limits["legs-208-high"]
        border = low if level.volts < low.value else high
        is_outside = level.volts < low.value or level.volts > high.value
        limit = border.value if is_outside else None
        found.append(
            _finding("legs-208", "limit" if is_outside else "note", level, border.source, limit, False)
        )
    return found


def _band_findings(one: Level, check: Check, rulebook: Rulebook) -> Iterator[Finding]:
    low, own_low = (
        _low_band(volts / one.times, one, check, rulebook) for volts in (one.volts - one.accuracy, one.volts)
    )
    high, own_high = (
        _high_band(volts / one.times, rulebook) for volts in (one.volts + one.accuracy, one.volts)
    )
    for name, band, own in (("voltage-low", low, own_low), ("voltage-high", high, own_high)):
        if band is not None:
            level, limit = band
            straddles = own is None or own[0] != level
            yield _finding(name, level, one, limit.source, limit.value * one.times, straddles)


def _finding(name: str, level: str, one: Level, source: str, limit: float | None, straddles: bool) -> Finding:
    return Finding(name, level, source, one.quantity, one.volts, one.accuracy, limit, straddles)


def _low_band(volts: float, one: Level, check: Check, rulebook: Rulebook) -> tuple[str, Limit] | None:
    limits = rulebook.limits
    is_lenient = one.is_loaded or check.where == "rig"
    border = limits["rig-low-limit"] if is_lenient else limits["low-limit"]
    if volts < limits["low-stop"].value:
        return "stop", limits["low-stop"]
    if volts < border.value:
        return "limit", border
    if one.is_loaded:
        return None
    return ("note", limits["low-note"]) if volts < limits["low-note"].value else None


def _high_band(volts: float, rulebook: Rulebook) -> tuple[str, Limit] | None:
    limits = rulebook.limits
    if volts > limits["high-stop"].value:
        return "stop", limits["high-stop"]
    if volts > limits["high-limit"].value:
        return "limit", limits["high-limit"]
    return ("note", limits["high-note"]) if volts > limits["high-note"].value else None


def _worst(found: list[Finding]) -> list[Finding]:
    """Keep the gravest finding of each kind and quantity, the earlier one where two are alike."""
    kept: dict[tuple[str, str | None], Finding] = {}
    for one in found:
        key = one.id, one.quantity
        if key not in kept or LEVELS.index(one.level) < LEVELS.index(kept[key].level):
            kept[key] = one
    return list(kept.values())
