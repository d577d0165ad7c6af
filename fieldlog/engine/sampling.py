"""From circuits to the families of the rulebook: sample points for meters and loads, patterns for lamps."""

from collections.abc import Mapping, Sequence
from math import sqrt

from fieldlog.engine.circuit import Branch, node_volts, resistor
from fieldlog.engine.families import Explanation, Family
from fieldlog.engine.instruments import (
    LAMP_STATES,
    ends_of,
    lamp_volts,
    led_state,
    meter_readings,
    neon_state,
    readings_at,
)
from fieldlog.engine.wiring import Wiring, circuit
from fieldlog.engine.world import Ranges, World, between, sampled_world, unit_sequence
from fieldlog.model.rulebook import LampSet, LoadSet, MeterSet

GHOST_POINTS, HARD_POINTS, UNNAMED_POINTS = {3: 160, 4: 160}, {3: 144, 4: 160}, {3: 12, 4: 8}
"""Sample points by number of wires, own choice: enough to tell apart, few enough for a phone."""
LAMP_WORLDS = 960
MOST_WORLDS = 0.75
"""What a lamp shows in so many of the worlds counts as what a wiring shows, own choice."""
LOAD_POINTS, UNNAMED_LOAD_POINTS = {3: 36, 4: 24}, 2
LEAST_SPREAD = 3
"""Thousandths of the supply, 0.36 V: rounding, stray pickup and a joint's drop, own estimate."""
SPREAD_SHARE = 0.45
"""Kernel width as a share of the even spacing between points, own choice by trial."""
QUARTERS_OF_GHOSTS, QUARTERS_OF_HARD, QUARTERS_OF_BONDED = 3, 2, {3: 3, 4: 2}
"""So many quarters of all places lie no wider; half of all worlds lift a neutral by little, own choice.

Bonded, by trial: three narrower wires make right wiring look bonded, four wider ones hide that they are."""
UNSTRUCK_OHMS = 5e6
"""A neon lamp below its striking voltage, own estimate."""
LIGHT_LOAD_OHMS, HEAVY_LOAD_OHMS = 1200.0, 12.0
"""Two loads between which a wiring's ohms are taken: 0.1 A and 10 A at 120 V, own choice."""
LEAST_LOAD_AMPS = 0.5
"""Less than this more current between the two means that the wiring cannot feed a load, own choice."""
STEADY_WITHIN = 0.004
"""A pair whose ratio a light load moves by less than this keeps its level under load, own choice."""


def meter_set(
    named: Explanation, wiring: Wiring, family: Family, ranges: Ranges, low_impedance: bool
) -> MeterSet:
    """Sample what a meter shows under a wiring over the plausible world, as ratios to the supply."""
    # A low-impedance meter is not read against an earth: it would drive current into the stake.
    pairs = bare_pairs(family) if low_impedance else family.pairs
    rows: list[tuple[float, ...]] = []
    for index in range(1, _point_count(named, wiring) + 1):
        world = sampled_world(index, ranges, low_impedance, len(wiring.joins))
        rows.append(tuple(value / world.volts for value in meter_readings(wiring, world, pairs)))
    points = tuple(tuple(_thousandths(ratio) for ratio in row) for row in rows)
    distinct = points if len(set(points)) > 1 else points[:1]
    columns = list(zip(*rows, strict=True))
    spreads = tuple(_spread(column, _quarters(wiring)) for column in columns)
    return MeterSet("".join(map(ratio_class, columns)), spreads, distinct)


def bare_pairs(family: Family) -> tuple[str, ...]:
    """Give the pairs between contacts, those to an earth left out."""
    return tuple(pair for pair in family.pairs if not pair.endswith("-e"))


def _point_count(named: Explanation, wiring: Wiring) -> int:
    wires = len(wiring.joins)
    if not named.is_named and not wiring.lost_neutral:
        return UNNAMED_POINTS[wires]
    return GHOST_POINTS[wires] if _is_ghost(wiring) else HARD_POINTS[wires]


