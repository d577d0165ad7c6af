"""What the readings show or leave open, and whether they are enough for a verdict.

The same comparisons, in the same order, stand in static/js/engine/evidence.js.
"""

from collections.abc import Iterator

from fieldlog.engine.explanations import Explanations, is_usable
from fieldlog.engine.limits import NO_DEVICE, OWN_CHOICE, PRACTICE, Finding
from fieldlog.engine.loops import closes, misses_by
from fieldlog.engine.reading_sets import lamps_alone
from fieldlog.model.check import Check, ReadingSet
from fieldlog.model.contacts import THREE_WIRE
from fieldlog.model.rulebook import Rulebook

SPLIT_PHASE, LOW_IMPEDANCE = "split-phase", "low-impedance"
HOTS, NEUTRAL_TO_GROUND = ("h", "x", "y"), "n-g"
BEHIND_DEVICE = ("5-15", "5-20")
EVEN_LAMPS = "voltage divider: beside 1.5 to 6 nF lamps of 250 kilohm take 54 and 48 % of the volts at most"
CORRECT, LOST_UPSTREAM, BONDED, FLOATING, OTHER = (
    "correct",
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
        all(pair in read for pair in THREE_WIRE.usual)
        for one in check.live_sets
        for read in (one.volts, one.lamps)
    )


def _has_legs(check: Check) -> bool:
    needed = ("x-y", "x-n", "y-n", "n-g")
    read = {pair for one in check.live_sets for pair in one.volts}
    return all(pair in read for pair in needed) and ("x-g" in read or "y-g" in read)


def is_all_read_by_meter(check: Check, rulebook: Rulebook) -> bool:
    """Tell whether a meter read every pair of the least evidence."""
    if rulebook.family_of(check.outlet).id == SPLIT_PHASE:
        return _has_legs(check)
    return any(all(pair in one.volts for pair in THREE_WIRE.usual) for one in check.live_sets)


def is_neutral_in_doubt(finding: Finding, check: Check, rulebook: Rulebook) -> bool:
    """Tell whether a neutral stands so far off that it may be lost.

    Half as far between two legs, and where it gives in to the meter: each reading then loads it by itself,
    so that they do not add up, while a neutral that neighbours lift stands as if it were nailed.
    """
    far, half = rulebook.limit("neutral-lifted-test"), rulebook.limit("neutral-lifted-limit")
    volts = 0.0 if finding.value is None else finding.value
    is_split = rulebook.family_of(check.outlet).id == SPLIT_PHASE
    is_loose = (is_split and not _is_leg_loaded(check)) or _gives_in(check, rulebook)
    return volts >= far or (volts >= half and is_loose)


def _gives_in(check: Check, rulebook: Rulebook) -> bool:
    """Tell whether a low-impedance meter's readings of a hot, neutral and ground miss by more than errors."""
    loop, margin = ("h-n", "h-g", NEUTRAL_TO_GROUND), rulebook.limit("loop-misses")
    return any(
        misses_by(loop, one.volts, one.meter, rulebook) + margin > 0.0
        for one in check.live_sets
        if one.meter.input == LOW_IMPEDANCE and all(pair in one.volts for pair in loop)
    )


def _is_leg_loaded(check: Check) -> bool:
    return any(
        one.loaded is not None and one.loaded.across != "x-y" and one.loaded.volts for one in check.live_sets
    )


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
    by_meter = any(pair in _drained(check) for pair in ("x-n", "y-n"))
    return _is_leg_loaded(check) or by_meter or _lamps_exclude("open-neutral", check, rulebook)


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
        *_ground_is_hot(check, rulebook),
        *_neutral_lifted(check, rulebook),
        *_volts_not_measured(check, rulebook),
        *_contacts_not_shown(check, rulebook),
        *_about_first(check, found, rulebook),
        *_against_first(check, found, rulebook),
        *_about_device(check, found, rulebook),
    ]


def _live_with_breaker_off(check: Check, rulebook: Rulebook) -> Iterator[Finding]:
    for one in check.sets:
        if one.state == "breaker-off":
            yield from _live(one, check, rulebook)


