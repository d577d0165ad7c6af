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
    ChangeScope,
    ChangeState,
    Proof,
    Step,
    StepState,
    change_state,
    is_good,
    list_days,
    listed,
    standing_of,
    states_of,
    steps_of,
)

ROOT = Path(__file__).parents[2]
KNOWN = json.loads((ROOT / "tests/cases/proving.json").read_text(encoding="utf-8"))
CASES = KNOWN["cases"]
RULES = json.loads((ROOT / "schemas/facts/proving.json").read_text(encoding="utf-8"))["entries"]
TODAY = listed(RULES, list_days(RULES)[-1])


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


def touched_of(case: dict[str, Any]) -> ChangeScope:
    told = KNOWN["touched"] | case.get("touched", {})
    outlets, inlets, outputs = (
        tuple((part, tuple(pairs)) for part, pairs in told.get(name, []))
        for name in ("outlets", "inlets", "outputs")
    )
    devices, sources, frames, branches = (
        tuple(told.get(name, [])) for name in ("devices", "sources", "frames", "branches")
    )
    relays = None if told.get("relays") is None else tuple(told["relays"])
    return ChangeScope(outlets, devices, sources, frames, inlets, outputs, relays, branches)


def key(step: Step) -> str:
    return f"{step.rule}|{step.part or ''}|{step.pair or ''}"


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["about"])
def test_a_step_counts_only_after_what_it_needs(case: dict[str, Any]) -> None:
    rules = listed(RULES, case.get("list", "2026-11-25"))
    steps = steps_of(touched_of(case), rules)
    states = states_of(steps, proofs_of(case["proofs"]), rules)

    assert [key(step) for step in steps] == case.get("steps", [key(step) for step in steps])
    assert change_state(states).value == case["state"]
    found = {key(step): state.value for step, state in states.items()}
    assert {name: found[name] for name in case["states"]} == case["states"]


@pytest.mark.parametrize("case", KNOWN["lists"], ids=lambda case: case["about"])
def test_what_an_older_list_proved_stays_proved_by_it_and_by_no_other(case: dict[str, Any]) -> None:
    dated = [(day, each) for day, texts in case["proofs"] for each in proofs_of(texts)]
    standing = standing_of(touched_of({}), dated, RULES)

    assert standing.list_day == case["list"]
    assert standing.is_newest == (case["list"] == list_days(RULES)[-1])
    assert standing.state.value == case["state"]


def test_grounds_without_a_change_take_what_ohms_rest_on_and_nothing_with_power() -> None:
    alone = [rule for rule in TODAY if rule.get("grounds_alone")]
    ids = [rule["id"] for rule in alone]

    assert ids == [
        "unplugged",
        "source-dead",
        "meter-before",
        "no-volts",
        "no-volts-dc",
        "meter-after",
        "leads-zeroed",
        "ground-continuous",
    ]
    assert {rule["when"] for rule in alone} == {"dead"}
    assert {need for rule in alone for need in rule.get("needs", ())} <= set(ids)
    assert [rule["alone_days"] for rule in alone if "alone_days" in rule] == [7]


PARTS: dict[str, Any] = {"sources": ["s"], "frames": ["f"], "outputs": [["s", ["h-n"]]]}
PARTS |= {"relays": ["k"], "branches": ["b", "c"]}
STEPS = steps_of(touched_of({"touched": PARTS}), TODAY)
WHEN = {rule["id"]: rule["when"] for rule in TODAY}
CHAIN = {"unplugged", "source-dead", "meter-before", "no-volts", "no-volts-dc", "meter-after"}
OHMS = {str(rule["id"]) for rule in TODAY if rule["unit"] in ("ohm", "Mohm")}
UP = {"skin-plugged", "skin-main", "skin-branches"}
Noted = list[tuple[Step, str | None]]


@st.composite
def almost_right(draw: st.DrawFn) -> Noted:
    """Draw what was noted: the right way, with steps left out, noted again or put elsewhere."""
    noted: Noted = [(step, "good") for step in STEPS]
    for step in draw(st.lists(st.sampled_from(STEPS), max_size=3)):
        place = draw(st.integers(0, len(noted)))
        match draw(st.sampled_from(["leave out", "note", "move"])):
            case "leave out":
                noted = [one for one in noted if one[0] != step]
            case "note":
                noted.insert(place, (step, draw(st.sampled_from(["good", "bad", None]))))
            case _:
                noted = [one for one in noted if one[0] != step]
                noted.insert(min(place, len(noted)), (step, "good"))
    return noted


