"""What is said of each change to the wiring: what it was, and how far it is proved."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Final

from fieldlog.model.proving import ChangeState, Step, StepState
from fieldlog.model.rig import Chain, Rig
from fieldlog.reports.proving import ProvedChange, proved_changes, step_of, touching
from fieldlog.reports.wording import begun, pair_words

INLET: Final = "Inlet"
NOT_YET_PROVED: Final = "Changed, not yet proved"
_PROVED: Final = "Proved {day}: entered by the owner, not an inspection"
_FAILED: Final = f"{NOT_YET_PROVED}: a step is bad"
STATES: Final[Mapping[StepState, str]] = {
    StepState.OPEN: "open",
    StepState.GOOD: "good",
    StepState.BAD: "bad",
    StepState.SKIPPED: "not tested",
    StepState.TOO_EARLY: "does not count, since a step before it was open or noted anew, or power came on",
}


@dataclass(frozen=True)
class ProofLine:
    """One step of a change: what was asked, of which part, and how it stands; number is its entry's."""

    asked: str
    of: str
    result: str
    day: str = ""
    number: int | None = None


@dataclass(frozen=True)
class ChangeLine:
    """A change with what was noted to prove it."""

    id: str
    day: str
    what: str
    why: str
    parts: str
    used: str
    state: str
    standing: str
    proofs: tuple[ProofLine, ...]

    @property
    def is_proved(self) -> bool:
        """Say whether every step stands good."""
        return self.state == ChangeState.PROVED.value

    @property
    def words(self) -> str:
        """Say how the change stands."""
        if self.is_proved:
            return _PROVED.format(day=max(proof.day for proof in self.proofs))
        return _FAILED if self.state == ChangeState.FAILED.value else NOT_YET_PROVED


def change_lines(rig: Rig, rules: Sequence[Mapping[str, Any]]) -> tuple[ChangeLine, ...]:
    """Give the rig's changes, newest first, by the entries of schemas/facts/proving.json."""
    if not rig.changes:
        return ()
    asked = Asked(touching(rig).body["parts"], {str(rule["id"]): rule for rule in rules})
    return tuple(_line(each, asked) for each in proved_changes(rig, rules))


@dataclass(frozen=True)
class Asked:
    """What a step asks, and of what, in words: by the parts of the map and the entries of the table."""

    parts: Sequence[Mapping[str, Any]]
    rules: Mapping[str, Mapping[str, Any]]

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
        rule = self.rules[step.rule]
        if step.part in self.frames and "ask_frame" in rule:
            return str(rule["ask_frame"])
        return str(rule["ask_once"] if step.part is None and "ask_once" in rule else rule["ask"])

    def place(self, step: Step) -> str:
        """Give the part and the pair; a pair of no part is read at the inlet."""
        part = INLET if step.part is None and step.pair else self.names.get(step.part or "", step.part)
        pair = None if step.pair is None else pair_words(step.pair)
        return begun(", ".join(each for each in (part, pair) if each))


def _line(proved: ProvedChange, asked: Asked) -> ChangeLine:
    chain = proved.change.chain
    body = chain.body
    good = sum(state is StepState.GOOD for state in proved.states.values())
    return ChangeLine(
        id=proved.change.id,
        day=_day(chain),
        what=str(body["what"]),
        why=str(body["why"]),
        parts=", ".join(
            asked.names.get(part, "a part that is no longer on the map") for part in body["parts"]
        ),
        used=", ".join(text for text in (str(body["wire"]), str(body["device"])) if text),
        state=proved.state.value,
        standing=f"{good} of {len(proved.states)} steps stand good",
        proofs=tuple(_proofs(proved, asked)),
    )


def _proofs(proved: ProvedChange, asked: Asked) -> Iterator[ProofLine]:
    newest = {step_of(chain): chain for chain in proved.change.proofs}
    for step, state in proved.states.items():
        chain = newest.get(step)
        result = STATES[state] + ("" if chain is None else _told(chain))
        if chain is None:
            yield ProofLine(asked.words(step), asked.place(step), result)
        else:
            number = chain.entry.position
            yield ProofLine(asked.words(step), asked.place(step), result, _day(chain), number)


def _told(chain: Chain) -> str:
    """Give the value and the note, where there are any."""
    body = chain.body
    value = "" if body["value"] is None else f"{body['value']} {body['unit'] or ''}".strip()
    said = "; ".join(each for each in (value, str(body["note"])) if each)
    return f": {said}" if said else ""


def _day(chain: Chain) -> str:
    return chain.at.date().isoformat()
