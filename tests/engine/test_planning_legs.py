"""Supplies with two hots and wires inside the rig: what runs, what is said, what is typed in wrong."""

from itertools import combinations
from typing import Any

import pytest
from hypothesis import given

from fieldlog import tables
from fieldlog.engine.planning import plan
from fieldlog.errors import BadInput
from tests.drawn_plans import plans_with_legs

CODE = tables.load()
RIG: dict[str, Any] = {"volts": 120.0, "source_ohms": 0.24, "breaker_amps": 50}
OPPOSED, THREE_PHASE = {"volts_y": 120.0, "volts_xy": 240.0}, {"volts_y": 120.0, "volts_xy": 208.0}


def heater(watts: float, leg: str, name: str = "heater", **members: Any) -> dict[str, Any]:
    return {"name": name, "watts": watts, "leg": leg, **members}


def planned(loads: list[dict[str, Any]], legs: dict[str, Any] = OPPOSED, **members: Any) -> dict[str, Any]:
    return plan(RIG | {"loads": loads, "legs": legs} | members, CODE)


def found(answer: dict[str, Any]) -> dict[str, str]:
    return {finding["id"]: finding["level"] for finding in answer["findings"]}


def runs(asked: dict[str, Any]) -> bool:
    answer = plan(asked, CODE)
    return bool(answer["fits"]) and all(load["runs"] for load in answer["loads"])


def test_alike_legs_cancel_in_the_neutral_of_240_and_not_of_208() -> None:
    """By hand: 1800 W of 120 V on each leg, 8 ohm; 0.12 ohm in each hot and in the neutral."""
    pair = [heater(1800, "x", "one"), heater(1800, "y", "other")]
    opposed, three_phase = planned(pair), planned(pair, THREE_PHASE)

    assert opposed["neutral_amps"] == pytest.approx(0, abs=1e-9)
    # The neutral takes nothing: 120 · 8 / 8.12.
    assert opposed["legs"]["x"]["volts_at_rig"] == pytest.approx(118.227, abs=0.0005)
    # 120 degrees apart: what they sum to flows through the neutral, 120 / (8 + 3 · 0.12).
    assert three_phase["neutral_amps"] == pytest.approx(120 / 8.36)
    assert found(three_phase)["neutral-carries"] == "note" and "neutral-carries" not in found(opposed)


@given(plans_with_legs())
def test_a_leg_alone_has_no_more_volts_than_with_the_other_on(asked: dict[str, Any]) -> None:
    for load in asked["loads"]:
        load["leg"] = "y" if load["leg"] == "both" else load["leg"]
    answer = plan(asked | {"branches": []}, CODE)

    for leg in answer["legs"].values():
        if leg["volts_at_rig"] is not None and leg["volts_alone"] is not None:
            assert leg["volts_alone"] <= leg["volts_at_rig"] + 1e-6


def test_nothing_is_built_on_the_other_leg() -> None:
    """With y on, x would get enough; its loads may switch themselves off, and 103.2 V are too few."""
    loads = [heater(4900, "x", "x"), heater(4600, "y", "y")]
    answer = planned(loads, source_ohms=0.48)

    assert answer["legs"]["x"]["volts_at_rig"] > 104 > answer["legs"]["x"]["volts_alone"]
    assert not answer["loads"][0]["runs"] and answer["runs_together"] == [["y"]]
    assert any(each["says"].startswith("Leg X, the other one off: ") for each in answer["findings"])


