"""A table of readings as it is pasted or chosen, what its columns hold, and which lines are to be kept."""

import re
from typing import Any, Final

from flask_wtf import FlaskForm
from flask_wtf.file import FileField
from wtforms import RadioField, SelectField, SelectMultipleField, StringField, TextAreaField, ValidationError
from wtforms.fields.choices import SelectChoice  # type: ignore[attr-defined]  # its types are older
from wtforms.validators import AnyOf

from fieldlog.model.contacts import OF_OUTLET
from fieldlog.sync.table import COLUMNS, Meaning, Table, guessed

NONE_OF_THEM: Final = "That is none of the choices; choose one of them."
DAYS: Final = {"iso": "2026-05-31", "day-first": "31/05/2026 or 31.05.2026", "month-first": "05/31/2026"}
INPUTS: Final = {"high-impedance": "High impedance, as most meters", "low-impedance": "Low impedance"}
_OFFSET: Final = re.compile(r"([+-])([01]\d):([0-5]\d)")
_LEFT_OUT: Final = ""


def _choices(names: dict[str, str]) -> list[SelectChoice]:
    return [SelectChoice(*each) for each in names.items()]


class TableForm(FlaskForm):
    """The table itself."""

    text = TextAreaField("The table")
    file = FileField("Or a file")

    @property
    def given(self) -> str:
        """Give the text, that of a file before what was pasted."""
        sent: Any = self.file.data
        if sent:
            return str(sent.read().decode("utf-8-sig", errors="replace"))
        return self.text.data or ""


class MeaningForm(FlaskForm):
    """What the columns hold, and what holds of every row."""

    text = TextAreaField("The table")
    outlet = SelectField(
        "Outlet, where no column tells it",
        choices=_choices({"": "A column tells it", **{each: each for each in OF_OUTLET}}),
        default="",
    )
    days = RadioField("How are days written?", choices=_choices(DAYS), default="iso")
    offset = StringField("Offset of the clock there", default="+00:00")
    input = RadioField(
        "The meter", [AnyOf(list(INPUTS), NONE_OF_THEM)], choices=_choices(INPUTS), default="high-impedance"
    )
    lines = SelectMultipleField("Lines", coerce=int, validate_choice=False)

    def validate_offset(self, field: StringField) -> None:
        """Refuse what is no offset."""
        found = _OFFSET.fullmatch((field.data or "").strip())
        if found is None or int(found[2]) > 14:
            raise ValidationError("Write it as -06:00.")

    def meaning(self, columns: dict[str, int]) -> Meaning:
        """Give what was said; the form has been validated."""
        sign, hours, minutes = _OFFSET.fullmatch((self.offset.data or "").strip()).groups()  # type: ignore[union-attr]  # validated
        offset = (int(hours) * 60 + int(minutes)) * (-1 if sign == "-" else 1)
        meter = {"input": self.input.data}
        return Meaning(columns, self.days.data, offset, self.outlet.data, meter)


def column_choices(table: Table) -> list[tuple[str, str]]:
    """Give the columns by their places, each with its name and the first row's cell."""
    first = table.rows[0][1]
    shown = (f"{name or 'no name'} (“{cell[:20]}”)" for name, cell in zip(table.header, first, strict=False))
    return [(_LEFT_OUT, "in no column"), *((str(place), name) for place, name in enumerate(shown))]


def columns_said(table: Table, sent: Any) -> dict[str, int]:
    """Give by path the columns that were said; before anything was said, those that are guessed."""
    if not any(name.startswith("col.") for name in sent):
        return guessed(table.header)
    said = {path: sent.get(f"col.{path}", "") for path in COLUMNS}
    return {path: int(at) for path, at in said.items() if at.isascii() and at.isdecimal() and len(at) <= 4}
