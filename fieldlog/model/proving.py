"""How a change to the wiring is proved: which steps it takes, and how far they stand.

A step counts only where the steps that it needs stood good before it was noted: volts are absent only if
the meter was shown to work before and after, and ohms are read only where volts are absent. A step noted
again takes back whatever was built on it. A step with power that decided something ends what was shown
without: the next step without power needs all that it rests on anew, and the power-up is done anew after
it. If it was bad, the wiring is worked on again, and all other steps have to be shown again.

The steps form lists, each valid from a day. What was proved by an older list, while that was valid,
stays proved by it, and nothing that a later one asks is taken for shown; all else goes by the newest.
"""

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Any, Final

BEYOND_THE_METER: Final = "OL"
"""What the note of a proof begins with whose meter showed more than it can, in place of a value."""


@dataclass(frozen=True)
class ChangeScope:
    """What a change touches.

    Parameters
    ----------
    outlets : tuple of (str, tuple of str)
        Each outlet that was changed or hangs on what was changed: its part's id and its pairs of contacts.
    devices : tuple of str
        Each ground-fault device that was changed, guards a touched outlet or hangs on what was changed.
    sources : tuple of str
        Each source of the rig other than the shore cord.
    frames : tuple of str
        Each appliance that was changed or hangs on what was changed.
    inlets : tuple of (str or None, tuple of str)
        Each inlet with its pairs of contacts, whatever the change touches; None for one that the map lacks.
    outputs : tuple of (str, tuple of str)
        Each inverter or station with its pairs of contacts: it can feed the wiring from within.
    relays : tuple of str or None
        Each contactor and transfer relay; None where the rig has no drawing that would tell.
    branches : tuple of str
        Each breaker with no other breaker beyond it.
    """

    outlets: tuple[tuple[str, tuple[str, ...]], ...]
    devices: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()
    frames: tuple[str, ...] = ()
    inlets: tuple[tuple[str | None, tuple[str, ...]], ...] = ()
    outputs: tuple[tuple[str, tuple[str, ...]], ...] = ()
    relays: tuple[str, ...] | None = None
    branches: tuple[str, ...] = ()


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


@dataclass(frozen=True)
class StepsStanding:
    """How the steps of a change stand, by the list of which day, and what that makes of the change.

    A step that was bad by an older list fails the change until something is noted by the newest.
    """

    list_day: str
    is_newest: bool
    states: Mapping[Step, "StepState"]
    state: "ChangeState"


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


def list_days(rules: Iterable[Mapping[str, Any]]) -> list[str]:
    """Give the days on which a list of steps began, oldest first.

    Parameters
    ----------
    rules : iterable of mapping
        All entries of schemas/facts/proving.json.

    Returns
    -------
    list of str
        Days, such as "2026-11-25".
    """
    table = list(rules)
    return sorted(
        {str(rule["valid_from"]) for rule in table}
        | {str(rule["until"]) for rule in table if "until" in rule}
    )


def listed(rules: Iterable[Mapping[str, Any]], day: str) -> list[Mapping[str, Any]]:
    """Give the list of steps that began on a day: what is valid then, with the needs that it holds.

    Parameters
    ----------
    rules : iterable of mapping
        All entries of schemas/facts/proving.json.
    day : str
        One of `list_days`.

    Returns
    -------
    list of mapping

    Examples
    --------
    >>> rules = [{"id": "a", "valid_from": "2026-01-01", "until": "2026-02-01"},
    ...          {"id": "b", "valid_from": "2026-01-01", "needs": ["a", "c"]},
    ...          {"id": "c", "valid_from": "2026-02-01"}]
    >>> [(rule["id"], rule.get("needs")) for rule in listed(rules, "2026-02-01")]
    [('b', ['c']), ('c', None)]
    """
    valid = [
        rule
        for rule in rules
        if str(rule["valid_from"]) <= day and not (rule.get("until") and rule["until"] <= day)
    ]
    ids = {rule["id"] for rule in valid}
    return [
        {**rule, "needs": [need for need in rule["needs"] if need in ids]} if "needs" in rule else rule
        for rule in valid
    ]


def standing_of(
    touched: ChangeScope, proofs: Sequence[tuple[str, Proof]], rules: Sequence[Mapping[str, Any]]
) -> StepsStanding:
    """Say how the steps of a change stand, by the newest list or by the one under which it was proved.

    Parameters
    ----------
    touched : ChangeScope
        What the change touches.
    proofs : sequence of (str, Proof)
        In the order in which they were noted, each with its day.
    rules : sequence of mapping
        All entries of schemas/facts/proving.json.

    Returns
    -------
    StepsStanding
    """
    days = list_days(rules)
    told = [proof for _, proof in proofs]
    newest = max((day for day, _ in proofs), default="")
    found: list[StepsStanding] = []
    for day, ended in zip(reversed(days), [None, *reversed(days[1:])], strict=True):
        if ended is None or newest < ended:
            listing = listed(rules, day)
            steps = (*steps_of(touched, listing), *_chosen(told, listing))
            states = states_of(steps, told, listing)
            found.append(StepsStanding(day, ended is None, states, change_state(states)))
    proved = next((one for one in found if one.state is ChangeState.PROVED), None)
    if proved is None and ChangeState.FAILED in (one.state for one in found):
        return replace(found[0], state=ChangeState.FAILED)
    return proved or found[0]