def _is_ghost(wiring: Wiring) -> bool:
    """Tell whether something floats, so that readings spread wide; what is bonded to neutral does not."""
    held = wiring.joins.removesuffix("-") if wiring.bonded else wiring.joins
    return "-" in held or wiring.floating or bool(wiring.lost_neutral)


def _quarters(wiring: Wiring) -> int:
    if wiring.bonded:
        return QUARTERS_OF_BONDED[len(wiring.joins)]
    return QUARTERS_OF_GHOSTS if _is_ghost(wiring) else QUARTERS_OF_HARD


def _thousandths(ratio: float) -> int:
    return int(ratio * 1000.0 + 0.5)


def ratio_class(column: Sequence[float]) -> str:
    """Name what most of a pair's ratios are: about 0, 1 or 2 times the supply, or "~" for in between.

    Examples
    --------
    >>> [ratio_class(column) for column in ([0.0, 0.01], [0.98, 1.01], [1.73, 2.0], [0.2, 0.9])]
    ['0', '1', '2', '~']
    """
    ordered = sorted(column)
    low, high = ordered[len(ordered) // 7], ordered[len(ordered) * 6 // 7]
    if high < 0.12:
        return "0"
    if low > 0.75 and high < 1.25:
        return "1"
    return "2" if low > 1.5 else "~"


def _spread(column: Sequence[float], quarters: int = QUARTERS_OF_GHOSTS) -> int:
    """Give the kernel width of a pair: a share of what sqrt(n) neighbouring points span, in most places."""
    ordered = sorted(column)
    step = int(sqrt(len(ordered)))
    windows = sorted(ordered[index + step] - ordered[index] for index in range(len(ordered) - step))
    spread = _thousandths(windows[len(windows) * quarters // 4] * SPREAD_SHARE)
    return max(spread, LEAST_SPREAD)


def load_set(named: Explanation, wiring: Wiring, family: Family, across: str, ranges: Ranges) -> LoadSet:
    """Sample how a wiring's readings move under a load across one pair.

    Notes
    -----
    Two loads, light and heavy, give each pair's ohms z as the change of its reading for each ampere,
    positive where it falls. The loop is the loaded pair's own z; the others are kept as shares of it. What
    a pair would show as the current tends to nothing is kept as a ratio to the supply; where a light load
    leaves that ratio as it was unloaded in every point, the pair is steady and its change alone tells.
    """
    points = LOAD_POINTS[len(wiring.joins)] if named.is_named else UNNAMED_LOAD_POINTS
    rows = [
        _loaded_rows(wiring, sampled_world(index, ranges, index % 2 == 0, len(wiring.joins)), family, across)
        for index in range(1, points + 1)
    ]
    ratios = list(zip(*(ratio for ratio, _, _, _ in rows), strict=True))
    shares = list(zip(*(share for _, share, _, _ in rows), strict=True))
    moved = list(zip(*(move for _, _, move, _ in rows), strict=True))
    return LoadSet(
        classes="".join(map(ratio_class, ratios)),
        steady=tuple(max(column) < STEADY_WITHIN for column in moved),
        ratio_spreads=tuple(map(_spread, ratios)),
        ohms=_ohms_range([loop for _, _, _, loop in rows]),
        ratios=tuple(tuple(_thousandths(value) for value in column) for column in ratios),
        shares=tuple(tuple(_hundredths(value) for value in column) for column in shares),
    )


Row = tuple[float, ...]


def _loaded_rows(wiring: Wiring, world: World, family: Family, across: str) -> tuple[Row, Row, Row, float]:
    pairs = bare_pairs(family)
    branches = circuit(wiring, world)
    bare = readings_at(branches, wiring.contacts, pairs, world.meter_ohms)
    light_amps, light = _loaded(branches, wiring, world, across, LIGHT_LOAD_OHMS, pairs)
    heavy_amps, heavy = _loaded(branches, wiring, world, across, HEAVY_LOAD_OHMS, pairs)
    amps = heavy_amps - light_amps
    ohms = [
        (one - two) / amps if amps > LEAST_LOAD_AMPS else 0.0 for one, two in zip(light, heavy, strict=True)
    ]
    ratios = tuple((one + each * light_amps) / world.volts for one, each in zip(light, ohms, strict=True))
    loop = ohms[pairs.index(across)]
    shares = tuple(each / loop if loop > 0.001 else 0.0 for each in ohms)
    moved = tuple(abs(ratio - one / world.volts) for ratio, one in zip(ratios, bare, strict=True))
    return ratios, shares, moved, loop


def _loaded(
    branches: Sequence[Branch],
    wiring: Wiring,
    world: World,
    across: str,
    ohms: float,
    pairs: Sequence[str],
) -> tuple[float, Row]:
    loaded = [*branches, resistor(*ends_of(across), ohms)]
    volts = node_volts(loaded)
    start, end = ends_of(across)
    amps = abs(volts[start] - volts[end]) / ohms
    return amps, readings_at(loaded, wiring.contacts, pairs, world.meter_ohms)


def _ohms_range(loops: Sequence[float]) -> tuple[int, int]:
    """Give the least and the most ohms of the loop, a tenth to either side, in thousandths."""
    return _thousandths(max(min(loops), 0.0) * 0.9), _thousandths(max(max(loops), 0.0) * 1.1)


def _hundredths(share: float) -> int:
    return int(share * 100.0 + 0.5) if share >= 0.0 else -int(-share * 100.0 + 0.5)


def lamp_set(named: Explanation, wiring: Wiring, pairs: Sequence[str], ranges: Ranges) -> LampSet:
    """Work out how often a wiring gives each pattern of a tester's lamps, all of them connected at once."""
    counts: dict[str, int] = {}
    for index in range(1, (LAMP_WORLDS if named.is_named else LAMP_WORLDS // 8) + 1):
        states = _lamps_in_world(wiring, pairs, ranges, index)
        pattern = "".join(str(LAMP_STATES.index(state)) for state in states)
        counts[pattern] = counts.get(pattern, 0) + 1
    worlds = sum(counts.values())
    patterns = tuple((key, int(counts[key] / worlds * 1000000.0 + 0.5)) for key in sorted(counts))
    return LampSet("".join(lamp_class(counts, lamp) for lamp in range(len(pairs))), patterns)


def lamp_class(counts: Mapping[str, int], lamp: int) -> str:
    """Name the state that a lamp has in most worlds: 0 lit, 1 dim, 2 dark; "~" where it changes.

    Examples
    --------
    Three worlds of four light the first lamp; the second is as often dim as dark:

    >>> counts = {"01": 2, "02": 1, "12": 1}
    >>> lamp_class(counts, 0), lamp_class(counts, 1)
    ('0', '~')
    """
    worlds = sum(counts.values())
    for state in "012":
        if sum(n for pattern, n in counts.items() if pattern[lamp] == state) >= MOST_WORLDS * worlds:
            return state
    return "~"


def _lamps_in_world(wiring: Wiring, pairs: Sequence[str], ranges: Ranges, index: int) -> tuple[str, ...]:
    world = sampled_world(index, ranges, low_impedance=False, wires=len(wiring.joins))
    branches = circuit(wiring, world)
    lamps = [
        world.lamp_ohms * between(0.98, 1.02, unit_sequence(index, lamp % 3 + 7))
        for lamp in range(len(pairs))
    ]
    volts = lamp_volts(branches, pairs, lamps)
    kind = unit_sequence(index, 6)
    if kind < 0.5:
        dim, lit = (
            between(*ranges[name], unit_sequence(index, 5)) for name in ("led_dim_volts", "led_lit_volts")
        )
        return tuple(led_state(value, dim, lit) for value in volts)
    if kind > 0.985:
        volts = lamp_volts(branches, pairs, [UNSTRUCK_OHMS] * len(pairs))
    strike = between(*ranges["neon_strike_volts"], unit_sequence(index, 5))
    return tuple(neon_state(value, strike) for value in volts)
