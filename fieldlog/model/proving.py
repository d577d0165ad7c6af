"""How a change to the wiring is proved: which steps it takes, and how far they stand.

A step counts only where the steps that it needs stood good before it was noted: volts are absent only if the
meter was shown to work before and after, and ohms are read only where volts are absent. A step noted again
takes back whatever was built on it.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any


@dataclass(frozen=True)
class Touched:
    """What a change touches.

    Parameters
    ----------
    outlets : tuple of (str, tuple of str)
        Each outlet that was changed or hangs on what was changed: its part's id and its pairs of contacts.
    devices : tuple of str
        Each ground-fault device that was changed, guards a touched outlet or hangs on what was changed.
    sources : tuple of str
        Each source of the rig other than the shore cord.
    """

    outlets: tuple[tuple[str, tuple[str, ...]], ...]
    devices: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()


@dataclass(frozen=True)
class Step:
    """One thing to show about one part or pair; None where it is shown once for the rig."""

    rule: str
    part: str | None = None
    pair: str | None = None


@dataclass(frozen=True)
class Proof:
    """What was noted about a step: "good", "bad", or None where it was not tested."""

    step: Step
    outcome: str | None


class StepState(StrEnum):
    """How a step stands."""

    OPEN = "open"
    GOOD = "good"
    BAD = "bad"
    SKIPPED = "skipped"
    TOO_EARLY = "too-early"


class ChangeState(StrEnum):
    """How a change stands."""

    NOT_PROVED = "not-proved"
    PROVED = "proved"
    FAILED = "failed"


def steps_of(touched: Touched, rules: Iterable[Mapping[str, Any]]) -> tuple[Step, ...]:
    """Give every step that a change takes, in the order in which they are done.

    Parameters
    ----------
    touched : Touched
        What the change touches.
    rules : iterable of mapping
        Entries of schemas/facts/proving.json; an optional one is no step that a change takes.

    Returns
    -------
    tuple of Step

    Raises
    ------
    ValueError
        If a rule is for something that is not known.

    Examples
    --------
    >>> rules = [{"id": "no-volts", "for": "pair"}]
    >>> [step.pair for step in steps_of(Touched((("o", ("h-n", "h-g", "n-g")),)), rules)]
    ['h-n', 'h-g', 'n-g']
    """
    return tuple(step for rule in rules if not rule.get("optional") for step in _steps(rule, touched))


def is_good(rule: Mapping[str, Any], value: float) -> bool:
    """Say whether a measured value is good by a rule.

    Parameters
    ----------
    rule : mapping
        An entry of schemas/facts/proving.json that says when a value is good.
    value : float
        In the rule's unit.

    Returns
    -------
    bool

    Raises
    ------
    KeyError
        If the rule does not judge values.

    Examples
    --------
    >>> is_good({"good": {"below": 5}}, 5.0)
    False
    """
    good = rule["good"]
    if "below" in good:
        return bool(value < good["below"])
    return bool(value <= good["at_most"] if "at_most" in good else value >= good["at_least"])


def states_of(
    steps: Sequence[Step], proofs: Iterable[Proof], rules: Iterable[Mapping[str, Any]]
) -> dict[Step, StepState]:
    """Say how each step stands after what was noted.

    Parameters
    ----------
    steps : sequence of Step
        What the change takes.
    proofs : iterable of Proof
        In the order in which they were noted; those of other steps are passed over.
    rules : iterable of mapping
        Entries of schemas/facts/proving.json.

    Returns
    -------
    dict of Step to StepState
    """
    needs = {str(rule["id"]): tuple(rule.get("needs", ())) for rule in rules}
    states = dict.fromkeys(steps, StepState.OPEN)
    for proof in proofs:
        if proof.step not in states:
            continue
        for step in steps:
            if proof.step.rule in _all_needs(step.rule, needs) and states[step] is not StepState.OPEN:
                states[step] = StepState.TOO_EARLY
        states[proof.step] = _noted(proof, states, needs)
    return states


def change_state(states: Mapping[Step, StepState]) -> ChangeState:
    """Say how a change stands: proved only when every step stands good, and failed when one stands bad."""
    if StepState.BAD in states.values():
        return ChangeState.FAILED
    is_proved = bool(states) and set(states.values()) == {StepState.GOOD}
    return ChangeState.PROVED if is_proved else ChangeState.NOT_PROVED


def _steps(rule: Mapping[str, Any], touched: Touched) -> list[Step]:
    name = str(rule["id"])
    match rule["for"]:
        case "once":
            return [Step(name)]
        case "source":
            return [Step(name, part) for part in touched.sources]
        case "pair":
            return [Step(name, part, pair) for part, pairs in touched.outlets for pair in pairs]
        case "outlet":
            return [Step(name, part) for part, _ in touched.outlets]
        case "device":
            return [Step(name, part) for part in touched.devices]
        case other:
            raise ValueError(f"The step {name} is for {other!r}, which is not known here.")


def _all_needs(rule: str, needs: Mapping[str, Sequence[str]]) -> set[str]:
    """Give the rules that a rule needs, and those that these need."""
    found: set[str] = set()
    waiting = list(needs.get(rule, ()))
    while waiting:
        found.add(one := waiting.pop())
        waiting += [each for each in needs.get(one, ()) if each not in found]
    return found


def _noted(proof: Proof, states: Mapping[Step, StepState], needs: Mapping[str, Sequence[str]]) -> StepState:
    if proof.outcome is None:
        return StepState.SKIPPED
    if proof.outcome != "good":
        return StepState.BAD
    missing = [
        step
        for step, state in states.items()
        if step.rule in needs.get(proof.step.rule, ()) and state is not StepState.GOOD
    ]
    return StepState.TOO_EARLY if missing else StepState.GOOD
