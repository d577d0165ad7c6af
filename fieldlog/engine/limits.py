"""What stands against using an outlet, apart from its wiring: signs, breaker, frequency, detector, skin.

The same comparisons, in the same order, stand in static/js/engine/limits.js.
"""

from dataclasses import dataclass
from typing import Any

from fieldlog.model.check import Check
from fieldlog.model.rulebook import Rulebook

PRACTICE = "common practice"
OWN_CHOICE = "own choice"
NO_BOND_IN_RIG = "NEC 551.54(C) (from memory, check the current code)"


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


def look_findings(check: Check, rulebook: Rulebook) -> list[Finding]:
    """Give the findings of a look at the outlet; a missing look is a note."""
    if check.look is None:
        return [Finding("not-looked", "note", PRACTICE)]
    return [Finding(sign, level, PRACTICE) for sign, level in rulebook.signs.items() if sign in check.look]


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


def detector_findings(check: Check) -> list[Finding]:
    """Give what a non-contact detector told; silence tells nothing."""
    found: list[Finding] = []
    if check.near.get("skin"):
        found.append(Finding("skin-live", "stop", PRACTICE))
    if check.near.get("g"):
        found.append(Finding("ground-near-voltage", "limit", PRACTICE))
    return found


def continuity_findings(check: Check) -> list[Finding]:
    """Give what the continuity of contacts and frame told, with the source stopped or unplugged."""
    found: list[Finding] = []
    if check.continuity.get("g-frame") == "open":
        found.append(Finding("ground-not-on-frame", "stop", PRACTICE))
    if check.continuity.get("n-g") == "closed" and check.where == "rig":
        found.append(Finding("neutral-bonded-in-rig", "stop", NO_BOND_IN_RIG))
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
