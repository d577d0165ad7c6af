"""The constants behind the likelihood, and the standard errors of readings.

The same arithmetic, in the same order, stands in static/js/engine/likelihood.js.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import sqrt
from weakref import WeakKeyDictionary

from fieldlog.model.check import Meter, ReadingSet
from fieldlog.model.rulebook import Rulebook

SQUARE_ROOT_OF_2 = sqrt(2.0)


@dataclass(frozen=True)
class Kernel:
    """The own choices and estimates behind the kernel, taken from the rulebook's limits.

    Parameters
    ----------
    supply_volts, supply_weight : float
        Middle of the plausible supply [V] and one over its variance [1/V^2].
    low_volts, high_volts, edge_volts : float
        Where the plausible supply ends [V], and how softly.
    spread_volts : float
        Volts that turn a spread of ratios into one of readings [V].
    error_share, floor_volts : float
        Standard error as a share of a meter's accuracy, and its least [V].
    wobble_volts : float
        How far the supply moves between an unloaded and a loaded reading [V].
    share_spread : float
        Distance between points in the share of the loop.
    edge_ohms : float
        How softly the plausible loop ends [ohm].
    least_share, tells_at : float
        The neutral's least share of a sound loop; how many standard errors its rise must have to tell.
    rising, falling : float
        Weight of a neutral that the load lifts; of one that falls, and of one that turns.
    """

    supply_volts: float
    supply_weight: float
    low_volts: float
    high_volts: float
    edge_volts: float
    spread_volts: float
    error_share: float
    floor_volts: float
    wobble_volts: float
    share_spread: float
    edge_ohms: float
    least_share: float
    tells_at: float
    rising: float
    falling: float


def kernel_of_limits(limits: Mapping[str, float]) -> Kernel:
    """Give the kernel's constants from limits by id."""
    return Kernel(
        supply_volts=limits["supply-middle"],
        supply_weight=1.0 / (limits["supply-spread"] * limits["supply-spread"]),
        low_volts=limits["supply-low"],
        high_volts=limits["supply-high"],
        edge_volts=limits["supply-edge"],
        spread_volts=limits["ratio-volts"],
        error_share=limits["error-share"],
        floor_volts=limits["error-floor"],
        wobble_volts=limits["supply-wobble"],
        share_spread=limits["share-spread"],
        edge_ohms=limits["ohms-edge"],
        least_share=limits["neutral-least-share"],
        tells_at=limits["rise-tells-at"],
        rising=limits["neutral-rises"],
        falling=limits["neutral-falls"],
    )


_KERNELS: WeakKeyDictionary[Rulebook, Kernel] = WeakKeyDictionary()


def kernel_of(rulebook: Rulebook) -> Kernel:
    """Give the kernel's constants of a rulebook, read once."""
    if rulebook not in _KERNELS:
        _KERNELS[rulebook] = kernel_of_limits({name: limit.value for name, limit in rulebook.limits.items()})
    return _KERNELS[rulebook]


def reading_error(volts: float, meter: Meter, kernel: Kernel) -> float:
    """Give the standard error [V] of a reading [V, 0 to 600] of a meter with this accuracy.

    Notes
    -----
    s = 0.6 (v p / 100 + d), p the meter's percent and d its digits as volts: a little more than 1 / sqrt(3)
    of an accuracy within which every error is as likely as any other. Never less than the floor.

    Examples
    --------
    120 V by a meter of 1 % and 0.3 V: 0.6 x (1.2 + 0.3).

    >>> from fieldlog.rulebook import load
    >>> round(reading_error(120.0, Meter(), kernel_of(load())), 3)
    0.9

    References
    ----------
    JCGM 100:2008 (GUM), section 4.3.7.
    """
    error = kernel.error_share * (volts * meter.accuracy_percent / 100.0 + meter.accuracy_volts)
    return error if error > kernel.floor_volts else kernel.floor_volts


def change_error(change: float, meter: Meter, kernel: Kernel) -> float:
    """Give the standard error [V] of a change [V] between two readings of one meter; its gain is common.

    Notes
    -----
    s = 0.6 (|c| p / 100 + sqrt(2) d): the percent counts on the change alone, the digits of both readings add
    in squares.

    Examples
    --------
    A fall of 5 V by a meter of 1 % and 0.3 V: 0.6 x (0.05 + 1.4142 x 0.3).

    >>> from fieldlog.rulebook import load
    >>> round(change_error(5.0, Meter(), kernel_of(load())), 4)
    0.2846
    """
    size = change if change >= 0.0 else -change
    digits = SQUARE_ROOT_OF_2 * meter.accuracy_volts
    error = kernel.error_share * (size * meter.accuracy_percent / 100.0 + digits)
    return error if error > kernel.floor_volts else kernel.floor_volts


def measured_drop(one: ReadingSet) -> float | None:
    """Give how far the loaded pair fell [V], or None where it was not read both ways."""
    if one.loaded is None:
        return None
    across = one.loaded.across
    bare = one.without_load(across)
    if bare is None or across not in one.loaded.volts:
        return None
    return bare - one.loaded.volts[across]


def least_telling_drop(meter: Meter, kernel: Kernel) -> float:
    """Give the least drop [V] under which a sound neutral's rise stands clear of the meter's digits.

    Examples
    --------
    Three standard errors of 0.6 x 1.4142 x 0.3 V, in the least share of 0.3 that a sound neutral has:

    >>> from fieldlog.rulebook import load
    >>> round(least_telling_drop(Meter(), kernel_of(load())), 2)
    2.55
    """
    return kernel.tells_at * change_error(0.0, meter, kernel) / kernel.least_share


def meter_readings_of(
    volts: Mapping[str, float], meter: Meter, pairs: Sequence[str], kernel: Kernel
) -> list[tuple[int, float, float]]:
    """Give readings as (pair index, volts [V], standard error [V]) in the family's order of pairs."""
    return [
        (place, volts[pair], reading_error(volts[pair], meter, kernel))
        for place, pair in enumerate(pairs)
        if pair in volts
    ]
