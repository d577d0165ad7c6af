"""What is left in a battery, and how far a cord reaches: by hand, and alike in both languages."""

import json
from dataclasses import asdict
from typing import Any

import pytest

from fieldlog import tables
from fieldlog.engine.planning.charge import Charge, EveningLoad, charge
from fieldlog.engine.planning.cords import Reach, cord_reach
from fieldlog.engine.planning.intake import read_plan
from fieldlog.engine.planning.model import Battery
from fieldlog.model.canonical import canonical
from tests.node import answers_of_node
from tests.repository import ROOT

CODE = tables.load()


def cases(name: str) -> list[dict[str, Any]]:
    text = (ROOT / f"tests/cases/{name}.json").read_text(encoding="utf-8")
    found: list[dict[str, Any]] = json.loads(text)["cases"]
    return found


def charged(case: dict[str, Any]) -> Charge:
    return charge(Battery(**case["battery"]), [EveningLoad(**run) for run in case["runs"]])


def reach(case: dict[str, Any]) -> list[Reach]:
    _, loads = read_plan({"volts": 120, "source_ohms": 0, "loads": case["loads"]}, CODE)
    given = {name: case[name] for name in ("volts", "ohms", "least_volts")}
    return cord_reach(loads, **given, tables=CODE)


@pytest.mark.parametrize("case", cases("charge"), ids=lambda case: case["says"])
def test_what_is_left_in_a_battery_is_what_a_hand_works_out(case: dict[str, Any]) -> None:
    found = charged(case)

    assert found.points[-1][1] == pytest.approx(case["left"], abs=1e-3)
    expected = case["empty_at"]
    assert found.empty_at is None if expected is None else found.empty_at == pytest.approx(expected, abs=1e-3)


@pytest.mark.parametrize("case", cases("cords"), ids=lambda case: case["says"])
def test_a_cord_reaches_as_far_as_the_drop_in_a_handbook(case: dict[str, Any]) -> None:
    (found,) = [each for each in reach(case) if each.awg == case["awg"]]

    assert found.feet == pytest.approx(case["feet"], rel=1e-4, abs=1e-6)
    assert found.carries is case["carries"]


def test_both_languages_give_the_same_to_the_last_bit() -> None:
    entries = {id: asdict(entry) for id, entry in CODE.entries.items()}
    all_cases = [*cases("charge"), *cases("cords")]

    told = answers_of_node("battery-and-cords.mjs", [entries, *all_cases])

    own = [
        {"points": [list(point) for point in found.points], "empty_at": found.empty_at}
        for found in map(charged, cases("charge"))
    ]
    reached = [[each._asdict() for each in reach(case)] for case in cases("cords")]
    assert told == [canonical(each) for each in [*own, *reached]]


def test_what_draws_nothing_asks_for_no_cord() -> None:
    assert cord_reach([], volts=120, ohms=0, least_volts=110, tables=CODE) == []
