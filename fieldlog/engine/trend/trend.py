"""Whether a series of readings stands, has stepped, or drifts."""

from collections.abc import Sequence
from math import sqrt
from typing import Any

from fieldlog.engine.trend.alarm import alarm_start
from fieldlog.engine.trend.departure import departure
from fieldlog.engine.trend.intake import Series, day_text, days, read_series
from fieldlog.engine.trend.model import Reading, median
from fieldlog.engine.trend.slope import slope_of

LEAST = 4
"""Readings since the last change below which nothing is told."""
ROOT_3 = sqrt(3.0)


def trend(value: Any) -> dict[str, Any]:
    """Say what has drifted.

    Parameters
    ----------
    value : JSON object
        "quantity" (loop-ohms [ohm], neutral-ohms [ohm], volts [V], trip-ms [ms]), "readings", each with "at"
        (a day), "value" and "uncertainty" (its half width, above 0), and "changes", days on which the
        wiring, the meter or the load changed.

    Returns
    -------
    dict
        "state", "count" of the readings from the last change on, "baseline", "slope_per_year" with
        "slope_low" and "slope_high", and "since", the day of the first reading that is off, or None.

    Raises
    ------
    BadInput
        With every problem found, each naming its member.

    Notes
    -----
    All of it is of the readings from the last change on. The baseline is the median of the earlier half of
    them, at least of four: what drifts is not to become its own baseline, and one of few readings errs too
    far itself. A reading may lie anywhere within its half width a, so its standard deviation is a / √3; the
    alarm is the cumulative sum of departures in those. The slope tells how fast, not whether: it raises no
    alarm.

    Examples
    --------
    >>> steady = {"quantity": "volts", "changes": [], "readings": [
    ...     {"at": f"2026-0{i}-01", "value": 120.0, "uncertainty": 1.5} for i in range(1, 6)]}
    >>> trend(steady)["state"], trend(steady)["slope_per_year"]
    ('steady', 0.0)

    References
    ----------
    As for `slope_of` and `cumulative_sums`; the rectangular distribution: JCGM 100 (GUM), 4.3.7.
    """
    return told(read_series(value))


def told(series: Series) -> dict[str, Any]:
    """Give the answer of a series, as `trend` does.

    Parameters
    ----------
    series : Series
        In the order of days.

    Returns
    -------
    dict
        As `trend`.
    """
    readings = series.since_change
    if len(readings) < LEAST or days(readings) < 2:
        return _answer("too-few", readings)
    baseline = _baseline(readings)
    start = alarm_start([(one.value - baseline) / (one.uncertainty / ROOT_3) for one in readings])
    if start is None:
        return _answer("steady", readings)
    off = departure(readings, baseline, start)
    return _answer(off.state, readings, day_text(readings[off.first].day))


def _baseline(readings: Sequence[Reading]) -> float:
    half = len(readings) // 2
    return median([one.value for one in readings[: half if half > LEAST else LEAST]])


def _answer(state: str, readings: Sequence[Reading], since: str | None = None) -> dict[str, Any]:
    slope = slope_of(readings) if state != "too-few" else None
    return {
        "state": state,
        "count": len(readings),
        "baseline": _baseline(readings) if readings else None,
        "slope_per_year": slope.per_year if slope else None,
        "slope_low": slope.low if slope else None,
        "slope_high": slope.high if slope else None,
        "since": since,
    }
