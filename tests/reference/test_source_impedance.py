"""Source impedance from a reading with and without a load.

Source: Rs = (V0 - V1) / I, textbook law; the three examples and their split redone by hand. The rise of
neutral against ground is the current times the neutral's ohms, ground carrying none. Two readings of one
meter share its gain error, so that on their difference only digits and gain times the difference count;
independent errors would count in full: GUM 5.2 (correlated input quantities). 5 % of 120 V is 6 V: NEC
210.19 informational note.
"""

from typing import Any

import pytest

from fieldlog.engine import assess
from fieldlog.rulebook import load

EXAMPLES = [
    # volts without load, with load, amps, ohms, amps into a short, percent
    ("SI1", 122.0, 117.5, 12.5, 0.360, 339, 3.7),
    ("SI2", 121.0, 118.0, 12.0, 0.250, 484, 2.5),
    ("SI3", 120.8, 115.4, 30.0, 0.180, 671, 4.5),
]


def judged(before: float, after: float, amps: float, **more: Any) -> dict[str, Any]:
    """Read a TT-30 whose neutral holds four ninths of the loop, SI1's split, unless `rise` says otherwise."""
    rise = more.pop("rise", (before - after) * 4 / 9)
    check = {
        "outlet": "TT-30",
        "look": [],
        "meter": {"accuracy_percent": 1.0, "accuracy_volts": 0.3},
        "volts": {"h-n": before, "h-g": before, "n-g": 0.0},
        "loaded": {
            "across": "h-n",
            "amps": amps,
            "volts": {"h-n": after, "h-g": after + rise, "n-g": rise},
        },
    }
    return assess(check | more, load())


@pytest.mark.parametrize(("name", "before", "after", "amps", "ohms", "short", "percent"), EXAMPLES)
def test_the_ohms_of_the_examples(
    name: str, before: float, after: float, amps: float, ohms: float, short: float, percent: float
) -> None:
    supply = judged(before, after, amps)["supply"]

    assert supply["across"] == "h-n", name
    assert supply["volts"] == before
    assert supply["ohms"] == pytest.approx(ohms, abs=0.0005)
    assert supply["volts"] / supply["ohms"] == pytest.approx(short, abs=0.5)
    assert 100 * (before - after) / before == pytest.approx(percent, abs=0.05)


def test_the_split_of_the_first_example() -> None:
    supply = judged(122.0, 117.5, 12.5, rise=2.0)["supply"]

    assert supply["neutral_ohms"] == pytest.approx(0.16, abs=0.005)
    assert supply["hot_ohms"] == pytest.approx(0.20, abs=0.005)


def test_both_bounds_of_the_first_example() -> None:
    """By hand: (0.6 + 0.01 * 4.5) / 12.5 + 5 % of 0.36, and (0.6 + 0.01 * 239.5) / 12.5 + 5 % of 0.36."""
    supply = judged(122.0, 117.5, 12.5)["supply"]

    assert supply["ohms_uncertainty"] == pytest.approx(0.0516 + 0.018, abs=0.00005)
    assert supply["ohms_bound"] == pytest.approx(0.2396 + 0.018, abs=0.00005)


def test_a_load_below_one_ampere_tells_nothing_of_the_loop() -> None:
    answer = judged(122.0, 121.8, 0.9)

    assert answer["supply"] is None
    assert "load-not-compared" in [one["id"] for one in answer["findings"]]


def loop_drop(ohms: float) -> str:
    answer = judged(125.0, 125.0 - 10.0 * ohms, 10.0)
    levels = [one["level"] for one in answer["findings"] if one["id"] == "loop-drop"]
    return levels[0] if levels else "none"


@pytest.mark.parametrize(
    ("ohms", "level"),
    [
        (0.24, "none"),  # 24 A times 0.24 ohm: 5.76 V
        (0.26, "note"),  # 6.24 V, above 5 % of 120 V
        (0.49, "note"),  # 11.76 V
        (0.51, "limit"),  # 12.24 V
        (0.99, "limit"),  # 23.76 V
        (1.01, "stop"),  # 24.24 V
    ],
)
def test_the_drop_at_four_fifths_of_the_rating_is_judged(ohms: float, level: str) -> None:
    assert loop_drop(ohms) == level


@pytest.mark.parametrize(("rise", "joint"), [(1.0, "hot"), (8.0, "neutral"), (4.5, None)])
def test_a_large_asymmetry_points_to_one_conductor(rise: float, joint: str | None) -> None:
    """9 V under 12 A: 0.75 ohm; eight ninths of it in one conductor is 0.67 ohm, half of it 0.375 ohm."""
    answer = judged(122.0, 113.0, 12.0, rise=rise)
    found = [one for one in answer["findings"] if one["id"].startswith("loose-joint-")]

    assert [one["id"] for one in found] == ([f"loose-joint-{joint}"] if joint else [])
    if joint:
        assert answer["faults"][0]["id"] == f"high-resistance-{joint}"
        # 24 A, four fifths of 30 A, squared times 0.667 ohm.
        assert found[0]["value"] == pytest.approx(24**2 * 8 / 12, abs=0.5)
