"""What stands against using an outlet, apart from its wiring: signs, breaker, frequency, detector.

The same comparisons, in the same order, stand in static/js/engine/limits.js.
"""

from dataclasses import dataclass
from typing import Any

from fieldlog.model.check import Check
from fieldlog.model.rulebook import Rulebook

PRACTICE = "common practice"
OWN_CHOICE = "own choice"
FOUR_WIRE, BOTH_HOTS = "14-50", "x-y"
NO_DEVICE = (
    "NEC 551.71(F) and 210.8(B): 15 and 20 A outlets of a campground stand behind a ground-fault device"
)
NO_BOND_IN_RIG = "common practice; NEC 551.54(C), check the current code"


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
    at_pedestal = supplying_outlet(check)
    outlet = rulebook.raw["outlets"][at_pedestal]
    rating = float(outlet["rating_amps"])
    if check.breaker_amps is None or check.breaker_amps <= rating:
        return []
    if at_pedestal == "5-15" and check.breaker_amps == 20.0:
        source = "NEC 210.21(B)(3): 15 A receptacles on a 20 A circuit of two or more"
        return [Finding("breaker-too-big", "note", source, "breaker_amps", check.breaker_amps, None, rating)]
    return [
        Finding("breaker-too-big", "stop", outlet["source"], "breaker_amps", check.breaker_amps, None, rating)
    ]


def supplying_outlet(check: Check) -> str:
    """Name the outlet that the breaker stands before: the one read, or the first adapter's."""
    return check.via[0].split("-to-")[0] if check.via else check.outlet


def is_behind_120_volts(check: Check) -> bool:
    """Tell whether an adapter takes both legs from the one hot of a 120 V outlet."""
    return (
        check.outlet == FOUR_WIRE
        and bool(check.via)
        and any(one.split("-to-")[0] != FOUR_WIRE for one in check.via)
    )


def adapter_findings(check: Check, rulebook: Rulebook) -> list[Finding]:
    """Say what a breaker before an adapter does not guard, and where its legs lie apart [A, V]."""
    if not check.via:
        return []
    found: list[Finding] = []
    outlets = rulebook.raw["outlets"]
    rating = float(outlets[check.outlet]["rating_amps"])
    breaker = check.breaker_amps
    before = float(outlets[supplying_outlet(check)]["rating_amps"]) if breaker is None else breaker
    if before > rating:
        found.append(
            Finding("not-protected-by-breaker", "limit", PRACTICE, "breaker_amps", before, None, rating)
        )
    border = rulebook.limits["contacts-apart"]
    for one in check.live_sets if is_behind_120_volts(check) else ():
        volts = one.volts.get(BOTH_HOTS, 0.0)
        if volts >= border.value:
            found.append(
                Finding("legs-behind-adapter", "stop", PRACTICE, BOTH_HOTS, volts, None, border.value)
            )
            break
    return found


def frequency_findings(check: Check, rulebook: Rulebook) -> list[Finding]:
    """Compare the frequency [Hz] with what motors are built for."""
    if check.hertz is None:
        return []
    low, high = rulebook.limits["hertz-low"], rulebook.limits["hertz-high"]
    if low.value <= check.hertz <= high.value:
        return []
    border = low if check.hertz < low.value else high
    return [Finding("frequency", "limit", border.source, "hertz", check.hertz, None, border.value)]


def detector_findings(check: Check, is_ground_clean: bool) -> list[Finding]:
    """Give what a non-contact detector told; silence tells nothing, a proved earth tells more than it."""
    found: list[Finding] = []
    if check.detector.get("skin"):
        found.append(Finding("skin-live", "stop", PRACTICE))
    if check.detector.get("skin") is False:
        found.append(Finding("skin-not-tested", "note", PRACTICE))
    if check.detector.get("g"):
        found.append(Finding("ground-near-voltage", "note" if is_ground_clean else "limit", PRACTICE))
    if check.detector.get("n") and any(check.detector.get(hot) is False for hot in ("h", "x", "y")):
        found.append(Finding("neutral-near-voltage", "limit", PRACTICE))
    return found


def continuity_findings(check: Check) -> list[Finding]:
    """Give what the continuity of contacts and frame told, with the source stopped or unplugged."""
    found: list[Finding] = []
    if check.continuity.get("g-frame") == "open":
        found.append(Finding("ground-not-on-frame", "stop", PRACTICE))
    if check.continuity.get("n-g") == "closed" and check.where == "rig":
        found.append(Finding("neutral-bonded-in-rig", "stop", NO_BOND_IN_RIG))
    return found
