"""What is left in a battery, and how far a cord reaches: by hand, and alike in both languages."""

import json
from collections.abc import Sequence
from dataclasses import asdict, replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldlog import tables
from fieldlog.engine.planning.charge import Charge, EveningLoad, charge
from fieldlog.engine.planning.circuit import loop_ohms
from fieldlog.engine.planning.cords import Reach, cord_reach
from fieldlog.engine.planning.intake import read_plan
from fieldlog.engine.planning.legs import together
from fieldlog.engine.planning.model import Battery, Cord, Legs, Load, Supply
from fieldlog.model.canonical import canonical
from tests.drawn_plans import plans_with_legs
from tests.node import answers_of_node
from tests.repository import ROOT

CODE = tables.load()


def cases(name: str, of: str = "cases") -> list[dict[str, Any]]:
    text = (ROOT / f"tests/cases/{name}.json").read_text(encoding="utf-8")
    found: list[dict[str, Any]] = json.loads(text)[of]
    return found


def charged(case: dict[str, Any]) -> Charge:
    return charge(Battery(**case["battery"]), [EveningLoad(**run) for run in case["runs"]])


def reach(case: dict[str, Any]) -> list[Reach]:
    asked = {"volts": case["volts"], "source_ohms": 0, "loads": case["loads"], "legs": case.get("legs")}
    supply, loads = read_plan(asked, CODE)
    given = {name: case[name] for name in ("volts", "ohms", "least_volts")}
    return cord_reach(loads, **given, legs=supply.legs, tables=CODE)


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


@pytest.mark.parametrize("case", cases("cords", "on_legs"), ids=lambda case: case["says"])
def test_a_cord_of_two_hots_reaches_as_far_as_kirchhoff_lets_it(case: dict[str, Any]) -> None:
    (found,) = [each for each in reach(case) if each.awg == case["awg"]]

    assert found.feet == pytest.approx(case["feet"], rel=1e-4, abs=1e-6)
    assert (found.carries, found.leg) == (case["carries"], case["leg"])


@settings(max_examples=60)
@given(plans_with_legs(), st.floats(96, 112), st.data())
def test_whatever_is_off_a_cord_of_that_length_leaves_the_volts(
    asked: dict[str, Any], least: float, data: st.DataObject
) -> None:
    """What hangs between the hots gets them too, as many times as they stand apart with nothing on."""
    supply, loads = read_plan(asked | {"branches": [], "cords": []}, CODE)
    legs = supply.legs
    assert legs is not None
    found = cord_reach(
        loads, volts=supply.volts, legs=legs, ohms=supply.source_ohms, least_volts=least, tables=CODE
    )
    feet = [each.feet for each in found if each.awg == 10]
    if not feet or feet[0] <= 0:
        return
    on = data.draw(st.lists(st.sampled_from(loads), unique_by=id))
    cord = Cord(10, feet[0], CODE.entries["contact-ohms"].value)
    volts = volts_on_legs(on, replace(supply, cords=(cord,)), legs)

    assert min(volts[0], volts[1]) >= least - 1e-6
    assert volts[2] >= legs.factor * least - (1e-6 if legs.cosine == -1 else 0.5)


def test_a_foot_more_leaves_less() -> None:
    case = cases("cords", "on_legs")[2]
    (found,) = [each for each in reach(case) if each.awg == 8]
    asked = {"volts": 120, "source_ohms": 0, "legs": case["legs"], "loads": case["loads"]}
    supply, loads = read_plan(asked, CODE)
    assert supply.legs is not None

    def behind(feet: float) -> float:
        cord = Cord(8, feet, CODE.entries["contact-ohms"].value)
        return volts_on_legs(loads, replace(supply, cords=(cord,)), supply.legs)[0]

    assert behind(found.feet + 1) < case["least_volts"] <= behind(found.feet)


def volts_on_legs(loads: Sequence[Load], supply: Supply, legs: Legs | None) -> tuple[float, float, float]:
    assert legs is not None
    ohms = loop_ohms(supply, CODE)
    both = together(loads, supply.volts, legs, ohms / 2, ohms / 2, ())
    assert both is not None
    return both.volts


def test_both_languages_give_the_same_to_the_last_bit() -> None:
    entries = {id: asdict(entry) for id, entry in CODE.entries.items()}
    on_legs = cases("cords", "on_legs")
    all_cases = [*cases("charge"), *cases("cords"), *on_legs]

    told = answers_of_node("battery-and-cords.mjs", [entries, *all_cases])

    own = [
        {"points": [list(point) for point in found.points], "empty_at": found.empty_at}
        for found in map(charged, cases("charge"))
    ]
    reached = [[each._asdict() for each in reach(case)] for case in [*cases("cords"), *on_legs]]
    assert told == [canonical(each) for each in [*own, *reached]]


def test_what_draws_nothing_asks_for_no_cord() -> None:
    assert cord_reach([], volts=120, ohms=0, least_volts=110, tables=CODE) == []
