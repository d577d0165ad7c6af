"""Wire, cord, breaker and receptacle.

Sources: NEC 240.4(D), Table 310.16 (310.15(B)(16) from 2011 to 2017), 110.14(C), Table 400.5(A)(1), 210.21(B)
and Chapter 9 Table 8. Confirmed on public pages that quote them: 14 to 10 AWG in 240.4(D), 14 to 4 AWG in
310.16, column B of 400.5 from 18 to 12 AWG, and Table 8 from 14 to 4 AWG. The rest is from memory, as is ASTM
B258, which gives the diameter of a gauge.
"""

from math import pi
from typing import Any

import pytest

from fieldlog.engine.protection import answer
from fieldlog.tables import load

AMPACITIES = {
    14: (15, 20, 25),
    12: (20, 25, 30),
    10: (30, 35, 40),
    8: (40, 50, 55),
    6: (55, 65, 75),
    4: (70, 85, 95),
}
LARGEST = {18: 7, 16: 10, 14: 15, 12: 20, 10: 30}
CORDS = {
    18: (7, 10),
    17: (9, 12),
    16: (10, 13),
    14: (15, 18),
    12: (20, 25),
    10: (25, 30),
    8: (35, 40),
    6: (45, 55),
}
TABLE_8 = {
    18: (7.77, 7.95),
    16: (4.89, 4.99),
    14: (3.07, 3.14),
    12: (1.93, 1.98),
    10: (1.21, 1.24),
    8: (0.764, 0.778),
}


def findings(awg: int, amps: float, end: str = "junction") -> list[str]:
    parts = [{"id": "b", "kind": "breaker", "amps": amps}, {"id": "e", "kind": end}]
    found: Any = answer({"parts": parts, "runs": [{"from": "b", "to": "e", "awg": awg}]}, load())
    return [one["id"] for one in found["findings"] if one["id"].startswith(("breaker-", "cord-"))]


@pytest.mark.parametrize(("awg", "amps"), LARGEST.items())
def test_the_largest_breaker_before_a_small_wire(awg: int, amps: float) -> None:
    """NEC 240.4(D)."""
    assert findings(awg, amps) == []
    assert findings(awg, amps + 1) == ["breaker-too-big-for-wire"]


def test_20_a_before_14_awg_is_too_much_although_its_75_degree_column_says_20() -> None:
    """NEC 240.4(D) against Table 310.16."""
    assert load().value("ampacity-75-14") == 20
    assert findings(14, 20) == ["breaker-too-big-for-wire"]


@pytest.mark.parametrize(("awg", "row"), AMPACITIES.items())
def test_the_rows_of_table_310_16(awg: int, row: tuple[float, float, float]) -> None:
    """NEC Table 310.16."""
    assert tuple(load().value(f"ampacity-{column}-{awg}") for column in (60, 75, 90)) == row


@pytest.mark.parametrize(
    ("awg", "amps", "wanted"),
    [
        (8, 40, []),
        (8, 50, ["breaker-needs-75-degrees"]),
        (8, 60, ["breaker-above-ampacity"]),
        (6, 60, []),  # 55 A is no standard size; 240.4(B) allows the next, 60 A
        (6, 70, ["breaker-needs-75-degrees"]),
        (6, 80, ["breaker-above-ampacity"]),
    ],
)
def test_a_thick_wire_by_its_terminals(awg: int, amps: float, wanted: list[str]) -> None:
    """NEC 110.14(C) and 240.4(B), from memory, with Table 310.16."""
    assert findings(awg, amps) == wanted


@pytest.mark.parametrize(("awg", "row"), CORDS.items())
def test_the_rows_of_table_400_5(awg: int, row: tuple[float, float]) -> None:
    """NEC Table 400.5(A)(1), columns A and B."""
    assert tuple(load().value(f"cord-{wires}-{awg}") for wires in ("three", "two")) == row


@pytest.mark.parametrize(("awg", "amps", "wanted"), [(10, 30, []), (12, 25, []), (12, 30, ["cord-too-thin"])])
def test_a_cord_of_10_awg_fits_30_a_and_one_of_12_awg_does_not(
    awg: int, amps: float, wanted: list[str]
) -> None:
    """NEC Table 400.5(A)(1), column B."""
    assert findings(awg, amps, end="inlet") == wanted


@pytest.mark.parametrize(
    ("circuit", "rating", "fits"),
    [
        (15, 15, True),
        (15, 20, False),
        (20, 15, True),
        (20, 20, True),
        (30, 30, True),
        (30, 20, False),
        (40, 40, True),
        (40, 50, True),
        (50, 50, True),
        (50, 40, False),
    ],
)
def test_receptacles_on_a_circuit_with_others(circuit: float, rating: float, fits: bool) -> None:
    """NEC Table 210.21(B)(3), from memory but for the rows of 20 and 40 A."""
    parts = [{"id": "b", "kind": "breaker", "amps": circuit}]
    parts += [{"id": one, "kind": "receptacle", "amps": rating} for one in ("r1", "r2")]
    found: Any = answer({"parts": parts, "runs": [{"from": "b", "to": one} for one in ("r1", "r2")]}, load())

    told = [one["part"] for one in found["findings"] if one["id"] == "receptacle-not-for-circuit"]
    assert told == ([] if fits else ["r1", "r2"])


def test_a_receptacle_alone_takes_at_least_what_its_circuit_does() -> None:
    """NEC 210.21(B)(1), from memory."""
    parts = [{"id": "b", "kind": "breaker", "amps": 20}, {"id": "r", "kind": "receptacle", "amps": 15}]
    found: Any = answer({"parts": parts, "runs": [{"from": "b", "to": "r"}]}, load())

    assert "receptacle-below-circuit" in [one["id"] for one in found["findings"]]


@pytest.mark.parametrize(("awg", "row"), TABLE_8.items())
def test_the_rows_of_table_8(awg: int, row: tuple[float, float]) -> None:
    """NEC Chapter 9 Table 8, uncoated copper at 75 °C."""
    assert tuple(load().value(f"ohms-{made}-{awg}") for made in ("solid", "stranded")) == row


@pytest.mark.parametrize(("awg", "half_a_digit"), [(14, 0.005), (12, 0.005), (10, 0.005), (8, 0.0005)])
def test_table_8_is_the_resistance_of_copper_at_75_degrees(awg: int, half_a_digit: float) -> None:
    """ASTM B258 diameter, 0.017241 ohm mm²/m and 0.00393 /°C at 20 °C (IEC 60028), to the table's digits."""
    diameter_mm = 0.127 * 92 ** ((36 - awg) / 39)
    ohms = 0.017241 / (pi / 4 * diameter_mm**2) * 304.8 * (1 + 0.00393 * 55)

    assert load().value(f"ohms-solid-{awg}") == pytest.approx(ohms, abs=half_a_digit)


@pytest.mark.parametrize("awg", [14, 12, 10, 8])
def test_stranded_wire_has_two_percent_more_than_solid(awg: int) -> None:
    """NEC Chapter 9 Table 8: stranding adds 2 %, within the table's digits."""
    solid, stranded = (load().entries[f"ohms-{made}-{awg}"].value for made in ("solid", "stranded"))

    assert stranded / solid == pytest.approx(1.02, abs=0.006)
