"""What a sheet of labels is made by. It is asked for by an address, so that it can be printed again."""

from collections.abc import Mapping
from typing import Final

from flask_wtf import FlaskForm
from wtforms import RadioField, SelectMultipleField, StringField, ValidationError
from wtforms.fields.choices import SelectChoice  # type: ignore[attr-defined] # the types are of an older version
from wtforms.validators import InputRequired
from wtforms.widgets import CheckboxInput, ListWidget

from fieldlog.model.rig import Device, Outlet, Rig
from fieldlog.reports.labels import Sheet

FREE: Final = "How many labels of the sheet are used already?"


def things_of(rig: Rig) -> list[Outlet | Device]:
    """Give what of a rig can bear a label."""
    return [*rig.outlets, *rig.devices]


class LabelsForm(FlaskForm):
    """Which sheet, from which label on, and for which things of the rig."""

    class Meta:
        """Nothing is changed by it, so it needs no token."""

        csrf = False

    sheet = RadioField(
        "Which label sheet is it?", [InputRequired("Choose the sheet.")], validate_choice=False
    )
    free = StringField(FREE, filters=[lambda text: (text or "").strip()])
    of = SelectMultipleField(
        "Labels for", validate_choice=False, widget=ListWidget(), option_widget=CheckboxInput()
    )
    sheets: Mapping[str, Sheet] = {}
    things: Mapping[str, str] = {}

    def offer(self, rig: Rig, sheets: Mapping[str, Sheet]) -> None:
        """Offer the sheets that are known, and the outlets and devices of a rig."""
        self.sheets = sheets
        self.sheet.choices = [SelectChoice(sheet.id, sheet.name) for sheet in sheets.values()]
        self.things = {each.id: each.name for each in things_of(rig)}
        self.of.choices = [SelectChoice(*each) for each in self.things.items()]

    @property
    def chosen(self) -> Sheet:
        """The sheet that was chosen."""
        return self.sheets[str(self.sheet.data)]

    @property
    def skip(self) -> int:
        """How many labels of the first page stay free."""
        return int(self.free.data or 0)

    def validate_sheet(self, field: RadioField) -> None:
        """Refuse a sheet that is not known."""
        if field.data not in self.sheets:
            raise ValidationError("That is none of the sheets; choose one of them.")

    def validate_free(self, field: StringField) -> None:
        """Refuse what is no number, or more than a sheet has, for then no label would be left on it."""
        text = field.data or "0"
        sheet = self.sheets.get(str(self.sheet.data))
        if not (text.isascii() and text.isdecimal() and len(text) <= 3):
            raise ValidationError(
                "Write how many labels are used already: a whole number, 0 for a new sheet."
            )
        if sheet is not None and int(text) >= sheet.count:
            raise ValidationError(
                f"This sheet has {sheet.count} labels: write 0 to {sheet.count - 1}, or take a new sheet."
            )

    def validate_of(self, field: SelectMultipleField) -> None:
        """Refuse no thing at all, and what is not one of the rig's."""
        if not field.data:
            raise ValidationError("Tick at least one outlet or device.")
        if not set(field.data) <= set(self.things):
            raise ValidationError(
                "One of these is no outlet or device of this rig; tick what you want again."
            )
