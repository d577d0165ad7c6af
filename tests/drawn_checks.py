"""Checks of every shape, drawn at random or set at each limit, for whoever compares two evaluators."""

import random
from collections.abc import Iterator
from math import inf, nextafter
from typing import Any

from fieldlog.rulebook import load

PAIRS = {"three-wire": ("h-n", "h-g", "n-g"), "split-phase": ("x-y", "x-n", "y-n", "x-g", "y-g", "n-g")}
OUTLETS = {"three-wire": ("5-15", "5-20", "TT-30"), "split-phase": ("14-50",)}
ACROSS = {"three-wire": ("h-n",), "split-phase": ("x-y", "x-n", "y-n")}
EXACT = {"accuracy_percent": 0, "accuracy_volts": 0}
NOISE: dict[str, Any] = {
    "supply": ["utility", "generator", "inverter"],
    "where": ["pedestal", "rig"],
    "breaker_amps": [15, 20, 30.0, 50, 0],
    "hertz": [57, 60.0, 63.00001, 91],
    "near": [{"g": True}, {"skin": True}, {"g": False, "h": True}, {"g": 1}],
    "look": [[], ["burned"], ["cracked", "loose"], ["scorched"]],
    "continuity": [{"g-frame": "open"}, {"g-frame": "closed"}, {"n-g": "closed"}, {"n-g": "open"}],
    "trip": [
        [{"by": "button", "tripped": False}],
        [{"by": "button", "tripped": True}],
        [{"by": "button", "device": "upstream", "tripped": True, "reset": True}],
        [{"by": "external", "tripped": True, "milliseconds": 24.9, "milliamps": 260}],
        {},
    ],
    "oops": [1],
}


def drawn_checks(rng: random.Random, count: int) -> Iterator[dict[str, Any]]:
    """Draw checks: likely and unlikely readings, with and without load, further sets, bad members."""
    for _ in range(count):
        family = rng.choice(("three-wire", "split-phase"))
        check = {"outlet": rng.choice(OUTLETS[family]), **_reading_set(rng, family)}
        if rng.random() < 0.25:
            check["more"] = [_further_set(rng, family) for _ in range(rng.randint(1, 3))]
        for name, choices in NOISE.items():
            if rng.random() < 0.08:
                check[name] = rng.choice(choices)
        yield check


def _further_set(rng: random.Random, family: str) -> dict[str, Any]:
    return {"state": rng.choice(["as-found", "unplugged", "breaker-off"]), **_reading_set(rng, family)}


def _reading_set(rng: random.Random, family: str) -> dict[str, Any]:
    one: dict[str, Any] = {}
    if rng.random() < 0.85:
        one["volts"] = _volts(rng, family)
    if rng.random() < 0.3:
        one["lamps"] = {pair: rng.choice(["lit", "dim", "dark"]) for pair in _some(rng, PAIRS[family])}
    if rng.random() < 0.4:
        one["meter"] = {
            "input": rng.choice(["high-impedance", "low-impedance"]),
            "accuracy_percent": rng.choice([0, 1, 2.5]),
            "accuracy_volts": rng.choice([0, 0.3, 3]),
        }
    if "volts" in one and rng.random() < 0.15:
        one["volts"][rng.choice(["n-e", "g-e"])] = rng.uniform(0, 250)
    if rng.random() < 0.35:
        one["loaded"] = _loaded(rng, family, one.get("volts", {}))
    return one


def _volts(rng: random.Random, family: str) -> dict[str, float]:
    supply, right = rng.uniform(100, 135), rng.random() < 0.5
    two_legs = {"x-y": 2.0, "n-g": 0.0}
    found: dict[str, float] = {}
    for pair in _some(rng, PAIRS[family]):
        wild = rng.choice([0, 60, 120, 240, rng.uniform(0, 3), rng.uniform(0, 260)])
        likely = abs(supply * two_legs.get(pair, 1.0) + rng.uniform(-1, 1))
        found[pair] = likely if right else wild
    return found


