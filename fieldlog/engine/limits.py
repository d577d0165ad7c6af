"""What stands against using an outlet, apart from its wiring: signs, breaker, volts, frequency, skin.

The same comparisons, in the same order, stand in static/js/engine/limits.js.
"""

from dataclasses import dataclass
from typing import Any

from fieldlog.model.check import SIGNS, Check
from fieldlog.model.rulebook import Limit, Rulebook

STOP_SIGNS = ("burned", "wet", "warm", "buzzing", "tingle", "breaker-will-not-hold")
PRACTICE = "common practice"
OWN_CHOICE = "own choice"


@dataclass(frozen=True)
class Finding:
    """One thing that was seen or measured, and how grave it is.

    Parameters
    ----------
    id : str
        Key of its words in the rulebook.
    level : str
        "stop", "limit" or "note".
    source : str or None
        Where the limit comes from.
    quantity : str or None
        What was measured, such as "h-n".
    value, uncertainty, limit : float or None
        In the quantity's unit.
    straddles : bool or None
        Whether the value itself lies in a better band than the worst one its uncertainty reaches.
    """

    id: str
    level: str
    source: str | None = None
    quantity: str | None = None
    value: float | None = None
    uncertainty: float | None = None
    limit: float | None = None
    straddles: bool | None = None

    def as_json(self) -> dict[str, Any]:
        """Give the finding as a JSON object with every member present."""
        return {
            "id": self.id,
            "level": self.level,
            "source": self.source,
            "quantity": self.quantity,
            "value": self.value,
            "uncertainty": self.uncertainty,
            "limit": self.limit,
            "straddles": self.straddles,
        }


def look_findings(check: Check) -> list[Finding]:
    """Give the findings of a look at the outlet; a missing look is a note."""
    if check.look is None:
        return [Finding("not-looked", "note", PRACTICE)]
    return [
        Finding(sign, "stop" if sign in STOP_SIGNS else "limit", PRACTICE)
        for sign in SIGNS
        if sign in check.look
    ]


def breaker_findings(check: Check, rulebook: Rulebook) -> list[Finding]:
    """Compare the breaker's number [A] with the outlet's rating [A]."""
    outlet = rulebook.raw["outlets"][check.outlet]
    rating = float(outlet["rating_amps"])
    if check.breaker_amps is None or check.breaker_amps <= rating:
        return []
    if check.outlet == "5-15" and check.breaker_amps == 20.0:
        source = "NEC 210.21(B)(3): 15 A receptacles on a 20 A circuit of two or more"
        return [Finding("breaker-too-big", "note", source, "breaker_amps", check.breaker_amps, None, rating)]
    return [
        Finding("breaker-too-big", "stop", outlet["source"], "breaker_amps", check.breaker_amps, None, rating)
    ]


def frequency_findings(check: Check, rulebook: Rulebook) -> list[Finding]:
    """Compare the frequency [Hz] with what motors are built for."""
    if check.hertz is None:
        return []
    low, high = rulebook.limits["hertz-low"], rulebook.limits["hertz-high"]
    if low.value <= check.hertz <= high.value:
        return []
    border = low if check.hertz < low.value else high
    return [Finding("frequency", "limit", border.source, "hertz", check.hertz, None, border.value)]


def voltage_findings(check: Check, rulebook: Rulebook) -> list[Finding]:
    """Judge the supply's volts, hot to neutral, by the bands of the rulebook.

    Notes
    -----
    A reading v stands for v - a to v + a with a = v * percent / 100 + counts. The worst band that this range
    meets counts; a border belongs to the better band. Guarding a limit by the full accuracy is the decision
    rule of ILAC-G8:09/2019, section 4.2.2, with the guard band equal to the uncertainty.
    """
    if "h-n" not in check.volts:
        return []
    volts = check.volts["h-n"]
    accuracy = volts * check.meter.accuracy_percent / 100.0 + check.meter.accuracy_volts
    found: list[Finding] = []
    coarse = rulebook.limits["meter-coarse"]
    if accuracy > coarse.value:
        found.append(
            Finding("meter-too-coarse", "limit", coarse.source, "h-n", volts, accuracy, coarse.value, False)
        )
    low = _low_band(volts - accuracy, check, rulebook)
    high = _high_band(volts + accuracy, rulebook)
    for name, band, own in (
        ("voltage-low", low, _low_band(volts, check, rulebook)),
        ("voltage-high", high, _high_band(volts, rulebook)),
    ):
        if band is not None:
            level, limit = band
            straddles = own is None or own[0] != level
            found.append(Finding(name, level, limit.source, "h-n", volts, accuracy, limit.value, straddles))
    return found


def _low_band(volts: float, check: Check, rulebook: Rulebook) -> tuple[str, Limit] | None:
    limits = rulebook.limits
    border = limits["rig-low-limit"] if check.where == "rig" else limits["low-limit"]
    if volts < limits["low-stop"].value:
        return "stop", limits["low-stop"]
    if volts < border.value:
        return "limit", border
    return ("note", limits["low-note"]) if volts < limits["low-note"].value else None


def _high_band(volts: float, rulebook: Rulebook) -> tuple[str, Limit] | None:
    limits = rulebook.limits
    if volts > limits["high-stop"].value:
        return "stop", limits["high-stop"]
    if volts > limits["high-limit"].value:
        return "limit", limits["high-limit"]
    return ("note", limits["high-note"]) if volts > limits["high-note"].value else None


def detector_findings(check: Check) -> list[Finding]:
    """Give what a non-contact detector told; silence tells nothing."""
    found: list[Finding] = []
    if check.near.get("skin"):
        found.append(Finding("skin-live", "stop", PRACTICE))
    if check.near.get("g"):
        found.append(Finding("ground-near-voltage", "limit", PRACTICE))
    return found


def continuity_findings(check: Check) -> list[Finding]:
    """Give what the continuity of ground contact and frame told."""
    if check.is_ground_on_frame is False:
        return [Finding("ground-not-on-frame", "stop", PRACTICE)]
    return []


def evidence_findings(check: Check, first: str) -> list[Finding]:
    """Name what the readings leave open: volts behind lamps, a floating source's ground, unloaded joints."""
    found: list[Finding] = []
    if check.lamps and "h-n" not in check.volts:
        found.append(Finding("volts-not-measured", "limit", OWN_CHOICE))
    if first == "floating-supply" and check.supply != "utility" and check.is_ground_on_frame is None:
        found.append(Finding("ground-not-shown", "limit", OWN_CHOICE))
    if check.volts or check.lamps:
        found.append(Finding("not-loaded", "note", PRACTICE))
    return found


def skin_level(
    volts: float | None, detected: bool | None, tingle: bool, supply: str, rulebook: Rulebook
) -> tuple[str, float]:
    """Judge the rig's skin after plugging in.

    Parameters
    ----------
    volts : float or None
        Skin against an earth, by a high-impedance meter [V].
    detected : bool or None
        What a non-contact detector told instead.
    tingle : bool
        Whether anyone felt a tingle.
    supply : str
        Kind of supply.
    rulebook : Rulebook
        For the threshold.

    Returns
    -------
    level : str
        "stop", "note" (a floating source may put its filter's volts there), "none", or "not-tested".
    limit_volts : float
        The threshold used [V].
    """
    limit = rulebook.limits["skin-utility"].value
    if tingle or detected:
        return "stop", limit
    if volts is None:
        return ("not-tested" if detected is None else "none"), limit
    if volts <= limit:
        return "none", limit
    return ("stop" if supply == "utility" else "note"), limit
