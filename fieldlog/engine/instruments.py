"""What an instrument shows at an outlet, its own loading included."""

from collections.abc import Sequence

from fieldlog.engine.circuit import Branch, node_volts, resistor
from fieldlog.engine.world import World

PAIRS = ("h-n", "h-g", "n-g", "h-e", "n-e", "g-e")
LAMP_PAIRS = ("h-n", "h-g", "n-g")
LAMP_STATES = ("lit", "dim", "dark")
_NODE = {"h": "h", "n": "n", "g": "g", "e": "stake"}


def meter_volts(branches: Sequence[Branch], pair: str, meter_ohms: float) -> float:
    """Give the RMS volts [V] that a meter of this input [ohm] shows between two contacts of a circuit."""
    start, end = ends_of(pair)
    volts = node_volts([*branches, resistor(start, end, meter_ohms)])
    return abs(volts[start] - volts[end])


def meter_readings(branches: Sequence[Branch], world: World, pairs: Sequence[str]) -> tuple[float, ...]:
    """Give the readings [V] of several pairs, taken one after the other with the world's meter."""
    return tuple(meter_volts(branches, pair, world.meter_ohms) for pair in pairs)


def lamp_volts(branches: Sequence[Branch], lamp_ohms: Sequence[float]) -> tuple[float, ...]:
    """Give the volts [V] across three lamps connected at once, in the order of LAMP_PAIRS."""
    lamps = [resistor(*ends_of(pair), ohms) for pair, ohms in zip(LAMP_PAIRS, lamp_ohms, strict=True)]
    volts = node_volts([*branches, *lamps])
    return tuple(abs(volts[start] - volts[end]) for start, end in map(ends_of, LAMP_PAIRS))


def neon_state(volts: float, strike_volts: float) -> str:
    """Say what a neon lamp shows: nothing below its striking voltage, light above it."""
    return "lit" if volts >= strike_volts else "dark"


def led_state(volts: float, dim_volts: float, lit_volts: float) -> str:
    """Say what an LED lamp behind a resistor shows at a voltage."""
    if volts >= lit_volts:
        return "lit"
    return "dim" if volts >= dim_volts else "dark"


def ends_of(pair: str) -> tuple[str, str]:
    """Give the two circuit nodes of a pair such as "h-n"."""
    start, end = pair.split("-")
    return _NODE[start], _NODE[end]
