"""One way of an explanation held against one set of readings: its sample points, lamps and load."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

from fieldlog.engine.kernel import Kernel, kernel_of, measured_drop, meter_readings_of
from fieldlog.engine.load_readings import LoadReading, each_way, load_readings
from fieldlog.engine.reading_sets import NEUTRAL_TO_GROUND, by_lamps, mirrored, tester_of
from fieldlog.engine.trace.point import Points, all_fits, load_fit, volts_fit
from fieldlog.engine.twins import bare_pairs
from fieldlog.model.check import LoadTest, ReadingSet
from fieldlog.model.rulebook import OutletFamily, Rulebook, Variant, Way

AS_READ, SIGNS = "rises", ("rises", "falls", "turns")
"""What the neutral may do under its own load where neighbours share it, and how likely each is."""


@dataclass(frozen=True)
class LoadFit:
    """The loaded readings taken with one sign of the neutral.

    Parameters
    ----------
    sign : str
        "rises" as it is read, or "falls" or "turns" where neighbours on the other leg pull it.
    share : float
        What this sign counts with [0 to 1].
    points : Points
        The load points held against the readings.
    """

    sign: str
    share: float
    points: Points


@dataclass(frozen=True)
class WaySet:
    """One way held against one set.

    Parameters
    ----------
    one : ReadingSet
        The set, its hots swapped where the way is a mirror image.
    volts : Points or None
        None without volts.
    lamps : float
        Probability of what the lamps showed; 1 without lamps.
    load : tuple of LoadFit
        One for each sign that the neutral may have; empty without a load.
    """

    one: ReadingSet
    volts: Points | None
    lamps: float
    load: tuple[LoadFit, ...]

    @property
    def load_density(self) -> float:
        """Give the likelihood of the loaded readings, over the signs; 1 without a load."""
        return sum(each.share * each.points.density for each in self.load) if self.load else 1.0

    @property
    def likelihood(self) -> float:
        """Give the likelihood of the set: the product over meter, lamps and load."""
        return (self.volts.density if self.volts else 1.0) * self.lamps * self.load_density

    @property
    def best(self) -> float:
        """Give the product of the kernels at the points that fit best, with the lamps."""
        load = max((each.points.best_kernel for each in self.load), default=1.0)
        return (self.volts.best_kernel if self.volts else 1.0) * self.lamps * load


def way_set(way: Way, one: ReadingSet, family: OutletFamily, rulebook: Rulebook) -> WaySet:
    """Hold one way of an explanation against one set of readings."""
    side = mirrored(one, family) if way.is_mirrored else one
    variant, kernel = family.wirings[way.wiring].variants[way.variant], kernel_of(rulebook)
    tester = tester_of(side, family)
    return WaySet(
        side,
        _by_volts(variant, side, family, kernel) if side.volts else None,
        by_lamps(side, family, rulebook, tester)[variant.sets[tester]],
        _by_load(variant, side, side.loaded, family, kernel) if side.loaded and side.loaded.volts else (),
    )


def _by_volts(variant: Variant, one: ReadingSet, family: OutletFamily, kernel: Kernel) -> Points:
    readings = meter_readings_of(one.volts, one.meter, family.pairs, kernel)
    kept = family.meters[one.meter.input][variant.sets[one.meter.input]]
    return all_fits(len(kept.points), partial(volts_fit, kept, readings=readings, kernel=kernel))


def _by_load(
    variant: Variant, one: ReadingSet, loaded: LoadTest, family: OutletFamily, kernel: Kernel
) -> tuple[LoadFit, ...]:
    readings, drop = load_readings(one, loaded, bare_pairs(family), kernel), measured_drop(one)
    kept = family.loads[loaded.across][variant.sets[f"load {loaded.across}"]]
    return tuple(
        LoadFit(
            sign,
            share,
            all_fits(
                len(kept.ratios[0]),
                partial(load_fit, kept, readings=signed, amps=loaded.amps, drop=drop, kernel=kernel),
            ),
        )
        for sign, share, signed in _signed(readings, family.pairs.index(NEUTRAL_TO_GROUND), kernel)
    )


def _signed(
    readings: Sequence[LoadReading], neutral: int, kernel: Kernel
) -> list[tuple[str, float, Sequence[LoadReading]]]:
    if not any(reading.pair == neutral and reading.fall is not None for reading in readings):
        return [(AS_READ, 1.0, readings)]
    return [
        (
            sign,
            kernel.rising if sign == AS_READ else kernel.falling,
            readings if sign == AS_READ else [each_way(each, neutral, sign) for each in readings],
        )
        for sign in SIGNS
    ]
