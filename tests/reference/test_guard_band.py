"""Guard-band arithmetic.

Source: a handheld meter's accuracy of 1 % of reading and 3 digits of 0.1 V: common practice. Acceptance
with a guard band equal to the uncertainty: ILAC-G8:09/2019, section 4.2.2. A rectangular half-width a has
u = a / sqrt(3) and U = 2 u = 1.155 a: GUM 4.3.7. The borders 115.68 and 124.22 V solve y - U(y) = 114 and
y + U(y) = 126.
"""

from math import sqrt

import pytest

from fieldlog.engine import assess
from fieldlog.rulebook import load

EXPANDED = 2.0 / sqrt(3.0)


def voltage_finding(volts: float, scale: float = 1.0) -> tuple[str, float] | None:
    meter = {"accuracy_percent": 1.0 * scale, "accuracy_volts": 0.3 * scale}
    answer = assess({"outlet": "TT-30", "meter": meter, "volts": {"h-n": volts}}, load())
    found = [one for one in answer["findings"] if one["id"].startswith("voltage-")]
    return (found[0]["level"], found[0]["uncertainty"]) if found else None


@pytest.mark.parametrize(("volts", "half_width"), [(114.0, 1.44), (126.0, 1.56)])
def test_the_half_width_is_one_percent_and_three_digits(volts: float, half_width: float) -> None:
    found = voltage_finding(volts)

    assert found is not None
    assert found[1] == pytest.approx(half_width, abs=1e-9)


@pytest.mark.parametrize(
    ("volts", "is_guarded"), [(115.6, True), (115.7, False), (124.2, False), (124.3, True)]
)
def test_the_guarded_borders_with_expanded_uncertainty(volts: float, is_guarded: bool) -> None:
    assert (voltage_finding(volts, EXPANDED) is not None) == is_guarded


@pytest.mark.parametrize(
    ("volts", "is_guarded"), [(115.4, True), (115.5, False), (124.4, False), (124.5, True)]
)
def test_the_guarded_borders_with_the_full_accuracy(volts: float, is_guarded: bool) -> None:
    """(114 + 0.3) / 0.99 = 115.45 V and (126 - 0.3) / 1.01 = 124.46 V."""
    assert (voltage_finding(volts) is not None) == is_guarded


def test_a_reading_whose_own_band_is_better_straddles() -> None:
    answer = assess({"outlet": "TT-30", "volts": {"h-n": 104.5, "h-g": 104.5, "n-g": 0.0}}, load())
    found = next(one for one in answer["findings"] if one["id"] == "voltage-low")

    assert (found["level"], found["straddles"], found["limit"]) == ("stop", True, 104.0)


@pytest.mark.parametrize(
    ("lamps", "volts", "verdict"),
    [
        ({}, {"h-n": 120.0, "h-g": 120.0, "n-g": 0.2}, "use-limited"),
        ({"h-n": "lit", "h-g": "lit", "n-g": "dark"}, {"h-n": 120.0}, "test-more"),
    ],
)
def test_a_meter_too_coarse_says_no_more_than_lamps(
    lamps: dict[str, str], volts: dict[str, float], verdict: str
) -> None:
    """With every pair read it limits; a level by it alone beside lamps settles nothing."""
    check = {"outlet": "TT-30", "meter": {"accuracy_percent": 5.0}, "lamps": lamps, "volts": volts}
    answer = assess(check, load())

    assert "meter-too-coarse" in [one["id"] for one in answer["findings"]]
    assert answer["verdict"] == verdict
