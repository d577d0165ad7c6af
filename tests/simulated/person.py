"""Someone at a simulated outlet who makes whatever test is asked for, always with the same instruments."""

import random
from typing import Any

from tests.simulated.checks import (
    LAMPS,
    OUTLETS,
    RATED_AMPS,
    drawn_lamps,
    drawn_load,
    drawn_meter,
    pairs_of,
    read,
    read_loaded,
)
from tests.simulated.network import EARTH, Network
from tests.simulated.sites import Site

LIVE_VOLTS = 50.0
"""What a non-contact detector calls live, own estimate."""


class Person:
    """Holds a check that grows test by test; `readings` counts every value noted in it."""

    def __init__(self, rng: random.Random, site: Site) -> None:
        self._rng, self._site, self._network = rng, site, Network(site)
        self._meter, self._low = drawn_meter(rng, is_low=False), drawn_meter(rng, is_low=True)
        outlet = rng.choice(OUTLETS[site.family])
        self._load = drawn_load(rng, site, 0.8 * RATED_AMPS[outlet])
        self.check: dict[str, Any] = {"outlet": outlet, "supply": site.supply, "look": []}
        self.readings = 0

    def reads_one_pair(self) -> None:
        """Read the first hot against the neutral."""
        self._note("volts", self._reads([f"{self._site.contacts[0]}-n"]))

    def makes(self, test: str) -> None:
        """Make a test by its id."""
        {
            "read-again": self._reads_again,
            "detector": self._touches_ground,
            "lamps": self._sees_lamps,
            "meter": self._reads_all,
            "unplug-others": self._reads_unplugged,
            "low-impedance": self._reads_low,
            "earth": self._reads_earth,
            "load": self._reads_loaded,
            "upstream-hold": self._holds_upstream,
            "frame-continuity": self._follows_ground,
            "neutral-continuity": self._follows_neutral,
        }[test]()

    def _note(self, member: str, values: dict[str, Any]) -> None:
        self.readings += len(values)
        if member == "volts":
            self.check["meter"] = self._meter.as_json()
        self.check[member] = self.check.get(member, {}) | values

    def _note_further(self, one: dict[str, Any]) -> None:
        self.readings += len(one["volts"])
        self.check.setdefault("more", []).append(one)

    def _reads(self, pairs: list[str]) -> dict[str, float]:
        return read(self._rng, self._network, self._meter, pairs)

    def _touches_ground(self) -> None:
        volts = self._network.volts()
        self._note("near", {"g": abs(volts["g"] - volts[EARTH]) >= LIVE_VOLTS})

    def _sees_lamps(self) -> None:
        self._note("lamps", drawn_lamps(self._rng, self._network, LAMPS[self._site.family]))

    def _reads_all(self) -> None:
        known = self.check.get("volts", {})
        self._note("volts", self._reads([pair for pair in pairs_of(self._site) if pair not in known]))

    def _reads_again(self) -> None:
        """Read every pair between the contacts once more."""
        volts = self._reads(list(pairs_of(self._site)))
        self._note_further({"state": "as-found", "meter": self._meter.as_json(), "volts": volts})

    def _reads_unplugged(self) -> None:
        unplugged = Network(self._site, is_unplugged=True)
        volts = read(self._rng, unplugged, self._meter, pairs_of(self._site))
        self._note_further({"state": "unplugged", "meter": self._meter.as_json(), "volts": volts})

    def _reads_low(self) -> None:
        volts = read(self._rng, self._network, self._low, pairs_of(self._site))
        self._note_further({"state": "as-found", "meter": self._low.as_json(), "volts": volts})

    def _reads_earth(self) -> None:
        self._note("volts", self._reads([f"{contact}-e" for contact in self._site.contacts]))

    def _reads_loaded(self) -> None:
        self._reads_all()
        loaded = read_loaded(self._rng, self._site, self._network, self._meter, self._load)
        self.readings += len(loaded["volts"])
        self.check["loaded"] = loaded

    def _holds_upstream(self) -> None:
        self.check["trip"] = [{"by": "button", "device": "upstream", "tripped": True, "reset": True}]
        self.readings += 1
        if self._site.truth != "neutral-ground-reversed" and "loaded" not in self.check:
            self._reads_loaded()

    def _follows_ground(self) -> None:
        self._note("continuity", {"g-frame": self._continuity("g", "G")})

    def _follows_neutral(self) -> None:
        self._note("continuity", {"n-g": self._continuity("n", "g")})

    def _continuity(self, one: str, two: str) -> str:
        """Follow the wires with the source stopped; its windings join both hots to its neutral."""
        joined = dict(zip(self._site.contacts, self._site.joins, strict=True))
        place = {"G": "ground" if self._site.is_floating else "star", "H": "star", "X": "star"}
        place["N"] = "behind a break" if self._site.is_neutral_lost else "star"
        ends = [joined.get(end, end) for end in (one, two)]
        if set(ends) & set("-CD"):
            return "open"
        return "closed" if place[ends[0]] == place[ends[1]] else "open"
