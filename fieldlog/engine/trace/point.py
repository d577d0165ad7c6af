"""One sample point held against the readings in plain Python: the arithmetic that arrays hide, step by step.

fieldlog.engine.likelihood and load_readings do the same for all points at once; a test holds the two
together.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import sqrt

from fieldlog.engine.kernel import Kernel
from fieldlog.engine.load_readings import LoadReading
from fieldlog.engine.points import OHM_UNIT, RATIO_UNIT, SHARE_UNIT
from fieldlog.model.rulebook import LoadSet, MeterSet

MeterReading = tuple[int, float, float]


@dataclass(frozen=True)
class Term:
    """One reading held against one point: it shows ratio x supply + steps x ohms.

    Parameters
    ----------
    pair : int
        Its place among the pairs.
    ratio : float
        What multiplies the supply; 0 where the fall alone is compared.
    steps : float
        What multiplies the loop's ohms: the current times the pair's share of the loop [A].
    seen : float
        The reading, or its fall where `is_fall` [V].
    errors_volts : tuple of float
        The reading's standard error and the spread between points, and for a fall the supply's wobble [V].
    is_fall : bool
        Whether the fall from the unloaded reading is compared in place of the reading.
    """

    pair: int
    ratio: float
    steps: float
    seen: float
    errors_volts: tuple[float, ...]
    is_fall: bool = False

    @property
    def variance(self) -> float:
        """Give the errors' squares added up [V^2]."""
        return sum(each * each for each in self.errors_volts)

    def shown(self, supply_volts: float, ohms: float) -> float:
        """Give what the point would show [V]."""
        return supply_volts * self.ratio + ohms * self.steps

    def chi(self, supply_volts: float, ohms: float) -> float:
        """Give what is left over, squared, over its variance."""
        rest = self.seen - self.shown(supply_volts, ohms)
        return rest * rest / self.variance


@dataclass(frozen=True)
class Fit:
    """How one point fits.

    Parameters
    ----------
    place : int
        Which point of its set, from 0.
    supply_volts, ohms : float
        The fitted supply [V] and loop [ohm]; without a load the latter is 0.
    terms : tuple of Term
        One for each reading.
    supply_chi, ohms_chi : float
        What the supply and the loop add to chi squared by lying off the middle, or outside, of the plausible.
    chi, kernel : float
        Chi squared, and 1 / (1 + chi squared / 4)^4.
    width : float
        Width of the fit over the width known beforehand.
    """

    place: int
    supply_volts: float
    ohms: float
    terms: tuple[Term, ...]
    supply_chi: float
    ohms_chi: float
    chi: float
    kernel: float
    width: float

    @property
    def height(self) -> float:
        """Give what the point adds to its set's mean."""
        return self.width * self.kernel


def kernel_value(chi: float) -> float:
    """Give the kernel of a chi squared: a stand-in for a Student t, with tails for a misread meter.

    Examples
    --------
    At chi squared 4 it is 1 / 2^4, at 12 it is 1 / 4^4:

    >>> kernel_value(0.0), kernel_value(4.0), 1.0 / kernel_value(12.0)
    (1.0, 0.0625, 256.0)
    """
    base = 1.0 + chi / 4.0
    return 1.0 / (base * base * base * base)


def _outside(value: float, low: float, high: float, edge: float) -> float:
    if value < low:
        return (low - value) / edge
    return (value - high) / edge if value > high else 0.0


def _supply_chi(volts: float, kernel: Kernel) -> float:
    miss = volts - kernel.supply_volts
    past = _outside(volts, kernel.low_volts, kernel.high_volts, kernel.edge_volts)
    return miss * miss * kernel.supply_weight + past * past


def volts_fit(one: MeterSet, place: int, readings: Sequence[MeterReading], kernel: Kernel) -> Fit:
    """Fit the supply at one point of a meter's set.

    Notes
    -----
    V = (V0 / s0^2 + sum(r a / s^2)) / (1 / s0^2 + sum(a^2 / s^2)), a the ratios, r the readings. Width:
    sqrt((1 / s0^2) / (1 / s0^2 + sum(a^2 / s^2))).
    """
    terms = tuple(
        Term(
            pair,
            one.points[place][pair] * RATIO_UNIT,
            0.0,
            volts,
            _errors(error, one.spreads[pair], kernel),
        )
        for pair, volts, error in readings
    )
    above = kernel.supply_volts * kernel.supply_weight + sum(t.seen * t.ratio / t.variance for t in terms)
    below = kernel.supply_weight + sum(t.ratio * t.ratio / t.variance for t in terms)
    supply_volts = above / below
    supply_chi = _supply_chi(supply_volts, kernel)
    chi = supply_chi + sum(term.chi(supply_volts, 0.0) for term in terms)
    width = sqrt(kernel.supply_weight / below)
    return Fit(place, supply_volts, 0.0, terms, supply_chi, 0.0, chi, kernel_value(chi), width)


