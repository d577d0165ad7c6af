"""What a box holds, as it is typed. It is asked by an address and keeps nothing."""

import re
from collections.abc import Iterator, Sequence
from typing import Any, Final

from wtforms import Field, Form, RadioField, StringField
from wtforms.fields.choices import SelectChoice  # type: ignore[attr-defined] # the types are of an older version
from wtforms.validators import AnyOf, InputRequired

from fieldlog.engine.box import EDITIONS, GAUGES, box_fill
from fieldlog.errors import BadInput
from fieldlog.model.code_tables import CodeTables
from fieldlog.model.problem import Problem

USUAL: Final = (14, 12, 10)
FURTHER: Final = tuple(awg for awg in GAUGES if awg not in USUAL)
COUNTED: Final = {
    "conductors": "Wires of {} AWG",
    "grounds": "Grounds of {} AWG",
    "isolated_grounds": "Isolated grounds of {} AWG",
    "devices": "Devices on {} AWG",
    "terminal_blocks": "Terminal blocks on {} AWG",
}
"""What is counted by gauge, and what one such field is called in a sentence."""
CALLED: Final = {
    "edition": "The edition",
    "volume_in3": "The volume",
    "clamps": "Clamps",
    "supports": "Kinds of studs and hickeys",
}
NOTHING: Final = "Nothing is noted in the box. Write at least how many wires of one gauge there are."
TWICE: Final = "{}: given more than once in the address. Give it once."
EDITION_CHOICES: Final = {str(each): each for each in EDITIONS}
_CLAMPS: Final = ("yes", "no")
_NUMBER: Final = re.compile(r"\d{1,5}([.,]\d{0,6})?|[.,]\d{1,6}", re.ASCII)
_UNIT: Final = re.compile(r"\s*(in³|in3)?\s*\Z", re.IGNORECASE)


def _choice(label: str, known: Sequence[str], problem: str) -> RadioField:
    offered = [SelectChoice(each, each) for each in known]
    validators = [InputRequired(problem), AnyOf(known, message=problem)]
    return RadioField(label, validators, choices=offered, validate_choice=False)


class _BoxForm(Form):
    """The box, and what is in it; the counts by gauge have names with dots and are added below."""

    edition = _choice(
        "Edition of the code",
        tuple(EDITION_CHOICES),
        f"The edition of the code is needed: choose one of {', '.join(EDITION_CHOICES)}.",
    )
    volume_in3 = StringField("Volume")
    clamps = _choice("Clamps inside?", _CLAMPS, "Clamps: say whether there are any inside, choose yes or no.")
    supports = StringField("Kinds of studs and hickeys")

    def filled(self, tables: CodeTables) -> dict[str, object] | None:
        """Give what the engine says of the box, None where something has to be put right at its field."""
        self.validate()
        try:
            found = box_fill(self.value, tables)
        except BadInput as bad:
            self._show(bad.problems)
        return None if self.errors else found

    def validate(self, extra_validators: Any = None) -> bool:
        """Check what is chosen, that nothing was given twice, and that something is in the box."""
        super().validate(extra_validators)
        for name, field in self._fields.items():
            if len(field.raw_data or ()) > 1:
                field.errors = [TWICE.format(_called(name))]
        counts = (self.text(f"{thing}.{awg}") for thing in COUNTED for awg in GAUGES)
        if all(_number(text) == 0 for text in counts if text):
            self["conductors.14"].errors = [*self["conductors.14"].errors, NOTHING]
        return not self.errors

    def text(self, name: str) -> str:
        """Give what a field holds, without blanks around it."""
        return (self[name].data or "").strip()

    @property
    def value(self) -> dict[str, Any]:
        """Give the box as the engine takes it; what is no number stays as typed, for the engine to refuse."""
        box: dict[str, Any] = {thing: list(self._counts(thing)) for thing in COUNTED}
        edition, clamps = self.text("edition"), self.text("clamps")
        volume = _UNIT.sub("", self.text("volume_in3"))
        if edition in EDITION_CHOICES:
            box["edition"] = EDITION_CHOICES[edition]
        box["clamps"] = clamps == "yes"
        box["volume_in3"] = _number(volume) if volume else None
        box["supports"] = _number(self.text("supports") or "0")
        return box

    def fields_of(self, thing: str, gauges: Sequence[int]) -> Sequence[Field]:
        """Give the fields in which one kind of thing is counted."""
        return [self[f"{thing}.{awg}"] for awg in gauges]

    def is_open(self, thing: str, gauges: Sequence[int]) -> bool:
        """Say whether something stands in one of these fields, or is wrong there."""
        return any(field.data or field.errors for field in self.fields_of(thing, gauges))

    def _counts(self, thing: str) -> Iterator[dict[str, Any]]:
        counted = "gangs" if thing == "devices" else "count"
        for awg in self._noted(thing):
            yield {"awg": awg, counted: _number(self.text(f"{thing}.{awg}"))}

    def _noted(self, thing: str) -> list[int]:
        return [awg for awg in GAUGES if self.text(f"{thing}.{awg}")]

    def _show(self, problems: Sequence[Problem]) -> None:
        """Say each problem at its field, unless the field has a sentence already."""
        for problem in problems:
            thing, *place = problem.at.strip("/").split("/")
            name = f"{thing}.{self._noted(thing)[int(place[0])]}" if place else thing
            if not self[name].errors:
                self[name].errors = [f"{_called(name)} {problem.problem}"]


def _number(typed: str) -> float | str:
    """Give a typed number, with a comma or a dot; what is none as it was typed."""
    return float(typed.replace(",", ".")) if _NUMBER.fullmatch(typed) else typed


def _called(name: str) -> str:
    thing, _, awg = name.partition(".")
    return COUNTED[thing].format(awg) if awg else CALLED[thing]


BoxForm: type[_BoxForm] = type(
    "BoxForm",
    (_BoxForm,),
    {f"{thing}.{awg}": StringField(f"{awg} AWG") for thing in COUNTED for awg in GAUGES},
)
