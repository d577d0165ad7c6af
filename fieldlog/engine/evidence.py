"""What the readings show or leave open, and whether they are enough for a verdict.

The same comparisons, in the same order, stand in static/js/engine/evidence.js.
"""

from collections.abc import Iterator

from fieldlog.engine.explanations import Explanations, is_usable
from fieldlog.engine.limits import OWN_CHOICE, PRACTICE, Finding
from fieldlog.engine.reading_sets import lamps_alone
from fieldlog.model.check import LAMP_PAIRS, Check, ReadingSet
from fieldlog.model.rulebook import Rulebook

SPLIT_PHASE = "split-phase"
LOST_UPSTREAM, BONDED, FLOATING, OTHER = (
    "neutral-lost-upstream",
    "neutral-ground-bonded",
    "floating-supply",
    "other",
)


def has_least_evidence(check: Check, rulebook: Rulebook) -> bool:
    """Tell whether enough was read for a verdict of use or use with limits."""
    if rulebook.family_of(check.outlet).id == SPLIT_PHASE:
        return _has_legs(check) and not contacts_not_shown(check, rulebook)
    return any(
        all(pair in read for pair in LAMP_PAIRS) for one in check.live_sets for read in (one.volts, one.lamps)
    )


def _has_legs(check: Check) -> bool:
    needed = ("x-y", "x-n", "y-n", "n-g")
    read = {pair for one in check.live_sets for pair in one.volts}
    return all(pair in read for pair in needed) and ("x-g" in read or "y-g" in read)


def contacts_not_shown(check: Check, rulebook: Rulebook) -> tuple[str, ...]:
    """Name the open contacts of a four-wire outlet that nothing read so far would have shown."""
    if rulebook.family_of(check.outlet).id != SPLIT_PHASE:
        return ()
    return tuple(
        name
        for name, is_shown in (
            ("open-neutral", _is_neutral_shown(check, rulebook)),
            ("open-ground", _is_ground_shown(check, rulebook)),
        )
        if not is_shown
    )


def _is_neutral_shown(check: Check, rulebook: Rulebook) -> bool:
    """Tell whether anything drew current from the neutral: an open one can fool a high-impedance meter."""
    is_loaded = any(
        one.loaded is not None and one.loaded.across != "x-y" and one.loaded.volts for one in check.live_sets
    )
    by_meter = any(pair in _drained(check) for pair in ("x-n", "y-n"))
    return is_loaded or by_meter or _lamps_exclude("open-neutral", check, rulebook)


def _is_ground_shown(check: Check, rulebook: Rulebook) -> bool:
    by_meter = any(pair in _drained(check) for pair in ("x-g", "y-g"))
    return by_meter or _lamps_exclude("open-ground", check, rulebook)


def _drained(check: Check) -> set[str]:
    """Give the pairs read by a low-impedance meter, which drains ghost readings."""
    sets = [one for one in check.live_sets if one.meter.input == "low-impedance"]
    return {pair for one in sets for pair in one.volts}


def _lamps_exclude(name: str, check: Check, rulebook: Rulebook) -> bool:
    """Tell whether the lamps speak against an open contact: equal ones on both legs hold it in the middle."""
    if not any(one.lamps for one in check.live_sets):
        return False
    family = rulebook.family_of(check.outlet)
    right = lamps_alone(check, "correct", family, rulebook)
    return lamps_alone(check, name, family, rulebook) < rulebook.limit("ruled-out-below") * right


def evidence_findings(check: Check, found: Explanations, rulebook: Rulebook) -> list[Finding]:
    """Name what the readings leave open, and what stands out among the explanations."""
    return [
        *_live_with_breaker_off(check, rulebook),
        *_volts_not_measured(check, rulebook),
        *_contacts_not_shown(check, rulebook),
        *_about_first(check, found, rulebook),
    ]


def _live_with_breaker_off(check: Check, rulebook: Rulebook) -> Iterator[Finding]:
    limit = rulebook.limits["off-volts"]
    for one in check.sets:
        if one.state == "breaker-off":
            yield from _live(one, limit.value, limit.source)


def _live(one: ReadingSet, most_volts: float, source: str) -> Iterator[Finding]:
    for pair, state in one.lamps.items():
        if state == "lit":
            yield Finding("live-with-breaker-off", "stop", PRACTICE, pair)
    for pair, volts in one.volts.items():
        if one.meter.input == "low-impedance" and volts > most_volts:
            yield Finding("live-with-breaker-off", "stop", source, pair, volts, None, most_volts)


def _volts_not_measured(check: Check, rulebook: Rulebook) -> Iterator[Finding]:
    read = {pair for one in check.live_sets for pair in one.volts}
    has_lamps = any(one.lamps for one in check.live_sets)
    if has_lamps and not read & {"h-n", "x-n", "y-n"}:
        yield Finding("volts-not-measured", "limit", OWN_CHOICE)


def _contacts_not_shown(check: Check, rulebook: Rulebook) -> Iterator[Finding]:
    has_volts = any(one.volts for one in check.live_sets)
    if has_volts and contacts_not_shown(check, rulebook):
        yield Finding("neutral-and-ground-not-shown", "limit", OWN_CHOICE)


def _about_first(check: Check, found: Explanations, rulebook: Rulebook) -> Iterator[Finding]:
    first = found.first
    if first == FLOATING and check.supply != "utility" and "g-frame" not in check.continuity:
        yield Finding("ground-not-shown", "limit", OWN_CHOICE)
    if first == BONDED:
        wirings = rulebook.family_of(check.outlet).wirings
        if any(wiring.id == BONDED and is_usable(wiring, check) for wiring in wirings):
            yield Finding("neutral-bonded-at-source", "note", PRACTICE)
    if first == OTHER and found.unnamed == LOST_UPSTREAM:
        yield Finding(LOST_UPSTREAM, "stop", PRACTICE)
    elif first == OTHER and found.unnamed:
        yield Finding("unnamed-wiring", "note", OWN_CHOICE, found.unnamed)
