"""Outlets simulated apart from the engine: full circuits with ideal sources, solved by numpy.

Nothing here is imported from the package. The ranges are those of the plausible world; currents, joints and
conductors are modelled again from the outside, so that a mistake in the engine's circuits shows.
"""

import random
from dataclasses import dataclass
from typing import Any

import numpy as np

JOINS = {
    "correct": "HNG",
    "dead": "DNG",
    "open-hot": "-NG",
    "open-neutral": "H-G",
    "open-ground": "HN-",
    "open-neutral-and-ground": "H--",
    "hot-neutral-reversed": "NHG",
    "hot-ground-reversed": "GNH",
    "neutral-ground-reversed": "HGN",
    "neutral-ground-bonded": "HNN",
    "reversed-with-bonded-ground": "NHH",
    "open-ground-and-reversed": "NH-",
    "open-hot-and-reversed": "-HG",
    "open-neutral-with-load": "H-G",
    "two-hots": "HXG",
    "two-hots-open-ground": "HX-",
    "same-hot-twice": "HHG",
    "leaking-appliance": "HN-",
    "floating-supply": "HNG",
}
TWINS_BETWEEN_CONTACTS = (
    {"correct", "neutral-ground-reversed", "neutral-ground-bonded", "reversed-with-bonded-ground"},
    {"open-ground", "open-ground-and-reversed", "floating-supply"},
    {"hot-ground-reversed", "same-hot-twice", "open-neutral-with-load"},
    {"dead", "open-hot", "open-neutral-and-ground"},
    {"hot-neutral-reversed", "leaking-appliance"},
)
TWINS_BY_LAMPS = ({"two-hots", "two-hots-open-ground"},)
PAIRS = ("h-n", "h-g", "n-g")
OMEGA = 2 * np.pi * 60


@dataclass
class Site:
    """One outlet with every unknown drawn at random."""

    truth: str
    volts: float
    other: complex
    hot_ohms: float
    neutral_ohms: float
    neighbour_amps: float
    farads: tuple[float, float, float]
    floating_farads: tuple[float, float]
    load_ohms: float
    leak_ohms: float


def drawn_site(rng: random.Random, truth: str, low: float = 92.0, high: float = 142.0) -> Site:
    """Draw a site; capacitances evenly or evenly by ratio, at a toss."""
    volts, loop, share = rng.uniform(low, high), rng.uniform(0.04, 1.0), rng.uniform(0.3, 0.7)
    by_ratio = rng.random() < 0.5

    def spread(a: float, b: float) -> float:
        return float(a * (b / a) ** rng.random()) if by_ratio else rng.uniform(a, b)

    angle = np.pi if rng.random() < 0.67 else 2 * np.pi / 3
    return Site(
        truth,
        volts,
        complex(volts * np.exp(1j * angle)),
        loop * (1 - share),
        loop * share,
        rng.uniform(0, 8),
        (spread(0.3e-9, 5e-9), spread(0.3e-9, 5e-9), spread(0.3e-9, 5e-9)),
        (spread(1.5e-9, 6e-9), spread(1.5e-9, 6e-9)),
        spread(10, 800),
        spread(500, 25000),
    )


def contact_volts(site: Site, extra: list[tuple[str, str, complex]]) -> dict[str, complex]:
    """Solve the site with further admittances between contacts; ideal sources by modified nodal analysis."""
    parts = [*_conductors(site), *_joints(site), *extra]
    names = sorted({name for part in parts for name in part[:2]} - {"0"})
    sources = [("star", "s", site.volts), ("star", "x", site.other)]
    if site.truth == "dead":
        sources = sources[1:]
    size = len(names) + len(sources)
    where = {name: place for place, name in enumerate(names)}
    matrix = np.zeros((size, size), dtype=complex)
    right = np.zeros(size, dtype=complex)
    for start, end, siemens in parts:
        for one, two in ((start, end), (end, start)):
            if one != "0":
                matrix[where[one], where[one]] += siemens
                if two != "0":
                    matrix[where[one], where[two]] -= siemens
    for row, (start, end, volts) in enumerate(sources, start=len(names)):
        matrix[row, where[end]] = matrix[where[end], row] = 1
        matrix[row, where[start]] = matrix[where[start], row] = -1
        right[row] = volts
    right[where["N"]] += site.neighbour_amps
    right[where["H"] if site.truth != "dead" else where["x"]] -= site.neighbour_amps
    found = np.linalg.solve(matrix + np.diag([1e-13] * len(names) + [0] * len(sources)), right)
    return {"0": 0j, **{name: complex(found[place]) for name, place in where.items()}}


