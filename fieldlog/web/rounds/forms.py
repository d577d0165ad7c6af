"""The form of a trip test. Nothing is chosen beforehand; what is left out is noted as not tested."""

from collections.abc import Iterator, Sequence
from typing import Any, Final

from wtforms import Field, RadioField, StringField, ValidationError
from wtforms.fields.choices import SelectChoice  # type: ignore[attr-defined] # the types are of an older version
from wtforms.validators import AnyOf, InputRequired, Optional, Regexp

from fieldlog.model.rig import Outlet
from fieldlog.web.layout.rigs import RecordForm

NONE_OF_THEM: Final = "That is none of the choices; choose one of them."
BY: Final = {"button": "I pressed its own TEST button", "external": "I used a plug-in tester"}
DISAGREES: Final = "You say that it did not trip, yet something went dead. Correct one of the two."
OUTLET: Final = "outlets."
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
        }

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


def form_for(outlets: Sequence[Outlet]) -> type[TripTestForm]:
    """Give the form for a rig with these outlets."""
    questions = {
        f"{OUTLET}{outlet.id}": _question(outlet.name, dead="went dead", live="stayed live")
        for outlet in outlets
    }
    return type("TripTestFormOfRig", (TripTestForm,), questions)


def _ids(fields: Sequence[Field], answer: str) -> Iterator[str]:
    return (field.name.removeprefix(OUTLET) for field in fields if field.data == answer)
