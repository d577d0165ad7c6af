"""How the members of a body are typed where a record is corrected by a form."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

LAMPS: Final = (("lit", "lit"), ("dim", "dim"), ("dark", "dark"), ("", "not looked at"))
YES_NO: Final = (("yes", "yes"), ("no", "no"), ("", "not tested"))
ANSWERS: Final[Mapping[str, bool | None]] = {"yes": True, "no": False, "": None}
CONTINUITY: Final = (("open", "open"), ("closed", "joined"), ("", "not tested"))
DETECTOR: Final = (("yes", "it found volts"), ("no", "it found nothing"), ("", "not tested"))
Step = str | int


@dataclass(frozen=True)
class FormReading:
    """One member of a body: its path, its label, and how it is typed.

    A text with a unit is a measured value; one with choices is chosen, and `values` says what each stands for
    where that is no text; else it is free text. With nothing typed an optional member is left out of the
    body; another is null or empty then. `is_step` marks what is listed under not_tested where nobody read it.
    """

    path: tuple[Step, ...]
    label: str
    unit: str = ""
    choices: Sequence[tuple[str, str]] = ()
    is_optional: bool = False
    values: Mapping[str, Any] | None = None
    is_step: bool = False

    @property
    def name(self) -> str:
        """The name of its field."""
        return ".".join(str(step) for step in (self.path[1:] if self.path[0] == "check" else self.path))

    @property
    def at(self) -> str:
        """Where it stands in the record."""
        return "/body/" + "/".join(str(step) for step in self.path)

    def given(self, body: Mapping[str, Any]) -> str:
        """Give what a person would have typed for the value in a body."""
        value: Any = body
        for step in self.path:
            value = _inside(value, step)
        if isinstance(value, bool):
            return "yes" if value else "no"
        if isinstance(value, int):
            return str(value)
        return (value or "").removesuffix(f" {self.unit}") if self.unit else value or ""

    def put(self, body: dict[str, Any], typed: str) -> None:
        """Put what was typed into a body."""
        place: Any = body
        for step in self.path[:-1]:
            place = place[step] if isinstance(step, int) else place.setdefault(step, {})
        value = self._value(typed)
        if value is None and self.is_optional:
            place.pop(self.path[-1], None)
        else:
            place[self.path[-1]] = value

    def _value(self, typed: str) -> Any:
        if self.values is not None:
            return self.values.get(typed, typed)
        if self.unit:
            return measured_text(typed, self.unit)
        return typed.strip() or None if self.is_optional else typed.strip()


def _inside(value: Any, step: Step) -> Any:
    if isinstance(value, Mapping):
        return value.get(str(step))
    is_there = isinstance(value, list) and isinstance(step, int) and step < len(value)
    return value[step] if is_there else None


def measured_text(typed: str, unit: str) -> str | None:
    """Give what was typed as a measured value: a comma is a point, and the unit may be typed or not."""
    number = typed.strip().removesuffix(unit).strip().replace(",", ".")
    return f"{number} {unit}" if number else None


def yes_no(member: str, label: str) -> FormReading:
    """Ask whether something was seen; without an answer it counts as not tested."""
    return FormReading((member,), label, choices=YES_NO, values=ANSWERS, is_step=True)


def these(*readings: FormReading) -> Callable[[Mapping[str, Any]], Sequence[FormReading]]:
    """Offer the same readings of every body."""
    return lambda _body: readings


NAME: Final = FormReading(("name",), "Name")
NOTE: Final = FormReading(("note",), "Note")
