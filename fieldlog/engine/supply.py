"""What a load tells of the supply: the loop's ohms, where they lie, and what heat a loose joint makes.

The same arithmetic, in the same order, stands in static/js/engine/supply.js.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from fieldlog.engine.kernel import kernel_of, least_telling_drop, measured_drop
from fieldlog.engine.limits import OWN_CHOICE, PRACTICE, Finding
from fieldlog.engine.reading_sets import has_held_upstream
from fieldlog.model.check import Check, LoadTest, ReadingSet
from fieldlog.model.rulebook import Rulebook

BOTH_HOTS = "x-y"


@dataclass(frozen=True)
class Supply:
    """What one load showed.

    Parameters
    ----------
    across : str
        The loaded pair.
    volts : float
        Its unloaded volts [V].
    ohms, ohms_uncertainty, ohms_bound : float
        The loop [ohm]; its uncertainty where both readings share the meter's gain error, and where they do
        not [ohm].
    hot_ohms, neutral_ohms : float or None
        The loop's parts [ohm]; None where neutral to ground was not read both ways.
    """

    across: str
    volts: float
    ohms: float
    ohms_uncertainty: float
    ohms_bound: float
    hot_ohms: float | None
    neutral_ohms: float | None

    def as_json(self) -> dict[str, Any]:
        """Give it as a JSON object with every member present."""
        return {
            "across": self.across,
            "volts": self.volts,
            "ohms": self.ohms,
            "ohms_uncertainty": self.ohms_uncertainty,
            "ohms_bound": self.ohms_bound,
            "hot_ohms": self.hot_ohms,
            "neutral_ohms": self.neutral_ohms,
        }


def supply_of(check: Check, rulebook: Rulebook) -> Supply | None:
    """Give what the first load of a check shows of the supply.

    Parameters
    ----------
    check : Check
        Sets of readings, with and without a load [V, A].
    rulebook : Rulebook
        The least current that counts.

    Returns
    -------
    Supply or None
        None without a pair read both ways, or below 1 A.

    Notes
    -----
    Z = (V0 - V1) / I, V0 and V1 read on the loaded pair without and with the current I. The neutral carries
    the same current and ground none, so the rise between neutral and ground over I is the neutral's part. The
    meter's gain error is common to both readings and counts on their difference only; the bound counts it on
    both in full. Holds for a resistive source; an inductive one reads a little low.

    Examples
    --------
    122.0 V falls to 117.5 V under 12.5 A: (122.0 - 117.5) / 12.5 = 0.360 ohm. Digits of 0.3 V, twice, and 1 %
    of the fall over 12.5 A are 0.0516 ohm, and 5 % of the current adds 0.018 ohm.

    >>> from fieldlog.rulebook import load
    >>> one = ReadingSet(volts={"h-n": 122.0}, loaded=LoadTest("h-n", 12.5, volts={"h-n": 117.5}))
    >>> found = supply_of(Check("TT-30", sets=(one,)), load())
    >>> round(found.ohms, 3), round(found.ohms_uncertainty, 4)
    (0.36, 0.0696)

    References
    ----------
    Ohm's law; source impedance from two readings: any textbook on circuits. NEC 210.19(A), informational note
    on voltage drop, for what the drop is compared with.
    """
    for one in check.live_sets:
        drop = measured_drop(one)
        if drop is not None and one.loaded is not None and one.loaded.amps >= rulebook.limit("load-least"):
            return _supply(one, one.loaded, drop)
    return None


def _supply(one: ReadingSet, loaded: LoadTest, drop: float) -> Supply:
    amps, across = loaded.amps, loaded.across
    ohms = drop / amps
    size = drop if drop >= 0.0 else -drop
    by_amps = (ohms if ohms >= 0.0 else -ohms) * loaded.amps_percent / 100.0
    share, digits = one.meter.accuracy_percent / 100.0, 2.0 * one.meter.accuracy_volts
    digits = digits + moved_volts(one) / 2.0
    both = drop + loaded.volts[across] + loaded.volts[across]
    neutral_ohms = _neutral_ohms(one, loaded)
    return Supply(
        across=across,
        volts=_bare(one, across),
        ohms=ohms,
        ohms_uncertainty=(digits + share * size) / amps + by_amps,
        ohms_bound=(digits + share * both) / amps + by_amps,
        hot_ohms=None if neutral_ohms is None else ohms - neutral_ohms,
        neutral_ohms=neutral_ohms,
    )


def _bare(one: ReadingSet, pair: str) -> float:
    volts = one.without_load(pair)
    assert volts is not None  # a drop was measured on it
    return volts


def moved_volts(one: ReadingSet) -> float:
    """Give how far the loaded pair's readings without the load lie apart, before and after it [V]."""
    if one.loaded is None:
        return 0.0
    across = one.loaded.across
    if across not in one.volts or across not in one.loaded.after:
        return 0.0
    apart = one.volts[across] - one.loaded.after[across]
    return apart if apart >= 0.0 else -apart


