"""Where the volts lie: the bands of the supply, unloaded and under load, and the two hots of a split phase.

The same comparisons, in the same order, stand in static/js/engine/bands.js.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import sqrt

from fieldlog.engine.limits import PRACTICE, Finding
from fieldlog.model.check import Check, Meter, ReadingSet
from fieldlog.model.rulebook import Limit, Rulebook

BANDED_PAIRS = ("h-n", "x-n", "y-n")
BOTH_HOTS = "x-y"
LAWFUL_SHARES = (1.0, sqrt(0.75))
"""Volts between two equal legs as a share of their sum: 180 and 120 degrees apart."""
TWO_LEGS = "Kirchhoff's voltage law: legs 180 or 120 degrees apart lie 1.00 or 0.87 of their sum apart"
BINARY_VOLTS = 1e-6
"""What tenths of a volt may miss as binary numbers, own choice; on the border is inside."""
LEVELS = ("stop", "limit", "note")
NOTHING: Mapping[str, float] = {}


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
    is_misled : bool
        Whether an inverter's wave may mislead the meter.
    """

    quantity: str
    volts: float
    accuracy: float
    is_loaded: bool
    times: float = 1.0
    is_misled: bool = False


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
    return _worst([*found, *_legs_208(check, rulebook), *_legs_disagree(check, rulebook), *_misled(check)])


def _levels(check: Check, rulebook: Rulebook) -> Iterator[Level]:
    for one in check.live_sets:
        loaded, after = (one.loaded.volts, one.loaded.after) if one.loaded else (NOTHING, NOTHING)
        for bare in (one.volts, after):
            for level in _levels_in(bare, one.meter, False, check, rulebook):
                if not _stands_for_it(level, loaded, check, rulebook):
                    yield level
        yield from _levels_in(loaded, one.meter, True, check, rulebook)


def _stands_for_it(bare: Level, loaded: Mapping[str, float], check: Check, rulebook: Rulebook) -> bool:
    """Tell whether a generator's or inverter's volts under load stand for those without; too high is that."""
    is_own_source = check.supply != "utility"
    return (
        is_own_source
        and bare.quantity in loaded
        and not bare.volts > rulebook.limit("high-stop") * bare.times
    )


def _levels_in(
    volts: Mapping[str, float], meter: Meter, is_loaded: bool, check: Check, rulebook: Rulebook
) -> Iterator[Level]:
    prefix = "loaded." if is_loaded else ""
    misled = is_misled(meter, check)
    for pair in BANDED_PAIRS:
        if pair in volts:
            accuracy = reading_error(volts[pair], meter)
            yield Level(f"{prefix}{pair}", volts[pair], accuracy, is_loaded, is_misled=misled)
    if _is_240(volts, rulebook):
        accuracy = reading_error(volts[BOTH_HOTS], meter)
        yield Level(f"{prefix}{BOTH_HOTS}", volts[BOTH_HOTS], accuracy, is_loaded, 2.0, misled)


def reading_error(volts: float, meter: Meter) -> float:
    """Give what a reading may be off by: a share of it, and the digits.

    Parameters
    ----------
    volts : float
        As shown [V].
    meter : Meter
        Its accuracy [%, V].

    Returns
    -------
    float
        Half width [V].

    Examples
    --------
    >>> reading_error(120.0, Meter())
    1.5

    References
    ----------
    How makers of meters state accuracy: percent of reading plus digits.
    """
    return volts * meter.accuracy_percent / 100.0 + meter.accuracy_volts


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
        volts = one.volts[BOTH_HOTS]
        level = Level(BOTH_HOTS, volts, reading_error(volts, one.meter), False)
        low, high = rulebook.limits["legs-208-low"], rulebook.limits["legs-208-high"]
        border = low if level.volts < low.value else high
        is_outside = level.volts < low.value or level.volts > high.value
        limit = border.value if is_outside else None
        found.append(
            _finding("legs-208", "limit" if is_outside else "note", level, border.source, limit, False)
        )
    return found


def _legs_disagree(check: Check, rulebook: Rulebook) -> Iterator[Finding]:
    """Find legs that lie neither 180 nor 120 degrees apart, as where their neutral is lost upstream.

    Of each kind of meter the latest set counts: what was read again takes the place of what it repeats.
    """
    latest = {one.meter.input: one for one in check.live_sets if "n-g" in one.volts}
    for one in latest.values():
        share = _share_of_legs(one.volts)
        if share is not None and not share < rulebook.limit("legs-208-from"):
            yield from _unlawful_legs(one)


def _unlawful_legs(one: ReadingSet) -> Iterator[Finding]:
    """Compare the volts between the legs with both lawful ones, errors and the neutral's lift allowed for."""
    volts, legs = one.volts[BOTH_HOTS], one.volts["x-n"] + one.volts["y-n"]
    # The legs by themselves first, so that it is the same to the last bit with the legs changed over.
    of_legs = reading_error(one.volts["x-n"], one.meter) + reading_error(one.volts["y-n"], one.meter)
    slack = 2.0 * one.volts["n-g"] + BINARY_VOLTS + reading_error(volts, one.meter) + of_legs
    nearest = min((share * legs for share in LAWFUL_SHARES), key=lambda lawful: abs(volts - lawful))
    if abs(volts - nearest) > slack:
        yield Finding("legs-disagree", "limit", TWO_LEGS, BOTH_HOTS, volts, slack, nearest, False)


def is_misled(meter: Meter, check: Check) -> bool:
    """Tell whether the wave may mislead the meter: one that averages, on an inverter."""
    return meter.rms == "average" and check.supply == "inverter"


def _band_findings(one: Level, check: Check, rulebook: Rulebook) -> Iterator[Finding]:
    if one.is_misled:
        yield from _band_of_average(one, rulebook)
        return
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


def _band_of_average(one: Level, rulebook: Rulebook) -> Iterator[Finding]:
    low, high, volts = rulebook.limits["average-low"], rulebook.limits["average-high"], one.volts / one.times
    if volts < low.value:
        yield _finding("voltage-low", "stop", one, low.source, low.value * one.times, False)
    elif volts > high.value:
        yield _finding("voltage-high", "stop", one, high.source, high.value * one.times, False)


def _misled(check: Check) -> Iterator[Finding]:
    for one in check.live_sets:
        if is_misled(one.meter, check) and (one.volts or (one.loaded is not None and one.loaded.volts)):
            yield Finding("meter-not-true-rms", "limit", PRACTICE)
            return


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