def steps_of(touched: ChangeScope, rules: Iterable[Mapping[str, Any]]) -> tuple[Step, ...]:
    """Give every step that a change takes, in the order in which they are done.

    Parameters
    ----------
    touched : ChangeScope
        What the change touches.
    rules : iterable of mapping
        Entries of schemas/facts/proving.json; an optional one is no step that a change takes.

    Returns
    -------
    tuple of Step
        Each once.

    Raises
    ------
    ValueError
        If a rule is for something that is not known.

    Examples
    --------
    >>> rules = [{"id": "no-volts", "for": "pair"}]
    >>> [step.pair for step in steps_of(ChangeScope((("o", ("h-n", "h-g", "n-g")),)), rules)]
    ['h-n', 'h-g', 'n-g']
    """
    found = (step for rule in rules if not rule.get("optional") for step in _steps(rule, touched))
    return tuple(dict.fromkeys(found))


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
        In the order in which they were noted; of those of other steps only that there was power counts.
    rules : iterable of mapping
        Entries of schemas/facts/proving.json.

    Returns
    -------
    dict of Step to StepState
    """
    table = list(rules)
    when = {str(rule["id"]): rule.get("when") for rule in table}
    needs = _needs_of(table, steps)
    power_up = {str(rule["id"]) for rule in table if rule.get("power_up")}
    states = dict.fromkeys(steps, StepState.OPEN)
    had_power = False
    for proof in proofs:
        kind = when.get(proof.step.rule)
        if proof.step in states:
            is_dead_again = had_power and kind == "dead"
            _take_back(states, _built_on(proof.step.rule, needs))
            if is_dead_again:
                _take_back(states, _rests_of(when, needs) | power_up)
            if kind == "live" and proof.outcome == "bad":
                _take_back(states, {rule for rule in when if when[rule] in ("dead", "live")})
            states[proof.step] = _noted(proof, states, needs)
            had_power = had_power and not is_dead_again
        had_power = had_power or (kind == "live" and proof.outcome is not None)
    return states


def change_state(states: Mapping[Step, StepState]) -> ChangeState:
    """Say how a change stands: proved only when every step stands good, and failed when one stands bad."""
    if StepState.BAD in states.values():
        return ChangeState.FAILED
    is_proved = bool(states) and set(states.values()) == {StepState.GOOD}
    return ChangeState.PROVED if is_proved else ChangeState.NOT_PROVED


def _steps(rule: Mapping[str, Any], touched: ChangeScope) -> list[Step]:
    name = str(rule["id"])
    match rule["for"]:
        case "once":
            return [Step(name)]
        case "source":
            return [Step(name, part) for part in touched.sources or (None,)]
        case "pair":
            outputs = touched.outputs if rule.get("outputs") else ()
            places = (*touched.inlets, *outputs, *(() if rule.get("inlet_only") else touched.outlets))
            wanted = rule.get("contacts")
            return [
                Step(name, part, pair)
                for part, pairs in places
                for pair in pairs
                if wanted is None or pair in wanted
            ]
        case "outlet":
            frames = touched.frames if rule.get("frames") else ()
            return [Step(name, part) for part in (*(part for part, _ in touched.outlets), *frames)]
        case "device":
            return [Step(name, part) for part in touched.devices]
        case "relay":
            return [Step(name, part) for part in ((None,) if touched.relays is None else touched.relays)]
        case "branch":
            return [Step(name, part) for part in touched.branches or (None,)]
        case other:
            raise ValueError(f"The step {name} is for {other!r}, which is not known here.")


def _chosen(proofs: Sequence[Proof], rules: Sequence[Mapping[str, Any]]) -> list[Step]:
    """Give the steps that no change takes but that were noted all the same: a bad one fails it."""
    noted = {proof.step for proof in proofs if proof.outcome is not None}
    return [step for rule in rules if rule.get("optional") and (step := Step(str(rule["id"]))) in noted]


def _needs_of(rules: Sequence[Mapping[str, Any]], steps: Sequence[Step]) -> dict[str, tuple[str, ...]]:
    """Give what each rule needs; what is for outlets, devices or relays only where there are any."""
    taken = {step.rule for step in steps}
    vacant = {rule["id"] for rule in rules if rule.get("for") in ("outlet", "device", "relay")} - taken
    return {
        str(rule["id"]): tuple(need for need in rule.get("needs", ()) if need not in vacant) for rule in rules
    }


def _built_on(rule: str, needs: Mapping[str, Sequence[str]]) -> set[str]:
    """Give the rules that need a rule, and those that need these."""
    return {one for one in needs if rule in _all_needs(one, needs)}


def _rests_of(when: Mapping[str, str | None], needs: Mapping[str, Sequence[str]]) -> set[str]:
    """Give all that the steps without power need."""
    return {need for rule, kind in when.items() if kind == "dead" for need in _all_needs(rule, needs)}


def _all_needs(rule: str, needs: Mapping[str, Sequence[str]]) -> set[str]:
    """Give the rules that a rule needs, and those that these need."""
    found: set[str] = set()
    waiting = list(needs.get(rule, ()))
    while waiting:
        found.add(one := waiting.pop())
        waiting += [each for each in needs.get(one, ()) if each not in found]
    return found


def _take_back(states: dict[Step, StepState], rules: Collection[str]) -> None:
    """Let what was noted of these rules no longer count."""
    for step, state in states.items():
        if step.rule in rules and state is not StepState.OPEN:
            states[step] = StepState.TOO_EARLY


def _noted(proof: Proof, states: Mapping[Step, StepState], needs: Mapping[str, Sequence[str]]) -> StepState:
    if proof.outcome is None:
        return StepState.SKIPPED
    if proof.outcome != "good":
        return StepState.BAD
    for need in needs.get(proof.step.rule, ()):
        shown = {state for step, state in states.items() if step.rule == need}
        if shown != {StepState.GOOD}:
            return StepState.TOO_EARLY
    return StepState.GOOD