def _live(one: ReadingSet, check: Check, rulebook: Rulebook) -> Iterator[Finding]:
    """Judge volts with the breaker off: a low-impedance meter drains ghosts, on any other they stay below."""
    name, limit, is_low = (
        "live-with-breaker-off",
        rulebook.limits["off-volts"],
        one.meter.input == LOW_IMPEDANCE,
    )
    for pair, state in one.lamps.items():
        if state == "lit":
            yield Finding(name, "stop", PRACTICE, pair)
    for pair, volts in one.volts.items():
        if not volts > limit.value:
            continue
        border = limit.value if is_low else _most_of_a_ghost(pair, check, rulebook)
        if volts >= border:
            yield Finding(name, "stop", limit.source if is_low else OWN_CHOICE, pair, volts, None, border)
        elif pair not in _drained_off(check):
            yield Finding("off-volts-not-settled", "note", OWN_CHOICE, pair, volts, None, limit.value)


def is_off_unsettled(check: Check, rulebook: Rulebook) -> bool:
    """Tell whether a high-impedance meter read something with the breaker off that may be a ghost."""
    found = _live_with_breaker_off(check, rulebook)
    return any(finding.id == "off-volts-not-settled" for finding in found)


def _most_of_a_ghost(pair: str, check: Check, rulebook: Rulebook) -> float:
    """Give the volts below which a pair's reading with the breaker off may be a ghost [V]."""
    running = [one.volts[pair] for one in check.live_sets if pair in one.volts]
    most = 0.0
    for volts in running:
        if volts > most:
            most = volts
    return rulebook.limit("running-share") * most if running else rulebook.limit("contacts-apart")


def _drained_off(check: Check) -> set[str]:
    """Give the pairs that a low-impedance meter read with the breaker off."""
    sets = [one for one in check.sets if one.state == "breaker-off" and one.meter.input == LOW_IMPEDANCE]
    return {pair for one in sets for pair in one.volts}


def _ground_is_hot(check: Check, rulebook: Rulebook) -> Iterator[Finding]:
    """Find a ground that reads far more against a hot than the neutral does, in readings that add up."""
    apart, border = rulebook.limit("contacts-apart"), rulebook.limits["ground-hot-times"]
    for one in check.live_sets:
        for hot in HOTS:
            to_neutral, to_ground = f"{hot}-n", f"{hot}-g"
            if not closes((to_neutral, to_ground, NEUTRAL_TO_GROUND), one, rulebook):
                continue
            least = border.value * one.volts[to_neutral]
            is_apart = one.volts[to_neutral] >= apart and one.volts[NEUTRAL_TO_GROUND] >= apart
            if is_apart and one.volts[to_ground] >= least:
                volts = one.volts[to_ground]
                yield Finding("ground-is-hot", "stop", border.source, to_ground, volts, None, least)
                return


def _neutral_lifted(check: Check, rulebook: Rulebook) -> Iterator[Finding]:
    """Judge a neutral that stands off the ground without a load."""
    most: float | None = None
    for one in _telling_of_neutral(check, rulebook):
        volts = one.volts[NEUTRAL_TO_GROUND]
        if most is None or volts > most:
            most = volts
    if most is None or most < rulebook.limit("neutral-lifted-note"):
        return
    names = ("neutral-lifted-test", "neutral-lifted-limit", "neutral-lifted-note")
    border = next(rulebook.limits[name] for name in names if most >= rulebook.limit(name))
    level = "note" if border.id == names[-1] else "limit"
    source = border.source
    yield Finding("neutral-lifted", level, source, NEUTRAL_TO_GROUND, most, None, border.value)


def _telling_of_neutral(check: Check, rulebook: Rulebook) -> list[ReadingSet]:
    """Give the sets that tell how far the neutral stands off the ground: where ghosts were drained, those."""
    right = [one for one in check.live_sets if _is_hot_side_right(one, rulebook)]
    drained = [one for one in right if one.meter.input == LOW_IMPEDANCE]
    if drained or check.supply == "utility":
        return drained or right
    if NEUTRAL_TO_GROUND in _drained(check):
        return []
    return [one for one in right if not _may_float(one, check, rulebook)]


