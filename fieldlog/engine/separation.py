"""How surely a test tells one wiring from another: 0 not at all, 1 always."""

from collections.abc import Sequence

from fieldlog.engine.kernel import Kernel, reading_error
from fieldlog.engine.likelihood import volts_likelihoods
from fieldlog.engine.points import RATIO_UNIT, Points, points_of
from fieldlog.model.check import Meter
from fieldlog.model.rulebook import LampSet, MeterSet

TYPICAL_VOLTS = 120.0
TYPICAL_METER = Meter()
"""A handheld meter, common practice: 1 % of reading and 3 digits of 0.1 V."""
READINGS_EACH = 12


def separations_by_volts(
    wirings: Sequence[Sequence[MeterSet]], pairs: Sequence[int], mirror: Sequence[int], kernel: Kernel
) -> list[list[float]]:
    """Give how surely a typical meter on these pairs tells each wiring from each other.

    Parameters
    ----------
    wirings : sequence of sequence of MeterSet
        Sample points of each wiring's variants.
    pairs : sequence of int
        Which pairs are read.
    mirror : sequence of int
        Where each pair goes with the two hots swapped.
    kernel : Kernel
        Constants.

    Returns
    -------
    list of list of float
        1 - E1[p(two)] - E2[p(one)], with readings drawn from the points at 120 V and even odds beforehand;
        0 for wirings that look alike, 1 for ones never confused [0 to 1].
    """
    sets = [one for variants in wirings for one in variants]
    points = points_of(sets, kernel)
    ends = _ends(wirings)
    confused = [
        [
            _by_wiring(_both_ways(points, readings, mirror, kernel), ends)
            for one in variants
            for readings in _drawn(one, pairs, kernel)
        ]
        for variants in wirings
    ]
    alike = [[one == two for two in wirings] for one in wirings]
    return [
        [
            0.0 if alike[first][second] else _separation(confused, first, second)
            for second in range(len(wirings))
        ]
        for first in range(len(wirings))
    ]


def _both_ways(
    points: Points, readings: Sequence[tuple[int, float, float]], mirror: Sequence[int], kernel: Kernel
) -> list[float]:
    """Average the densities of readings and of their mirror image."""
    swapped = [(mirror[pair], volts, error) for pair, volts, error in readings]
    own = volts_likelihoods(points, readings, kernel).means
    other = volts_likelihoods(points, swapped, kernel).means
    return [(one + two) / 2.0 for one, two in zip(own, other, strict=True)]


def _ends(wirings: Sequence[Sequence[MeterSet]]) -> list[tuple[int, int]]:
    found, start = list[tuple[int, int]](), 0
    for variants in wirings:
        found.append((start, start + len(variants)))
        start += len(variants)
    return found


def _by_wiring(densities: Sequence[float], ends: Sequence[tuple[int, int]]) -> list[float]:
    return [sum(densities[start:end]) / (end - start) for start, end in ends]


def _separation(confused: Sequence[Sequence[Sequence[float]]], one: int, two: int) -> float:
    mistaken = _confusion(confused[one], one, two) + _confusion(confused[two], two, one)
    return max(0.0, 1.0 - mistaken)


def _confusion(densities: Sequence[Sequence[float]], truth: int, rival: int) -> float:
    total = 0.0
    for each in densities:
        total += each[rival] / (each[truth] + each[rival])
    return total / len(densities)


def _drawn(one: MeterSet, pairs: Sequence[int], kernel: Kernel) -> list[list[tuple[int, float, float]]]:
    step = max(1, len(one.points) // READINGS_EACH)
    return [_readings(point, pairs, kernel) for point in one.points[::step]]


def _readings(point: Sequence[int], pairs: Sequence[int], kernel: Kernel) -> list[tuple[int, float, float]]:
    volts = [point[pair] * RATIO_UNIT * TYPICAL_VOLTS for pair in pairs]
    return [
        (pair, value, reading_error(value, TYPICAL_METER, kernel))
        for pair, value in zip(pairs, volts, strict=True)
    ]


def separation_by_lamps(one: Sequence[LampSet], two: Sequence[LampSet]) -> float:
    """Give how surely lamps, noted as they are, tell two wirings apart, by the same measure [0 to 1].

    Examples
    --------
    Alike in one world of ten of either wiring, where each is as likely as the other:

    >>> one, two = (LampSet("1", ((own, 900000), ("2", 100000))) for own in "01")
    >>> round(separation_by_lamps([one], [two]), 3)
    0.9
    """
    first, second = _patterns(one), _patterns(two)
    confused = 0.0
    for pattern in sorted(first.keys() & second.keys()):
        confused += 2.0 * first[pattern] * second[pattern] / (first[pattern] + second[pattern])
    return max(0.0, 1.0 - confused / 1000000.0)


def _patterns(variants: Sequence[LampSet]) -> dict[str, float]:
    found: dict[str, float] = {}
    for one in variants:
        for pattern, millionths in one.patterns:
            found[pattern] = found.get(pattern, 0.0) + millionths / len(variants)
    return found
