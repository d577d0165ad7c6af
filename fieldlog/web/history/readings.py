"""Which members of a record can be corrected by a form, and how each is typed."""

import copy
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from fieldlog.model.contacts import contacts_of
from fieldlog.model.record import Record
from fieldlog.tables import entries
from fieldlog.words.readings import CONTINUITY_PAIRS
from fieldlog.words.wording import begun, near_words, pair_words

LAMPS: Final = (("lit", "lit"), ("dim", "dim"), ("dark", "dark"), ("", "not looked at"))
YES_NO: Final = (("yes", "yes"), ("no", "no"), ("", "not tested"))
ASSURED: Final = (("", "no"), ("3", "every 3 months"), ("6", "every 6 months"))
MONTHS: Final[Mapping[str, int | None]] = {"": None, "3": 3, "6": 6}
ANSWERS: Final[Mapping[str, bool | None]] = {"yes": True, "no": False, "": None}
INCIDENTS: Final = tuple(
    (rule["id"], rule["tap"]) for rule in entries("facts/incidents.json") if rule["of"] == "incident"
)
CONTINUITY: Final = (("open", "open"), ("closed", "joined"), ("", "not tested"))
NEAR: Final = (("yes", "it found volts"), ("no", "it found nothing"), ("", "not tested"))
Step = str | int


@dataclass(frozen=True)
class Reading:
    """One member of a body: its path, its label, and how it is typed.

    A text with a unit is a measured value; one with choices is a lamp or an answer; else it is free text.
    With nothing typed an optional member is left out of the body; another is null or empty then.
    """

    path: tuple[Step, ...]
    label: str
    unit: str = ""
    choices: Sequence[tuple[str, str]] = ()
    is_optional: bool = False

    @property
    def name(self) -> str:
        """The name of its field."""
        return ".".join(str(step) for step in (self.path[1:] if self.path[0] == "check" else self.path))

    @property
    def at(self) -> str:
        """Where it stands in the record."""
        return "/body/" + "/".join(str(step) for step in self.path)

    def given(self, body: Mapping[str, Any]) -> str:
        """Give what a person would have typed for the value in a body."""
        value: Any = body
        for step in self.path:
            value = _inside(value, step)
        if isinstance(value, bool):
            return "yes" if value else "no"
        if isinstance(value, int):
            return str(value)
        return (value or "").removesuffix(f" {self.unit}") if self.unit else value or ""

    def put(self, body: dict[str, Any], typed: str) -> None:
        """Put what was typed into a body."""
        place: Any = body
        for step in self.path[:-1]:
            place = place[step] if isinstance(step, int) else place.setdefault(step, {})
        value = self._value(typed)
        if value is None and self.is_optional:
            place.pop(self.path[-1], None)
        else:
            place[self.path[-1]] = value

    def _value(self, typed: str) -> Any:
        if self.choices in (YES_NO, NEAR):
            return ANSWERS.get(typed, typed)
        if self.choices == ASSURED:
            return MONTHS.get(typed, typed)
        if self.unit:
            return measured_text(typed, self.unit)
        return typed.strip() or None if self.is_optional else typed.strip()


def _inside(value: Any, step: Step) -> Any:
    if isinstance(value, Mapping):
        return value.get(str(step))
    is_there = isinstance(value, list) and isinstance(step, int) and step < len(value)
    return value[step] if is_there else None


def measured_text(typed: str, unit: str) -> str | None:
    """Give what was typed as a measured value: a comma is a point, and the unit may be typed or not."""
    number = typed.strip().removesuffix(unit).strip().replace(",", ".")
    return f"{number} {unit}" if number else None


def readings_of(record: Record) -> tuple[Reading, ...]:
    """Give the readings of a record that a form offers, in the order of the page."""
    return tuple(_of_check(record) if record.is_check else OF_KIND[record.kind])


def corrected_body(record: Record, typed: Mapping[str, str]) -> dict[str, Any]:
    """Give the record's body with what was typed in place of its readings."""
    body = copy.deepcopy(dict(record.body))
    for reading in readings_of(record):
        reading.put(body, typed[reading.name])
    if record.is_check:
        _drop_what_is_empty(body["check"])
    if "not_tested" in body:
        body["not_tested"] = list(_not_tested(record, body))
    return body


def _drop_what_is_empty(check: dict[str, Any]) -> None:
    """Take away groups whose every reading was taken away; a further set keeps its place."""
    for one in (check, *check.get("more", ())):
        loaded = one.get("loaded", {})
        for place, group in ((one, "volts"), (one, "lamps"), (loaded, "volts")):
            if not place.get(group, True):
                del place[group]
    for group in ("near", "continuity"):
        if not check.get(group, True):
            del check[group]


