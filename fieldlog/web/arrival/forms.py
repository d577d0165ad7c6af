"""The arrival check as one form, for a browser without script.

Its fields are named by their paths in a check. It reads what was typed; whether a record may say that is
judged where every record is.
"""

from collections.abc import Iterator, Sequence
from functools import cached_property
from typing import Any, Final

from flask_wtf import FlaskForm
from wtforms import (
    Field,
    HiddenField,
    RadioField,
    SelectField,
    SelectMultipleField,
    StringField,
    ValidationError,
)
from wtforms.validators import AnyOf, InputRequired, Optional, Regexp

from fieldlog.model.contacts import OF_OUTLET, contacts_of
from fieldlog.model.identity import UUID_PATTERN
from fieldlog.model.problem import Problem
from fieldlog.web.layout.looks import LOOKS
from fieldlog.words.entry import PAIRS, RANGES, measured_entry, read_entry

LAMPS: Final = ("lit", "dim", "dark")
TRIP: Final = ("tripped", "face_dead", "reset")
CATEGORIES: Final = (
    "CAT II 300 V",
    "CAT II 600 V",
    "CAT III 300 V",
    "CAT III 600 V",
    "CAT IV 300 V",
    "CAT IV 600 V",
)
_TICKS: Final = {"yes": True, "no": False}


class PlainForm(FlaskForm):
    """What the fields of a check share; the fields themselves have names with dots and are added below."""

    id = HiddenField(validators=[Regexp(UUID_PATTERN, message="Open the page again; nothing was kept.")])

    def validate(self, extra_validators: Any = None) -> bool:
        """Check every field, and that there is something to judge at all."""
        if not super().validate(extra_validators) or not self._is_load_whole():
            return False
        if not self._says_anything():
            self[f"volts.{self._pairs[0]}"].errors = [
                "Type at least one reading, or say what the lamps show or what you saw."
            ]
            return False
        return True

    def text(self, name: str) -> str:
        """Give what a field holds, without blanks around it."""
        return (self[name].data or "").strip()

    def show(self, problems: Sequence[Problem]) -> None:
        """Say each problem at its field; what belongs to no field is said at the form's id."""
        for problem in problems:
            steps = problem.at.removeprefix("/body").removeprefix("/check").strip("/").split("/")
            name = ".".join(step for step in steps if not step.isdigit())
            self[name if name in self else "id"].errors = [problem.problem]

    @property
    def is_looked(self) -> bool:
        """Whether the outlet was looked over."""
        return bool(self["looked"].data or self["look"].data)

    @cached_property
    def check(self) -> dict[str, Any]:
        """Give the check; what was not measured is absent."""
        volts = self._volts("volts")
        lamps = {pair: self.text(f"lamps.{pair}") for pair in self._pairs if self.text(f"lamps.{pair}")}
        loaded = self._loaded()
        typed = {name: self.text(f"trip.{name}") for name in self._pressed()}
        trip = {name: _TICKS.get(text, text) for name, text in typed.items()}
        check: dict[str, Any] = {
            "outlet": self.text("outlet"),
            "supply": self.text("supply"),
            "where": "pedestal",
        }
        if self.text("breaker_amps"):
            check["breaker_amps"] = measured_entry("breaker_amps", self.text("breaker_amps"))
        if self.is_looked:
            check["look"] = sorted(self["look"].data)
        if volts or loaded:
            check["meter"] = self._meter()
        check |= {
            name: read for name, read in (("volts", volts), ("lamps", lamps), ("loaded", loaded)) if read
        }
        if trip:
            check["trip"] = [{"by": "button", "device": "this", **trip}]
        return check

    @property
    def body(self) -> dict[str, Any]:
        """Give the record's body, not yet judged."""
        check = self.check
        proved = bool(self["ready.meter_proved"].data) and "volts" in check
        return {
            "place": {"park": self.text("place.park"), "site": self.text("place.site")},
            "check": check,
            "ready": {
                "dry": bool(self["ready.dry"].data),
                "meter_proved": proved,
                "category": (self.text("ready.category") or None) if "volts" in check else None,
            },
            "not_tested": list(_not_tested(check, proved)),
        }

    def _says_anything(self) -> bool:
        return any(member in self.check for member in ("volts", "lamps", "look", "trip"))

    @property
    def _pairs(self) -> tuple[str, ...]:
        """The pairs of the chosen outlet; what was typed for another one is left out."""
        return contacts_of(self.text("outlet")).usual

    def _volts(self, group: str) -> dict[str, str]:
        names = {pair: f"{group}.{pair}" for pair in self._pairs}
        return {
            pair: measured_entry(name, self.text(name)) for pair, name in names.items() if self.text(name)
        }

    def _is_load_whole(self) -> bool:
        volts = self._volts("loaded.volts")
        if volts and not self.text("loaded.amps"):
            self["loaded.amps"].errors = ["Type the amps of the load, or leave its volts out."]
        if self.text("loaded.amps") and not volts:
            self[f"loaded.volts.{self._across}"].errors = ["Type what the meter shows with the load on."]
        return bool(volts) == bool(self.text("loaded.amps"))

    @property
    def _across(self) -> str:
        known = contacts_of(self.text("outlet")).acrosses
        return self.text("loaded.across") if len(known) > 1 else known[0]

    def _loaded(self) -> dict[str, Any]:
        volts = self._volts("loaded.volts")
        if not volts:
            return {}
        amps = measured_entry("loaded.amps", self.text("loaded.amps"))
        return {"across": self._across, "amps": amps, "volts": volts}

    def _meter(self) -> dict[str, str]:
        accuracy = {
            name: measured_entry(f"meter.{name}", self.text(f"meter.{name}") or default)
            for name, default in (("accuracy_percent", "1.0"), ("accuracy_volts", "0.3"))
        }
        return {"input": self.text("meter.input"), **accuracy}

    def _pressed(self) -> Iterator[str]:
        asked = TRIP[:1] if self.text("trip.tripped") == "no" else TRIP
        return (name for name in asked if self.text(f"trip.{name}"))


