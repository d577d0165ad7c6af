"""The form for a correction: its fields are the readings of the record that it corrects."""

from collections.abc import Iterator, Sequence
from typing import Any

from flask_wtf import FlaskForm
from wtforms import Field, HiddenField, RadioField, StringField, TextAreaField
from wtforms.fields.choices import SelectChoice  # type: ignore[attr-defined]  # its types are older
from wtforms.validators import InputRequired, Length, Regexp

from fieldlog.kinds.forms import FormReading
from fieldlog.model.identity import UUID_PATTERN
from fieldlog.model.problem import Problem
from fieldlog.model.record import Record
from fieldlog.web.history.readings import readings_of


class CorrectionForm(FlaskForm):
    """Why the record is corrected; the readings are added by its kind."""

    id = HiddenField(validators=[Regexp(UUID_PATTERN, message="Open the page again.")])
    reason = TextAreaField(
        "Why is it corrected?",
        [
            InputRequired("Say why the record is corrected."),
            Length(max=500, message="Shorten it to 500 characters."),
        ],
    )
    readings: Sequence[FormReading] = ()

    def reading_fields(self) -> Iterator[Field]:
        """Give the fields of the readings, in order."""
        return (self[reading.name] for reading in self.readings)

    def show(self, problems: Sequence[Problem]) -> None:
        """Say each problem at its field; what belongs to no field is said above them all."""
        places = {reading.at: reading.name for reading in self.readings} | {"/reason": "reason"}
        for problem in problems:
            if problem.at in places:
                self[places[problem.at]].errors = [problem.problem]
            else:
                self.form_errors.append(problem.problem)


def correction_form(record: Record, fresh_id: str | None = None) -> CorrectionForm:
    """Make the form for a record; with a fresh id it is filled from the record, else from what was sent."""
    readings = readings_of(record)
    fields: dict[str, Any] = {reading.name: _field(reading) for reading in readings}
    form_class = type("RecordCorrectionForm", (CorrectionForm,), {**fields, "readings": readings})
    if fresh_id is None:
        sent: CorrectionForm = form_class()
        return sent
    filled = {reading.name: reading.given(record.body) for reading in readings}
    form: CorrectionForm = form_class(formdata=None, data={"id": fresh_id, **filled})
    return form


def _field(reading: FormReading) -> Field:
    if reading.choices:
        return RadioField(
            reading.label,
            choices=[SelectChoice(*c) for c in reading.choices],
            default="",
            validate_choice=False,
        )
    keypad = {"inputmode": "decimal"} if reading.unit else {}
    limit = Length(max=500, message="Shorten it to 500 characters.")
    return StringField(reading.label, [limit], render_kw=keypad)
