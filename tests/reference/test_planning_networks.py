"""Wires inside the rig and supplies with two hots, against scipy's root finder and ngspice (apt: ngspice)."""

import json
import re
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

from fieldlog import tables
from fieldlog.engine.planning import plan

CODE = tables.load()
BY_SCIPY = json.loads(
    (Path(__file__).parents[1] / "authorities/constant_power.json").read_text(encoding="utf-8")
)
BETWEEN = {240: None, 208: 208.0}


def asked_of(case: dict[str, Any]) -> dict[str, Any]:
    """Give a circuit as `fieldlog plan` takes it; a wire holds its own loads and those of wires behind it."""
    legs = case.get("legs")
    told: dict[str, Any] = {
        "volts": case["volts"],
        "source_ohms": case["hot_ohms"] + case["neutral_ohms"],
        "loads": [
            {"name": f"{place}", "watts": load["watts"], "kind": load["kind"]}
            | ({"leg": load["leg"]} if legs else {})
            for place, load in enumerate(case["loads"])
        ],
        "branches": [
            {"name": wire["id"], "amps": 100, "ohms": wire["ohms"], "loads": places_behind(wire["id"], case)}
            for wire in case["wires"]
        ],
    }
    if legs:
        told["legs"] = {"volts_y": legs["volts_y"], "volts_xy": BETWEEN[legs["system"]]}
    return told


def places_behind(wire: str, case: dict[str, Any]) -> list[int]:
    behind = {wire} | {each["id"] for each in case["wires"] if each["parent"] == wire}
    return [place for place, load in enumerate(case["loads"]) if load["wire"] in behind]


@pytest.mark.parametrize("case", BY_SCIPY["cases"], ids=lambda case: case["about"])
def test_the_root_finder_of_scipy_finds_the_same_volts(case: dict[str, Any]) -> None:
    """Node equations of each conductor by scipy.optimize.root; the file says which version, and how."""
    answer, found = plan(asked_of(case), CODE), case["found"]

    if case["wires"] or "legs" in case:
        assert [load["volts"] for load in answer["loads"]] == pytest.approx(found["loads"], rel=1e-7)
    if "legs" in case:
        legs = answer["legs"]
        assert [legs[leg]["volts_at_rig"] for leg in "xy"] == pytest.approx(
            [found["x"], found["y"]], rel=1e-7
        )
        assert answer["neutral_amps"] == pytest.approx(found["neutral_amps"], abs=1e-6)
    else:
        assert answer["volts_at_rig"] == pytest.approx(found["x"], rel=1e-7)


def wire(name: str, ohms: float, parent: str | None = None, leg: str = "x") -> dict[str, Any]:
    return {"id": name, "ohms": ohms, "parent": parent, "leg": leg}


def heat(watts: float, wire: str | None = None, leg: str = "x") -> dict[str, Any]:
    return {"watts": watts, "kind": "resistive", "wire": wire, "leg": leg}


def steady(watts: float, wire: str | None = None, leg: str = "x") -> dict[str, Any]:
    return {"watts": watts, "kind": "electronic", "wire": wire, "leg": leg}


def chain(volts: float, ohms: float, wires: Any, loads: Any, y: float | None = None) -> dict[str, Any]:
    case = {"volts": volts, "hot_ohms": ohms / 2, "neutral_ohms": ohms / 2, "wires": wires, "loads": loads}
    return case if y is None else case | {"legs": {"volts_y": y, "system": 240}}