def states_after(noted: Noted) -> dict[Step, StepState]:
    return states_of(STEPS, [Proof(step, outcome) for step, outcome in noted], TODAY)


def when_good(noted: Noted) -> Iterator[tuple[Step, Noted]]:
    """Give each step that stands good, with all that was noted before its newest proof."""
    for step, state in states_after(noted).items():
        if state is StepState.GOOD:
            yield step, noted[: max(i for i, (one, _) in enumerate(noted) if one == step)]


def good_since(before: Noted, last: str) -> set[Step]:
    """Give what was noted good since the last step of a kind that decided something."""
    ends = [i for i, (one, outcome) in enumerate(before) if WHEN[one.rule] == last and outcome is not None]
    return {one for one, outcome in before[max(ends, default=-1) + 1 :] if outcome == "good"}


def of_rules(rules: set[str]) -> set[Step]:
    return {step for step in STEPS if step.rule in rules}


@given(st.integers(0, len(STEPS) - 1), st.integers(0, len(STEPS) - 1))
def test_in_whatever_order_steps_are_noted_only_a_right_one_proves(one: int, other: int) -> None:
    order = list(STEPS)
    order[one], order[other] = order[other], order[one]
    states = states_after([(step, "good") for step in order])

    place = {step.rule: [i for i, each in enumerate(order) if each.rule == step.rule] for step in STEPS}
    is_right = all(
        max(place[need]) < min(place[rule["id"]])
        for rule in TODAY
        if rule["id"] in place
        for need in rule.get("needs", ())
    ) and [WHEN[step.rule] for step in order] == [WHEN[step.rule] for step in STEPS]
    assert (change_state(states) is ChangeState.PROVED) == is_right


@given(st.lists(st.sampled_from(STEPS), max_size=30))
def test_a_change_is_never_proved_while_a_step_was_never_noted(noted: list[Step]) -> None:
    states = states_after([(step, "good") for step in noted])

    assert all(state is StepState.OPEN for step, state in states.items() if step not in noted)
    if set(noted) != set(STEPS):
        assert change_state(states) is not ChangeState.PROVED


@given(almost_right())
def test_no_ohms_count_before_zero_volts_ac_and_dc_since_the_last_power(noted: Noted) -> None:
    for step, before in when_good(noted):
        if step.rule in OHMS:
            assert good_since(before, "live") >= of_rules(CHAIN)


@given(almost_right())
def test_no_step_with_power_counts_before_the_skin_was_read_since_the_last_power_up(noted: Noted) -> None:
    for step, before in when_good(noted):
        if WHEN[step.rule] == "live" and step.rule not in UP:
            assert good_since(before, "dead") >= of_rules(UP)


@given(almost_right())
def test_no_load_counts_before_test_and_the_skin_after_it(noted: Noted) -> None:
    for step, before in when_good(noted):
        if step.rule == "under-load":
            assert {one for one, outcome in before if outcome == "good"} >= of_rules({"trips", "skin-tested"})


@given(
    st.lists(st.sampled_from(STEPS), max_size=40),
    st.sampled_from(["skin-plugged", "polarity", "under-load", "trips"]),
)
def test_after_a_bad_step_with_power_nothing_else_stands_good(noted: list[Step], rule: str) -> None:
    bad = next(step for step in STEPS if step.rule == rule)
    states = states_after([*((step, "good") for step in noted), (bad, "bad")])

    assert states[bad] is StepState.BAD and StepState.GOOD not in states.values()


@pytest.mark.parametrize(
    ("rule", "good", "bad"),
    [
        ("no-volts", 4.9, 5.0),
        ("ground-continuous", 1.0, 1.1),
        ("neutral-isolated", 0.1, 0.09),
        ("no-short", 100, 99),
        ("no-volts-dc", 4.9, 5.0),
        ("frame-bond", 1.0, 1.1),
        ("hot-ground-apart", 1.0, 0.99),
        ("neutral-ground-apart", 1.0, 0.99),
        ("hot-neutral-apart", 5.0, 4.9),
        ("skin-plugged", 4.9, 5.0),
        ("skin-tested", 4.9, 5.0),
    ],
)
def test_a_value_at_the_border_belongs_to_the_side_that_the_table_says(
    rule: str, good: float, bad: float
) -> None:
    entry = next(each for each in RULES if each["id"] == rule)

    assert is_good(entry, good) and not is_good(entry, bad)


def test_a_shops_dielectric_test_is_never_asked_for() -> None:
    assert "dielectric" not in {step.rule for step in STEPS}
