"""What readings can tell: which wirings show the same, and which readings right wiring would give too."""

from collections.abc import Callable
from typing import Any

from tests.simulated.sites import LEAST_FLOATING_FARADS, MOST_FLOATING_FARADS, Site

RIGHT_LAMPS = {"h-n", "h-g", "x-y", "x-n", "y-n", "x-g", "y-g"}
NEUTRAL_RISE_VOLTS = 10.0
"""The most that neighbours on a long feeder raise a right neutral."""
STRAY_VOLTS = 5.0
"""Soil against the ground at the source, at most."""
CLEAR_RISE_DIGITS = 4
"""A rise of four times the digits is told from none: both of its readings may be off by one."""
BIG_DROP_DIGITS = 10
"""A drop of ten times the digits: three tenths of it, the least that a right neutral takes, stand out."""

LEAST_GHOST_SHARE = LEAST_FLOATING_FARADS / (LEAST_FLOATING_FARADS + MOST_FLOATING_FARADS)

HIDDEN = {"correct", "neutral-ground-reversed", "neutral-ground-bonded", "reversed-with-bonded-ground"}
LOOSE = {"high-resistance-hot", "high-resistance-neutral"}
UNGROUNDED = {"open-ground", "open-ground-and-reversed", "floating-supply"}
THREE_WIRE_GROUPS = (
    {"hot-ground-reversed", "same-hot-twice", "open-neutral-with-load"},
    {"dead", "open-hot", "open-neutral-and-ground"},
    {"hot-neutral-reversed", "leaking-appliance", "ground-joined-to-hot"},
)


def are_twins(one: str, two: str, check: dict[str, Any]) -> bool:
    """Tell whether what was read can separate two wirings; if it cannot, they are twins."""
    return one == two or any(one in group and two in group for group in _groups(check))


def _groups(check: dict[str, Any]) -> list[set[str]]:
    groups = [*_hidden(check), *THREE_WIRE_GROUPS, UNGROUNDED]
    if "volts" not in check:
        groups.append({"two-hots", "two-hots-open-ground"})
    if check["outlet"] == "14-50" and not _is_neutral_loaded(check):
        groups.append({"open-neutral", "lost-neutral"})
    if check["supply"] != "utility":
        groups.append({"correct", "neutral-ground-bonded"})
    return groups


def _hidden(check: dict[str, Any]) -> list[set[str]]:
    """Split what reads right: a load shows a neutral that does not rise, an earth a live ground."""
    groups = [HIDDEN | (set() if "loaded" in check else LOOSE)]
    if has_big_drop(check):
        bonded = {"neutral-ground-bonded", "reversed-with-bonded-ground"}
        is_still = neutral_rise(check) <= CLEAR_RISE_DIGITS * check["meter"]["accuracy_volts"]
        # A loose hot joint before a short neutral drops the volts and raises nothing either.
        groups = [
            {"correct", "neutral-ground-reversed"},
            bonded | ({"high-resistance-hot"} if is_still else set()),
        ]
    if "g-e" in check.get("volts", {}):
        groups = [group - {"reversed-with-bonded-ground"} for group in groups]
    return groups


def _is_neutral_loaded(check: dict[str, Any]) -> bool:
    """Tell whether something pulls at the neutral contact hard enough to show that nothing holds it."""
    sets = [check, *check["more"]]
    is_low = any(one.get("meter", {}).get("input") == "low-impedance" and "volts" in one for one in sets)
    return is_low or _loads_the_neutral(check)


def _loads_the_neutral(check: dict[str, Any]) -> bool:
    return "loaded" in check and "n" in check["loaded"]["across"]


def has_big_drop(check: dict[str, Any]) -> bool:
    """Tell whether a load drops the volts far enough for the meter's digits."""
    if not _loads_the_neutral(check):
        return False
    across = check["loaded"]["across"]
    drop = check["volts"][across] - check["loaded"]["volts"][across]
    return bool(drop >= BIG_DROP_DIGITS * check["meter"]["accuracy_volts"])


def show_the_same(one: dict[str, Any], two: dict[str, Any]) -> bool:
    """Tell whether two checks made with the same instruments agree within a meter's accuracy."""
    if one.get("lamps") != two.get("lamps"):
        return False
    sets = list(zip([one, *one["more"]], [two, *two["more"]], strict=True))
    pairs = [(a["volts"], b["volts"], a["meter"]) for a, b in sets if "volts" in a]
    if "loaded" in one:
        pairs.append((one["loaded"]["volts"], two["loaded"]["volts"], one["meter"]))
    return all(_agree(a, b, meter) for a, b, meter in pairs)


def _agree(one: dict[str, float], two: dict[str, float], meter: dict[str, Any]) -> bool:
    percent, digits = meter["accuracy_percent"], meter["accuracy_volts"]
    return all(abs(one[pair] - two[pair]) <= one[pair] * percent / 100 + digits for pair in one)


def neutral_rise(check: dict[str, Any]) -> float:
    """Give what a load raises the neutral by against ground, in volts."""
    return float(check["loaded"]["volts"]["n-g"] - check["volts"]["n-g"])


