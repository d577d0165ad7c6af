"""Forms for a rig, its outlets and its ground-fault devices."""

from collections.abc import Iterable, Mapping
from typing import Any, Final

from wtforms import RadioField, SelectField, StringField, TextAreaField
from wtforms.fields.choices import SelectChoice  # type: ignore[attr-defined] # the types are of an older version
from wtforms.validators import AnyOf, DataRequired, InputRequired, Length, Optional, Regexp

from fieldlog.model.contacts import OF_OUTLET
from fieldlog.model.rig import Device
from fieldlog.web.layout.rigs import RecordForm
from fieldlog.words.kinds import GUARDS

OUTLETS: Final = {each: each for each in OF_OUTLET}
NONE_OF_THEM: Final = "That is none of the choices; choose one of them."
GUARD: Final = "Which device guards it, as far as you know?"
A_MONTH: Final = r"^[0-9]{4}-(0[1-9]|1[0-2])\Z"
A_DAY: Final = (
    r"^((0[13578]|1[02])-(0[1-9]|[12]\d|3[01])|(0[469]|11)-(0[1-9]|[12]\d|30)|02-(0[1-9]|[12]\d))\Z"
)
ASSURED: Final = {"": "no", "3": "every 3 months", "6": "every 6 months"}


def _stripped(text: str | None) -> str:
    return (text or "").strip()


def _guards(devices: Iterable[Device]) -> list[SelectChoice]:
    return [SelectChoice("", "none noted"), *(SelectChoice(device.id, device.name) for device in devices)]


def _name(label: str) -> StringField:
    length = Length(max=80, message="Shorten it to 80 characters.")
    return StringField(label, [DataRequired("Write a name."), length], filters=[_stripped])


def _note() -> TextAreaField:
    length = Length(max=500, message="Shorten it to 500 characters.")
    return TextAreaField("Note", [length], filters=[_stripped])


def _month(label: str) -> StringField:
    known = Regexp(A_MONTH, message="Write year and month as 2021-05, or leave it empty.")
    return StringField(label, [Optional(), known], filters=[_stripped])


def _choice(label: str, choices: Mapping[str, str]) -> RadioField:
    known = AnyOf(list(choices), message=NONE_OF_THEM)
    offered = [SelectChoice(*each) for each in choices.items()]
    return RadioField(label, [InputRequired("Choose one."), known], choices=offered, validate_choice=False)


class RigForm(RecordForm):
    """A rig with its own plug, and what its owner chose to be reminded of; not chosen is left out."""

    name = _name("What do you call the rig?")
    outlet = _choice("Which outlet does its own plug fit?", OUTLETS)
    assured_months = RadioField(
        "Show the ground by the assured grounding manner?",
        [Optional(), AnyOf(list(ASSURED), message=NONE_OF_THEM)],
        choices=[SelectChoice(*each) for each in ASSURED.items()],
        validate_choice=False,
    )
    assured_by = StringField(
        "Who keeps these tests?",
        [Length(max=80, message="Shorten it to 80 characters.")],
        filters=[_stripped],
    )
    season_starts = StringField(
        "On which day does your season start?",
        [Optional(), Regexp(A_DAY, message="Write month and day as 04-01, or leave it empty.")],
        filters=[_stripped],
    )
    note = _note()

    @property
    def body(self) -> dict[str, Any]:
        """Give the record's body."""
        body = {"name": self.name.data, "outlet": self.outlet.data, "note": self.note.data or ""}
        if self.assured_months.data:
            body["assured_months"] = int(self.assured_months.data)
        if self.assured_by.data:
            body["assured_by"] = self.assured_by.data
        if self.season_starts.data:
            body["season_starts"] = self.season_starts.data
        return body


class OutletForm(RecordForm):
    """An outlet of the rig, and what the owner believes guards it."""

    name = _name("What do you call this outlet?")
    outlet = _choice("Which outlet is it?", OUTLETS)
    guard = SelectField(GUARD, validate_choice=False)
    note = _note()

    def offer(self, devices: Iterable[Device]) -> None:
        """Offer the rig's devices as guards; none is chosen beforehand."""
        self.guard.choices = _guards(devices)

    @property
    def body(self) -> dict[str, Any]:
        """Give the record's body."""
        return {
            "name": self.name.data,
            "outlet": self.outlet.data,
            "guard": self.guard.data or None,
            "note": self.note.data or "",
        }


class GuardForm(RecordForm):
    """Another guard for an outlet that is noted already, and why."""

    guard = SelectField(GUARD, validate_choice=False)
    reason = TextAreaField(
        "Why is it corrected?",
        [DataRequired("Say why it is corrected."), Length(max=500, message="Shorten it to 500 characters.")],
        filters=[_stripped],
    )
    noted: Mapping[str, Any] = {}

    def offer(self, devices: Iterable[Device]) -> None:
        """Offer the rig's devices as guards."""
        self.guard.choices = _guards(devices)

    @property
    def body(self) -> dict[str, Any]:
        """Give the outlet's body with the guard chosen here."""
        return {**self.noted, "guard": self.guard.data or None}


class DeviceForm(RecordForm):
    """A ground-fault device of the rig."""

    name = _name("What do you call this device?")
    type = _choice("What is it?", GUARDS)
    made = _month("Made in which month, if its label says so")
    installed = _month("Installed in which month, if you know")
    note = _note()

    @property
    def body(self) -> dict[str, Any]:
        """Give the record's body."""
        return {
            "name": self.name.data,
            "type": self.type.data,
            "made": self.made.data or None,
            "installed": self.installed.data or None,
            "note": self.note.data or "",
        }