def test_the_sets_on_two_legs_are_those_that_trying_every_set_finds() -> None:
    """Brute force over nine loads, two of them between the hots, three behind one wire."""
    watts = (3000, 1500, 1300, 1000, 900, 4000, 700, 2500, 300)
    legs = ("x", "x", "y", "y", "x", "both", "y", "both", "x")
    loads = [
        heater(each, leg, f"{place}", kind=("resistive", "electronic")[place % 2], priority=1 + place % 2)
        for place, (each, leg) in enumerate(zip(watts, legs, strict=True))
    ]
    wire: dict[str, Any] = {"name": "galley", "amps": 20, "ohms": 0.4, "loads": [1, 4, 8]}
    asked = RIG | {"loads": loads, "legs": THREE_PHASE, "breaker_amps": 30, "branches": [wire]}

    def alone(places: tuple[int, ...]) -> dict[str, Any]:
        on_it = [places.index(place) for place in wire["loads"] if place in places]
        return asked | {"loads": [loads[place] for place in places], "branches": [wire | {"loads": on_it}]}

    every = [places for size in range(10) for places in combinations(range(9), size)]
    sets = [places for places in every if runs(alone(places))]
    full = [each for each in sets if not any({*each} < {*other} for other in sets)]

    def worth(places: tuple[int, ...]) -> tuple[Any, ...]:
        kept = [-sum(loads[place]["priority"] == level for place in places) for level in (1, 2)]
        return (*kept, -sum(watts[place] for place in places), places)

    best = [[f"{place}" for place in each] for each in sorted(full, key=worth)[:5]]
    assert plan(asked, CODE)["runs_together"] == best


def test_a_wire_of_the_rig_takes_its_share_of_the_volts() -> None:
    """By hand: 12 A of a resistance at 112.2 V behind 0.35 ohm of supply and 0.3 ohm of wire."""
    load = {"name": "heater", "amps": 12.0, "rated_volts": 112.2}
    wire = {"name": "wire to the heater", "amps": 15, "ohms": 0.3, "loads": [0]}
    answer = plan({"volts": 120.0, "source_ohms": 0.35, "loads": [load], "branches": [wire]}, CODE)

    assert (answer["volts_at_rig"], answer["loads"][0]["volts"]) == pytest.approx((115.8, 112.2))
    low = plan(
        {"volts": 120.0, "source_ohms": 0.6, "loads": [load], "branches": [wire | {"ohms": 0.7}]}, CODE
    )
    assert found(low)["load-volts-low"] == "limit"
    too_low = plan(
        {"volts": 115.0, "source_ohms": 0.6, "loads": [load], "branches": [wire | {"ohms": 0.9}]}, CODE
    )
    assert found(too_low)["load-volts-too-low"] == "stop" and not too_low["loads"][0]["runs"]


def test_what_is_made_for_240_gets_too_little_on_208() -> None:
    """NEMA MG 1-12.44.1: a motor runs within 10 % of its plate, so from 216 V on at 240 V."""
    pump = heater(2000, "both", "pump", kind="motor", start_multiple=1)

    assert found(planned([pump], THREE_PHASE))["between-hots-low"] == "limit"
    assert "between-hots-low" not in found(planned([pump]))
    assert "between-hots-low" not in found(planned([pump | {"rated_volts": 208}], THREE_PHASE))


@pytest.mark.parametrize(
    ("members", "at"),
    [
        ({"legs": {"volts_y": 120.0, "volts_xy": 2.0}}, "/legs/volts_xy"),
        ({"legs": {}}, "/legs/volts_y"),
        ({"loads": [{"name": "heater", "watts": 100}]}, "/loads/0/leg"),
        ({"loads": [heater(100, "z")]}, "/loads/0/leg"),
        ({"legs": None}, "/loads/0/leg"),
        ({"branches": [{"name": "w", "amps": 20, "loads": [0, 1], "ohms": 0.1}]}, "/branches/0/loads"),
        ({"branches": [{"name": "w", "amps": 20, "loads": [0], "ohms": 21}]}, "/branches/0/ohms"),
        (
            {
                "loads": [heater(100, "x"), heater(200, "x"), heater(300, "x")],
                "branches": [
                    {"name": "v", "amps": 20, "loads": [0, 1], "ohms": 0.1},
                    {"name": "w", "amps": 20, "loads": [1, 2], "ohms": 0.1},
                ],
            },
            "/branches/1/loads",
        ),
    ],
)
def test_what_is_wrong_with_legs_and_wires_is_named(members: dict[str, Any], at: str) -> None:
    with pytest.raises(BadInput) as caught:
        plan(RIG | {"legs": OPPOSED, "loads": [heater(1000, "x"), heater(500, "y")]} | members, CODE)

    assert at in [problem.at for problem in caught.value.problems]