def _errors(error_volts: float, spread: int, kernel: Kernel) -> tuple[float, float]:
    return error_volts, spread * RATIO_UNIT * kernel.spread_volts


def load_fit(
    one: LoadSet, place: int, readings: Sequence[LoadReading], amps: float, drop: float | None, kernel: Kernel
) -> Fit:
    """Fit the supply and the loop's ohms together at one point of a load set.

    Notes
    -----
    Normal equations of least squares with both known beforehand: (a b; b c) (V, L) = (d, e), a, b, c being
    sums of ratio^2, ratio x steps and steps^2 over the variances, the supply's and the loop's own in front.
    """
    low, high = (ohms * OHM_UNIT for ohms in one.ohms)
    half = max((high - low) / 2.0, kernel.edge_ohms)
    middle, ohms_weight = (low + high) / 2.0, 1.0 / (half * half)
    blur = abs(kernel.share_spread * (drop or 0.0))
    terms = tuple(_load_term(one, place, reading, amps, blur, kernel) for reading in readings)
    first = kernel.supply_weight + sum(t.ratio * t.ratio / t.variance for t in terms)
    cross = sum(t.ratio * t.steps / t.variance for t in terms)
    second = ohms_weight + sum(t.steps * t.steps / t.variance for t in terms)
    left = kernel.supply_volts * kernel.supply_weight + sum(t.ratio * t.seen / t.variance for t in terms)
    right = middle * ohms_weight + sum(t.steps * t.seen / t.variance for t in terms)
    found = first * second - cross * cross
    supply_volts, ohms = (left * second - right * cross) / found, (right * first - left * cross) / found
    outside = _outside(ohms, low, high, kernel.edge_ohms)
    ohms_chi = (ohms - middle) * (ohms - middle) * ohms_weight + outside * outside
    supply_chi = _supply_chi(supply_volts, kernel)
    chi = supply_chi + ohms_chi + sum(term.chi(supply_volts, ohms) for term in terms)
    width = sqrt(kernel.supply_weight * ohms_weight / found)
    return Fit(place, supply_volts, ohms, terms, supply_chi, ohms_chi, chi, kernel_value(chi), width)


def _load_term(
    one: LoadSet, place: int, reading: LoadReading, amps: float, blur: float, kernel: Kernel
) -> Term:
    pair = reading.pair
    ratio = one.ratios[pair][place] * RATIO_UNIT
    steps = amps * one.shares[pair][place] * SHARE_UNIT
    if reading.fall is None or reading.fall_error is None or not one.steady[pair]:
        errors = _errors(reading.error, one.ratio_spreads[pair], kernel)
        return Term(pair, ratio, -steps, reading.volts, errors)
    errors_volts = reading.fall_error, blur, kernel.wobble_volts * ratio
    return Term(pair, 0.0, steps, reading.fall, errors_volts, is_fall=True)


@dataclass(frozen=True)
class Points:
    """All points of one set held against the readings.

    Parameters
    ----------
    fits : tuple of Fit
        In the set's order.
    density : float
        Mean over the points of height x scale, the likelihood of these readings.
    """

    fits: tuple[Fit, ...]
    density: float

    @property
    def best_kernel(self) -> float:
        """Give the kernel at the point that fits best, its width left out."""
        return max(fit.kernel for fit in self.fits)

    @property
    def best(self) -> Fit:
        """Give the point that adds most; the earlier one of two alike."""
        return max(self.fits, key=lambda fit: fit.height * scale_of(fit))


def scale_of(fit: Fit) -> float:
    """Give the square root of the product of one over each reading's variance."""
    product = 1.0
    for term in fit.terms:
        product = product / term.variance
    return sqrt(product)


def all_fits(count: int, fit_at: Callable[[int], Fit]) -> Points:
    """Hold every point of a set of `count` against the readings, and take the mean."""
    fits = tuple(fit_at(place) for place in range(count))
    return Points(fits, sum(fit.height * scale_of(fit) for fit in fits) / count)
