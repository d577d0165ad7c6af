"""Supply bands against ANSI C84.1-2020 Table 1 (120 V system) and IEEE 1159-2019.

Range A service, 114 to 126 V: COMAR 20.50.07.02 prints both. Range B service, 110 to 127 V, and utilization,
108 and 104 V: from memory of Table 1. Overvoltage from 1.1 of nominal: IEEE 1159-2019 table 2.
"""

from typing import Any

import pytest

from fieldlog.engine import assess
from fieldlog.rulebook import load


def band_of(volts: float, where: str = "pedestal") -> str:
    meter = {"accuracy_percent": 0, "accuracy_volts": 0}
    check: dict[str, Any] = {"outlet": "TT-30", "where": where, "meter": meter, "volts": {"h-n": volts}}
    levels = [one["level"] for one in assess(check, load())["findings"] if one["id"].startswith("voltage-")]
    assert len(levels) <= 1
    return levels[0] if levels else "normal"


@pytest.mark.parametrize(
    ("volts", "band"),
    [
        (103.9, "stop"),  # below utilization range B
        (104.0, "limit"),  # utilization range B begins
        (109.9, "limit"),  # below service range B
        (110.0, "note"),  # service range B begins
        (113.9, "note"),  # below service range A
        (114.0, "normal"),  # service range A, -5 %
        (120.0, "normal"),
        (126.0, "normal"),  # service range A, +5 %
        (126.1, "note"),  # above service range A
        (127.0, "note"),  # service range B ends, +5.8 %
        (127.1, "limit"),  # above service range B
        (132.0, "limit"),  # 1.1 of nominal
        (132.1, "stop"),  # IEEE 1159 overvoltage
    ],
)
def test_a_pedestal_reading_lies_in_its_band(volts: float, band: str) -> None:
    assert band_of(volts) == band


@pytest.mark.parametrize(
    ("volts", "band"), [(103.9, "stop"), (104.0, "limit"), (107.9, "limit"), (108.0, "note")]
)
def test_in_the_rig_the_utilization_range_counts(volts: float, band: str) -> None:
    assert band_of(volts, where="rig") == band


@pytest.mark.parametrize(
    ("limit", "percent"),
    [
        ("high-note", 5.00),
        ("high-limit", 5.83),
        ("low-note", -5.00),
        ("low-limit", -8.33),
        ("rig-low-limit", -10.00),
    ],
)
def test_the_limits_are_the_percentages_of_the_table(limit: str, percent: float) -> None:
    assert 100.0 * (load().limits[limit].value - 120.0) / 120.0 == pytest.approx(percent, abs=0.005)
