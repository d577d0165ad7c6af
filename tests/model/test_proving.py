"""A change is proved step by step, and nothing counts before what it rests on.

Sources: NFPA 70E 120.5(7), the meter is verified before and after, each pair is read; 29 CFR
1926.404(b)(1)(iii)(D), the ground is continuous and rightly attached; that no ohms are read on a live pair is
common practice.
"""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldlog.model.proving import (
    ChangeState,
    Proof,
    Step,
    StepState,
    Touched,
    change_state,
    is_good,
    states_of,
    steps_of,
)

ROOT = Path(__file__).parents[2]
KNOWN = json.loads((ROOT / "tests/cases/proving.json").read_text(encoding="utf-8"))
CASES = KNOWN["cases"]
RULES = json.loads((ROOT / "schemas/facts/proving.json").read_text(encoding="utf-8"))["entries"]


def proof(text: str) -> Proof:
    rule, part, *rest = text.split("|")
    pair = rest[0] if len(rest) == 2 else None
    return Proof(Step(rule, part or None, pair), {"skipped": None}.get(rest[-1], rest[-1]))


def proofs_of(texts: list[str]) -> Iterator[Proof]:
    """Give the proofs in their order; a name with @ stands for several."""
    for text in texts:
        if text in KNOWN["proofs"]:
            yield from proofs_of(KNOWN["proofs"][text])
        else:
            yield proof(text)


def touched_of(case: dict[str, Any]) -> Touched:
    told = KNOWN["touched"] | case.get("touched", {})
    outlets, inlets = (
        tuple((part, tuple(pairs)) for part, pairs in told[name]) for name in ("outlets", "inlets")
    )
    return Touched(outlets, tuple(told["devices"]), tuple(told["sources"]), tuple(told["frames"]), inlets)


def key(step: Step) -> str:
    return f"{step.rule}|{step.part or ''}|{step.pair or ''}"


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["about"])
def test_a_step_counts_only_after_what_it_needs(case: dict[str, Any]) -> None:
    steps = steps_of(touched_of(case), RULES)
    states = states_of(steps, proofs_of(case["proofs"]), RULES)

    assert [key(step) for step in steps] == case.get("steps", [key(step) for step in steps])
    assert change_state(states).value == case["state"]
    found = {key(step): state.value for step, state in states.items()}
    assert {name: found[name] for name in case["states"]} == case["states"]


def test_grounds_without_a_change_take_what_ohms_rest_on_and_nothing_with_power() -> None:
    alone = [rule for rule in RULES if rule.get("grounds_alone")]
    ids = [rule["id"] for rule in alone]

    assert ids == ["unplugged", "source-off", "meter-before", "no-volts", "meter-after", "ground-continuous"]
    assert {rule["when"] for rule in alone} == {"dead"}
    assert {need for rule in alone for need in rule.get("needs", ())} <= set(ids)
    assert [rule["alone_days"] for rule in alone if "alone_days" in rule] == [7]


STEPS = steps_of(touched_of({"touched": {"sources": ["s"], "frames": ["f"]}}), RULES)
WHEN = {rule["id"]: rule["when"] for rule in RULES}
CHAIN = ("unplugged", "source-off", "meter-before", "no-volts", "meter-after")


def later(order: list[Step], place: int) -> set[str]:
    return {WHEN[each.rule] for each in order[place:]}


@given(st.permutations(STEPS))
def test_in_whatever_order_steps_are_noted_only_a_right_one_proves(order: list[Step]) -> None:
    states = states_of(STEPS, [Proof(step, "good") for step in order], RULES)

    place = {step.rule: [i for i, each in enumerate(order) if each.rule == step.rule] for step in STEPS}
    is_right = all(
        max(place[need]) < min(place[rule["id"]])
        for rule in RULES
        if rule["id"] in place
        for need in rule.get("needs", ())
    ) and not any(
        WHEN[one.rule] == "live"
        and {each.rule for each in order[:i]} & set(CHAIN)
        and "dead" in later(order, i)
        for i, one in enumerate(order)
    )
    assert (change_state(states) is ChangeState.PROVED) == is_right


@given(st.lists(st.sampled_from(STEPS), max_size=30))
def test_a_change_is_never_proved_while_a_step_was_never_noted(noted: list[Step]) -> None:
    states = states_of(STEPS, [Proof(step, "good") for step in noted], RULES)

    assert all(state is StepState.OPEN for step, state in states.items() if step not in noted)
    if set(noted) != set(STEPS):
        assert change_state(states) is not ChangeState.PROVED


@given(st.lists(st.tuples(st.sampled_from(STEPS), st.sampled_from(["good", "bad", None])), max_size=40))
def test_ohms_count_only_where_all_that_shows_no_volts_was_noted_good_since_the_last_power(
    noted: list[tuple[Step, str | None]],
) -> None:
    proofs = [Proof(step, outcome) for step, outcome in noted]
    states = states_of(STEPS, proofs, RULES)

    for step, state in states.items():
        if step.rule in ("ground-continuous", "neutral-isolated", "no-short") and state is StepState.GOOD:
            newest = max(i for i, one in enumerate(proofs) if one.step == step)
            power = [
                i
                for i, one in enumerate(proofs[:newest])
                if WHEN[one.step.rule] == "live" and one.outcome is not None
            ]
            since = proofs[max(power, default=-1) + 1 : newest]
            shown = {one.step for one in since if one.outcome == "good"}
            assert shown >= {each for each in STEPS if each.rule in CHAIN}


@given(st.lists(st.sampled_from(STEPS), max_size=40), st.sampled_from(["polarity", "under-load", "trips"]))
def test_after_a_bad_step_with_power_nothing_else_stands_good(noted: list[Step], rule: str) -> None:
    bad = next(step for step in STEPS if step.rule == rule)
    states = states_of(STEPS, [*(Proof(step, "good") for step in noted), Proof(bad, "bad")], RULES)

    assert states[bad] is StepState.BAD and StepState.GOOD not in states.values()


@pytest.mark.parametrize(
    ("rule", "good", "bad"),
    [
        ("no-volts", 4.9, 5.0),
        ("ground-continuous", 1.0, 1.1),
        ("neutral-isolated", 0.1, 0.09),
        ("no-short", 100, 99),
    ],
)
def test_a_value_at_the_border_belongs_to_the_side_that_the_table_says(
    rule: str, good: float, bad: float
) -> None:
    entry = next(each for each in RULES if each["id"] == rule)

    assert is_good(entry, good) and not is_good(entry, bad)


def test_a_shops_dielectric_test_is_never_asked_for() -> None:
    assert "dielectric" not in {step.rule for step in STEPS}
