"""What an instrument shows at an outlet, its own loading included."""

from collections.abc import Sequence

from fieldlog.engine.circuit import Branch, Ports, node_volts, ports, resistor
from fieldlog.engine.wiring import Wiring, circuit
from fieldlog.engine.world import World

LAMP_STATES = ("lit", "dim", "dark")
EARTH_NODE = "stake"


def meter_readings(wiring: Wiring, world: World, pairs: Sequence[str]) -> tuple[float, ...]:
    """Give the RMS volts [V] of several pairs, taken one after the other with the world's meter."""
    return readings_at(circuit(wiring, world), wiring.contacts, pairs, world.meter_ohms)


def readings_at(
    branches: Sequence[Branch], contacts: Sequence[str], pairs: Sequence[str], meter_ohms: float
) -> tuple[float, ...]:
    """Give what a meter of this input [ohm] shows on each pair of a circuit [V RMS].

    Notes
    -----
    Thevenin: between two contacts the circuit is its open voltage behind its own impedance Z, so a meter of
    resistance R shows |V| R / |R + Z|. One elimination serves all pairs.

    Examples
    --------
    A ghost of 120 V behind 2 megohm: a meter of 10 megohm shows 120 x 10 / 12 V, one of 10 kilohm 0.6 V.

    >>> ghost = [Branch("earth", "h", 0.5e-6 + 0j, 120 * 0.5e-6), resistor("earth", "n", 1.0)]
    >>> [round(*readings_at(ghost, ["h", "n"], ["h-n"], ohms), 1) for ohms in (10e6, 10e3)]
    [100.0, 0.6]

    References
    ----------
    Thevenin's theorem: any textbook on circuits.
    """
    seen = ports(branches, (*contacts, EARTH_NODE))
    return tuple(_shown(seen, *ends_of(pair), meter_ohms) for pair in pairs)


def _shown(seen: Ports, start: str, end: str, meter_ohms: float) -> float:
    volts = seen.volts[start] - seen.volts[end]
    return abs(volts * (meter_ohms / (meter_ohms + seen.ohms_between(start, end))))


def lamp_volts(
    branches: Sequence[Branch], pairs: Sequence[str], lamp_ohms: Sequence[float]
) -> tuple[float, ...]:
    """Give the volts [V] across lamps [ohm] connected at once between the pairs.

    Examples
    --------
    Behind an open neutral two equal lamps in series share 120 V:

    >>> open_neutral = [Branch("earth", "h", 1e3 + 0j, 120e3), resistor("earth", "g", 0.1)]
    >>> [round(volts) for volts in lamp_volts(open_neutral, ["h-n", "h-g", "n-g"], [1e5, 1e5, 1e5])]
    [60, 120, 60]
    """
    lamps = [resistor(*ends_of(pair), ohms) for pair, ohms in zip(pairs, lamp_ohms, strict=True)]
    volts = node_volts([*branches, *lamps])
    return tuple(abs(volts[start] - volts[end]) for start, end in map(ends_of, pairs))


def neon_state(volts: float, strike_volts: float) -> str:
    """Say what a neon lamp shows at a voltage [V]: nothing below its striking voltage, light from there.

    Examples
    --------
    >>> neon_state(60.0, 75.0), neon_state(75.0, 75.0)
    ('dark', 'lit')
    """
    return "lit" if volts >= strike_volts else "dark"


def led_state(volts: float, dim_volts: float, lit_volts: float) -> str:
    """Say what an LED lamp behind a resistor shows at a voltage [V].

    Examples
    --------
    >>> [led_state(volts, 35.0, 95.0) for volts in (30.0, 60.0, 120.0)]
    ['dark', 'dim', 'lit']
    """
    if volts >= lit_volts:
        return "lit"
    return "dim" if volts >= dim_volts else "dark"


def ends_of(pair: str) -> tuple[str, str]:
    """Give the two circuit nodes of a pair such as "h-n".

    Examples
    --------
    >>> ends_of("h-n"), ends_of("n-e")
    (('h', 'n'), ('n', 'stake'))
    """
    start, end = pair.split("-")
    return start, EARTH_NODE if end == "e" else end
