"""A reading of a series, and the middle of numbers."""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Reading:
    """One reading of a series.

    Parameters
    ----------
    day : int
        Day of the reading, counted from any fixed day [d].
    value : float
        What was read, in the unit of the series.
    uncertainty : float
        Half width of what it may be off by, above 0, in the same unit.
    """

    day: int
    value: float
    uncertainty: float


def median(numbers: Sequence[float]) -> float:
    """Give the middle of numbers, midway between the middle two where their count is even.

    Examples
    --------
    >>> median([3.0, 1.0, 8.0]), median([3.0, 1.0, 8.0, 5.0])
    (3.0, 4.0)
    """
    ordered = sorted(numbers)
    half = len(ordered) // 2
    return ordered[half] if len(ordered) % 2 else (ordered[half - 1] + ordered[half]) / 2.0
