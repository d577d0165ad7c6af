"""How well each wiring fits the readings: a rational kernel over the rulebook's sample points.

The same arithmetic, point by point and in the same order, stands in static/js/engine/likelihood.js; both use
only + - * /, comparison and square root. Here numpy does it for all points of a family at once: its
element-wise operations are those of IEEE 754, and its accumulate adds one after the other, so the bits are
those of a plain loop. What is worked out takes the place of what it was made from where it can: an array
costs more to make than to fill.
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from fieldlog.engine.kernel import Kernel
from fieldlog.engine.points import Array, Points
from fieldlog.model.rulebook import LampSet


class Fits(NamedTuple):
    """How well readings fit each set of points.

    Parameters
    ----------
    means : list of float
        Likelihood densities, averaged over the points, up to a factor common to all sets [0 and up].
    bests : list of float
        The kernel at the point that fits best, its width left out [0 to 1].
    """

    means: list[float]
    bests: list[float]


def volts_likelihoods(points: Points, readings: Sequence[tuple[int, float, float]], kernel: Kernel) -> Fits:
    """Give the likelihood density of readings under each set of points.

    Parameters
    ----------
    points : Points
        Sample points as ratios to the supply, and the spread of each pair.
    readings : sequence of (pair index, volts [V], standard error [V])
        What the meter showed.
    kernel : Kernel
        Constants.

    Returns
    -------
    Fits
        Densities and best kernels.

    Notes
    -----
    A point holds each pair's volts per volt of supply. With the supply V known beforehand to V0 +- s0 and s^2
    the reading's error and the spread between points, squared and added, the best supply is
    V = (V0 / s0^2 + sum(r a / s^2)) / (1 / s0^2 + sum(a^2 / s^2)). What is left over, chi^2, enters the
    kernel 1 / (1 + chi^2 / 4)^4, a rational stand-in for a Student t with the tails that a misread meter has;
    the width of the fit over the width known beforehand is the weight of having chosen V. A supply beyond the
    plausible ones adds to chi^2.

    Examples
    --------
    One point at ratio 1, supply 117 +- 30 V, a reading of 117 V with a standard error of 40 V: the fit is
    117 V, chi^2 is 0, and 1 / sqrt(30^2 + 40^2) = 1 / 50 once the supply's 30 V is divided out: 0.6 / 30.

    >>> from fieldlog.engine.kernel import kernel_of_limits
    >>> from fieldlog.engine.points import points_of
    >>> from fieldlog.model.rulebook import MeterSet
    >>> from fieldlog.rulebook import load
    >>> kernel = kernel_of_limits({name: limit.value for name, limit in load().limits.items()})
    >>> points = points_of([MeterSet("1", (0,), ((1000,),))], kernel)
    >>> round(volts_likelihoods(points, [(0, 117.0, 40.0)], kernel).means[0], 6)
    0.02

    References
    ----------
    Weighted least squares with a prior: BIPM, JCGM 102:2011, and any textbook on Bayesian regression. The
    kernel and its width are own choices.
    """
    scale = np.ones_like(points.counts)
    above = np.full(len(points.owner), kernel.supply_volts * kernel.supply_weight)
    below = np.full(len(points.owner), kernel.supply_weight)
    weighted: list[tuple[Array, float, Array]] = []
    for pair, volts, error in readings:
        of_set = 1.0 / (error * error + points.spreads[pair] * points.spreads[pair])
        scale = scale * of_set
        ratio, weight = points.ratios[pair], of_set.take(points.owner)
        weighted.append((ratio, volts, weight))
        part = volts * ratio
        part *= weight
        above += part
        np.multiply(points.squares[pair], weight, out=part)
        below += part
    supply = above / below
    chi = supply - kernel.supply_volts
    chi *= chi
    chi *= kernel.supply_weight
    past = beyond(supply, kernel.low_volts, kernel.high_volts, kernel.edge_volts)
    past *= past
    chi += past
    for ratio, volts, weight in weighted:
        rest = supply * ratio
        np.subtract(volts, rest, out=rest)
        rest *= rest
        rest *= weight
        chi += rest
    kernels = fall(chi)
    heights = np.zeros(points.is_real.size)
    heights[points.flat] = np.sqrt(kernel.supply_weight / below) * kernels
    means = sums(heights.reshape(points.is_real.shape)) / points.counts * np.sqrt(scale)
    return Fits(means.tolist(), np.maximum.reduceat(kernels, points.starts).tolist())


def beyond(value: Array, low: Array | float, high: Array | float, edge: float) -> Array:
    """Give how far values lie outside a range, in units of how softly it ends; 0 inside.

    Examples
    --------
    A supply of 84 V, where the plausible ones end at 92 V and softly over 4 V:

    >>> [float(beyond(np.array(volts), 92.0, 142.0, 4.0)) for volts in (84.0, 120.0, 150.0)]
    [2.0, 0.0, 2.0]
    """
    past: Array = np.maximum(np.maximum(low - value, value - high), 0.0) / edge
    return past


def fall(chi: Array) -> Array:
    """Give the kernel 1 / (1 + chi^2 / 4)^4 of a chi squared [0 and up].

    Notes
    -----
    As a Student t of seven degrees of freedom, but for its scale: (1 + t^2 / 7)^-4. It falls by powers, not
    exponentially, so that one misread meter does not exclude what all else speaks for.

    Examples
    --------
    >>> [float(fall(np.array(chi))) for chi in (0.0, 4.0, 12.0)]
    [1.0, 0.0625, 0.00390625]
    """
    base = 1.0 + chi / 4.0
    square = base * base
    return 1.0 / (square * square)


def sums(heights: Array) -> Array:
    """Add up each row's points one after the other; noughts that fill a short row up add nothing."""
    totals: Array = np.add.accumulate(heights, axis=-1)[..., -1]
    return totals


def lamps_likelihoods(
    lamps: Sequence[LampSet], seen: Sequence[int | None], misread: Sequence[Sequence[float]]
) -> list[float]:
    """Give the probability of what lamps showed under each set of patterns.

    Parameters
    ----------
    lamps : sequence of LampSet
        How often each pattern comes.
    seen : sequence of int or None
        Noted state of each lamp: 0 lit, 1 dim, 2 dark; None for one that was not looked at.
    misread : sequence of three sequences
        How often a lamp in the first state is noted as each state.

    Returns
    -------
    list of float
        Probabilities [0 to 1].

    Examples
    --------
    A wiring that lights the first lamp alone in nine worlds of ten, noted by someone who is always right:

    >>> sure = [(1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)]
    >>> lamps_likelihoods([LampSet("10", (("02", 900000), ("22", 100000)))], [0, 2], sure)
    [0.9]
    """
    looked = [(place, state) for place, state in enumerate(seen) if state is not None]
    return [_pattern_likelihood(one, looked, misread) for one in lamps]


def _pattern_likelihood(
    one: LampSet, looked: Sequence[tuple[int, int]], misread: Sequence[Sequence[float]]
) -> float:
    total = 0.0
    for pattern, millionths in one.patterns:
        chance = float(millionths)
        for place, state in looked:
            chance = chance * misread[int(pattern[place])][state]
        total = total + chance
    return total / 1000000.0
