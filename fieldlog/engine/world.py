"""The plausible world: what is not known about a site, and how far each of it may reach."""

from collections.abc import Mapping
from dataclasses import dataclass
from math import sqrt

_PRIMES = (2, 3, 5, 7, 11, 13, 17, 19, 23, 29)


@dataclass(frozen=True)
class World:
    """One set of values for everything that a person at the pedestal does not know.

    Parameters
    ----------
    volts : float
        Supply, leg to neutral [V RMS].
    other_hot : complex
        The other hot against neutral [V].
    loop_ohms, neutral_share : float
        Hot plus neutral from the source to the outlet [ohm]; the neutral's share of it [0 to 1].
    ground_ohms, stake_ohms : float
        Ground conductor, and an independent stake in the soil [ohm].
    neutral_lift_volts : float
        How far others' current in the shared neutral lifts it [V].
    is_other_leg : bool
        Whether these others hang on the other hot.
    stray_volts : float
        Soil against the ground that the source is joined to [V].
    hot_neutral_farads, hot_ground_farads, neutral_ground_farads : float
        Capacitance of an open conductor to its neighbours [F].
    other_neutral_farads, other_ground_farads, hot_other_farads : float
        The same beside the other hot of a four-wire outlet [F].
    hot_to_ground_farads, neutral_to_ground_farads, other_to_ground_farads : float
        A floating source's capacitance to ground [F].
    joint_ohms, load_ohms, leak_ohms : float
        A loose joint, a load on an open neutral, an appliance's leak to its frame [ohm].
    hot_neighbours_ohms, other_neighbours_ohms : float
        What neighbours run on either leg [ohm]; it matters where the neutral is lost upstream.
    electrode_ohms : float
        The park's own ground electrode [ohm]; it matters where neutral and ground are lost together.
    meter_ohms, lamp_ohms : float
        Input of the meter, one lamp of a tester [ohm].
    """

    volts: float
    other_hot: complex
    loop_ohms: float
    neutral_share: float
    ground_ohms: float
    stake_ohms: float
    neutral_lift_volts: float
    is_other_leg: bool
    stray_volts: float
    hot_neutral_farads: float
    hot_ground_farads: float
    neutral_ground_farads: float
    other_neutral_farads: float
    other_ground_farads: float
    hot_other_farads: float
    hot_to_ground_farads: float
    neutral_to_ground_farads: float
    other_to_ground_farads: float
    joint_ohms: float
    load_ohms: float
    leak_ohms: float
    hot_neighbours_ohms: float
    other_neighbours_ohms: float
    electrode_ohms: float
    meter_ohms: float
    lamp_ohms: float


def unit_sequence(index: int, dimension: int) -> float:
    """Give the `index`-th number of a low-discrepancy sequence in one dimension [0, 1).

    Notes
    -----
    Halton's radical inverse in the `dimension`-th prime base: deterministic, even, and unlike random numbers
    the same on every machine.

    Examples
    --------
    >>> [unit_sequence(i, 0) for i in (1, 2, 3)]
    [0.5, 0.25, 0.75]

    References
    ----------
    Halton, "On the efficiency of certain quasi-random sequences", Numerische Mathematik 2, 1960.
    """
    base = _PRIMES[dimension]
    result, fraction = 0.0, 1.0
    while index > 0:
        fraction /= base
        result += fraction * (index % base)
        index //= base
    return result


def between(low: float, high: float, unit: float) -> float:
    """Spread a number of [0, 1) evenly over a range, in the range's own unit.

    Examples
    --------
    >>> between(104.0, 132.0, 0.5)
    118.0
    """
    return low + (high - low) * unit


def between_by_ratio(low: float, high: float, unit: float, steps: int = 40) -> float:
    """Spread a number of [0, 1) evenly by ratio over a range, with square roots only.

    Notes
    -----
    Bisection in the logarithm: the middle of two numbers is the square root of their product. No power
    function is used, so that every machine gives the same bits.

    Examples
    --------
    Half way from 1 to 100 by ratio is 10:

    >>> between_by_ratio(1.0, 100.0, 0.5)
    10.0
    """
    for _ in range(steps):
        middle = sqrt(low * high)
        if unit < 0.5:
            high, unit = middle, 2.0 * unit
        else:
            low, unit = middle, 2.0 * unit - 1.0
    return low


CORNERS = 8
"""The first worlds lie at the corners of the first three dimensions: no reading lies outside all."""
NEARLY_ONE = 0.999


