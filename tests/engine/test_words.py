"""The words of the rulebook: whole, short enough for a phone, and true in the figures that they name."""

import ast
import json
import re
from pathlib import Path
from typing import Any

import pytest

from fieldlog.engine.families import FAMILIES

ROOT = Path(__file__).resolve().parents[2]
FILE = ROOT / "schemas/words.json"
WORDS: dict[str, Any] = json.loads(FILE.read_text(encoding="utf-8"))
PARTS = ("name", "sentence", "people", "appliances", "do_now")
MOST_BYTES = 37_000  # own choice: they travel to phones with every rulebook


def arguments_of_findings(place: int) -> set[str]:
    """Give the fixed words that the engine hands to a finding at one place of its arguments."""
    calls = (
        node
        for path in sorted((ROOT / "fieldlog/engine").glob("*.py"))
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Finding"
    )
    given = (call.args[place] for call in calls if len(call.args) > place)
    return {each.value for each in given if isinstance(each, ast.Constant) and isinstance(each.value, str)}


def test_every_explanation_says_what_it_does_and_what_to_do() -> None:
    named = {each.id for family in FAMILIES.values() for each in family.named}

    assert set(WORDS["explanations"]) == named | {"other"}
    for said in [*WORDS["explanations"].values(), WORDS["unnamed"]]:
        assert all(isinstance(said[part], str) and said[part] for part in PARTS)


def test_every_verdict_says_what_to_do_at_the_pedestal_and_in_the_rig() -> None:
    for said in WORDS["verdicts"].values():
        assert said["do_now"] and said["at_rig"]
        assert not re.search("office|pedestal|site", " ".join(said["at_rig"]))


def test_a_split_phase_outlet_only_changes_words_that_are_there() -> None:
    entries = [*WORDS["explanations"].values(), *WORDS["tests"].values()]
    changed = [(said, said["split-phase"]) for said in entries if "split-phase" in said]

    assert changed
    for said, other in changed:
        assert other.items() and set(other) <= set(said) - {"split-phase"}
        assert all(other[part] != said[part] for part in other)


def test_every_finding_that_the_engine_makes_has_a_sentence() -> None:
    made = arguments_of_findings(0)

    assert {"loop-drop", "trip-inconclusive"} <= made
    assert made <= set(WORDS["findings"])
    assert all(said["sentence"] for said in WORDS["findings"].values())


def test_every_quantity_of_a_finding_has_a_label_and_a_unit() -> None:
    pairs = {pair for family in FAMILIES.values() for pair in family.pairs}
    loaded = {f"loaded.{across}" for family in FAMILIES.values() for across in family.acrosses}

    assert set(WORDS["pairs"]) == pairs
    assert arguments_of_findings(3) | pairs | loaded <= set(WORDS["quantities"])
    assert all(each["label"] and each["unit"] for each in WORDS["quantities"].values())


def test_every_test_is_told_in_two_to_five_steps() -> None:
    told = [each for test in WORDS["tests"].values() for each in (test, test.get("split-phase", {}))]

    assert all(2 <= len(each["how"]) <= 5 for each in told if "how" in each)
    for test in WORDS["tests"].values():
        assert test["name"] and test["how"] and test["needs"] and test["caution"]


def test_the_words_stay_small_enough_for_a_phone() -> None:
    assert len(FILE.read_bytes()) <= MOST_BYTES


# Figures


def divided(volts: float, one_ohms: float, two_ohms: float) -> tuple[float, float]:
    """Give how two loads in series share the volts between the legs (Kirchhoff, Ohm)."""
    return volts * one_ohms / (one_ohms + two_ohms), volts * two_ohms / (one_ohms + two_ohms)


def test_the_volts_behind_a_lost_neutral_are_those_of_a_divider() -> None:
    """Kirchhoff: 100 W and 200 W, both made for 120 V, in series across 240 V; 60 W beside 1500 W."""
    high, low = divided(240.0, 120.0**2 / 100.0, 120.0**2 / 200.0)
    small, _ = divided(240.0, 120.0**2 / 60.0, 120.0**2 / 1500.0)
    said = WORDS["explanations"]

    assert f"may get {high:.0f} and {low:.0f} V" in said["open-neutral"]["split-phase"]["appliances"]
    assert f"one leg may get {high:.0f} and the other {low:.0f}" in said["lost-neutral"]["appliances"]
    assert small > 230.0 and "more than 230 V" in said["open-neutral"]["split-phase"]["appliances"]


@pytest.mark.parametrize("joint", ["high-resistance-hot", "high-resistance-neutral"])
def test_the_heat_of_a_loose_joint_is_current_squared_times_ohms(joint: str) -> None:
    """Joule's law: 20 A through half an ohm."""
    assert f"20 A through half an ohm are {20**2 * 0.5:.0f} W" in WORDS["explanations"][joint]["people"]


def test_a_heater_on_208_volts_gives_three_quarters_of_its_heat() -> None:
    """Joule's law: power goes with the square of the volts."""
    share = (208 / 240) ** 2

    assert share == pytest.approx(0.75, abs=0.005)
    assert "three quarters" in WORDS["findings"]["legs-208"]["sentence"]


def test_the_longest_lawful_trip_is_that_of_ul_943_at_six_milliamps() -> None:
    """UL 943, Class A: T = (20 / I)^1.43 s, at the lower end of its range."""
    assert f"{(20 / 6) ** 1.43:.1f} s" in WORDS["findings"]["trip-inconclusive"]["sentence"]
