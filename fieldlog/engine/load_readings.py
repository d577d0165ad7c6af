"""How well each wiring fits what a load changes: the loop's ohms and the supply are fitted together.

The same arithmetic, point by point and in the same order, stands in static/js/engine/likelihood.js.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from fieldlog.engine.kernel import Kernel, change_error, reading_error
from fieldlog.engine.likelihood import Fits, beyond, fall, sums
from fieldlog.engine.points import Array, LoadPoints
from fieldlog.model.check import LoadTest, ReadingSet

SIGNS = ("rises", "falls", "turns")
"""What a neutral's volts may do under a load."""


@dataclass(frozen=True)
class LoadReading:
    """One pair read under load.

    Parameters
    ----------
    pair : int
        Its place among the pairs.
    volts, error : float
        The reading under load and its standard error [V].
    fall, fall_error : float or None
        How far it fell from the unloaded reading of the same pair, and that change's standard error [V].
    """

    pair: int
    volts: float
    error: float
    fall: float | None
    fall_error: float | None


def load_readings(
    one: ReadingSet, loaded: LoadTest, pairs: Sequence[str], kernel: Kernel
) -> list[LoadReading]:
    """Set loaded readings beside the unloaded ones of the same pairs."""
    found: list[LoadReading] = []
    for place, pair in enumerate(pairs):
        if pair in loaded.volts:
            volts = loaded.volts[pair]
            bare = one.without_load(pair)
            fall = None if bare is None else bare - volts
            fall_error = None if fall is None else change_error(fall, one.meter, kernel)
            found.append(LoadReading(place, volts, reading_error(volts, one.meter, kernel), fall, fall_error))
    return found


def load_likelihoods(
    points: LoadPoints,
    readings: Sequence[LoadReading],
    neutral: int,
    amps: float,
    drop: float | None,
    kernel: Kernel,
) -> Fits:
    """Give the likelihood density of readings under load, given the unloaded ones, under each set of points.

    Parameters
    ----------
    points : LoadPoints
        Ratios as the current tends to nothing, and each pair's share of the loop.
    readings : sequence of LoadReading
        What the meter showed.
    neutral : int
        Place of the pair neutral to ground.
    amps : float
        The load's current [A].
    drop : float or None
        Fall of the loaded pair [V], for the spread between points.
    kernel : Kernel
        Constants.

    Returns
    -------
    Fits
        Densities and best kernels.

    Notes
    -----
    A steady pair that was read before falls by amps x share x L, L being the loop's ohms; any other pair
    shows supply x ratio - amps x share x L. The supply and L are fitted together by weighted least squares
    with what is known of both beforehand (2 x 2 normal equations); chi^2 enters the same kernel as without a
    load. The fall of one pair does not have the meter's gain error, which both its readings share, nor the
    neutral's own volts.

    Neighbours on the other leg let the neutral's volts fall, or turn, where its own load lifts them; a meter
    shows no sign, so both are held against it as well.
    """
    known = [one for one in readings if one.pair == neutral and one.fall is not None]
    signed = [each_way(known[0], neutral, sign).fall for sign in SIGNS] if known else []
    falls = np.array(signed)[:, np.newaxis, np.newaxis] if known else None
    means, bests = _fits(points, readings, neutral, falls, amps, drop, kernel)
    if falls is None:
        return Fits(means.tolist(), bests.tolist())
    mean = kernel.rising * means[0] + kernel.falling * means[1] + kernel.falling * means[2]
    return Fits(mean.tolist(), bests.max(axis=0).tolist())


def each_way(reading: LoadReading, neutral: int, sign: str) -> LoadReading:
    """Give what a neutral's reading means where its volts fall or turn under the load [V].

    Examples
    --------
    Read as 2 V before and 3 V under load: from -2 to -3 V it fell by 1 V, from -2 to 3 V it rose by 5 V.

    >>> reading = LoadReading(2, 3.0, 0.2, -1.0, 0.3)
    >>> each_way(reading, 2, "falls").fall, each_way(reading, 2, "turns").fall
    (1.0, -5.0)
    """
    if reading.pair != neutral or reading.fall is None or sign == "rises":
        return reading
    fall = -reading.fall if sign == "falls" else -(reading.fall + 2.0 * reading.volts)
    return replace(reading, fall=fall)