def _not_tested(check: dict[str, Any], proved: bool) -> Iterator[str]:
    if "look" not in check:
        yield "look"
    pairs = contacts_of(check["outlet"]).usual
    yield from (f"volts.{pair}" for pair in pairs if pair not in check.get("volts", {}))
    if "lamps" in check and check["outlet"] != "14-50":  # of four contacts a tester may lack some lamps
        yield from (f"lamps.{pair}" for pair in pairs if pair not in check["lamps"])
    if check["outlet"] in ("5-20", "5-15"):
        yield from _left_out_of_trip(check)
    if "volts" in check and not proved:
        yield "meter_proved"


def _left_out_of_trip(check: dict[str, Any]) -> Iterator[str]:
    """Give what is not known of TEST and RESET; what did not trip has nothing more to show."""
    own = next(iter(check.get("trip", ())), None)
    if own is None:
        yield "trip"
    elif own.get("tripped") is not False:
        yield from (answer for answer in TRIP if answer not in own)


def _is_number(form: FlaskForm, field: Field) -> None:
    try:
        read_entry(field.data, RANGES[field.name])
    except ValueError as problem:
        raise ValidationError(str(problem)) from None


def _number(name: str, default: str = "") -> StringField:
    return StringField(name, [Optional(), _is_number], default=default)


def _words(name: str) -> StringField:
    return StringField(name)


def _choices(known: tuple[str, ...]) -> Any:
    """Give values that are their own labels; WTForms takes them, its types do not know that."""
    return list(known)


def _one_of(name: str, known: tuple[str, ...], *, default: str = "", required: str = "") -> RadioField:
    return RadioField(
        name,
        [InputRequired(required)] if required else [],
        choices=_choices(known),
        default=default,
        validate_choice=False,
    )


def _some_of(name: str, known: tuple[str, ...]) -> SelectMultipleField:
    return SelectMultipleField(name, choices=_choices(known), validate_choice=False, default=[])


def _list_of(name: str, known: tuple[str, ...]) -> SelectField:
    one_of_them = AnyOf(known, "That is none of the choices; choose one of them.")
    return SelectField(
        name, [Optional(), one_of_them], choices=_choices(known), validate_choice=False, default=""
    )


def _outlet() -> RadioField:
    """Give the field that says which others are read, so that it is known before they are."""
    wanted, known = "Choose the outlet you want to use.", tuple(OF_OUTLET)
    asked = [InputRequired(wanted), AnyOf(known, wanted)]
    return RadioField("outlet", asked, choices=_choices(known), default="", validate_choice=False)


def _fields() -> Iterator[tuple[str, Field]]:
    yield "place.park", _words("place.park")
    yield "place.site", _words("place.site")
    supplies = ("utility", "generator", "inverter")
    yield "supply", _one_of("supply", supplies, default="utility", required="Say what feeds the outlet.")
    yield "outlet", _outlet()
    for tick in ("looked", "ready.dry", "ready.meter_proved"):
        yield tick, _some_of(tick, ("yes",))
    yield "look", _some_of("look", LOOKS)
    yield "ready.category", _list_of("ready.category", CATEGORIES)
    inputs = ("high-impedance", "low-impedance")
    yield (
        "meter.input",
        _one_of("meter.input", inputs, default=inputs[0], required="Choose the kind of meter."),
    )
    for name in RANGES:
        yield (
            name,
            _number(name, {"meter.accuracy_percent": "1.0", "meter.accuracy_volts": "0.3"}.get(name, "")),
        )
    for pair in PAIRS:
        yield f"lamps.{pair}", _one_of(f"lamps.{pair}", LAMPS)
    yield "loaded.across", _one_of("loaded.across", ("x-n", "y-n", "x-y"), default="x-n")
    for name in TRIP:
        yield f"trip.{name}", _one_of(f"trip.{name}", ("yes", "no"))


PlainArrivalForm: type[PlainForm] = type("PlainArrivalForm", (PlainForm,), dict(_fields()))
