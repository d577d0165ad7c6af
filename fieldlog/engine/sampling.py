"""From circuits to the tables of the rulebook: sample points for meters, pattern tables for lamps."""

from collections.abc import Sequence
from math import sqrt

from fieldlog.engine.instruments import (
    LAMP_PAIRS,
    LAMP_STATES,
    PAIRS,
    lamp_volts,
    led_state,
    meter_readings,
    neon_state,
)
from fieldlog.engine.wiring import Wiring, circuit
from fieldlog.engine.world import Ranges, between, sampled_world, unit_sequence
from fieldlog.model.rulebook import LampSet, MeterSet

GHOST_POINTS, HARD_POINTS, UNNAMED_POINTS, LAMP_WORLDS = 160, 48, 12, 960
LEAST_SPREAD = 3
"""Thousandths of the supply, 0.36 V: rounding, stray pickup and a joint's drop, own estimate."""
SPREAD_SHARE = 0.45
"""Kernel width as a share of the even spacing between points, own choice by trial."""
UNSTRUCK_OHMS = 5e6
"""A neon lamp below its striking voltage, own estimate."""
MISREAD = {
    "lit": (0.987, 0.012, 0.001),
    "dim": (0.02, 0.96, 0.02),
    "dark": (0.001, 0.012, 0.987),
}
"""What a person notes (lit, dim, dark) for what a lamp does, in sun or rain; own estimates."""


def meter_set(wiring: Wiring, ranges: Ranges, low_impedance: bool) -> MeterSet:
    """Sample what a meter shows under a wiring over the plausible world, as ratios to the supply."""
    rows: list[tuple[float, ...]] = []
    for index in range(1, _point_count(wiring) + 1):
        world = sampled_world(index, ranges, low_impedance)
        volts = meter_readings(circuit(wiring, world), world, PAIRS)
        rows.append(tuple(value / world.volts for value in volts))
    points = tuple(tuple(_thousandths(ratio) for ratio in row) for row in rows)
    distinct = points if len(set(points)) > 1 else points[:1]
    columns = list(zip(*rows, strict=True))
    return MeterSet("".join(map(ratio_class, columns)), tuple(map(_spread, columns)), distinct)


def _point_count(wiring: Wiring) -> int:
    if not wiring.is_named:
        return UNNAMED_POINTS
    return GHOST_POINTS if "-" in wiring.joins or wiring.floating else HARD_POINTS


def _thousandths(ratio: float) -> int:
    return int(ratio * 1000.0 + 0.5)


def ratio_class(column: Sequence[float]) -> str:
    """Name what most of a pair's ratios are: about 0, 1 or 2 times the supply, or "~" for in between."""
    ordered = sorted(column)
    low, high = ordered[len(ordered) // 7], ordered[len(ordered) * 6 // 7]
    if high < 0.12:
        return "0"
    if low > 0.75 and high < 1.25:
        return "1"
    return "2" if low > 1.5 else "~"


def _spread(column: Sequence[float]) -> int:
    """Give the kernel width of a pair: a share of what sqrt(n) neighbouring points span."""
    ordered = sorted(column)
    step = int(sqrt(len(ordered)))
    windows = sorted(ordered[index + step] - ordered[index] for index in range(len(ordered) - step))
    spread = _thousandths(windows[len(windows) * 3 // 4] * SPREAD_SHARE)
    return max(spread, LEAST_SPREAD)


def lamp_set(wiring: Wiring, ranges: Ranges) -> LampSet:
    """Work out how often a person would note each of the 27 patterns of three lamps under a wiring."""
    counts = [0.0] * 27
    rows: list[tuple[float, ...]] = []
    worlds = LAMP_WORLDS if wiring.is_named else LAMP_WORLDS // 8
    for index in range(1, worlds + 1):
        volts, states, supply = _lamps_in_world(wiring, ranges, index)
        rows.append(tuple(value / supply for value in volts))
        for pattern in range(27):
            counts[pattern] += _noted(pattern, states)
    # A lamp at twice the supply is as lit as at the supply.
    classes = "".join(map(ratio_class, zip(*rows, strict=True))).replace("2", "1")
    return LampSet(classes, tuple(int(count / worlds * 1000000.0 + 0.5) for count in counts))


def _lamps_in_world(
    wiring: Wiring, ranges: Ranges, index: int
) -> tuple[tuple[float, ...], tuple[str, ...], float]:
    world = sampled_world(index, ranges, low_impedance=False)
    branches = circuit(wiring, world)
    lamps = [world.lamp_ohms * between(0.98, 1.02, unit_sequence(index, lamp + 7)) for lamp in range(3)]
    volts = lamp_volts(branches, lamps)
    kind = unit_sequence(index, 6)
    if kind < 0.5:
        dim, lit = (
            between(*ranges[name], unit_sequence(index, 5)) for name in ("led_dim_volts", "led_lit_volts")
        )
        return volts, tuple(led_state(value, dim, lit) for value in volts), world.volts
    if kind > 0.985:
        volts = lamp_volts(branches, [UNSTRUCK_OHMS] * 3)
    strike = between(*ranges["neon_strike_volts"], unit_sequence(index, 5))
    return volts, tuple(neon_state(value, strike) for value in volts), world.volts


def _noted(pattern: int, states: Sequence[str]) -> float:
    chance = 1.0
    for lamp in range(len(LAMP_PAIRS)):
        chance *= MISREAD[states[lamp]][pattern // (9, 3, 1)[lamp] % len(LAMP_STATES)]
    return chance
