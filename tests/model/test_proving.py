"""A change is proved step by step, and nothing counts before what it rests on.

Sources: NFPA 70E 120.5(7), the meter is verified before and after, each pair is read; 29 CFR
1926.404(b)(1)(iii)(D), the ground is continuous and rightly attached; that no ohms are read on a live pair is
common practice.
"""

import json
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
CASES = json.loads((ROOT / "tests/cases/proving.json").read_text(encoding="utf-8"))
RULES = json.loads((ROOT / "schemas/facts/proving.json").read_text(encoding="utf-8"))["entries"]
OUTLETS = (("o", ("h-n", "h-g", "n-g")),)


def proof(text: str) -> Proof:
    rule, part, *rest = text.split("|")
    pair = rest[0] if len(rest) == 2 else None
    return Proof(Step(rule, part or None, pair), {"skipped": None}.get(rest[-1], rest[-1]))


def key(step: Step) -> str:
    return f"{step.rule}|{step.part or ''}|{step.pair or ''}"


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["about"])
def test_a_step_counts_only_after_what_it_needs(case: dict[str, Any]) -> None:
    steps = steps_of(Touched(OUTLETS, ("d",), tuple(case.get("sources", ()))), RULES)
    states = states_of(steps, [proof(text) for text in case["proofs"]], RULES)

    assert change_state(states).value == case["state"]
    found = {key(step): state.value for step, state in states.items()}
    assert {name: found[name] for name in case["states"]} == case["states"]


STEPS = steps_of(Touched(OUTLETS, ("d",), ("s",)), RULES)


@given(st.permutations(STEPS))
def test_in_whatever_order_steps_are_noted_only_a_right_one_proves(order: list[Step]) -> None:
    states = states_of(STEPS, [Proof(step, "good") for step in order], RULES)

    place = {step.rule: [i for i, each in enumerate(order) if each.rule == step.rule] for step in STEPS}
    is_right = all(
        max(place[need]) < min(place[rule["id"]])
        for rule in RULES
        if rule["id"] in place
        for need in rule.get("needs", ())
    )
    assert (change_state(states) is ChangeState.PROVED) == is_right


@given(st.lists(st.sampled_from(STEPS), max_size=30))
def test_a_change_is_never_proved_while_a_step_was_never_noted(noted: list[Step]) -> None:
    states = states_of(STEPS, [Proof(step, "good") for step in noted], RULES)

    assert all(state is StepState.OPEN for step, state in states.items() if step not in noted)
    if set(noted) != set(STEPS):
        assert change_state(states) is not ChangeState.PROVED


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