def _fits(
    points: LoadPoints,
    readings: Sequence[LoadReading],
    neutral: int,
    falls: Array | None,
    amps: float,
    drop: float | None,
    kernel: Kernel,
) -> tuple[Array, Array]:
    """Give mean densities and best kernels of each set, for each sign of the neutral where it has several."""
    ones = np.ones_like(points.is_real, dtype=np.float64)
    half = (points.high_ohms - points.low_ohms) / 2.0
    half = np.where(half < kernel.edge_ohms, kernel.edge_ohms, half)
    ohms_weight = 1.0 / (half * half)
    ohms_middle = (points.low_ohms + points.high_ohms) / 2.0
    first = ones * kernel.supply_weight
    cross = ones * 0.0
    second = ones * ohms_weight
    right_first = ones * (kernel.supply_volts * kernel.supply_weight)
    right_second = ones * (ohms_middle * ohms_weight)
    scale = ones * (kernel.supply_weight * ohms_weight)
    blur = kernel.share_spread * (0.0 if drop is None else drop)
    terms: list[tuple[Array, Array, Array, Array]] = []
    for reading in readings:
        own = falls if reading.pair == neutral else None
        ratio, steps, value, weight = _load_term(points, reading, own, amps, blur, kernel)
        terms.append((ratio, steps, value, weight))
        first = first + ratio * ratio * weight
        cross = cross + ratio * steps * weight
        second = second + steps * steps * weight
        right_first = right_first + ratio * value * weight
        right_second = right_second + steps * value * weight
        scale = scale * weight
    found = first * second - cross * cross
    supply = (right_first * second - right_second * cross) / found
    ohms = (right_second * first - right_first * cross) / found
    miss = supply - kernel.supply_volts
    past = beyond(supply, kernel.low_volts, kernel.high_volts, kernel.edge_volts)
    stray = ohms - ohms_middle
    outside = beyond(ohms, points.low_ohms, points.high_ohms, kernel.edge_ohms)
    chi = miss * miss * kernel.supply_weight + past * past
    chi = chi + (stray * stray * ohms_weight + outside * outside)
    for ratio, steps, value, weight in terms:
        rest = value - supply * ratio - ohms * steps
        chi = chi + rest * rest * weight
    kernels = fall(chi)
    heights = np.where(points.is_real, np.sqrt(scale / found) * kernels, 0.0)
    bests: Array = np.where(points.is_real, kernels, 0.0).max(axis=-1)
    return sums(heights) / points.counts, bests


def _load_term(
    points: LoadPoints,
    reading: LoadReading,
    falls: Array | None,
    amps: float,
    blur: float,
    kernel: Kernel,
) -> tuple[Array, Array, Array, Array]:
    """Give what multiplies the supply, what multiplies the ohms, the observed value and its weight."""
    ratio, spread = points.ratios[reading.pair], points.spreads[reading.pair]
    steps = amps * points.shares[reading.pair]
    level_weight = 1.0 / (reading.error * reading.error + spread * spread)
    ones = np.ones_like(ratio)
    if reading.fall is None or reading.fall_error is None:
        return ratio, 0.0 - steps, ones * reading.volts, ones * level_weight
    is_steady = points.is_steady[reading.pair]
    wobble = kernel.wobble_volts * ratio
    own = reading.fall_error * reading.fall_error + blur * blur
    fall_weight = 1.0 / (own + wobble * wobble)
    return (
        np.where(is_steady, 0.0, ratio),
        np.where(is_steady, steps, 0.0 - steps),
        np.where(is_steady, reading.fall if falls is None else falls, ones * reading.volts),
        np.where(is_steady, fall_weight, level_weight),
    )
