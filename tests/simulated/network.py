"""The circuit of a site, solved by modified nodal analysis with ideal sources."""

from collections.abc import Sequence
from itertools import combinations

import numpy as np
import numpy.typing as npt

from tests.simulated.sites import GOOD_JOINT_OHMS, Site

OMEGA = 2 * np.pi * 60
BOLTED_SIEMENS = 1e6
LEAST_SIEMENS = 1e-13
EARTH = "0"

Part = tuple[str, str, complex]
Source = tuple[str, str, complex]


class Network:
    """A site's circuit, ready for instruments and loads to be joined between its contacts.

    Nodes: star (the source's neutral point), s and t (its live ends), H X N G (wires at the outlet), C and D
    (dead legs), the contacts by their letters, e (a stake in the soil), 0 (earth).
    """

    def __init__(self, site: Site, *, is_unplugged: bool = False) -> None:
        parts = [*_upstream(site), *_outlet(site, is_unplugged)]
        sources = _sources(site)
        self._names = sorted({name for part in [*parts, *sources] for name in part[:2]} - {EARTH})
        self._where = {name: place for place, name in enumerate(self._names)}
        size = len(self._names) + len(sources)
        self._matrix = np.zeros((size, size), dtype=complex)
        self._right = np.zeros(size, dtype=complex)
        for place in range(len(self._names)):
            self._matrix[place, place] = LEAST_SIEMENS
        for part in parts:
            self._stamp(self._matrix, part)
        for row, (start, end, volts) in enumerate(sources, start=len(self._names)):
            self._matrix[row, self._where[end]] = self._matrix[self._where[end], row] = 1
            if start != EARTH:
                self._matrix[row, self._where[start]] = self._matrix[self._where[start], row] = -1
            self._right[row] = volts
        self._draw(site)

    def volts(self, joined: Sequence[Part] = ()) -> dict[str, complex]:
        """Solve it with further admittances between its nodes."""
        matrix = self._matrix.copy()
        for part in joined:
            self._stamp(matrix, part)
        found = np.linalg.solve(matrix, self._right)
        return {EARTH: 0j, **{name: complex(found[place]) for name, place in self._where.items()}}

    def across(self, pair: str, joined: Sequence[Part] = ()) -> float:
        """Give the volts between two contacts."""
        start, end = pair.split("-")
        volts = self.volts(joined)
        return abs(volts[start] - volts[end])

    def _stamp(self, matrix: npt.NDArray[np.complex128], part: Part) -> None:
        start, end, siemens = part
        for one, two in ((start, end), (end, start)):
            if one != EARTH:
                matrix[self._where[one], self._where[one]] += siemens
                if two != EARTH:
                    matrix[self._where[one], self._where[two]] -= siemens

    def _draw(self, site: Site) -> None:
        leg = site.neighbour_leg
        if site.truth == "dead":
            leg = "X" if site.family == "three-wire" else ""
        if leg and not site.is_neutral_lost:
            # Along the leg's own volts, so that the neutral rises in step with it.
            amps = site.neighbour_amps * (site.other / abs(site.other) if leg == "X" else 1)
            self._right[self._where["N"]] += amps
            self._right[self._where[leg]] -= amps


def _sources(site: Site) -> list[Source]:
    """Give the live ends; the sources of a dead outlet stand idle."""
    live: list[Source] = []
    if site.truth != "dead":
        live.append(("star", "s", site.volts))
    if site.truth != "dead" or site.family == "three-wire":
        live.append(("star", "t", site.other))
    live.append((EARTH, "soil", site.stray_volts))
    return live


def _upstream(site: Site) -> list[Part]:
    live = {end for _, end, _ in _sources(site)}
    hots = [("s", "H"), ("t", "X")]
    parts: list[Part] = [(end, wire, 1 / site.hot_ohms) for end, wire in hots if end in live]
    parts.append(("e", "soil", 1 / site.stake_ohms))
    if site.is_neutral_lost:
        parts += [(wire, "N", 1 / ohms) for wire, ohms in zip("HX", site.neighbours_ohms, strict=True)]
    else:
        parts.append(("star", "N", 1 / site.neutral_ohms))
    return [*parts, *_bonds(site)]


def _bonds(site: Site) -> list[Part]:
    if site.is_floating:
        ends = ("star", "H", "X") if site.family == "split-phase" else ("star", "H")
        capacitances = [
            (end, "G", 1j * OMEGA * farads) for end, farads in zip(ends, site.floating_farads, strict=False)
        ]
        return [("G", EARTH, 1 / site.ground_ohms), *capacitances]
    if site.is_neutral_lost and site.is_lost_before_the_bond:
        return [
            ("star", EARTH, BOLTED_SIEMENS),
            ("N", "bar", 1 / GOOD_JOINT_OHMS),
            ("G", "bar", 1 / site.ground_ohms),
            ("bar", EARTH, 1 / site.electrode_ohms),
        ]
    return [("star", EARTH, BOLTED_SIEMENS), ("G", EARTH, 1 / site.ground_ohms)]


def _outlet(site: Site, is_unplugged: bool) -> list[Part]:
    parts: list[Part] = []
    for wire, contact in zip(site.joins, site.contacts, strict=True):
        if wire != "-":
            loose_ohms = site.joint_ohms if wire == site.loose_wire else 0.0
            parts.append((wire, contact, 1 / (GOOD_JOINT_OHMS + loose_ohms)))
    if set(site.joins) & set("-CD"):
        pairs = combinations(site.contacts, 2)
        parts += [(a, b, 1j * OMEGA * farads) for (a, b), farads in zip(pairs, site.farads, strict=False)]
    if "D" in site.joins and site.truth == "leg-dead":
        parts.append(("D", "N", 1 / site.neighbours_ohms[0]))
    if site.truth == "open-neutral-with-load" and not is_unplugged:
        parts.append(("h", "n", 1 / site.load_ohms))
    if site.truth == "leaking-appliance" and not is_unplugged:
        parts.append(("h", "g", 1 / site.leak_ohms))
    return parts
