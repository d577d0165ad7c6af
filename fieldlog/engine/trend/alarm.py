"""The cumulative-sum alarm: small departures that add up."""

from collections.abc import Sequence
from dataclasses import dataclass

ALLOWANCE = 1.1
DECISION = 4.0
LARGEST = 4.0
"""Own choices [standard deviations of a reading], tried by simulation: what one reading may be off before it
adds to a sum, where a sum raises the alarm, and as how much one reading counts at most: a single odd one
raises none."""
MOST = 2.0 * DECISION
"""Own choice: a sum grows no further, so that some readings at the old level end an alarm."""


@dataclass(frozen=True)
class AlarmSums:
    """The two cumulative sums after a reading, in the unit of the deviations.

    Parameters
    ----------
    high, low : float
        Of departures upwards and downwards, from 0.
    """

    high: float
    low: float


def cumulative_sums(
    deviations: Sequence[float], allowance: float, most: float = float("inf")
) -> list[AlarmSums]:
    """Give both cumulative sums after each deviation from the baseline.

    Parameters
    ----------
    deviations : sequence of float
        Each reading less the baseline, in any one unit.
    allowance : float
        What a reading may be off by before it adds to a sum, half the departure that is to be found.
    most : float
        No sum grows beyond it.

    Returns
    -------
    list of AlarmSums
        One for each deviation.

    Notes
    -----
    high = max(0, high + deviation - allowance), low = max(0, low - deviation - allowance), both from 0.

    Examples
    --------
    >>> [(one.high, one.low) for one in cumulative_sums([1.0, 2.0, -4.0], 0.5)]
    [(0.5, 0.0), (2.0, 0.0), (0.0, 3.5)]

    References
    ----------
    Page, E. S. (1954), Continuous inspection schemes, Biometrika 41, 100-115. NIST/SEMATECH e-Handbook of
    Statistical Methods, 6.3.2.3, CUSUM control charts, tabular form.
    """
    sums: list[AlarmSums] = []
    high = low = 0.0
    for deviation in deviations:
        high = _within(high + deviation - allowance, most)
        low = _within(low - deviation - allowance, most)
        sums.append(AlarmSums(high, low))
    return sums


def alarm_start(deviations: Sequence[float]) -> int | None:
    """Give where the departure began that stands at the last of the deviations.

    Parameters
    ----------
    deviations : sequence of float
        In standard deviations of each reading [1].

    Returns
    -------
    int or None
        Place of the first reading that added to the sum; None where no alarm stands.

    Examples
    --------
    A single odd reading raises none; two do, from the first of them on.

    >>> alarm_start([0.0, 0.2, 90.0]), alarm_start([0.0, 0.2, 90.0, 90.0])
    (None, 2)

    References
    ----------
    As for `cumulative_sums`.
    """
    sums = cumulative_sums([_held(one) for one in deviations], ALLOWANCE, MOST)
    if not sums:
        return None
    is_high = sums[-1].high > sums[-1].low
    side = [one.high if is_high else one.low for one in sums]
    if side[-1] <= DECISION:
        return None
    start = len(side) - 1
    while start > 0 and side[start - 1] > 0.0:
        start -= 1
    return start


def _within(number: float, most: float) -> float:
    if number <= 0.0:
        return 0.0
    return most if number > most else number


def _held(deviation: float) -> float:
    if deviation > LARGEST:
        return LARGEST
    return -LARGEST if deviation < -LARGEST else deviation
