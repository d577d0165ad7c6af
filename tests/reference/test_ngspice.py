"""Node voltages of every known wiring against ngspice, a general-purpose circuit simulator (apt: ngspice).

Both families, every variant, with a meter of either kind, all lamps at once, or a load. Tolerance: 0.1 % of
the supply.
"""

import re
import shutil
import subprocess
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import pytest

from fieldlog.engine.circuit import EARTH, Branch, node_volts, resistor
from fieldlog.engine.families import FAMILIES, Family
from fieldlog.engine.instruments import ends_of
from fieldlog.engine.wiring import Wiring, circuit
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


@dataclass(frozen=True)
class Setting:
    """A wiring with something joined to its contacts."""

    name: str
    family: Family
    wiring: Wiring
    joined: str

    def branches(self, world: World) -> list[Branch]:
        """Give the whole circuit."""
        return [*circuit(self.wiring, world), *self._instrument(world)]

    def _instrument(self, world: World) -> list[Branch]:
        if self.joined == "lamps":
            return [resistor(*ends_of(pair), world.lamp_ohms) for pair in self.family.lamp_pairs]
        if self.joined == "load":
            return [resistor(*ends_of(self.family.acrosses[-1]), 9.6)]
        return [resistor(*ends_of(self.joined.split()[-1]), world.meter_ohms)]


def settings() -> Iterator[Setting]:
    """Go through every variant of every known wiring, each with two of the things that are joined to it."""
    joined = ["meter h-g", "low-meter n-g", "lamps", "load", "meter n-e"]
    for family in FAMILIES.values():
        for number, (explanation, wiring) in enumerate(_variants(family)):
            for place in (number, number + 2):
                what = joined[place % len(joined)]
                if "y" in family.contacts:
                    what = what.replace("h-g", "y-n").replace("n-g", "x-g")
                label = "-".join([explanation, wiring.joins, what]).replace(" ", "-")
                yield Setting(label, family, wiring, what)


def _variants(family: Family) -> list[tuple[str, Wiring]]:
    every = [*family.named, *family.known_unnamed]
    return [(named.id, wiring) for named in every for wiring in named.variants]


SETTINGS = list(settings())


@pytest.fixture(scope="module")
def ranges() -> Ranges:
    return world_ranges()


def test_there_are_sixty_circuits_of_all_kinds() -> None:
    assert len(SETTINGS) >= 60
    for family in FAMILIES.values():
        kinds = {one.joined.split()[0] for one in SETTINGS if one.family is family}
        assert kinds == {"meter", "low-meter", "lamps", "load"}


@pytest.mark.parametrize("setting", SETTINGS, ids=lambda setting: setting.name)
def test_a_circuit_has_the_node_volts_of_ngspice(setting: Setting, ranges: Ranges, tmp_path: Path) -> None:
    is_low = setting.joined.startswith("low-meter")
    wires = len(setting.family.contacts)
    world = sampled_world(7 + SETTINGS.index(setting), ranges, is_low, wires)
    branches = setting.branches(world)
    ours = node_volts(branches)
    nodes = [name for name in ours if name != EARTH]

    theirs = ngspice_volts(branches, nodes, tmp_path)

    for node in nodes:
        assert abs(ours[node] - theirs[node]) <= 0.001 * world.volts, node
