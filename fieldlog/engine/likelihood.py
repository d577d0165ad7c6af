"""How well each wiring fits the readings: a rational kernel over the rulebook's sample points.

The same arithmetic, in the same order, stands in static/js/engine/likelihood.js; both use only + - * /,
comparison and square root, so that they agree to the last bit.
"""

from collections.abc import Mapping, Sequence
from math import sqrt

from fieldlog.model.rulebook import LampSet, MeterSet

RATIO_UNIT = 0.001
"""The rulebook keeps ratios to the supply as whole thousandths."""
SUPPLY_VOLTS, SUPPLY_WEIGHT = 117.0, 1.0 / 900.0
"""Middle of the plausible supply [V] and one over its variance, 30 V squared; own estimate."""
SUPPLY_LOW_VOLTS, SUPPLY_HIGH_VOLTS, SUPPLY_EDGE_VOLTS = 92.0, 142.0, 4.0
"""Where the plausible supply ends [V], and how softly; own estimate."""
SPREAD_VOLTS = 120.0
ERROR_SHARE = 0.6
"""Standard error as a share of a meter's accuracy: 0.577 for even odds within it, and a little more."""
FLOOR_VOLTS = 0.1


def reading_errors(volts: Mapping[str, float], percent: float, counts_volts: float) -> dict[str, float]:
    """Give the standard error [V] of each reading of a meter with this accuracy [% of reading, V]."""
    errors: dict[str, float] = {}
    for pair, value in volts.items():
        error = ERROR_SHARE * (value * percent / 100.0 + counts_volts)
        errors[pair] = error if error > FLOOR_VOLTS else FLOOR_VOLTS
    return errors


def volts_likelihood(meter_set: MeterSet, readings: Sequence[tuple[int, float, float]]) -> float:
    """Give the likelihood density of readings under the wirings that share one set of points.

    Parameters
    ----------
    meter_set : MeterSet
        Sample points as ratios to the supply, and the spread of each pair.
    readings : sequence of (pair index, volts [V], standard error [V])
        What the meter showed.

    Returns
    -------
    float
        Density, up to a factor that is the same for every wiring [0 and up].

    Notes
    -----
    A point holds each pair's volts per volt of supply. With the supply V known beforehand to V0 +- s0 and s^2
    the reading's error and the spread between points, squared and added, the best supply is
    V = (V0 / s0^2 + sum(r a / s^2)) / (1 / s0^2 + sum(a^2 / s^2)). What is left over, chi^2, enters the
    kernel 1 / (1 + chi^2 / 4)^4, a rational stand-in for a Student t with the tails that a misread meter has;
    the width of the fit over the width known beforehand is the weight of having chosen V. A supply beyond the
    plausible ones adds to chi^2.
    """
    weighted: list[tuple[int, float, float]] = []
    scale = 1.0
    for pair, volts, error in readings:
        spread = meter_set.spreads[pair] * RATIO_UNIT * SPREAD_VOLTS
        weight = 1.0 / (error * error + spread * spread)
        weighted.append((pair, volts, weight))
        scale = scale * weight
    total = 0.0
    for point in meter_set.points:
        total = total + _kernel(point, weighted)
    return total / len(meter_set.points) * sqrt(scale)


def _kernel(point: Sequence[int], weighted: Sequence[tuple[int, float, float]]) -> float:
    above, below = SUPPLY_VOLTS * SUPPLY_WEIGHT, SUPPLY_WEIGHT
    for pair, volts, weight in weighted:
        ratio = point[pair] * RATIO_UNIT
        above = above + volts * ratio * weight
        below = below + ratio * ratio * weight
    supply = above / below
    miss = supply - SUPPLY_VOLTS
    beyond = _beyond(supply)
    chi = miss * miss * SUPPLY_WEIGHT + beyond * beyond
    for pair, volts, weight in weighted:
        rest = volts - supply * (point[pair] * RATIO_UNIT)
        chi = chi + rest * rest * weight
    base = 1.0 + chi / 4.0
    square = base * base
    return sqrt(SUPPLY_WEIGHT / below) / (square * square)


def _beyond(supply: float) -> float:
    if supply < SUPPLY_LOW_VOLTS:
        return (SUPPLY_LOW_VOLTS - supply) / SUPPLY_EDGE_VOLTS
    return (supply - SUPPLY_HIGH_VOLTS) / SUPPLY_EDGE_VOLTS if supply > SUPPLY_HIGH_VOLTS else 0.0


def lamps_likelihood(lamp_set: LampSet, seen: Sequence[str | None]) -> float:
    """Give the probability of what the three lamps showed; None stands for a lamp that was not looked at.

    The table runs over the first lamp slowest, each lit, dim, dark; it holds millionths.
    """
    total = 0
    for index in range(27):
        if all(_shows(index, lamp, state) for lamp, state in enumerate(seen)):
            total += lamp_set.table[index]
    return total / 1000000.0


def _shows(index: int, lamp: int, state: str | None) -> bool:
    place = (9, 3, 1)[lamp]
    return state is None or ("lit", "dim", "dark")[index // place % 3] == state
