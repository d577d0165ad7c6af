"""The rulebook's sample points as arrays, made once a family."""

from collections.abc import Sequence
from dataclasses import dataclass
from weakref import WeakKeyDictionary

import numpy as np
import numpy.typing as npt

from fieldlog.engine.kernel import Kernel
from fieldlog.model.rulebook import LoadSet, MeterSet, OutletFamily

Array = npt.NDArray[np.float64]
RATIO_UNIT, SHARE_UNIT, OHM_UNIT = 0.001, 0.01, 0.001
"""The rulebook keeps ratios to the supply and ohms in thousandths, shares of the loop in hundredths."""


@dataclass(frozen=True)
class Points:
    """The sample points of many sets, one set after the other.

    Parameters
    ----------
    ratios : tuple of array
        One for each pair, over all points: ratio to the supply.
    squares : tuple of array
        The squares of the ratios.
    spreads : tuple of array
        One for each pair, over the sets: distance between points, as volts at the supply's usual volts [V].
    counts : array
        Points of each set.
    owner : array of int
        The set of each point.
    starts : array of int
        Where each set begins.
    is_real : array of bool, sets x most points
        Where a set's points lie when short sets are filled up.
    flat : array of int
        The same places, numbered one row after the other.
    """

    ratios: tuple[Array, ...]
    squares: tuple[Array, ...]
    spreads: tuple[Array, ...]
    counts: Array
    owner: npt.NDArray[np.intp]
    starts: npt.NDArray[np.intp]
    is_real: npt.NDArray[np.bool_]
    flat: npt.NDArray[np.intp]


def points_of(sets: Sequence[MeterSet], kernel: Kernel) -> Points:
    """Put the sample points of many sets one after the other."""
    counts = [len(one.points) for one in sets]
    ratios = np.array([point for one in sets for point in one.points], dtype=np.float64).T
    spreads = np.array([one.spreads for one in sets], dtype=np.float64).T
    is_real, in_ratio = _is_real(counts), tuple(ratios * RATIO_UNIT)
    return Points(
        in_ratio,
        tuple(ratio * ratio for ratio in in_ratio),
        tuple(spreads * RATIO_UNIT * kernel.spread_volts),
        np.array(counts, dtype=np.float64),
        np.repeat(np.arange(len(sets)), counts),
        np.cumsum([0, *counts[:-1]]),
        is_real,
        np.flatnonzero(is_real),
    )


def _is_real(counts: Sequence[int]) -> npt.NDArray[np.bool_]:
    return np.arange(max(counts)) < np.array(counts)[:, np.newaxis]


@dataclass(frozen=True)
class LoadPoints:
    """The load sets of a family across one pair, as arrays of sets x points."""

    ratios: tuple[Array, ...]
    shares: tuple[Array, ...]
    spreads: tuple[Array, ...]
    is_steady: tuple[npt.NDArray[np.bool_], ...]
    low_ohms: Array
    high_ohms: Array
    counts: Array
    is_real: npt.NDArray[np.bool_]


def load_points_of(sets: Sequence[LoadSet], kernel: Kernel) -> LoadPoints:
    """Stack the load points of many sets."""
    counts = [len(one.ratios[0]) for one in sets]
    shape = (len(sets[0].ratios), len(sets), max(counts))
    ratios, shares = np.zeros(shape), np.zeros(shape)
    for place, one in enumerate(sets):
        ratios[:, place, : counts[place]] = one.ratios
        shares[:, place, : counts[place]] = one.shares
    spreads = np.array([one.ratio_spreads for one in sets], dtype=np.float64).T
    ohms = np.array([one.ohms for one in sets], dtype=np.float64) * OHM_UNIT
    return LoadPoints(
        tuple(ratios * RATIO_UNIT),
        tuple(shares * SHARE_UNIT),
        tuple((spreads * RATIO_UNIT * kernel.spread_volts)[:, :, np.newaxis]),
        tuple(np.array([one.steady for one in sets]).T[:, :, np.newaxis]),
        ohms[:, :1],
        ohms[:, 1:],
        np.array(counts, dtype=np.float64),
        _is_real(counts),
    )


_STACKED: WeakKeyDictionary[OutletFamily, dict[str, Points]] = WeakKeyDictionary()
_STACKED_LOADS: WeakKeyDictionary[OutletFamily, dict[str, LoadPoints]] = WeakKeyDictionary()


def family_points(family: OutletFamily, meter_input: str, kernel: Kernel) -> Points:
    """Give a family's sample points under one kind of meter, stacked once."""
    kept = _STACKED.setdefault(family, {})
    if meter_input not in kept:
        kept[meter_input] = points_of(family.meters[meter_input], kernel)
    return kept[meter_input]


def family_load_points(family: OutletFamily, across: str, kernel: Kernel) -> LoadPoints:
    """Give a family's load points across one pair, stacked once."""
    kept = _STACKED_LOADS.setdefault(family, {})
    if across not in kept:
        kept[across] = load_points_of(family.loads[across], kernel)
    return kept[across]