def _may_float(one: ReadingSet, check: Check, rulebook: Rulebook) -> bool:
    """Tell whether a neutral's volts to ground may be ghosts of a source that is joined to no ground.

    Capacitances share its volts, with a least share on either side; of two legs they may leave any volts.
    """
    if rulebook.family_of(check.outlet).id == SPLIT_PHASE:
        return True
    hot, neutral = one.volts["h-n"], one.volts[NEUTRAL_TO_GROUND]
    percent, digits = one.meter.accuracy_percent, one.meter.accuracy_volts
    share = rulebook.limit("ghost-least-share")
    least = share * (hot - (hot * percent / 100.0 + digits))
    return neutral + (neutral * percent / 100.0 + digits) >= least


def _is_hot_side_right(one: ReadingSet, rulebook: Rulebook) -> bool:
    """Tell whether a hot reads its volts to neutral and about as many to ground, and the three add up."""
    apart, times = rulebook.limit("contacts-apart"), rulebook.limit("ground-hot-times")
    return any(
        closes((f"{hot}-n", f"{hot}-g", NEUTRAL_TO_GROUND), one, rulebook)
        and one.volts[f"{hot}-n"] >= apart
        and one.volts[f"{hot}-g"] >= apart
        and one.volts[f"{hot}-g"] < times * one.volts[f"{hot}-n"]
        for hot in HOTS
    )


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
    if first == FLOATING and check.supply != "utility":
        if "g-frame" not in check.continuity:
            yield Finding("ground-not-shown", "limit", OWN_CHOICE)
        if NEUTRAL_TO_GROUND not in _drained(check) and any(map(_are_lamps_unlike, check.live_sets)):
            yield Finding("lamps-unlike", "limit", EVEN_LAMPS)
    if first == BONDED:
        wirings = rulebook.family_of(check.outlet).wirings
        if any(wiring.id == BONDED and is_usable(wiring, check) for wiring in wirings):
            yield Finding("neutral-bonded-at-source", "note", PRACTICE)
    if first == OTHER and found.unnamed == LOST_UPSTREAM:
        yield Finding(LOST_UPSTREAM, "stop", PRACTICE)
    elif first == OTHER and found.unnamed:
        yield Finding("unnamed-wiring", "note", OWN_CHOICE, found.unnamed)


def _are_lamps_unlike(one: ReadingSet) -> bool:
    """Tell whether one of the two lamps to ground is lit and one dark."""
    return sorted((one.lamps.get("h-g", ""), one.lamps.get(NEUTRAL_TO_GROUND, ""))) == ["dark", "lit"]


def _against_first(check: Check, found: Explanations, rulebook: Rulebook) -> Iterator[Finding]:
    """Find what continuity showed with the source stopped and the first explanation does not have."""
    first = found.first
    if not found.probability(first) > rulebook.limit("against-mostly"):
        return
    for wiring in rulebook.family_of(check.outlet).wirings:
        if wiring.id != first:
            continue
        for pair, state in check.continuity.items():
            if all(variant.continuity[check.where][pair] != state for variant in wiring.variants):
                yield Finding("continuity-disagrees", "limit", OWN_CHOICE, pair)


def _about_device(check: Check, found: Explanations, rulebook: Rulebook) -> Iterator[Finding]:
    """Say of an outlet that is meant to stand behind a ground-fault device what shows that it does."""
    if check.outlet not in BEHIND_DEVICE or check.supply != "utility" or not found.probabilities:
        return
    if check.has_no_button:
        yield Finding("no-device-found", "note", NO_DEVICE)
    elif not check.trip:
        yield Finding("device-not-tried", "note", NO_DEVICE)
    least = rulebook.limit("tester-milliamps")
    is_driven = any(
        one.by == "external" and one.tripped is False and one.milliamps is not None and one.milliamps >= least
        for one in check.trip
    )
    if is_driven and found.first == CORRECT:
        yield Finding("no-device-tripped", "limit", NO_DEVICE)
