"""What was seen after plugging in: volts on the rig's skin and inside, a tingle."""

from collections.abc import Iterator, Mapping
from typing import Any, Final

from fieldlog.kinds.forms import FormReading, these
from fieldlog.kinds.kind import NOT_TESTED, Glossary, Kind, Log, noted
from fieldlog.kinds.rules import not_tested_once, volts_in_range
from fieldlog.model.bodies import BodyPlugIn
from fieldlog.model.problem import Problem
from fieldlog.model.record import Record, shows_skin
from fieldlog.words.lines import Line
from fieldlog.words.wording import begun

SILENT_DETECTOR: Final = "a silent detector shows nothing"
NOT_SHOWN_HARMLESS: Final = "nothing shows that it is harmless: not read by a low-impedance meter"
SKIN_LEVELS: Final = {
    "stop": "live: breaker off, do not touch the rig",
    "limit": "check the ground before you go on",
    "not-tested": NOT_TESTED,
}
"""What the level that a skin's reading was given means, in words."""
SKIN_NOT_TESTED: Final = "skin not tested"
SKINS: Final = {
    "stop": "the skin was live",
    "limit": "more on the skin than a sound ground leaves",
    "not-tested": SKIN_NOT_TESTED,
}


def plug_in_lines(body: BodyPlugIn) -> tuple[Line, ...]:
    """Give what was seen after plugging in."""
    return (
        Line("Rig's skin", _skin(body["skin"], body["judgement"]["level"])),
        Line("Volts inside the rig", body["inside"] or NOT_TESTED),
        Line("A tingle", "was felt" if body["tingle"] else "none told of"),
    )


def _lines(body: BodyPlugIn, _known: Glossary) -> tuple[Line, ...]:
    return plug_in_lines(body)


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


def _in_short(body: BodyPlugIn, _known: Glossary) -> str:
    if body["tingle"]:
        return "A tingle was felt"
    inside = f"volts inside: {body['inside'] or NOT_TESTED}"
    skin = SKINS.get(body["judgement"]["level"]) if shows_skin(body["skin"]) else SKIN_NOT_TESTED
    return begun(f"{skin}, {inside}" if skin else inside)


def _volts(record: Record[BodyPlugIn]) -> Iterator[Problem]:
    skin, inside = record.body["skin"], record.body["inside"]
    for name in ("volts", "low_impedance"):
        if skin is not None and name in skin:
            yield from volts_in_range(f"/body/skin/{name}", skin[name])
    if inside is not None:
        yield from volts_in_range("/body/inside", inside)


def _steps_done(body: BodyPlugIn) -> Iterator[str]:
    if body.get("inside") is not None:
        yield "inside"
    if shows_skin(body.get("skin")):
        yield "skin"


def _follows_a_check(record: Record[BodyPlugIn], log: Log) -> Iterator[Problem]:
    if not log.has(record.subject, "arrival-check"):
        yield Problem("/subject", "The subject is not an arrival check of yours; send its record first.")


KIND: Final[Kind[BodyPlugIn]] = Kind(
    parts=noted(_lines),
    in_short=_in_short,
    readings=these(FormReading(("inside",), "Volts inside the rig", "V", is_step=True)),
    rules=(_volts, not_tested_once(_steps_done)),
    log_rules=(_follows_a_check,),
)
