"""Whether a series left its baseline at once or bit by bit, and from when on."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from fieldlog.engine.trend.model import Reading, median

BEFORE = 3
"""Own choice: how many readings before the alarm's first one the departure may have begun, since a slow one
is within a reading's error at first."""


@dataclass(frozen=True)
class Departure:
    """How a series left its baseline.

    Parameters
    ----------
    state : str
        "stepped" or "drifting".
    first : int
        Place of the first reading that is off.
    """

    state: Literal["stepped", "drifting"]
    first: int


def departure(readings: Sequence[Reading], baseline: float, start: int) -> Departure:
    """Tell a step from a drift.

    Parameters
    ----------
    readings : sequence of Reading
        Two or more, in the order of their days.
    baseline : float
        The level before, in the unit of the series.
    start : int
        Where the alarm's sum began.

    Returns
    -------
    Departure
        The one of both shapes, begun at one of the readings near `start`, that lies nearest to the readings.

    Notes
    -----
    A step is the baseline, then another level: the median of what follows. A drift is the baseline up to the
    reading before, then a straight line from there: the median of the slopes back to it. Each has one number
    to fit. Nearest is the least sum of distances, each in uncertainties of its reading; a step where both are
    as near.

    Examples
    --------
    >>> def series(*values):
    ...     return [Reading(30 * i, value, 0.1) for i, value in enumerate(values)]
    >>> departure(series(1.0, 1.0, 1.0, 2.0, 2.0), 1.0, 3)
    Departure(state='stepped', first=3)
    >>> departure(series(1.0, 1.0, 1.3, 1.6, 1.9), 1.0, 3)
    Departure(state='drifting', first=2)
    """
    earliest = start - BEFORE if start - BEFORE > 1 else 1
    latest = start if start > 1 else 1
    steps = [(_step_misfit(readings, baseline, earliest, at), at) for at in range(earliest, latest + 1)]
    drifts = [(_drift_misfit(readings, baseline, earliest, at), at) for at in range(earliest, latest + 1)]
    step, drift = _least(steps), _least(drifts)
    return Departure("stepped", step[1]) if step[0] <= drift[0] else Departure("drifting", drift[1])


def _least(found: Sequence[tuple[float, int]]) -> tuple[float, int]:
    """Give the least misfit, the latest of several."""
    best = found[0]
    for one in found[1:]:
        if one[0] <= best[0]:
            best = one
    return best


def _step_misfit(readings: Sequence[Reading], baseline: float, earliest: int, at: int) -> float:
    level = median([one.value for one in readings[at:]])
    misfit = _before(readings, baseline, earliest, at)
    for one in readings[at:]:
        misfit = misfit + _distance(one, level)
    return misfit


def _drift_misfit(readings: Sequence[Reading], baseline: float, earliest: int, at: int) -> float:
    knot = readings[at - 1].day
    slopes = [(one.value - baseline) / (one.day - knot) for one in readings[at:] if one.day != knot]
    per_day = median(slopes) if slopes else 0.0
    misfit = _before(readings, baseline, earliest, at)
    for one in readings[at:]:
        misfit = misfit + _distance(one, baseline + per_day * (one.day - knot))
    return misfit


def _before(readings: Sequence[Reading], baseline: float, earliest: int, at: int) -> float:
    misfit = 0.0
    for one in readings[earliest:at]:
        misfit = misfit + _distance(one, baseline)
    return misfit


def _distance(reading: Reading, level: float) -> float:
    apart = reading.value - level
    return (apart if apart >= 0.0 else -apart) / reading.uncertainty
