"""The steps by which a change is proved, in words: what each asks, and what a proof of it found."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final

from fieldlog.model.bodies import BodyProof
from fieldlog.model.proving import Step
from fieldlog.words.wording import OUTCOMES, UNITS, begun, pair_words

INLET: Final = "Inlet"


@dataclass(frozen=True)
class StepWording:
    """What a step asks, and of what, in words: by the parts of the map and the entries of the table."""

    parts: Sequence[Mapping[str, Any]]
    rules: Mapping[str, Mapping[str, Any]]
    is_drawn: bool = True

    @cached_property
    def names(self) -> Mapping[str, str]:
        """Give what the owner calls each part."""
        return {str(part["id"]): str(part["name"]) for part in self.parts}

    @cached_property
    def frames(self) -> set[str]:
        """Give the ids of the appliances, which are asked at their frame."""
        return {str(part["id"]) for part in self.parts if part["kind"] == "appliance"}

    def words(self, step: Step) -> str:
        """Give what is asked."""
        rule = self.rules.get(step.rule)
        if rule is None:
            return step.rule
        if step.part in self.frames and "ask_frame" in rule:
            return str(rule["ask_frame"])
        if not self.is_drawn and "ask_undrawn" in rule:
            return str(rule["ask_undrawn"])
        return str(rule["ask_once"] if step.part is None and "ask_once" in rule else rule["ask"])

    def place(self, step: Step) -> str:
        """Give the part and the pair; a pair of no part is read at the inlet."""
        part = INLET if step.part is None and step.pair else self.names.get(step.part or "", step.part)
        pair = None if step.pair is None else pair_words(step.pair)
        return begun(", ".join(each for each in (part, pair) if each))


def noted_words(body: BodyProof) -> str:
    """Give what a proof found, with the value and the note, where there are any."""
    return OUTCOMES[body["outcome"]] + told(body)


def told(body: BodyProof) -> str:
    """Give the value and the note of a proof as the end of a line."""
    unit = UNITS.get(body["unit"] or "", body["unit"] or "")
    value = "" if body["value"] is None else f"{body['value']} {unit}".strip()
    said = "; ".join(each for each in (value, str(body["note"])) if each)
    return f": {said}" if said else ""
