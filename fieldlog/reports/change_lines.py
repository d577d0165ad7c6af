"""What is said of each change to the wiring: what it was, and how far it is proved."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from fieldlog.kinds.paper import Section, SectionLine
from fieldlog.model.bodies import BodyProof
from fieldlog.model.proving import ChangeState, Step, StepState
from fieldlog.model.rig import Chain, Rig
from fieldlog.reports.proving import ChangeScopes, ProvedChange, proved_changes, step_of, touching
from fieldlog.words.steps import StepWording, noted_words, told

NOT_YET_PROVED: Final = "Changed, not yet proved"
_PROVED: Final = "Proved {day}: entered by the owner, not an inspection"
_BY_OLDER: Final = (
    "Proved {day} by the list of {list_day}, which asked for less than today’s: "
    "entered by the owner, not an inspection"
)
_FAILED: Final = f"{NOT_YET_PROVED}: a step is bad"
STATES: Final[Mapping[StepState, str]] = {
    StepState.OPEN: "open",
    StepState.GOOD: "good",
    StepState.BAD: "bad",
    StepState.SKIPPED: "not tested",
    StepState.TOO_EARLY: "does not count, since a step before it was open or noted anew, or power came on",
}
_NOTED_AGAIN: Final = "noted again later, entry {number}"
_NO_STEP: Final = "no step of this change by the map and the list as they are now"


@dataclass(frozen=True)
class ProofLine:
    """One step of a change: what was asked, of which part, and how it stands; number is its entry's.

    What was noted of a step before its newest proof is a line of its own, and stands for nothing.
    """

    asked: str
    of: str
    result: str
    day: str = ""
    number: int | None = None
    is_newest: bool = True


@dataclass(frozen=True)
class ChangeLine:
    """A change with what was noted to prove it; the day on which the newest of its steps was noted last.

    older_list is the day from which the list of steps was valid by which it was proved; empty for today's.
    """

    id: str
    day: str
    what: str
    why: str
    parts: str
    used: str
    state: str
    standing: str
    last_proved: str
    proofs: tuple[ProofLine, ...]
    older_list: str = ""

    @property
    def is_proved(self) -> bool:
        """Say whether every step stands good."""
        return self.state == ChangeState.PROVED.value

    @property
    def words(self) -> str:
        """Say how the change stands."""
        if self.is_proved:
            words = _BY_OLDER if self.older_list else _PROVED
            return words.format(day=self.last_proved, list_day=self.older_list)
        return _FAILED if self.state == ChangeState.FAILED.value else NOT_YET_PROVED


def change_section(changes: Sequence[ChangeLine]) -> Section:
    """Give the section of a service record that lists changes and how they stand."""
    return Section("Changes to the wiring", tuple(_on_paper(change) for change in changes))


def change_lines(
    rig: Rig,
    rules: Sequence[Mapping[str, Any]],
    known: ChangeScopes | None = None,
    *,
    has_proofs: bool = True,
) -> tuple[ChangeLine, ...]:
    """Give the rig's changes, newest first, by the entries of schemas/facts/proving.json.

    What they touch may be known already, and their proofs may be left out.
    """
    if not rig.changes:
        return ()
    found = known or touching(rig)
    rules_by_id = {str(rule["id"]): rule for rule in rules}
    asked = StepWording(found.body["parts"], rules_by_id, is_drawn=rig.map is not None)
    return tuple(_line(each, asked, has_proofs) for each in proved_changes(rig, rules, found.touched))


def _line(proved: ProvedChange, asked: StepWording, has_proofs: bool) -> ChangeLine:  # handed on
    chain = proved.change.chain
    newest = {step_of(proof): proof for proof in proved.change.proofs}
    body = chain.body
    good = sum(state is StepState.GOOD for state in proved.states.values())
    return ChangeLine(
        id=proved.change.id,
        day=chain.day,
        what=str(body["what"]),
        why=str(body["why"]),
        parts=", ".join(
            asked.names.get(part, "a part that is no longer on the map") for part in body["parts"]
        ),
        used=", ".join(text for text in (str(body["wire"]), str(body["device"])) if text),
        state=proved.state.value,
        standing=f"{good} of {len(proved.states)} steps stand good",
        last_proved=max((newest[step].day for step in proved.states if step in newest), default=""),
        proofs=tuple(_proofs(proved, asked)) if has_proofs else (),
        older_list="" if proved.standing.is_newest else proved.standing.list_day,
    )


def _proofs(proved: ProvedChange, asked: StepWording) -> Iterator[ProofLine]:
    """Give each step with all that was ever noted of it; last what was noted of what is no step of it now."""
    noted: dict[Step, list[Chain[BodyProof]]] = {}
    for chain in proved.change.proofs:
        noted.setdefault(step_of(chain), []).append(chain)
    for step, state in proved.states.items():
        yield from _of_step(step, noted.pop(step, []), _StepLines(asked, state))
    for step, rest in noted.items():
        yield from _of_step(step, rest, _StepLines(asked, None))


@dataclass(frozen=True)
class _StepLines:
    """How a step is worded; its state is None where the change does not take it."""

    asked: StepWording
    state: StepState | None

    def line(self, step: Step, chain: Chain[BodyProof], result: str, *, is_newest: bool) -> ProofLine:
        """Give what was noted of a step at one time."""
        words, place = self.asked.words(step), self.asked.place(step)
        return ProofLine(words, place, result, chain.day, chain.entry.position, is_newest)

    def newest(self, chain: Chain[BodyProof]) -> str:
        """Give how the step stands by what was noted of it last."""
        if self.state is None:
            return f"{noted_words(chain.body)}; {_NO_STEP}"
        if self.state is StepState.TOO_EARLY:
            return f"{STATES[self.state]}; noted as {noted_words(chain.body)}"
        return STATES[self.state] + told(chain.body)


def _of_step(step: Step, noted: Sequence[Chain[BodyProof]], said: _StepLines) -> Iterator[ProofLine]:
    if not noted:
        state = StepState.OPEN if said.state is None else said.state
        yield ProofLine(said.asked.words(step), said.asked.place(step), STATES[state])
        return
    *before, newest = noted
    for chain, after in zip(before, noted[1:], strict=True):
        again = _NOTED_AGAIN.format(number=after.entry.position)
        yield said.line(step, chain, f"{noted_words(chain.body)}; {again}", is_newest=False)
    yield said.line(step, newest, said.newest(newest), is_newest=said.state is not None)


def _on_paper(change: ChangeLine) -> SectionLine:
    why = f" ({change.why})" if change.why else ""
    used = f". Used: {change.used}" if change.used else ""
    text = f"{change.what}{why}. Parts: {change.parts}{used}. {change.standing}."
    return SectionLine(
        f"{change.day}: {change.words}", text, tuple(_proof_on_paper(p) for p in change.proofs)
    )


def _proof_on_paper(proof: ProofLine) -> str:
    head = f"{proof.day}, entry {proof.number}: " if proof.day else ""
    of = f" ({proof.of})" if proof.of else ""
    return f"{head}{proof.asked}{of}: {proof.result}"
