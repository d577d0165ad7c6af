"""What a record says, in plain words, whatever its kind."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, Final

from fieldlog.model.record import Record
from fieldlog.reports.noted_wiring import (
    change_lines,
    incident_lines,
    look_lines,
    map_lines,
    proof_lines,
    round_lines,
)
from fieldlog.words.kinds import DEVICES
from fieldlog.words.lines import Line, Part
from fieldlog.words.readings import METERS, parts_of_check, trip_words
from fieldlog.words.wording import begun, pair_words

NOTED: Final = "Noted"
PLACE: Final = "Place"
NOT_NOTED: Final = "not noted"
NOT_TESTED: Final = "not tested"
SILENT_DETECTOR: Final = "a silent detector shows nothing"
NOT_SHOWN_HARMLESS: Final = "nothing shows that it is harmless: not read by a low-impedance meter"
SKIN_LEVELS: Final = {
    "stop": "live: breaker off, do not touch the rig",
    "limit": "check the ground before you go on",
    "not-tested": NOT_TESTED,
}
"""What the level that a skin's reading was given means, in words."""
INSTRUMENTS: Final = {"meter": "meter", "lamp-tester": "lamp tester"}
Names = Mapping[str, str]
"""What the things that a record speaks of are called, by their ids."""


@dataclass(frozen=True)
class Known:
    """What a rig tells of what its records name: what things are called, and the parts of its newest map."""

    names: Names = field(default_factory=dict)
    parts: Sequence[Mapping[str, Any]] = ()


def parts_of_record(
    record: Record, names: Names, parts: Sequence[Mapping[str, Any]] = ()
) -> tuple[Part, ...]:
    """Give everything that a record says, part by part, with names in place of ids."""
    body = record.body
    if record.kind == "proof":
        return (Part(NOTED, tuple(proof_lines(body, names, parts))),)
    if record.is_check:
        return (*_circumstances(body), *parts_of_check(body["check"]))
    return (Part(NOTED, tuple(_OF_KIND[record.kind](body, names))),)


def plug_in_lines(body: Mapping[str, Any]) -> tuple[Line, ...]:
    """Give what was seen after plugging in."""
    return (
        Line("Rig's skin", _skin(body["skin"], body["judgement"]["level"])),
        Line("Volts inside the rig", body["inside"] or NOT_TESTED),
        Line("A tingle", "was felt" if body["tingle"] else "none told of"),
    )


def _circumstances(body: Mapping[str, Any]) -> Iterator[Part]:
    place, ready = body.get("place"), body["ready"]
    if place is not None:
        lines = (Line("Campground", place["park"] or NOT_NOTED), Line("Site", place["site"] or NOT_NOTED))
        yield Part(PLACE, lines)
    proved = Line("Meter proved before", _yes_no(ready["meter_proved"]))
    category = Line("Category of the meter", ready["category"] or NOT_NOTED)
    is_metered = "volts" in body["check"]
    dry = Line("Dry, and no thunder about", _yes_no(ready["dry"]))
    yield Part("Made sure of", (dry, proved, category) if is_metered else (dry,))


def _skin(skin: Mapping[str, Any] | None, level: str) -> str:
    if skin is None:
        return NOT_TESTED
    if skin["by"] == "meter":
        return ", ".join(_skin_by_meter(skin, level))
    return "a non-contact detector found volts" if skin["detected"] else f"{NOT_TESTED}, {SILENT_DETECTOR}"


def _skin_by_meter(skin: Mapping[str, Any], level: str) -> Iterator[str]:
    yield f"{skin['volts']} to earth, by meter"
    if "low_impedance" in skin:
        yield f"{skin['low_impedance']} by a low-impedance meter"
    if skin.get("earth_proved") is False:
        yield "the earth was not proved"
    if level == "note":
        yield "harmless: it vanished" if "low_impedance" in skin else NOT_SHOWN_HARMLESS
    elif level in SKIN_LEVELS:
        yield SKIN_LEVELS[level]


def _trip_test(body: Mapping[str, Any], names: Names) -> Iterator[Line]:
    yield Line("Trip test", trip_words(body))
    yield Line("Went dead", _named(body["dead"], names))
    yield Line("Stayed live", _named(body["live"], names))
    if "mode" in body:
        yield Line("Mode of the rig", body["mode"] or NOT_NOTED)


def _plug_in(body: Mapping[str, Any], _names: Names) -> Iterator[Line]:
    yield from plug_in_lines(body)


def _rig(body: Mapping[str, Any], _names: Names) -> Iterator[Line]:
    yield Line("Name", body["name"])
    yield Line("Its own plug fits", body["outlet"])
    if body.get("assured_months"):
        often = f"every {body['assured_months']} months"
        yield Line("Ground shown by the assured grounding manner", often)
    if body.get("season_starts"):
        yield Line("Season starts", body["season_starts"])
    yield Line("Note", body["note"] or NOT_NOTED)


def _outlet(body: Mapping[str, Any], names: Names) -> Iterator[Line]:
    yield Line("Name", body["name"])
    yield Line("Outlet", body["outlet"])
    yield Line("Guarded by, as noted", _named([body["guard"]] if body["guard"] else [], names))
    yield Line("Note", body["note"] or NOT_NOTED)


def _device(body: Mapping[str, Any], _names: Names) -> Iterator[Line]:
    yield Line("Name", body["name"])
    yield Line("Type", begun(DEVICES[body["type"]]))
    yield Line("Made in", body.get("made") or NOT_NOTED)
    yield Line("Installed in", body["installed"] or NOT_NOTED)
    yield Line("Note", body["note"] or NOT_NOTED)


def _instrument(body: Mapping[str, Any], _names: Names) -> Iterator[Line]:
    yield Line("Instrument", INSTRUMENTS[body["type"]])
    yield Line("Name", body["name"])
    if body["type"] == "meter":
        yield Line("Input", METERS[body["input"]])
        yield Line("Exact to", f"{body['accuracy_percent']} + {body['accuracy_volts']}")
        yield Line("Category", body["category"] or NOT_NOTED)
    for lamp in body.get("lamps", ()):
        yield Line(f"{begun(pair_words(lamp['pair']))} lamp", f"called “{lamp['called']}”")


def _photo(body: Mapping[str, Any], _names: Names) -> Iterator[Line]:
    yield Line("It shows", body["what"] or NOT_NOTED)
    yield Line("Size", f"{body['width']} × {body['height']} pixels")
    yield Line("Hash of the photo as it was sent", body["hash"])


_OF_KIND: Final[Mapping[str, Callable[[Mapping[str, Any], Names], Iterator[Line]]]] = {
    "plug-in": _plug_in,
    "trip-test": _trip_test,
    "rig": _rig,
    "outlet": _outlet,
    "device": _device,
    "instrument": _instrument,
    "photo": _photo,
    "rig-map": map_lines,
    "change": change_lines,
    "look": look_lines,
    "round": round_lines,
    "incident": incident_lines,
}


def _named(ids: list[str], names: Names) -> str:
    return ", ".join(f"“{names.get(each, 'not in your log')}”" for each in ids) or NOT_NOTED


def _yes_no(answer: bool) -> str:
    return "yes" if answer else "no"
