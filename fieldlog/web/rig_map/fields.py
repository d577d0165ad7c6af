"""The fields of the map's forms. Nothing is chosen beforehand that a person has not noted."""

import re
from collections.abc import Callable, Mapping
from typing import Any, Final

from wtforms import Field, RadioField, SelectField, SelectMultipleField, StringField, TextAreaField
from wtforms.fields.choices import SelectChoice  # type: ignore[attr-defined] # the types are of an older version
from wtforms.validators import AnyOf, DataRequired, InputRequired, Length, Optional, ValidationError
from wtforms.widgets import CheckboxInput, ListWidget

from fieldlog.model.outlets import AMPS_OF
from fieldlog.model.part_kinds import RUN_GAUGES
from fieldlog.model.span import Span
from fieldlog.model.spans import SPANS
from fieldlog.reports.map_words import LINE_SIDE, LOAD_SIDE
from fieldlog.words.part_choices import PLACES

NONE_OF_THEM: Final = "That is none of the choices; choose one of them."
OUTLET_TYPES: Final = {each: each for each in AMPS_OF}
SIDES: Final = {"load": LOAD_SIDE, "line": LINE_SIDE}
DECIMAL: Final = r"[0-9]{1,4}(\.[0-9]{1,2})?"
WHOLE: Final = r"[0-9]{1,5}"
CORD_SETS: Final = {
    "listed": "a cord set bought whole, with a listing mark",
    "field-made": "a cord set made up of a cord and listed ends",
}
LEGS: Final = {"x": "leg X", "y": "leg Y", "both": "both: a two-pole breaker"}


def stripped(text: str | None) -> str:
    """Give what was typed without blanks around it."""
    return (text or "").strip()


def name() -> StringField:
    """Ask what a part is called."""
    most = Length(max=60, message="Shorten it to 60 characters.")
    return StringField("What do you call it?", [DataRequired("Write a name."), most], filters=[stripped])


class Within:
    """Takes a number of a range of the book, written as asked."""

    def __init__(self, span: Span, pattern: str, example: str) -> None:
        self.span, self.pattern = span, pattern
        least = f"above {span.least:g} and " if span.is_above else ""
        number = "a whole number" if pattern == WHOLE else "a number"
        asked = f"Write {number} {least}up to {span.most:g}, such as {example}"
        self.says = f"{asked}, or leave it empty where it is not known."

    def __call__(self, _form: object, field: Field) -> None:
        """Refuse what is written otherwise or lies outside."""
        if not re.fullmatch(self.pattern, field.data) or not self.span.holds(float(field.data)):
            raise ValidationError(self.says)


def number(label: str, span: Span, pattern: str, example: str) -> StringField:
    """Ask for a number; a comma is a point, and the unit may be typed or not."""
    return StringField(label, [Optional(), Within(span, pattern, example)], filters=[_without(span.unit)])


def rating() -> StringField:
    """Ask for a rating."""
    return number("Rating in amperes", SPANS["part-amps"], DECIMAL, "15")


def power() -> StringField:
    """Ask what an appliance draws."""
    return number("What it draws, in watts", SPANS["part-watts"], WHOLE, "1500")


def one_of(label: str, choices: Mapping[str, str], blank: str = "not known") -> SelectField:
    """Ask for one of the choices; the first, that none is known, is what no answer means."""
    known = AnyOf(["", *choices], message=NONE_OF_THEM)
    offered = [SelectChoice("", blank), *(SelectChoice(*each) for each in choices.items())]
    return SelectField(label, [Optional(), known], choices=offered, validate_choice=False)


def length() -> StringField:
    """Ask for a length."""
    return number("Length in feet", SPANS["feet"], DECIMAL, "12.5")


def choice(label: str, choices: Mapping[str, str], blank: str = "Choose one.") -> RadioField:
    """Ask for one of the choices; with an empty `blank` it may stay open."""
    known = AnyOf(["", *choices] if not blank else list(choices), message=NONE_OF_THEM)
    offered = [SelectChoice(*each) for each in choices.items()]
    first = InputRequired(blank) if blank else Optional()
    return RadioField(label, [first, known], choices=offered, validate_choice=False)


def gauge(label: str = "Wire gauge") -> SelectField:
    """Ask for a gauge; not known is an answer, and what no answer means."""
    known = AnyOf(["", *(str(each) for each in RUN_GAUGES)], message=NONE_OF_THEM)
    choices = [
        SelectChoice("", "not known"),
        *(SelectChoice(str(each), f"{each} AWG") for each in RUN_GAUGES),
    ]
    return SelectField(label, [Optional(), known], choices=choices, validate_choice=False)


def places() -> SelectMultipleField:
    """Ask where it is; none of both is an answer."""
    return SelectMultipleField(
        "Where is it?",
        choices=[SelectChoice(*each) for each in PLACES.items()],
        widget=ListWidget(prefix_label=False),
        option_widget=CheckboxInput(),
    )


def reason() -> TextAreaField:
    """Ask why the map is changed."""
    most = Length(max=500, message="Shorten it to 500 characters.")
    needed = DataRequired("Say why the map is changed: what you saw or did.")
    return TextAreaField("Why is it changed?", [needed, most], filters=[stripped])


def amount(field: Field) -> float | int | None:
    """Give what a field says as a number, whole where it is."""
    text = stripped(field.data)
    return None if not text else int(text) if text.isdigit() else float(text)


def text_of(value: Any) -> str:
    """Write a number as a person types it, nothing for what is not known."""
    return "" if value is None else f"{value:g}"


def _without(unit: str) -> Callable[[str | None], str]:
    return lambda text: stripped(text).removesuffix(unit).strip().replace(",", ".")
