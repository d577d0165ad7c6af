"""Which members of a record can be corrected by a form, and how each is typed."""

import copy
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from fieldlog.model.record import Record
from fieldlog.reports.wording import pair_words

LAMPS: Final = (("lit", "lit"), ("dim", "dim"), ("dark", "dark"), ("", "not looked at"))
YES_NO: Final = (("yes", "yes"), ("no", "no"), ("", "not tested"))
ANSWERS: Final[Mapping[str, bool | None]] = {"yes": True, "no": False, "": None}
THREE_WIRE: Final = ("h-n", "h-g", "n-g")
FOUR_WIRE: Final = ("x-y", "x-n", "y-n", "x-g", "y-g", "n-g")

# In which order a body is shown; what is not named here comes after.
ORDER: Final = (
    *(
        "place",
        "park",
        "site",
        "check",
        "ready",
        "by",
        "tripped",
        "face_dead",
        "reset",
        "dead",
        "live",
        "skin",
        "inside",
    ),
    *(
        "type",
        "name",
        "outlet",
        "supply",
        "where",
        "breaker_amps",
        "hertz",
        "volts",
        "lamps",
        "look",
        "trip",
        "meter",
    ),
    *("x-y", "x-n", "y-n", "x-g", "y-g", "h-n", "h-g", "n-g", "input"),
)


def in_order(value: Any) -> Any:
    """Give a body with its members as people read them; in the log they stand by the alphabet."""
    if isinstance(value, Mapping):
        ranked = sorted(value, key=lambda name: ORDER.index(name) if name in ORDER else len(ORDER))
        return {name: in_order(value[name]) for name in ranked}
    return [in_order(each) for each in value] if isinstance(value, list) else value


@dataclass(frozen=True)
class Reading:
    """One member of a body: its path, its label, and how it is typed.

    A text with a unit is a measured value; one with choices is a lamp or an answer; else it is free text.
    With nothing typed an optional member is left out of the body; another is null or empty then.
    """

    path: tuple[str, ...]
    label: str
    unit: str = ""
    choices: Sequence[tuple[str, str]] = ()
    is_optional: bool = False

    @property
    def name(self) -> str:
        """The name of its field."""
        return ".".join(self.path[1:] if self.path[0] == "check" else self.path)

    @property
    def at(self) -> str:
        """Where it stands in the record."""
        return "/body/" + "/".join(self.path)

    def given(self, body: Mapping[str, Any]) -> str:
        """Give what a person would have typed for the value in a body."""
        value: Any = body
        for step in self.path:
            value = value.get(step) if isinstance(value, Mapping) else None
        if isinstance(value, bool):
            return "yes" if value else "no"
        return (value or "").removesuffix(f" {self.unit}") if self.unit else value or ""

    def put(self, body: dict[str, Any], typed: str) -> None:
        """Put what was typed into a body."""
        place = body
        for step in self.path[:-1]:
            place = place.setdefault(step, {})
        value = self._value(typed)
        if value is None and self.is_optional:
            place.pop(self.path[-1], None)
        else:
            place[self.path[-1]] = value

    def _value(self, typed: str) -> Any:
        if self.choices == YES_NO:
            return ANSWERS.get(typed, typed)
        if self.unit:
            return measured_text(typed, self.unit)
        return typed or None if self.is_optional else typed.strip()


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
    for group in ("volts", "lamps"):
        if record.is_check and not body["check"].get(group, True):
            del body["check"][group]
    if "not_tested" in body:
        body["not_tested"] = list(_not_tested(record, body))
    return body


def _of_check(record: Record) -> Iterator[Reading]:
    if record.kind == "arrival-check":
        yield Reading(("place", "park"), "Park")
        yield Reading(("place", "site"), "Site")
    yield Reading(("check", "breaker_amps"), "Number on the breaker, A", "A", is_optional=True)
    for pair in FOUR_WIRE if record.body["check"]["outlet"] == "14-50" else THREE_WIRE:
        yield Reading(("check", "volts", pair), f"Volts {pair_words(pair)}", "V", is_optional=True)
    for pair in () if record.body["check"]["outlet"] == "14-50" else THREE_WIRE:
        yield Reading(
            ("check", "lamps", pair), f"The {pair_words(pair)} lamp", choices=LAMPS, is_optional=True
        )


_NAME: Final = Reading(("name",), "Name")
_NOTE: Final = Reading(("note",), "Note")
OF_KIND: Final[Mapping[str, tuple[Reading, ...]]] = {
    "plug-in": (Reading(("inside",), "Volts inside the rig", "V"),),
    "trip-test": (
        Reading(("tripped",), "Did it trip?", choices=YES_NO),
        Reading(("face_dead",), "Did its own face go dead?", choices=YES_NO),
        Reading(("reset",), "Did it reset?", choices=YES_NO),
    ),
    "rig": (_NAME, _NOTE),
    "outlet": (_NAME, _NOTE),
    "device": (_NAME, _NOTE),
    "instrument": (_NAME,),
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
    is_step = reading.choices == YES_NO or reading.path[-1] == "inside" or reading.path[-1] in THREE_WIRE
    return reading.name if is_step else ""
