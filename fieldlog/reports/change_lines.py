"""What is said of each change to the wiring: what it was, and how far it is proved."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from fieldlog.model.proving import ChangeState, Step, StepState
from fieldlog.model.rig import Chain, Rig
from fieldlog.reports.proving import ProvedChange, proved_changes, step_of, touching
from fieldlog.reports.wording import begun, pair_words

NOT_YET_PROVED: Final = "Changed, not yet proved"
_PROVED: Final = "Proved {day}: entered by the owner, not an inspection"
_FAILED: Final = f"{NOT_YET_PROVED}: a step is bad"
STATES: Final[Mapping[StepState, str]] = {
    StepState.OPEN: "open",
    StepState.GOOD: "good",
    StepState.BAD: "bad",
    StepState.SKIPPED: "not tested",
    StepState.TOO_EARLY: "does not count, since a step before it was open or was noted anew",
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
    names = {str(part["id"]): str(part["name"]) for part in touching(rig).body["parts"]}
    asked = {str(rule["id"]): str(rule["ask"]) for rule in rules}
    return tuple(_line(each, names, asked) for each in proved_changes(rig, rules))


def _line(proved: ProvedChange, names: Mapping[str, str], asked: Mapping[str, str]) -> ChangeLine:
    chain = proved.change.chain
    body = chain.body
    good = sum(state is StepState.GOOD for state in proved.states.values())
    return ChangeLine(
        id=proved.change.id,
        day=_day(chain),
        what=str(body["what"]),
        why=str(body["why"]),
        parts=", ".join(names.get(part, "a part that is no longer on the map") for part in body["parts"]),
        used=", ".join(text for text in (str(body["wire"]), str(body["device"])) if text),
        state=proved.state.value,
        standing=f"{good} of {len(proved.states)} steps stand good",
        proofs=tuple(_proofs(proved, names, asked)),
    )


def _proofs(proved: ProvedChange, names: Mapping[str, str], asked: Mapping[str, str]) -> Iterator[ProofLine]:
    newest = {step_of(chain): chain for chain in proved.change.proofs}
    for step, state in proved.states.items():
        chain = newest.get(step)
        result = STATES[state] + ("" if chain is None else _told(chain))
        if chain is None:
            yield ProofLine(asked[step.rule], _of(step, names), result)
        else:
            number = chain.entry.position
            yield ProofLine(asked[step.rule], _of(step, names), result, _day(chain), number)


def _of(step: Step, names: Mapping[str, str]) -> str:
    part = None if step.part is None else names.get(step.part, step.part)
    pair = None if step.pair is None else pair_words(step.pair)
    return begun(", ".join(each for each in (part, pair) if each))


def _told(chain: Chain) -> str:
    """Give the value and the note, where there are any."""
    body = chain.body
    value = "" if body["value"] is None else f"{body['value']} {body['unit'] or ''}".strip()
    said = "; ".join(each for each in (value, str(body["note"])) if each)
    return f": {said}" if said else ""


def _day(chain: Chain) -> str:
    return chain.at.date().isoformat()
