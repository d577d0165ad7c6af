"""A site read the way a person would, with an instrument's errors and a display's digits."""

import random
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import combinations
from typing import Any

from tests.simulated.network import Network, Part
from tests.simulated.sites import Site

OUTLETS = {"three-wire": ("5-15", "5-20", "TT-30"), "split-phase": ("14-50",)}
ACROSS = {"three-wire": ("h-n",), "split-phase": ("x-n", "x-n", "y-n", "y-n", "x-y")}
RATED_AMPS = {"5-15": 15, "5-20": 20, "TT-30": 30, "14-50": 50}
LAMPS = {
    "three-wire": ("h-n", "h-g", "n-g"),
    "split-phase": ("x-y", "x-n", "y-n", "x-g", "y-g", "n-g"),
}
ONE_LEGS_LAMPS = (("x-n", "x-g", "n-g"), ("y-n", "y-g", "n-g"))


@dataclass(frozen=True)
class Meter:
    """One meter: its input, what its leaflet says, and how far it is off; the gain is the same all day."""

    is_low: bool
    ohms: float
    percent: float
    digits_volts: float
    gain: float

    def as_json(self) -> dict[str, Any]:
        """Write it as a check does."""
        return {
            "input": "low-impedance" if self.is_low else "high-impedance",
            "accuracy_percent": self.percent,
            "accuracy_volts": self.digits_volts,
        }

    def shows(self, rng: random.Random, network: Network, pair: str, joined: Sequence[Part] = ()) -> float:
        """Give what its display shows, joined between two contacts."""
        start, end = pair.split("-")
        volts = network.across(pair, [*joined, (start, end, 1 / self.ohms)])
        shown = volts * (1 + self.gain) + rng.uniform(-1, 1) * self.digits_volts
        return round(max(0.0, shown), 1)


@dataclass(frozen=True)
class Load:
    """A resistor between two contacts that draws these amps from right wiring."""

    across: str
    amps: float
    amps_off: float

    def part(self, site: Site) -> Part:
        """Give it as a part of the circuit."""
        start, end = self.across.split("-")
        volts = abs(site.volts - site.other) if self.across == "x-y" else site.volts
        return start, end, self.amps / volts

    def noted_amps(self, site: Site, network: Network) -> float:
        """Give what a clamp shows, within its error, or the leaflet's amps where next to nothing flows."""
        part = self.part(site)
        flowing = network.across(self.across, [part]) * abs(part[2])
        amps = flowing if flowing > 0.2 * self.amps else self.amps
        return round(amps * (1 + self.amps_off), 3)


def pairs_of(site: Site) -> list[str]:
    """Name every pair of contacts."""
    return [f"{a}-{b}" for a, b in combinations(site.contacts, 2)]


def drawn_meter(rng: random.Random, is_low: bool) -> Meter:
    """Draw a meter; most people's has one percent and three digits."""
    is_common = rng.random() < 0.7
    percent = rng.choice([0.5, 0.7, 1.5, 2.0])
    low_ohms = 3e3 * (400 / 3) ** rng.random()
    if is_common:
        percent = 1.0
    return Meter(
        is_low,
        low_ohms if is_low else 10e6,
        percent,
        0.3 if is_common else 0.2,
        rng.uniform(-1, 1) * percent / 100,
    )


def drawn_load(rng: random.Random, site: Site, most_amps: float) -> Load:
    """Draw a load; where a hot joint is loose, one that draws through it."""
    across = rng.choice(ACROSS[site.family])
    if site.family == "split-phase" and site.loose_wire:
        across = "y-n" if site.loose_wire == "X" else "x-n"
    return Load(across, rng.uniform(5, most_amps), rng.uniform(-0.05, 0.05))


def drawn_lamps(rng: random.Random, network: Network, pairs: Sequence[str]) -> dict[str, str]:
    """Give what equal lamps of a random kind show, all connected at once."""
    siemens, is_neon, strike = 1 / rng.uniform(80e3, 250e3), rng.random() < 0.5, rng.uniform(65, 90)
    lamps: list[Part] = [(pair[0], pair[2], siemens) for pair in pairs]
    volts = network.volts(lamps)
    across = {pair: abs(volts[pair[0]] - volts[pair[2]]) for pair in pairs}
    if is_neon:
        return {pair: "lit" if value >= strike else "dark" for pair, value in across.items()}
    return {pair: "lit" if v >= 95 else "dim" if v >= 35 else "dark" for pair, v in across.items()}


def drawn_check(
    rng: random.Random, site: Site, kind: str, *, load_amps: float | None = None
) -> dict[str, Any]:
    """Read a site; `kind` joins meter or low-meter with any of lamps, load, earth, low, unplugged by a +.

    "lamps" has one between every two contacts, "leg-lamps" the three of one leg of a 14-50 alone.
    """
    parts, network = kind.split("+"), Network(site)
    check: dict[str, Any] = {"outlet": rng.choice(OUTLETS[site.family]), "supply": site.supply, "look": []}
    meter = drawn_meter(rng, "low-meter" in parts)
    load = drawn_load(rng, site, 0.8 * RATED_AMPS[check["outlet"]])
    if load_amps is not None:
        load = replace(load, amps=load_amps)
    if "lamps" not in parts[0]:
        check["meter"] = meter.as_json()
        check["volts"] = read(rng, network, meter, pairs_of(site))
    if "earth" in parts:
        check["volts"] |= read(rng, network, meter, [f"{contact}-e" for contact in site.contacts])
    if "lamps" in parts:
        check["lamps"] = drawn_lamps(rng, network, LAMPS[site.family])
    if "leg-lamps" in parts:
        check["lamps"] = drawn_lamps(rng, network, rng.choice(ONE_LEGS_LAMPS))
    if "load" in parts:
        check["loaded"] = read_loaded(rng, site, network, meter, load)
    check["more"] = [_further(rng, site, meter, part) for part in parts if part in ("low", "unplugged")]
    return check


def read(
    rng: random.Random, network: Network, meter: Meter, pairs: Sequence[str], joined: Sequence[Part] = ()
) -> dict[str, float]:
    """Read pairs one after the other."""
    return {pair: meter.shows(rng, network, pair, joined) for pair in pairs}


def read_loaded(rng: random.Random, site: Site, network: Network, meter: Meter, load: Load) -> dict[str, Any]:
    """Read every pair while a load runs."""
    return {
        "across": load.across,
        "amps": load.noted_amps(site, network),
        "amps_percent": 5,
        "volts": read(rng, network, meter, pairs_of(site), [load.part(site)]),
    }


def _further(rng: random.Random, site: Site, meter: Meter, part: str) -> dict[str, Any]:
    if part == "low":
        low = drawn_meter(rng, is_low=True)
        volts = read(rng, Network(site), low, pairs_of(site))
        return {"state": "as-found", "meter": low.as_json(), "volts": volts}
    volts = read(rng, Network(site, is_unplugged=True), meter, pairs_of(site))
    return {"state": "unplugged", "meter": meter.as_json(), "volts": volts}