def _of_check(record: Record) -> Iterator[Reading]:
    check = record.body["check"]
    contacts = contacts_of(check["outlet"])
    if record.kind == "arrival-check":
        yield Reading(("place", "park"), "Campground")
        yield Reading(("place", "site"), "Site")
    yield Reading(("check", "breaker_amps"), "Number on the breaker, A", "A", is_optional=True)
    if "hertz" in check:
        yield Reading(("check", "hertz"), "Frequency, Hz", "Hz", is_optional=True)
    read = check.get("volts", {})
    yield from _volts(
        ("check",), [*contacts.usual, *(pair for pair in contacts.pairs if pair[-1] == "e" and pair in read)]
    )
    yield from _lamps(("check",), contacts.lamp_pairs)
    yield from _of_load(("check",), check)
    for i, further in enumerate(check.get("more", ())):
        yield from _of_further_set(i, further)
    yield from _of_tests(check)


def _of_further_set(i: int, further: Mapping[str, Any]) -> Iterator[Reading]:
    at, before = ("check", "more", i), f"Further set {i + 1}: "
    yield from _volts(at, further.get("volts", ()), before)
    yield from _lamps(at, further.get("lamps", ()), before)
    yield from _of_load(at, further, before)


def _of_load(at: tuple[Step, ...], one: Mapping[str, Any], before: str = "") -> Iterator[Reading]:
    """Offer what was read under load; a load is neither added nor taken away here."""
    if "loaded" in one:
        at = (*at, "loaded")
        yield Reading((*at, "amps"), begun(f"{before}amps of the load, A"), "A")
        yield from _volts(at, one["loaded"].get("volts", ()), f"{before}under load: ")


def _volts(at: tuple[Step, ...], pairs: Iterable[str], before: str = "") -> Iterator[Reading]:
    for pair in pairs:
        label = begun(f"{before}volts {pair_words(pair)}")
        yield Reading((*at, "volts", pair), label, "V", is_optional=True)


def _lamps(at: tuple[Step, ...], pairs: Iterable[str], before: str = "") -> Iterator[Reading]:
    for pair in pairs:
        label = begun(f"{before}the {pair_words(pair)} lamp")
        yield Reading((*at, "lamps", pair), label, choices=LAMPS, is_optional=True)


def _of_tests(check: Mapping[str, Any]) -> Iterator[Reading]:
    for pair in check.get("continuity", ()):
        label = begun(CONTINUITY_PAIRS[pair])
        yield Reading(("check", "continuity", pair), label, choices=CONTINUITY, is_optional=True)
    for place in check.get("near", ()):
        label = f"Detector at the {'rig’s skin' if place == 'skin' else f'{near_words(place)} contact'}"
        yield Reading(("check", "near", place), label, choices=NEAR, is_optional=True)


_NAME: Final = Reading(("name",), "Name")
_NOTE: Final = Reading(("note",), "Note")
OF_KIND: Final[Mapping[str, tuple[Reading, ...]]] = {
    "plug-in": (Reading(("inside",), "Volts inside the rig", "V"),),
    "trip-test": (
        Reading(("tripped",), "Did it trip?", choices=YES_NO),
        Reading(("face_dead",), "Did its own face go dead?", choices=YES_NO),
        Reading(("reset",), "Did it reset?", choices=YES_NO),
        Reading(("milliseconds",), "Time to trip, ms", "ms", is_optional=True),
        Reading(("milliamps",), "Fault current, mA", "mA", is_optional=True),
    ),
    "rig": (
        _NAME,
        Reading(
            ("assured_months",),
            "Show the ground by the assured grounding manner?",
            choices=ASSURED,
            is_optional=True,
        ),
        Reading(("season_starts",), "On which day does your season start, as 04-01", is_optional=True),
        _NOTE,
    ),
    "outlet": (_NAME, _NOTE),
    "device": (
        _NAME,
        Reading(("made",), "Made in which month, as 2021-05", is_optional=True),
        _NOTE,
    ),
    "instrument": (_NAME,),
    "photo": (Reading(("what",), "What it shows"),),
    "rig-map": (),  # a map is corrected by keeping another version of it
    "change": (
        Reading(("what",), "What was changed"),
        Reading(("why",), "Why"),
        Reading(("wire",), "Wire"),
        Reading(("device",), "Device"),
    ),
    "proof": (_NOTE,),
    "look": (_NOTE,),
    "round": (),
    "incident": (Reading(("what",), "What happened", choices=INCIDENTS), _NOTE),
}


def _not_tested(record: Record, body: Mapping[str, Any]) -> Iterator[str]:
    """Keep the steps that are still not tested, and add those whose result was taken away."""
    steps = {_step(reading): reading.given(body) != "" for reading in readings_of(record) if _step(reading)}
    was = {
        _step(reading): reading.given(record.body) != "" for reading in readings_of(record) if _step(reading)
    }
    for step in record.body["not_tested"]:
        if not steps.get(step, False):
            yield step
    for step, is_done in steps.items():
        if was[step] and not is_done:
            yield step


def _step(reading: Reading) -> str:
    """Give the step that a reading is the result of, or nothing."""
    is_first_set = reading.path[:2] in (("check", "volts"), ("check", "lamps"))
    is_step = reading.choices == YES_NO or reading.path[-1] == "inside" or is_first_set
    return reading.name if is_step else ""
