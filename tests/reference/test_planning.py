"""Volts, starts and hours of a plan against worked examples and against ngspice."""

import re
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

from fieldlog import tables
from fieldlog.engine.planning import plan

CODE = tables.load()
NO_LOSS = {"volts": 120.0, "source_ohms": 0.0}


def drawing(amps: float, volts: float = 120.0, **members: Any) -> dict[str, Any]:
    """A load that draws a current at about these volts."""
    return {"name": "load", "amps": amps, "rated_volts": volts, **members}


def drop_volts(amps: float, awg: int, feet: float) -> float:
    """The volts that a cord takes while a load draws these amps."""
    cord = {"awg": awg, "feet": feet, "contacts_ohms": 0.0}
    answer = plan(NO_LOSS | {"cords": [cord], "loads": [drawing(amps)]}, CODE)
    return float((120.0 - answer["volts_at_rig"]) / answer["amps"] * amps)


@pytest.mark.parametrize(
    ("amps", "awg", "feet", "volts"),
    [
        # 2 · L · ohms per 1000 ft · I, by hand with NEC Chapter 9 Table 8, stranded copper at 75 °C.
        (4, 16, 100, 3.992),  # a published worked example, printed 4.0
        (30, 10, 25, 1.86),
        (30, 10, 50, 3.72),
        (30, 10, 100, 7.44),
        (12, 14, 25, 1.88),
        (12, 14, 50, 3.77),
        (12, 14, 100, 7.54),
        (12, 16, 25, 2.99),
        (12, 16, 50, 5.99),
        (50, 6, 50, 2.46),  # one leg of 50 A, the neutral carries it back
    ],
)
def test_the_drop_of_a_cord(amps: float, awg: int, feet: float, volts: float) -> None:
    assert drop_volts(amps, awg, feet) == pytest.approx(volts, abs=0.006)


@pytest.mark.parametrize(("awg", "cmil", "volts"), [(12, 6530, 7.90), (8, 16510, 3.13)])
def test_the_drop_by_the_handbook_constant(awg: int, cmil: int, volts: float) -> None:
    """Examination practice: 12.9 ohm circular mils a foot, 20 A, 100 ft; within 1 % of the table."""
    assert 2 * 12.9 * 20 * 100 / cmil == pytest.approx(volts, abs=0.005)
    assert drop_volts(20, awg, 100) == pytest.approx(volts, rel=0.01)


@pytest.mark.parametrize(("amps", "volts"), [(24, 108.4), (26, 107.9)])
def test_the_chain_of_pedestal_and_cord(amps: float, volts: float) -> None:
    """115 V behind 0.15 ohm and 50 ft of 10 AWG, by hand: 115 - I (0.15 + 0.124)."""
    cord = {"awg": 10, "feet": 50, "contacts_ohms": 0.0}
    asked = {
        "volts": 115.0,
        "source_ohms": 0.15,
        "cords": [cord],
        "loads": [drawing(amps, 115 - amps * 0.274)],
    }

    answer = plan(asked, CODE)

    assert answer["volts_at_rig"] == pytest.approx(volts, abs=0.05)
    assert answer["amps"] == pytest.approx(amps)
    # ANSI C84.1-2020 Table 1: utilization range A ends at 108 V.
    assert ("rig-volts-low" in [each["id"] for each in answer["findings"]]) is (volts < 108)


def test_the_start_of_a_compressor() -> None:
    """60 A behind 0.36 ohm take 21.6 V of 122, by hand; torque falls with the square (NEMA MG 1-12.44.2)."""
    compressor = {"name": "compressor", "amps": 10.0, "kind": "motor", "start_multiple": 6}
    answer = plan({"volts": 122.0, "source_ohms": 0.36, "loads": [compressor]}, CODE)

    start = answer["loads"][0]["start_volts"]
    assert start == pytest.approx(100.4)
    assert (start / 115) ** 2 == pytest.approx(0.76, abs=0.005)


@pytest.mark.parametrize(
    ("watt_hours", "usable", "efficiency", "watts", "hours"),
    [
        (1200, 0.8, 0.9, 100, 8.64),  # a published worked example: 864 Wh
        (480, 1.0, 1.0, 180, 2.667),  # a published worked example: 40 Ah at 12 V, nothing lost
        (480, 0.6, 1.0, 180, 1.600),  # and at 60 %
        (1200, 0.5, 0.9, 300, 1.80),  # 100 Ah at 12 V, lead-acid to half, by hand
        (1280, 0.9, 0.88, 600, 1.690),  # 100 Ah at 12.8 V, lithium iron phosphate, by hand
    ],
)
def test_hours_on_a_battery(
    watt_hours: float, usable: float, efficiency: float, watts: float, hours: float
) -> None:
    battery = {"watt_hours": watt_hours, "usable": usable, "efficiency": efficiency}
    battery |= {"idle_watts": 0.0, "inverter_watts": 1000}
    answer = plan({"battery": battery, "loads": [{"name": "load", "watts": watts}]}, CODE)

    assert answer["runtime_hours"] == pytest.approx(hours, abs=0.0005)