def spread_unit(index: int, dimension: int) -> float:
    """Give the `index`-th point of the plausible world in one dimension [0, 1): corners first.

    Examples
    --------
    >>> [spread_unit(1, dimension) for dimension in range(3)], spread_unit(8, 2)
    ([0.0, 0.0, 0.0], 0.999)
    """
    if index <= CORNERS and dimension < 3:
        return NEARLY_ONE if (index - 1) >> dimension & 1 else 0.0
    return unit_sequence(index, dimension)


Ranges = Mapping[str, tuple[float, float]]


# long: a table of what is unknown
def sampled_world(index: int, ranges: Ranges, low_impedance: bool, wires: int = 3) -> World:
    """Give the `index`-th plausible world.

    Parameters
    ----------
    index : int
        1 and up.
    ranges : mapping of str to (low, high)
        From schemas/facts/world.json, in the units of World.
    low_impedance : bool
        Which kind of meter is used.
    wires : int
        3, or 4 for a split-phase outlet.

    Returns
    -------
    World
        A point of the low-discrepancy sequence over all ranges. Loads, leaks, joints and lamps are even by
        ratio, capacitances and the low-impedance meter half by ratio and half by difference, the rest by
        difference; the neutral's lift and the soil's stray volts are half and half, without corners. One
        world in three has its neighbours on the other leg, in one of three the two hots are 120 degrees
        apart, and in three three-wire cables of ten the ground lies midway between hot and neutral (own
        estimates). Quantities that never act together share a dimension of the sequence.
    """

    def even(name: str, dimension: int) -> float:
        return between(*ranges[name], spread_unit(index, dimension))

    def ratio(name: str, dimension: int) -> float:
        return between_by_ratio(*ranges[name], spread_unit(index, dimension))

    def half_by_ratio(name: str, unit: float) -> float:
        unit = 2.0 * unit
        return between_by_ratio(*ranges[name], unit) if unit < 1.0 else between(*ranges[name], unit - 1.0)

    def mixed(name: str, dimension: int) -> float:
        return half_by_ratio(name, spread_unit(index, dimension))

    def without_corners(name: str, dimension: int) -> float:
        return half_by_ratio(name, unit_sequence(index, dimension))

    volts = even("volts", 3)
    is_other_leg = unit_sequence(index, 7) < 0.34
    is_flat_cable = wires == 3 and unit_sequence(index, 6) < 0.3
    is_three_phase = unit_sequence(index, 5) > 0.66
    stray_volts = without_corners("stray_volts", 8) * (-1.0 if unit_sequence(index, 9) < 0.5 else 1.0)
    return World(
        volts=volts,
        other_hot=complex(-0.5 * volts, sqrt(0.75) * volts) if is_three_phase else complex(-volts),
        loop_ohms=even("loop_ohms", 1),
        neutral_share=even("neutral_share", 2),
        ground_ohms=even("ground_ohms", 6),
        stake_ohms=even("stake_ohms", 6),
        neutral_lift_volts=without_corners("neutral_lift_volts", 0),
        is_other_leg=is_other_leg,
        stray_volts=stray_volts,
        hot_neutral_farads=mixed("open_conductor_farads", 0),
        hot_ground_farads=mixed("open_conductor_farads", 1),
        neutral_ground_farads=mixed("open_conductor_farads", 1 if is_flat_cable else 2),
        other_neutral_farads=mixed("open_conductor_farads", 1),
        other_ground_farads=mixed("open_conductor_farads", 0),
        hot_other_farads=mixed("open_conductor_farads", 2),
        hot_to_ground_farads=mixed("floating_source_farads", 0),
        neutral_to_ground_farads=mixed("floating_source_farads", 1),
        other_to_ground_farads=mixed("floating_source_farads", 2),
        joint_ohms=ratio("joint_ohms", 4),
        load_ohms=ratio("load_ohms", 0),
        leak_ohms=ratio("leak_ohms", 0),
        hot_neighbours_ohms=ratio("neighbours_ohms", 0),
        other_neighbours_ohms=ratio("neighbours_ohms", 1),
        electrode_ohms=ratio("electrode_ohms", 2),
        meter_ohms=mixed("low_meter_ohms", 4) if low_impedance else ranges["high_meter_ohms"][0],
        lamp_ohms=ratio("lamp_ohms", 4),
    )