def looks_right(check: dict[str, Any]) -> bool:
    """Tell whether right wiring at some plausible site gives these readings, within the meter's errors."""
    lamps = check.get("lamps", {})
    are_lamps_right = all((state != "dark") == (pair in RIGHT_LAMPS) for pair, state in lamps.items())
    sets = [one for one in [check, *check["more"]] if "volts" in one]
    return (
        are_lamps_right
        and all(_are_right(one["volts"], one["meter"]) for one in sets)
        and _is_right_loaded(check)
    )


def may_float(check: dict[str, Any]) -> bool:
    """Tell whether a source that is joined to no ground gives these volts, within the meter's errors.

    Its capacitances, of 1.5 to 6 nF, share its volts between its two sides: at least a fifth to either. A
    high-impedance meter shows that and takes next to nothing from it; without a load, on a three-wire outlet.
    """
    volts = check.get("volts", {})
    if "h-n" not in volts or "loaded" in check or check["meter"]["input"] != "high-impedance":
        return False
    percent, digits = check["meter"]["accuracy_percent"], check["meter"]["accuracy_volts"]
    whole, to_hot, to_neutral = (volts[pair] for pair in ("h-n", "h-g", "n-g"))
    off = {value: value * percent / 100 + digits for value in (whole, to_hot, to_neutral)}
    adds_up = abs(whole - to_hot - to_neutral) <= off[whole] + off[to_hot] + off[to_neutral]
    least = LEAST_GHOST_SHARE * (whole - off[whole])
    return bool(adds_up and all(value + off[value] >= least for value in (to_hot, to_neutral)))


def _are_right(volts: dict[str, float], meter: dict[str, Any]) -> bool:
    def off(*pairs: str) -> float:
        percent: float = meter["accuracy_percent"]
        digits: float = meter["accuracy_volts"]
        return sum(volts[pair] * percent / 100 + digits for pair in pairs)

    rise = volts["n-g"]
    legs = [("x-n", "x-g"), ("y-n", "y-g")] if "x-y" in volts else [("h-n", "h-g")]
    are_near = all(abs(volts[a] - volts[b]) <= rise + off(a, b, "n-g") for a, b in legs)
    is_earth_right = all(volts.get(pair, 0.0) <= NEUTRAL_RISE_VOLTS + STRAY_VOLTS for pair in ("n-e", "g-e"))
    is_rise_right = rise <= NEUTRAL_RISE_VOLTS + off("n-g")
    return is_rise_right and are_near and is_earth_right and _are_legs_right(volts, off)


def _are_legs_right(volts: dict[str, float], off: Callable[..., float]) -> bool:
    if "x-y" not in volts:
        return True
    legs = volts["x-n"] + volts["y-n"]
    slack = off("x-y", "x-n", "y-n")
    is_whole = any(abs(volts["x-y"] - share * legs) <= slack + 2 * volts["n-g"] for share in (1.0, 0.866))
    # One leg carries all neighbours at most, and falls by as much as the neutral rises.
    return is_whole and abs(volts["x-n"] - volts["y-n"]) <= 2 * NEUTRAL_RISE_VOLTS + slack


def _is_right_loaded(check: dict[str, Any]) -> bool:
    """Tell whether the neutral rises by three to seven tenths of the drop, as in a right cable.

    At a generator or inverter the drop may be the source's own, of any size.
    """
    if "loaded" not in check:
        return True
    digits: float = check["meter"]["accuracy_volts"]
    amps: float = check["loaded"]["amps"]
    border = 1e-6  # readings are tenths of a volt, which binary numbers miss; one on the border is inside
    across, loaded = check["loaded"]["across"], check["loaded"]["volts"]
    drop: float = check["volts"][across] - loaded[across]
    rise = neutral_rise(check)
    most_of_cable = 1.1 * amps
    may_sink = check["supply"] != "utility"
    is_drop_right = -2 * digits <= drop and (may_sink or drop <= most_of_cable + 2 * digits)
    if not _loads_the_neutral(check):
        return is_drop_right and abs(rise) <= 2 * digits
    # Neighbours on the other leg pull the neutral the other way, so the two may cancel.
    least, most = 0.25 * drop - 3 * digits - 2 * check["volts"]["n-g"], 0.75 * drop + 3 * digits
    if may_sink:
        # A generator's own volts sink under a load, which lifts no neutral: that does the cable's part alone.
        least, most = min(least, -3 * digits), 0.75 * min(drop, most_of_cable) + 3 * digits
    return bool(is_drop_right and least - border <= rise <= most + border)


def stands_out(site: Site, check: dict[str, Any]) -> bool:
    """Tell whether a conductor's drop lies clear of a right cable's 0.7, and the neutral's rise of none."""
    amps, digits = check["loaded"]["amps"], check["meter"]["accuracy_volts"]
    own, loop = site.ohms_of_loose_conductor(), site.ohms_of_loop(check["loaded"]["across"])
    blur_ohms = 2 * (digits + 0.05) / amps
    rise_volts = amps * (own if site.loose_wire == "N" else loop - own)
    is_placed = own >= 0.5 and own / loop >= 0.75 and own - blur_ohms > 0.7 * (loop + blur_ohms)
    return is_placed and rise_volts > 4 * digits
