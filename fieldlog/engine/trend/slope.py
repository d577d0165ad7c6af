"""The robust slope of a series, with its interval."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor, sqrt

from fieldlog.engine.trend.model import Reading, median

DAYS_PER_YEAR = 365.25
NORMAL_95 = 1.959963984540054
"""97.5 % point of the normal distribution; exact to the last digit."""


@dataclass(frozen=True)
class Slope:
    """How fast a series moves.

    Parameters
    ----------
    per_year, low, high : float
        The slope and its 95 % interval [unit of the series per year].
    """

    per_year: float
    low: float
    high: float


def slope_of(readings: Sequence[Reading]) -> Slope | None:
    """Give the Theil-Sen slope of a series.

    Parameters
    ----------
    readings : sequence of Reading
        In the order of their days.

    Returns
    -------
    Slope or None
        None where no two readings lie on different days.

    Notes
    -----
    The slope is the median of the slopes between all pairs of readings on different days; the interval is cut
    from the same slopes, ordered, at the ranks that Kendall's statistic gives, with its correction for ties.
    Up to 29 % of the readings may be wild. The ranks are normal approximations, rough below ten readings. A
    year has 365.25 days.

    Examples
    --------
    Four readings, four years apart, one of them wild: the pairs give 1, 1, 1, 7, 10 and 19 a year, and in the
    middle stands (1 + 7) / 2.

    >>> years = [Reading(int(365.25 * 4 * i), v, 0.1) for i, v in enumerate([0.0, 4.0, 8.0, 84.0])]
    >>> slope_of(years).per_year
    4.0

    References
    ----------
    Sen, P. K. (1968), Estimates of the regression coefficient based on Kendall's tau, JASA 63, 1379-1389.
    Theil, H. (1950), A rank-invariant method of linear and polynomial regression analysis.
    """
    slopes = sorted(_pair_slopes(readings))
    if not slopes:
        return None
    reach = NORMAL_95 * sqrt(_variance(readings))
    last = len(slopes) - 1
    high = _nearest((len(slopes) + reach) / 2.0)
    low = _nearest((len(slopes) - reach) / 2.0) - 1
    return Slope(
        per_year=median(slopes) * DAYS_PER_YEAR,
        low=slopes[low if low > 0 else 0] * DAYS_PER_YEAR,
        high=slopes[high if high < last else last] * DAYS_PER_YEAR,
    )


def _pair_slopes(readings: Sequence[Reading]) -> list[float]:
    """Give the slopes between all pairs on different days [unit per day]."""
    return [
        (later.value - earlier.value) / (later.day - earlier.day)
        for i, earlier in enumerate(readings)
        for later in readings[i + 1 :]
        if later.day != earlier.day
    ]


def _variance(readings: Sequence[Reading]) -> float:
    """Give the variance of Kendall's statistic, with its correction for ties [1]."""
    spread = _weight(len(readings))
    for ties in (*_counts([one.day for one in readings]), *_counts([one.value for one in readings])):
        spread = spread - _weight(ties)
    return spread / 18.0 if spread > 0 else 0.0


def _weight(count: int) -> int:
    return count * (count - 1) * (2 * count + 5)


def _counts(numbers: Sequence[float]) -> list[int]:
    counts: dict[float, int] = {}
    for number in numbers:
        counts[number] = counts.get(number, 0) + 1
    return list(counts.values())


def _nearest(number: float) -> int:
    """Give the nearest whole number, the even one of two."""
    below = floor(number)
    rest = number - below
    if rest != 0.5:
        return below + 1 if rest > 0.5 else below
    return below if below % 2 == 0 else below + 1
