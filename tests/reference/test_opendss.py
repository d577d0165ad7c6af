"""A two-leg supply with unequal loads and a failing neutral: OpenDSS, the engine's circuit, and by hand.

Source: circuit theory, the cases by hand in tests/authorities/open_neutral.json, each with its own. OpenDSS
is a distribution-system simulator (PyPI: OpenDSSDirect.py). Tolerance: half the last printed digit by hand,
0.1 % of the supply against OpenDSS.
"""

import json
from dataclasses import replace
from math import pi
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from fieldlog.engine.circuit import node_volts, resistor
from fieldlog.engine.wiring import Wiring, circuit
from fieldlog.engine.world import World, sampled_world
from tests.reference.opendss import LEG_X, LEG_Y, NEUTRAL, solved
from tests.world_ranges import world_ranges

BY_HAND = json.loads(
    (Path(__file__).parents[1] / "authorities/open_neutral.json").read_text(encoding="utf-8")
)
NEXT_TO_NOTHING = 1e-6


def ohms_of(watts: float) -> float:
    return 120.0**2 / watts


def a_world(neutral_ohms: float, hot_ohms: float, other_hot: complex = -120 + 0j) -> World:
    loop = neutral_ohms + hot_ohms
    return replace(
        sampled_world(1, world_ranges(), low_impedance=False, wires=4),
        volts=120.0,
        other_hot=other_hot,
        loop_ohms=loop,
        neutral_share=neutral_ohms / loop,
        neutral_lift_volts=0.0,
    )


def legs_of_engine(case: dict[str, Any]) -> tuple[float, float]:
    """Give the volts of both legs as the engine's own circuit has them, with nothing but these loads."""
    on_x, on_y = map(ohms_of, case["watts"])
    if case["neutral_ohms"] is None:
        world = replace(a_world(1.0, NEXT_TO_NOTHING), hot_neighbours_ohms=on_x, other_neighbours_ohms=on_y)
        branches = circuit(Wiring("HXNG", lost_neutral="source"), world)
    else:
        loads = [resistor("H", "N", on_x), resistor("X", "N", on_y)]
        branches = [*circuit(Wiring("HXNG"), a_world(case["neutral_ohms"], NEXT_TO_NOTHING)), *loads]
    volts = node_volts(branches)
    return abs(volts["x"] - volts["n"]), abs(volts["y"] - volts["n"])


def legs_of_opendss(case: dict[str, Any]) -> tuple[float, float]:
    on_x, on_y = case["watts"]
    volts = solved(120.0, 180.0, NEXT_TO_NOTHING, case["neutral_ohms"], watts={LEG_X: on_x, LEG_Y: on_y})
    return abs(volts[LEG_X] - volts[NEUTRAL]), abs(volts[LEG_Y] - volts[NEUTRAL])


@pytest.mark.parametrize("case", BY_HAND["cases"], ids=lambda case: case["name"])
def test_the_legs_part_as_by_hand_and_in_opendss(case: dict[str, Any]) -> None:
    ours, theirs = legs_of_engine(case), legs_of_opendss(case)

    for engine, opendss, by_hand in zip(ours, theirs, case["leg_volts"], strict=True):
        assert engine == pytest.approx(by_hand, abs=0.5 * case["volts_digit"])
        assert opendss == pytest.approx(by_hand, abs=0.5 * case["volts_digit"])
        assert engine == pytest.approx(opendss, abs=0.001 * 120)


@pytest.mark.parametrize("case", BY_HAND["cases"], ids=lambda case: case["name"])
def test_the_legs_together_are_the_whole_whatever_the_loads(case: dict[str, Any]) -> None:
    assert sum(legs_of_engine(case)) == pytest.approx(240.0, abs=0.01)


@pytest.mark.parametrize(
    "case", [one for one in BY_HAND["cases"] if one["amps"]], ids=lambda one: one["name"]
)
def test_behind_an_open_neutral_one_current_runs_through_both_loads(case: dict[str, Any]) -> None:
    amps = [volts / ohms_of(watts) for volts, watts in zip(legs_of_engine(case), case["watts"], strict=True)]

    assert amps == pytest.approx([case["amps"]] * 2, abs=0.00005)


@pytest.mark.parametrize("degrees", [180, 120])
@pytest.mark.parametrize("across", [("x", "n"), ("y", "n"), ("x", "y")])
@pytest.mark.parametrize("load_ohms", [5.0, 12.0])
def test_a_loaded_supply_has_the_volts_of_opendss(
    degrees: float, across: tuple[str, str], load_ohms: float
) -> None:
    hot_ohms, neutral_ohms = 0.21, 0.37
    world = a_world(neutral_ohms, hot_ohms, complex(120.0 * np.exp(1j * pi * degrees / 180)))
    ours = node_volts([*circuit(Wiring("HXNG"), world), resistor(*across, load_ohms)])

    nodes = {"x": LEG_X, "y": LEG_Y, "n": NEUTRAL}
    load = (nodes[across[0]], nodes[across[1]], load_ohms)
    theirs = solved(120.0, degrees, hot_ohms, neutral_ohms, [load])

    # The contacts' good joints are the engine's own: 5 milliohm each, at 24 A and more a tenth of a volt.
    joint_volts = 2 * 0.005 * 240 / load_ohms
    for one, two in (("x", "n"), ("y", "n"), ("x", "y")):
        engine = abs(ours[one] - ours[two])
        opendss = abs(theirs[nodes[one]] - theirs[nodes[two]])
        assert engine == pytest.approx(opendss, abs=0.001 * 120 + joint_volts)