def _neutral_ohms(one: ReadingSet, loaded: LoadTest) -> float | None:
    bare = one.without_load("n-g")
    if loaded.across == BOTH_HOTS or bare is None or "n-g" not in loaded.volts:
        return None
    return (loaded.volts["n-g"] - bare) / loaded.amps


def supply_findings(check: Check, supply: Supply | None, rulebook: Rulebook) -> list[Finding]:
    """Judge the loop's drop at 80 % of the outlet's rating, a joint's heat, and what a load left open."""
    found: list[Finding] = []
    if supply is not None:
        amps = full_amps(check, rulebook)
        is_own_source = check.supply != "utility"
        found.extend(_loop_findings(supply, amps, is_own_source, rulebook))
        found.extend(_joint_findings(supply, amps, is_own_source, rulebook))
    found.extend(_open_findings(check, supply, rulebook))
    if has_held_upstream(check, rulebook):
        found.append(Finding("upstream-held", "note", PRACTICE))
    return found


def full_amps(check: Check, rulebook: Rulebook) -> float:
    """Give the current [A] that an outlet may feed for hours: 80 % of its rating.

    Examples
    --------
    >>> from fieldlog.rulebook import load
    >>> full_amps(Check("TT-30"), load())
    24.0

    References
    ----------
    NEC 210.20(A) and 210.23.
    """
    rating: float = rulebook.raw["outlets"][check.outlet]["rating_amps"]
    return rulebook.limit("full-load-share") * rating


def _loop_findings(supply: Supply, amps: float, is_own_source: bool, rulebook: Rulebook) -> Iterator[Finding]:
    """Judge the drop; that of a generator or inverter is its own until another outlet of it was read.

    But for the part that lifts the neutral off the ground: a source that sinks lifts nothing.
    """
    volts = supply.ohms * amps
    note, limit, stop = (rulebook.limits[f"loop-drop-{level}"] for level in ("note", "limit", "stop"))
    if volts >= stop.value:
        level, border = "stop", stop
    elif volts >= limit.value:
        level, border = "limit", limit
    elif volts > note.value:
        level, border = "note", note
    else:
        return
    uncertainty = supply.ohms_uncertainty * amps
    is_of_neutral = supply.neutral_ohms is not None and supply.neutral_ohms * amps >= stop.value
    if is_own_source and volts >= limit.value and not (level == "stop" and is_of_neutral):
        yield Finding("source-sags", "limit", limit.source, "loop-drop", volts, uncertainty, limit.value)
        return
    yield Finding("loop-drop", level, border.source, "loop-drop", volts, uncertainty, border.value)


def _joint_findings(
    supply: Supply, amps: float, is_own_source: bool, rulebook: Rulebook
) -> Iterator[Finding]:
    """Find the conductor that holds most of the loop; at a source that may sink itself, the neutral alone."""
    least, share = rulebook.limit("joint-least-ohms"), rulebook.limit("joint-least-share")
    hot_ohms = None if is_own_source else supply.hot_ohms
    for name, ohms in (("loose-joint-hot", hot_ohms), ("loose-joint-neutral", supply.neutral_ohms)):
        # Where neighbours on the other leg let the neutral fall under load, the parts tell nothing.
        is_known = supply.neutral_ohms is not None and supply.neutral_ohms >= 0.0
        if is_known and ohms is not None and ohms >= least and ohms >= share * supply.ohms:
            heat_watts = ohms * amps * amps
            yield Finding(name, "limit", OWN_CHOICE, "joint-heat", heat_watts)


def _open_findings(check: Check, supply: Supply | None, rulebook: Rulebook) -> Iterator[Finding]:
    loads = [one for one in check.live_sets if one.loaded is not None]
    if not loads and any(one.volts or one.lamps for one in check.live_sets):
        yield Finding("not-loaded", "note", PRACTICE)
    if loads and supply is None:
        yield Finding("load-not-compared", "note", OWN_CHOICE)
    for one in loads:
        drop = measured_drop(one)
        least = least_telling_drop(one.meter, kernel_of(rulebook))
        moved, border = moved_volts(one), rulebook.limits["supply-moved"]
        rose = 0.0 if drop is None else -drop
        moved = rose if rose > moved else moved
        if moved >= border.value:
            yield Finding("supply-moved", "note", border.source, "drop", moved, None, border.value)
        elif drop is not None and drop < least and _shows_neutral(one):
            yield Finding("too-stiff-to-tell", "note", OWN_CHOICE, "drop", drop, None, least)


def _shows_neutral(one: ReadingSet) -> bool:
    return (
        one.loaded is not None
        and one.loaded.across != BOTH_HOTS
        and one.without_load("n-g") is not None
        and "n-g" in one.loaded.volts
    )
