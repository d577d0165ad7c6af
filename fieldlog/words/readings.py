"""All readings of a check in plain words, part by part."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from fieldlog.model.contacts import contacts_of
from fieldlog.model.shapes import Check, Loaded, More
from fieldlog.words.lines import Line, LineGroup
from fieldlog.words.wording import STATES, begun, contact_words, pair_words

SUPPLIES: Final = {
    "utility": "shore power",
    "generator": "generator",
    "inverter": "inverter",
}
PLACES: Final = {"pedestal": "at the pedestal, or at the source's own outlet", "rig": "in the rig"}
METERS: Final = {"high-impedance": "high-impedance meter", "low-impedance": "low-impedance meter"}
LAMPS: Final = {"lit": "lit", "dim": "dim", "dark": "dark"}
CONTINUITY_PAIRS: Final = {
    "n-g": "neutral contact to ground contact",
    "g-frame": "ground contact to the source's frame",
}
CONTINUITY: Final = {"open": "open", "closed": "joined"}
DEVICES: Final = {"this": "this outlet's device", "upstream": "a device upstream"}
SIGNS: Final = {
    "burned": "burn marks or melted plastic",
    "wet": "wet inside",
    "warm": "warm",
    "buzzing": "buzzing or crackling",
    "tingle": "someone felt a tingle",
    "breaker-will-not-hold": "breaker will not hold",
    "cracked": "cracked",
    "loose": "loose",
    "cover-missing": "cover missing",
}


def parts_of_check(check: Check) -> tuple[LineGroup, ...]:
    """Give everything that a check says, in the order in which it is usually done."""
    contacts = contacts_of(check["outlet"])
    further = [
        part
        for number, one in enumerate(check.get("more", ()), 1)
        for part in _set_parts(one, contacts.pairs, _set_title(number, one))
    ]
    parts = (
        LineGroup("The outlet", tuple(_outlet(check))),
        *_set_parts(check, contacts.pairs, "Read, as found"),
        *further,
        LineGroup("Continuity, nothing live", tuple(_continuity(check))),
        LineGroup("Non-contact detector", tuple(_detector(check, contacts.detector_places))),
        LineGroup("Trip tests", tuple(_trips(check))),
    )
    return tuple(part for part in parts if part.lines)


def trip_words(trip: Mapping[str, Any]) -> str:
    """Give what one trip test showed, in a row; what was not tested is said to be."""
    answers = [words[trip[key]] for key, words in _TRIP_ANSWERS.items() if trip.get(key) is not None]
    measured = [f"{words} {trip[key]}" for key, words in _TRIP_FIGURES.items() if key in trip]
    return f"{_TRIP_WAYS[trip['by']]}: {', '.join([*answers, *measured]) or 'not tested'}"


_TRIP_WAYS: Final = {"button": "TEST pressed", "external": "external tester", "hand": "opened by hand"}
_TRIP_ANSWERS: Final = {
    "tripped": {True: "tripped", False: "did not trip"},
    "face_dead": {True: "its own face went dead", False: "its own face stayed live"},
    "reset": {True: "reset", False: "did not reset"},
}
_TRIP_FIGURES: Final = {"milliseconds": "time to trip", "milliamps": "fault current"}


def _outlet(check: Check) -> Iterator[Line]:
    yield Line("Kind", check["outlet"])
    if "supply" in check:
        yield Line("Supply", SUPPLIES[check["supply"]])
    if "where" in check:
        yield Line("Where", PLACES[check["where"]])
    if "breaker_amps" in check:
        yield Line("Number on the breaker", check["breaker_amps"])
    if "hertz" in check:
        yield Line("Frequency", check["hertz"])
    if "look" in check:
        yield Line("Damage looked for", ", ".join(SIGNS[sign] for sign in check["look"]) or "none seen")


def _set_title(number: int, one: More) -> str:
    return f"Further set {number}, {STATES[one.get('state', 'as-found')]}"


def _set_parts(one: Check | More, pairs: Sequence[str], title: str) -> Iterator[LineGroup]:
    lines = (*_meter(one), *_volts(one, pairs), *_lamps(one, pairs))
    loaded = one.get("loaded")
    if lines or loaded is None:
        yield LineGroup(title, lines)
    if loaded is not None:
        yield LineGroup(f"{title}, under load", (*_load(loaded, pairs), *_volts(loaded, pairs)))


def _meter(one: Check | More) -> Iterator[Line]:
    meter = one.get("meter")
    if not meter or not (one.get("volts") or one.get("loaded")):
        return
    errors = [meter[name] for name in ("accuracy_percent", "accuracy_volts") if name in meter]
    words = [METERS[meter["input"]]] if "input" in meter else []
    if errors:
        words.append(f"exact to {' + '.join(errors)}")
    yield Line("Meter", ", ".join(words))


def _volts(one: Check | More | Loaded, pairs: Sequence[str]) -> Iterator[Line]:
    volts = one.get("volts", {})
    yield from (Line(begun(pair_words(pair)), volts[pair]) for pair in _in_order(volts, pairs))


def _lamps(one: Check | More, pairs: Sequence[str]) -> Iterator[Line]:
    lamps = one.get("lamps", {})
    for pair in _in_order(lamps, pairs):
        yield Line(f"{begun(pair_words(pair))} lamp", LAMPS[lamps[pair]])


def _load(loaded: Loaded, pairs: Sequence[str]) -> Iterator[Line]:
    spread = f", known to {loaded['amps_percent']}" if "amps_percent" in loaded else ""
    across = loaded.get("across", pairs[0])
    yield Line(f"Load across {pair_words(across)}", f"{loaded['amps']}{spread}")


def _continuity(check: Check) -> Iterator[Line]:
    found = check.get("continuity", {})
    for pair, words in CONTINUITY_PAIRS.items():
        if pair in found:
            yield Line(begun(words), CONTINUITY[found[pair]])


def _detector(check: Check, places: Sequence[str]) -> Iterator[Line]:
    found = check.get("near", {})
    for place in _in_order(found, places):
        at = "At the rig's skin" if place == "skin" else f"At the {contact_words(place)} contact"
        nothing = "silent, which shows nothing: not tested" if place == "skin" else "found nothing"
        yield Line(at, "found volts" if found[place] else nothing)


def _trips(check: Check) -> Iterator[Line]:
    for trip in check.get("trip", ()):
        yield Line(begun(DEVICES[trip.get("device", "this")]), trip_words(trip))


def _in_order(found: Mapping[str, Any], known: Sequence[str]) -> list[str]:
    """Put what was read into the order of the outlet; what it has no place for comes last."""
    return [*(name for name in known if name in found), *(name for name in found if name not in known)]
