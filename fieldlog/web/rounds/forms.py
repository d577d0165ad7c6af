"""The form of a trip test. Nothing is chosen beforehand; what is left out is noted as not tested."""

from collections.abc import Iterator, Sequence
from typing import Any, Final

from wtforms import Field, RadioField, StringField, ValidationError
from wtforms.fields.choices import SelectChoice  # type: ignore[attr-defined] # the types are of an older version
from wtforms.validators import AnyOf, InputRequired, Optional, Regexp

from fieldlog.model.rig import Rig
from fieldlog.reports.rig_map import modes_to_ask, own_outlets
from fieldlog.web.layout.rigs import RecordForm

TOLD_BOTH: Final = (
    "This outlet is the device’s own face, and of that you said the opposite. Correct one of the two."
)
NOT_KNOWN: Final = "I do not know"
SAY_THE_MODE: Final = "Say which mode the rig is in, or that you do not know."
NONE_OF_THEM: Final = "That is none of the choices; choose one of them."
BY: Final = {"button": "I pressed its own TEST button", "external": "I used a plug-in tester"}
DISAGREES: Final = "You say that it did not trip, yet something went dead. Correct one of the two."
OUTLET: Final = "outlets."
MODE: Final = "mode "
A_NUMBER: Final = r"^[0-9]{1,5}(\.[0-9]{1,4})?\Z"
FIGURES: Final = {"milliseconds": "ms", "milliamps": "mA"}
_ANSWERS: Final = {"yes": True, "no": False}


def _question(label: str, **choices: str) -> RadioField:
    """Ask for one of the choices; "not tested" is one, and what no answer means."""
    offered = [*(SelectChoice(*each) for each in choices.items()), SelectChoice("", "not tested")]
    known = AnyOf(["", *choices], message=NONE_OF_THEM)
    return RadioField(label, [Optional(), known], choices=offered, validate_choice=False)


def _figure(label: str, unit: str) -> StringField:
    """Ask for a number; a comma is a point, and the unit may be typed or not."""
    is_number = Regexp(A_NUMBER, message=f"Write a number of {unit}, such as 24, or leave it empty.")
    return StringField(label, [Optional(), is_number], filters=[lambda text: _number(text, unit)])


def _number(text: str | None, unit: str) -> str:
    return (text or "").strip().removesuffix(unit).strip().replace(",", ".")


class TripTestForm(RecordForm):
    """What was done and what was seen, one question a fieldset."""

    by = RadioField(
        "How did you test it?",
        [InputRequired("Say how you tested it."), AnyOf(list(BY), message=NONE_OF_THEM)],
        choices=[SelectChoice(*each) for each in BY.items()],
        validate_choice=False,
    )
    tripped = _question("Did it trip?", yes="yes, it tripped", no="no, it stayed on")
    face_dead = _question("While it is tripped: is its own face dead?", yes="yes, dead", no="no, still live")
    reset = _question("Did RESET bring it back?", yes="yes", no="no")
    milliseconds = _figure("Time to trip, ms", "ms")
    milliamps = _figure("Fault current, mA", "mA")

    @property
    def outlets(self) -> list[Field]:
        """Give the questions about the rig's outlets."""
        return [field for field in self if field.name.startswith(OUTLET)]

    @property
    def body(self) -> dict[str, Any]:
        """Give the record's body; questions without an answer are null and stand under not_tested."""
        answers = {name: _ANSWERS.get(self[name].data) for name in ("tripped", "face_dead", "reset")}
        seen = [field for field in self.outlets if field.data]
        figures = {name: f"{self[name].data} {unit}" for name, unit in FIGURES.items() if self[name].data}
        not_tested = [name for name, answer in answers.items() if answer is None]
        return {
            "by": self.by.data,
            **answers,
            **figures,
            "dead": list(_ids(seen, "dead")),
            "live": list(_ids(seen, "live")),
            # An outlet that is in neither list was left out; the step is not tested when all of them were.
            "not_tested": not_tested if seen else [*not_tested, "outlets"],
            **({"mode": self._mode_said} if "mode" in self else {}),
        }

    @property
    def _mode_said(self) -> str | None:
        said = str(self["mode"].data)
        return said.removeprefix(MODE) if said.startswith(MODE) else None

    def validate_mode(self, field: RadioField) -> None:
        """Ask for the mode of what tripped; refuse what is none of the choices."""
        if not field.data and self.tripped.data == "yes":
            raise ValidationError(SAY_THE_MODE)
        if field.data and field.data not in [value for value, *_ in field.iter_choices()]:
            raise ValidationError(NONE_OF_THEM)

    def validate_milliseconds(self, field: Field) -> None:
        """Refuse a time to trip of a device that did not."""
        if field.data and self.tripped.data != "yes":
            raise ValidationError(
                "A time to trip was noted, but not that it tripped. Correct one of the two."
            )

    def validate_tripped(self, field: Field) -> None:
        """Refuse a test that says both that nothing tripped and that something went dead."""
        went_dead = self.face_dead.data == "yes" or any(each.data == "dead" for each in self.outlets)
        if field.data == "no" and went_dead:
            raise ValidationError(DISAGREES)


def form_for(rig: Rig, device: str) -> type[TripTestForm]:
    """Give the form for a device of a rig: with its outlets, and its modes where several power the device."""
    questions: dict[str, Any] = {
        f"{OUTLET}{outlet.id}": _question(outlet.name, dead="went dead", live="stayed live")
        for outlet in rig.outlets
    }
    questions |= {f"validate_{OUTLET}{outlet}": _agrees_with_face for outlet in own_outlets(rig, device)}
    modes = modes_to_ask(rig, device)
    if modes:
        questions["mode"] = _mode(modes)
    return type("TripTestFormOfRig", (TripTestForm,), questions)


def _mode(modes: Sequence[str]) -> RadioField:
    """Ask for the mode; the prefix keeps a mode of any name apart from the other answer."""
    offered = [*(SelectChoice(f"{MODE}{mode}", mode) for mode in modes), SelectChoice("none", NOT_KNOWN)]
    return RadioField("Which mode is the rig in now?", choices=offered, validate_choice=False)


def _agrees_with_face(form: TripTestForm, field: Field) -> None:
    """Refuse an outlet that is the device's own face and was seen otherwise than the face."""
    if field.data == {"yes": "live", "no": "dead"}.get(form.face_dead.data):
        raise ValidationError(TOLD_BOTH)


def _ids(fields: Sequence[Field], answer: str) -> Iterator[str]:
    return (field.name.removeprefix(OUTLET) for field in fields if field.data == answer)
