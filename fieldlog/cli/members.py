"""What the commands that judge take, member by member: told by their --help."""

from collections.abc import Mapping
from typing import Final

ASSESS: Final[Mapping[str, str]] = {
    "outlet": "5-15, 5-20, TT-30 or 14-50; needed, and one of volts, lamps, look, trip",
    "supply": "utility (the default), generator, inverter",
    "where": "pedestal (the default), rig",
    "breaker_amps": "the number on the breaker",
    "hertz": "the frequency",
    "via": 'adapters from the pedestal on, such as ["14-50-to-TT-30"]; the last one leads to the outlet',
    "meter": (
        "input (high-impedance by default, low-impedance), accuracy_percent (1.0), accuracy_volts (0.3), rms "
        "(true by default; average for a meter that an inverter's wave misleads)"
    ),
    "volts": (
        "RMS volts by pair of contacts: h-n, h-g, n-g, and h-e, n-e, g-e against an earth outside the "
        "outlet, by a high-impedance meter only (g-e at a generator or inverter by either); on a 14-50 "
        "x-y, x-n, y-n, x-g, y-g, n-g, and x-e, y-e, n-e, g-e"
    ),
    "lamps": "lit, dim or dark by pair of contacts",
    "loaded": (
        "readings while a load ran: amps (needed), amps_percent (5), volts, after (the same pairs with the "
        "load off again), and across, the pair it hung across (h-n; needed on a 14-50: x-y, x-n or y-n)"
    ),
    "more": (
        "up to 20 further sets of the same outlet: state (as-found by default, unplugged, breaker-off), "
        "meter, volts, lamps, loaded"
    ),
    "look": (
        "a list of signs, empty when looked and nothing seen: burned, wet, warm, buzzing, tingle, "
        "breaker-will-not-hold, cracked, loose, cover-missing"
    ),
    "trip": (
        "a list of trip tests, empty when a button was looked for and none found: by (button, external), "
        "device (this, upstream), tripped, face_dead, reset, milliseconds, milliamps"
    ),
    "near": ("what a non-contact detector told at h (on a 14-50 also x, y), n, g, skin: true or false"),
    "continuity": ("n-g and g-frame: open or closed, with the source stopped or the rig's cord unplugged"),
}
PROTECT: Final[Mapping[str, str]] = {
    "parts": (
        "needed: each with id and kind (supply, cord-gfci, inlet, breaker, junction, receptacle, "
        "gfci-receptacle, strip, appliance, inverter, relay), and where noted amps, gfci of a breaker, where "
        "(outside, near-water), bonded, name; of an appliance watts and continuous; of a breaker leg (x, y, "
        "both), shares_neutral (the id of the other breaker) and tied"
    ),
    "runs": (
        "lead from a part to the next one's line side, leave a device on its line or load side (from_side), "
        "and have awg, feet and cord (listed, field-made); two runs to one part at once are judged and not "
        "refused"
    ),
    "trips": (
        "name a device, by what (button, external, hand for a breaker), what went dead and what stayed live, "
        "and where noted the mode the rig was in; one without is held against the mode that it fits best of "
        "those in which its device has power"
    ),
    "modes": "name the runs that each is without",
}
PLAN: Final[Mapping[str, str]] = {
    "volts": "of the supply with nothing on; needed, as source_ohms is, unless there is a battery",
    "source_ohms": "of the loop up to the outlet, hot and neutral together",
    "supply": "utility (the default), generator, inverter",
    "breaker_amps": "the number on the breaker",
    "receptacle_amps": "the rating of the outlet",
    "limit_amps": "a further limit: of an adapter, or the rig's main breaker",
    "cords": "from the outlet on: awg, feet (one way), contacts_ohms at each end (0.01 by default)",
    "loads": (
        "needed: name, watts or amps or both (amps tell the current, watts the energy), rated_volts (120), "
        "kind (resistive, the default, motor, electronic), continuous (by default from 3 hours on), "
        "start_multiple (6 for a motor), priority (1, given up last, to 9), hours"
    ),
    "branches": (
        "of the rig: name, amps, loads (numbers of those that hang on it, from 0), and ohms of its wire, "
        "there and back, where known"
    ),
    "legs": (
        "where the supply has two hots: volts_y of the second one (volts is then the first one's), volts_xy "
        "between them; each load then says its leg (x, y, or both where it hangs between them)"
    ),
    "battery": "watt_hours, usable and efficiency (shares of 1), idle_watts, inverter_watts",
}
TREND: Final[Mapping[str, str]] = {
    "quantity": "loop-ohms, neutral-ohms, volts or trip-ms; needed",
    "readings": (
        "needed: each with at (a day, such as 2026-01-05), value, and uncertainty, the half width of what it "
        "may be off by, above 0"
    ),
    "changes": (
        "days on which the wiring, the meter or the load changed; the baseline starts anew with the readings "
        "of the last of them"
    ),
}


def listed(members: Mapping[str, str]) -> str:
    """Give members as a list that click wraps line by line."""
    return "\n\n".join(f"{name}: {told}." for name, told in members.items())
