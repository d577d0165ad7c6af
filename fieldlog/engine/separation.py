"""How surely a test tells one wiring from another: 0 not at all, 1 always."""

from collections.abc import Sequence

from fieldlog.engine.likelihood import RATIO_UNIT, reading_errors, volts_likelihood
from fieldlog.model.rulebook import LampSet, MeterSet

TYPICAL_VOLTS = 120.0
TYPICAL_PERCENT, TYPICAL_COUNTS_VOLTS = 1.0, 0.3
"""A handheld meter, common practice: 1 % of reading and 3 digits of 0.1 V."""
READINGS_EACH = 12


def separation_by_volts(one: MeterSet, two: MeterSet, pairs: Sequence[int]) -> float:
    """Give how surely a typical meter on these pairs tells two wirings apart.

    Parameters
    ----------
    one, two : MeterSet
        Their sample points.
    pairs : sequence of int
        Which pairs are read.

    Returns
    -------
    float
        1 - E1[p(two)] - E2[p(one)], with readings drawn from the points at 120 V and even odds beforehand;
        0 for wirings that look alike, 1 for ones never confused [0 to 1].
    """
    if one == two:
        return 0.0
    confused = _confusion(one, two, pairs) + _confusion(two, one, pairs)
    return max(0.0, 1.0 - confused)


def _confusion(truth: MeterSet, rival: MeterSet, pairs: Sequence[int]) -> float:
    step = max(1, len(truth.points) // READINGS_EACH)
    chosen = truth.points[::step]
    total = 0.0
    for point in chosen:
        readings = _readings(point, pairs)
        own, other = volts_likelihood(truth, readings), volts_likelihood(rival, readings)
        total += other / (own + other)
    return total / len(chosen)


def _readings(point: Sequence[int], pairs: Sequence[int]) -> list[tuple[int, float, float]]:
    volts = {str(pair): point[pair] * RATIO_UNIT * TYPICAL_VOLTS for pair in pairs}
    errors = reading_errors(volts, TYPICAL_PERCENT, TYPICAL_COUNTS_VOLTS)
    return [(pair, volts[str(pair)], errors[str(pair)]) for pair in pairs]


def separation_by_lamps(one: LampSet, two: LampSet) -> float:
    """Give how surely three lamps tell two wirings apart, by the same measure."""
    confused = 0.0
    for first, second in zip(one.table, two.table, strict=True):
        if first + second > 0:
            confused += 2.0 * first * second / (first + second)
    return max(0.0, 1.0 - confused / 1000000.0)