def _loaded(rng: random.Random, family: str, volts: dict[str, float]) -> dict[str, Any]:
    loaded: dict[str, Any] = {
        "across": rng.choice(ACROSS[family]),
        "amps": rng.choice([0.5, 1, 10, 12.5, rng.uniform(0.1, 50)]),
        "volts": {},
    }
    for pair in _some(rng, PAIRS[family]):
        fell = volts[pair] - rng.uniform(-6, 12) if pair in volts and rng.random() < 0.8 else 118.0
        loaded["volts"][pair] = max(0.0, fell)
    if rng.random() < 0.2:
        loaded["amps_percent"] = 2
    return loaded


def _some(rng: random.Random, pairs: tuple[str, ...]) -> list[str]:
    return [pair for pair in pairs if rng.random() < 0.9]


def limit_checks() -> Iterator[dict[str, Any]]:
    """Give a check at each limit and one unit in the last place to either side."""
    for limit in load().limits.values():
        for value in (limit.value, nextafter(limit.value, inf), nextafter(limit.value, 0)):
            for where in ("pedestal", "rig"):
                yield from ({"where": where, **check} for check in _checks_at(limit.unit, value))


def _checks_at(unit: str, value: float) -> Iterator[dict[str, Any]]:
    if unit == "V" and value <= 300:
        yield from _checks_at_volts(value)
    if unit == "A":
        yield _under_load(120.0, 118.0, 0.2, 1.2, value)
    if unit == "1" and 0.3 < value < 1:
        yield _legs(120.0, 120.0, 240.0 * value)
        yield _under_load(120.0, 118.0, 0.2, 0.2 + 2.0 * value, 10.0)
    if unit == "ohm":
        yield _under_load(120.0, 120.0 - 10.0 * value, 0.0, 10.0 * value, 10.0)
        yield _under_load(120.0, 120.0 - 10.0 * value, 0.0, 0.0, 10.0)
    if unit == "Hz":
        yield {"outlet": "TT-30", "hertz": value, "look": []}
    if unit == "mA":
        trip = {"by": "external", "tripped": True, "milliseconds": 26, "milliamps": value}
        yield {"outlet": "5-20", "trip": [trip]}


def _checks_at_volts(value: float) -> Iterator[dict[str, Any]]:
    volts = {"h-n": value, "h-g": value, "n-g": 0.1}
    yield {"outlet": "TT-30", "meter": EXACT, "volts": volts}
    coarse = {"accuracy_percent": 0, "accuracy_volts": min(value, 20)}
    yield {"outlet": "TT-30", "meter": coarse, "volts": volts}
    yield _legs(value, value, 2.0 * value)
    yield _legs(value * 0.58, value * 0.58, value)
    yield _under_load(120.0, value, 0.2, 1.2, 10.0)
    for amps in (24.0, 16.0, 12.0):
        yield _under_load(120.0, 120.0 - 10.0 * (value / amps), 0.2, 1.2, 10.0)
    off = {"state": "breaker-off", "meter": {"input": "low-impedance"}, "volts": {"h-n": value}}
    yield {"outlet": "TT-30", "volts": volts, "more": [off]}


def _legs(x_n: float, y_n: float, x_y: float) -> dict[str, Any]:
    volts = {"x-y": x_y, "x-n": x_n, "y-n": y_n, "x-g": x_n, "y-g": y_n, "n-g": 0.1}
    return {"outlet": "14-50", "meter": {"input": "low-impedance", **EXACT}, "volts": volts}


def _under_load(bare: float, loaded: float, bare_rise: float, rise: float, amps: float) -> dict[str, Any]:
    fell = max(loaded, 0.0)
    return {
        "outlet": "TT-30",
        "meter": EXACT,
        "volts": {"h-n": bare, "h-g": bare, "n-g": bare_rise},
        "loaded": {"amps": amps, "volts": {"h-n": fell, "h-g": bare - (bare - fell) / 2.0, "n-g": rise}},
    }