def test_what_runs_for_hours_takes_four_fifths_of_a_rating() -> None:
    """NEC 210.20(A): 24 A for three hours or more need 30 A; 24.1 A do not fit."""

    def fits(amps: float) -> bool:
        load = drawing(amps, continuous=True)
        return bool(plan(NO_LOSS | {"breaker_amps": 30, "loads": [load]}, CODE)["fits"])

    assert fits(24) and not fits(24.1)


@pytest.mark.parametrize(("awg", "amps"), [(10, 30), (12, 25), (14, 18), (16, 13), (18, 10)])
def test_a_cord_carries_what_column_b_says(awg: int, amps: float) -> None:
    """NEC Table 400.5(A)(1), column B: two wires carry current."""
    answer = plan(NO_LOSS | {"cords": [{"awg": awg, "feet": 1}], "breaker_amps": 50, "loads": []}, CODE)

    assert (answer["limit_amps"], answer["limited_by"]) == (amps, "cord")


CHAINS = [
    (122.0, 0.36, [(10, 50)], [1500], [300]),
    (118.0, 0.15, [(10, 25), (12, 50)], [1000, 60], [1300]),
    (115.0, 0.50, [(14, 100)], [], [1200]),
    (121.0, 0.05, [(6, 50)], [1500, 1500], [900, 60]),
    (110.0, 0.80, [(16, 25)], [700], [150]),
    (124.5, 0.25, [(8, 30), (10, 50)], [1500], [1400]),
    (120.0, 1.20, [], [500], [500]),
    (116.0, 0.40, [(12, 100)], [1200], [45, 45]),
    (119.0, 0.10, [(18, 10)], [200], [100]),
    (123.0, 0.30, [(10, 100), (10, 25)], [1000], [1800]),
]


@pytest.mark.parametrize(("volts", "ohms", "cords", "heat", "steady"), CHAINS)
def test_ngspice_finds_the_same_volts(
    volts: float,
    ohms: float,
    cords: list[tuple[int, float]],
    heat: list[float],
    steady: list[float],
    tmp_path: Path,
) -> None:
    """Chains with mixed loads, to 0.1 %; ngspice iterates the loads of constant power (apt: ngspice)."""
    loads = [{"name": "heat", "watts": watts} for watts in heat]
    loads += [{"name": "steady", "watts": watts, "kind": "electronic"} for watts in steady]
    asked = {"volts": volts, "source_ohms": ohms, "loads": loads}
    asked["cords"] = [{"awg": awg, "feet": feet, "contacts_ohms": 0.01} for awg, feet in cords]

    seen = volts_of_ngspice(volts, ohms, cords, heat, steady, tmp_path)

    assert plan(asked, CODE)["volts_at_rig"] == pytest.approx(seen, rel=0.001)


OHMS_PER_THOUSAND_FEET = {18: 7.95, 16: 4.99, 14: 3.14, 12: 1.98, 10: 1.24, 8: 0.778, 6: 0.491}
"""NEC Chapter 9 Table 8, stranded uncoated copper at 75 °C."""


def volts_of_ngspice(
    volts: float,
    ohms: float,
    cords: list[tuple[int, float]],
    heat: list[float],
    steady: list[float],
    folder: Path,
) -> float:
    program = shutil.which("ngspice")
    assert program, "ngspice is missing; as root: apt-get install ngspice"
    lines = ["chain", f"V1 n0 0 DC {volts}", f"Rsource n0 n1 {ohms}"]
    for place, (awg, feet) in enumerate(cords, start=1):
        each = OHMS_PER_THOUSAND_FEET[awg] * feet / 1000
        lines += [
            f"Rhot{place} n{place} m{place} {each + 0.01}",
            f"Rback{place} m{place} n{place + 1} {each + 0.01}",
        ]
    rig = f"n{len(cords) + 1}"
    lines += [f"Rheat{place} {rig} 0 {120 * 120 / watts}" for place, watts in enumerate(heat)]
    lines += [f"Bsteady{place} {rig} 0 I={watts}/V({rig})" for place, watts in enumerate(steady)]
    deck = folder / "chain.cir"
    # From the open volts on, so that it finds the point at which the loads run.
    lines += [f".nodeset V({rig})={volts}", ".op", f".print op V({rig})", ".options numdgt=9", ".end", ""]
    deck.write_text("\n".join(lines), encoding="ascii")
    done = subprocess.run([program, "-b", str(deck)], capture_output=True, text=True, check=True)
    [seen] = re.findall(rf"^\s*{rig}\s+([0-9.e+-]+)\s*$", done.stdout, re.MULTILINE)[:1]
    return float(seen)