def _conductors(site: Site) -> list[tuple[str, str, complex]]:
    floating = site.truth == "floating-supply"
    star = 1j * OMEGA * site.floating_farads[0] if floating else 1e6
    parts: list[tuple[str, str, complex]] = [
        ("star", "0", star),
        ("star", "N", 1 / site.neutral_ohms),
        ("G", "0", 1 / 0.2),
        ("x", "X", 1 / site.hot_ohms),
        ("D", "0", 1e-13),
    ]
    if site.truth != "dead":
        parts.append(("s", "H", 1 / site.hot_ohms))
    if floating:
        parts.append(("H", "0", 1j * OMEGA * site.floating_farads[1]))
    return parts


def _joints(site: Site) -> list[tuple[str, str, complex]]:
    joins = JOINS[site.truth]
    parts: list[tuple[str, str, complex]] = [
        (wire, contact, 1 / 0.01) for wire, contact in zip(joins, "hng", strict=True) if wire != "-"
    ]
    if "-" in joins or "D" in joins:
        ends = (("h", "n"), ("h", "g"), ("n", "g"))
        parts += [(a, b, 1j * OMEGA * c) for (a, b), c in zip(ends, site.farads, strict=True)]
    if site.truth == "open-neutral-with-load":
        parts.append(("h", "n", 1 / site.load_ohms))
    if site.truth == "leaking-appliance":
        parts.append(("h", "g", 1 / site.leak_ohms))
    return parts


def meter_volts(site: Site, pair: str, ohms: float) -> float:
    """Give what a meter of this input shows."""
    start, end = pair.split("-")
    volts = contact_volts(site, [(start, end, 1 / ohms)])
    return abs(volts[start] - volts[end])


def lamp_states(rng: random.Random, site: Site) -> dict[str, str]:
    """Give what three equal lamps of a random kind show, all connected at once."""
    siemens = 1 / rng.uniform(80e3, 250e3)
    volts = contact_volts(site, [(*pair.split("-"), siemens) for pair in PAIRS])  # type: ignore[misc]  # two names
    across = {pair: abs(volts[pair[0]] - volts[pair[2]]) for pair in PAIRS}
    if rng.random() < 0.5:
        strike = rng.uniform(65, 90)
        return {pair: "lit" if value >= strike else "dark" for pair, value in across.items()}
    return {pair: "lit" if v >= 95 else "dim" if v >= 35 else "dark" for pair, v in across.items()}


def drawn_check(rng: random.Random, site: Site, kind: str) -> dict[str, Any]:
    """Read a site the way a person would, with an instrument's errors and a display's digits."""
    check: dict[str, Any] = {"outlet": rng.choice(["5-15", "5-20", "TT-30"]), "look": []}
    if "meter" in kind:
        low = kind.startswith("low")
        percent, digits = (1.0, 0.3) if rng.random() < 0.7 else (rng.choice([0.5, 0.7, 1.5, 2.0]), 0.2)
        ohms = 3e3 * (400 / 3) ** rng.random() if low else 10e6
        check["meter"] = {
            "input": "low-impedance" if low else "high-impedance",
            "accuracy_percent": percent,
            "accuracy_volts": digits,
        }
        gain = rng.uniform(-1, 1) * percent / 100
        check["volts"] = {}
        for pair in PAIRS:
            value = meter_volts(site, pair, ohms) * (1 + gain) + rng.uniform(-1, 1) * digits
            check["volts"][pair] = round(max(0.0, value), 1)
    if "lamps" in kind:
        check["lamps"] = lamp_states(rng, site)
    return check


def are_twins(one: str, two: str, by_lamps: bool) -> bool:
    """Tell whether readings between contacts, without a load, can separate two wirings."""
    groups = TWINS_BETWEEN_CONTACTS + (TWINS_BY_LAMPS if by_lamps else ())
    return one == two or any(one in group and two in group for group in groups)