GALLEY, STRIP, BUNK = wire("galley", 0.157), wire("strip", 0.25, "galley"), wire("bunk", 0.4)
TEN = [
    chain(120, 0.4, [GALLEY], [heat(1500, "galley"), steady(300)]),
    chain(121, 0.3, [GALLEY, BUNK], [heat(1000, "galley"), steady(700, "bunk"), heat(60, "bunk")]),
    chain(118, 0.5, [GALLEY, STRIP], [steady(900, "strip"), heat(700, "galley")]),
    chain(
        122,
        0.2,
        [GALLEY, STRIP, BUNK],
        [steady(400, "strip"), heat(400, "strip"), steady(1200, "bunk"), heat(900)],
    ),
    chain(116, 0.35, [BUNK], [steady(150, "bunk"), steady(150, "bunk"), heat(1300)]),
    chain(119, 0.9, [GALLEY, BUNK], [heat(500, "galley"), steady(500, "bunk")]),
    chain(124, 0.1, [wire("a", 1.1), wire("b", 0.05)], [steady(600, "a"), heat(1500, "b"), steady(60, "b")]),
    chain(120, 0.3, [wire("y", 0.3, None, "y")], [heat(1500), steady(700, "y", "y")], y=119),
    chain(
        121,
        0.24,
        [GALLEY, wire("range", 0.1, None, "both")],
        [steady(1200, "galley"), heat(3500, "range", "both"), heat(800, None, "y"), steady(300, None, "y")],
        y=120.5,
    ),
    chain(117, 0.5, [], [heat(1800), steady(100, None, "y"), steady(900, None, "both")], y=118),
]


@pytest.mark.parametrize("number", range(10))
def test_ngspice_finds_the_same_volts_on_every_branch(number: int, tmp_path: Path) -> None:
    """To 0.1 %; ngspice iterates the loads of constant power."""
    case = TEN[number]
    answer = plan(asked_of(case), CODE)

    seen = volts_of_ngspice(case, tmp_path)

    told = [answer["loads"][place].get("volts", answer["volts_at_rig"]) for place in range(len(seen))]
    assert told == pytest.approx(seen, rel=0.001)


def ends(of: dict[str, Any]) -> tuple[str, str]:
    """Give the conductors between which something hangs."""
    if of["wire"]:
        return f"{of['wire']}_a", f"{of['wire']}_b"
    return {"x": ("x", "n"), "y": ("y", "n"), "both": ("x", "y")}[of["leg"]]


def volts_of_ngspice(case: dict[str, Any], folder: Path) -> list[float]:
    """Give the volts at each load; direct current does, since all is in phase or opposed."""
    program = shutil.which("ngspice")
    assert program, "ngspice is missing; as root: apt-get install ngspice"
    y = -case["legs"]["volts_y"] if "legs" in case else 0.0
    lines = ["rig", f"Vx sx 0 DC {case['volts']}", f"Vy sy 0 DC {y}"]
    lines += [f"Rx sx x {case['hot_ohms']}", f"Ry sy y {case['hot_ohms']}", f"Rn 0 n {case['neutral_ohms']}"]
    opened = {"x": case["volts"], "y": y, "n": 0.0}
    for each in case["wires"]:
        above = ends({"wire": each["parent"], "leg": each["leg"]})
        for start, end in zip(above, ends({"wire": each["id"], "leg": ""}), strict=True):
            lines.append(f"R{end} {start} {end} {each['ohms'] / 2}")
            opened[end] = opened[start]
    for place, load in enumerate(case["loads"]):
        a, b = ends(load)
        rated = 240 if load["leg"] == "both" else 120
        across = f"(V({a})-V({b}))"
        lines.append(
            f"R{place} {a} {b} {rated * rated / load['watts']}"
            if load["kind"] == "resistive"
            else f"B{place} {a} {b} I={load['watts']}/{across}"
        )
        # Numbers of its own for what is asked: the volts across each load.
        lines.append(f"Eout{place} out{place} 0 {a} {b} 1")
    lines += [f".nodeset V({node})={volts}" for node, volts in opened.items()]
    outs = " ".join(f"V(out{place})" for place in range(len(case["loads"])))
    lines += [".op", f".print op {outs}", ".options numdgt=9", ".end", ""]
    deck = folder / "rig.cir"
    deck.write_text("\n".join(lines), encoding="ascii")
    done = subprocess.run([program, "-b", str(deck)], capture_output=True, text=True, check=True)
    found = dict(re.findall(r"^\s*out(\d+)\s+(-?[0-9.e+-]+)\s*$", done.stdout, re.MULTILINE))
    assert len(found) >= len(case["loads"]), done.stdout + done.stderr
    return [abs(float(found[f"{place}"])) for place in range(len(case["loads"]))]
