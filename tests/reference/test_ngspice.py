"""Node voltages of every named wiring against ngspice, a general-purpose circuit simulator (apt: ngspice).

Tolerance: 0.1 % of the supply.
"""

import re
import shutil
import subprocess
from collections.abc import Sequence
from pathlib import Path

import pytest

from fieldlog.engine.circuit import EARTH, Branch, node_volts, resistor
from fieldlog.engine.instruments import ends_of
from fieldlog.engine.wiring import NAMED, Wiring, circuit
from fieldlog.engine.world import Ranges, World, sampled_world
from tests.world_ranges import world_ranges

OMEGA = 2.0 * 3.141592653589793 * 60.0


def spice_name(node: str) -> str:
    """Name a node for a program that does not tell capitals from small letters."""
    if node == EARTH:
        return "0"
    return f"wire_{node.lower()}" if node.isupper() else node


def netlist(branches: Sequence[Branch], nodes: Sequence[str]) -> str:
    """Write a circuit as a SPICE deck that prints the real and imaginary parts of each node at 60 Hz."""
    lines = ["outlet"]
    for number, branch in enumerate(branches):
        start, end = spice_name(branch.start), spice_name(branch.end)
        if branch.siemens.real:
            lines.append(f"R{number} {start} {end} {1.0 / branch.siemens.real!r}")
        if branch.siemens.imag:
            lines.append(f"C{number} {start} {end} {branch.siemens.imag / OMEGA!r}")
        for part, phase in ((branch.amps.real, 0), (branch.amps.imag, 90)):
            if part:
                lines.append(f"I{number}p{phase} {start} {end} DC 0 AC {part!r} {phase}")
    names = [spice_name(node) for node in nodes]
    lines += [f"Rleak_{name} {name} 0 1e12" for name in names]
    probes = " ".join(f"vr({name}) vi({name})" for name in names)
    return "\n".join([*lines, ".ac lin 1 60 60", f".print ac {probes}", ".options numdgt=9", ".end", ""])


def ngspice_volts(branches: Sequence[Branch], nodes: Sequence[str], folder: Path) -> dict[str, complex]:
    program = shutil.which("ngspice")
    assert program, "ngspice is missing; as root: apt-get install ngspice"
    deck = folder / "outlet.cir"
    deck.write_text(netlist(branches, nodes), encoding="ascii")
    done = subprocess.run([program, "-b", str(deck)], capture_output=True, text=True, check=True)
    found: dict[str, float] = {}
    names: list[str] = []
    for line in done.stdout.splitlines():
        if line.startswith("Index"):
            names = line.split()[2:]
        elif names and re.match(r"0\s", line):
            found.update(zip(names, map(float, line.replace(",", " ").split()[2:]), strict=True))
    assert len(found) == 2 * len(nodes), done.stdout + done.stderr
    return {
        node: complex(found[f"vr({spice_name(node)})"], found[f"vi({spice_name(node)})"]) for node in nodes
    }


def measured(wiring: Wiring, world: World, pair: str) -> list[Branch]:
    return [*circuit(wiring, world), resistor(*ends_of(pair), world.meter_ohms)]


@pytest.fixture(scope="module")
def ranges() -> Ranges:
    return world_ranges()


@pytest.mark.parametrize("wiring", NAMED, ids=lambda wiring: wiring.name)
@pytest.mark.parametrize(("pair", "low_impedance"), [("h-g", False), ("n-g", True)])
def test_every_named_wiring_has_the_node_volts_of_ngspice(
    wiring: Wiring, pair: str, low_impedance: bool, ranges: Ranges, tmp_path: Path
) -> None:
    world = sampled_world(7 + NAMED.index(wiring), ranges, low_impedance)
    branches = measured(wiring, world, pair)
    ours = node_volts(branches)
    nodes = [name for name in ours if name != EARTH]

    theirs = ngspice_volts(branches, nodes, tmp_path)

    for node in nodes:
        assert abs(ours[node] - theirs[node]) <= 0.001 * world.volts, node
