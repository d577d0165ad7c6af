"""How well each way of each explanation fits one set of readings, and all sets of a check together.

The same arithmetic, in the same order, stands in static/js/engine/reading-sets.js.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import NamedTuple, TypeVar

from fieldlog.engine.kernel import Kernel, kernel_of, measured_drop, meter_readings_of
from fieldlog.engine.likelihood import Fits, lamps_likelihoods, volts_likelihoods
from fieldlog.engine.load_readings import load_likelihoods, load_readings
from fieldlog.engine.points import family_load_points, family_points
from fieldlog.engine.twins import bare_pairs
from fieldlog.model.check import LAMP_STATES, Check, ReadingSet
from fieldlog.model.rulebook import LampSet, OutletFamily, Rulebook, Way

SWAPPED_NEUTRAL = "neutral-ground-reversed"
NEUTRAL_TO_GROUND = "n-g"
Read = TypeVar("Read", float, str)


class AfterSet(NamedTuple):
    """How well each way fits one set, and where that leaves all of them.

    Parameters
    ----------
    found, bests : list of float
        Of this set alone: likelihood densities, and kernels at the points that fit best [0 and up].
    largest, best : float
        What the products so far were divided by, so that many sets do not run out of range.
    total, fits, other : list of float, list of float, float
        The products after it, of each way and of what no wiring gives; the largest is 1.
    """

    found: list[float]
    bests: list[float]
    largest: float
    best: float
    total: list[float]
    fits: list[float]
    other: float


class Joint(NamedTuple):
    """How well each way fits everything that was read.

    Parameters
    ----------
    likelihoods, fits : list of float
        For each way of the family: likelihood, and best fit, both as shares of the largest [0 to 1].
    other : float
        The likelihood of what no wiring gives.
    """

    likelihoods: list[float]
    fits: list[float]
    other: float


def joint_likelihoods(check: Check, family: OutletFamily, rulebook: Rulebook) -> Joint:
    """Give how well each way and what no wiring gives fit all sets, continuity and trip tests."""
    total, other = [1.0] * len(family.ways), rulebook.limit("other-share")
    fits = total
    for step in after_each_set(check, family, rulebook):
        total, fits, other = step.total, step.fits, step.other
    if not check.continuity and not check.trip:
        return Joint(total, fits, other)
    factors = [way_factor(check, way, family, rulebook) for way in family.ways]
    for _ in check.continuity:
        other = other * 0.5
    return Joint(_products(total, factors), _products(fits, factors), other)


def after_each_set(check: Check, family: OutletFamily, rulebook: Rulebook) -> Iterator[AfterSet]:
    """Go through the sets, multiplying up; what is excluded with all unplugged is excluded in each."""
    total, other = [1.0] * len(family.ways), rulebook.limit("other-share")
    fits = total
    is_unplugged = any(one.state == "unplugged" for one in check.live_sets)
    for one in check.live_sets:
        found, bests = of_set(one, family, rulebook)
        if is_unplugged:
            found, bests = (_with_load_gone(each, family, one.state) for each in (found, bests))
        total, fits = _products(total, found), _products(fits, bests)
        other = other * other_of_set(one, rulebook)
        largest, best = _largest(total, other), _largest(fits, 0.0)
        total, other = [value / largest for value in total], other / largest
        fits = [value / best for value in fits]
        yield AfterSet(found, bests, largest, best, total, fits, other)


def _products(one: Sequence[float], two: Sequence[float]) -> list[float]:
    return [first * second for first, second in zip(one, two, strict=True)]


def _largest(values: Sequence[float], least: float) -> float:
    """Give the largest, or 1 where there is none above 0."""
    largest = least
    for value in values:
        if value > largest:
            largest = value
    return largest if largest > 0.0 else 1.0


def of_set(one: ReadingSet, family: OutletFamily, rulebook: Rulebook) -> tuple[list[float], list[float]]:
    """Give how well each way fits one set: likelihoods, and kernels at the points that fit best."""
    own = _of_side(one, family, rulebook)
    found, bests = own.by_way(family, is_mirrored=False)
    if not family.mirror:
        return found, bests
    others, others_bests = _of_side(mirrored(one, family), family, rulebook).by_way(family, is_mirrored=True)
    return _in_turn(found, others), _in_turn(bests, others_bests)


def _in_turn(own: Sequence[float], mirrored_ones: Sequence[float]) -> list[float]:
    """Give values in the order of ways, in which mirror images stand together."""
    return [value for both in zip(own, mirrored_ones, strict=True) for value in both]


@lru_cache(maxsize=64)
def _places(
    family: OutletFamily, is_mirrored: bool, volts_kind: str, lamps_kind: str, load_kind: str
) -> tuple[tuple[int, int, int], ...]:
    """Give where the points of each way lie, in the order of ways."""
    variants = [
        family.wirings[way.wiring].variants[way.variant]
        for way in family.ways
        if way.is_mirrored == is_mirrored
    ]
    return tuple((one.sets[volts_kind], one.sets[lamps_kind], one.sets[load_kind]) for one in variants)


class _Side(NamedTuple):
    """What one set, or its mirror image, says of the family's points."""

    volts_kind: str
    volts: Fits
    lamps_kind: str
    lamps: list[float]
    load_kind: str
    load: Fits

    def by_way(self, family: OutletFamily, *, is_mirrored: bool) -> tuple[list[float], list[float]]:
        """Give likelihoods and best kernels of the ways that are held against this side."""
        places = _places(family, is_mirrored, self.volts_kind, self.lamps_kind, self.load_kind)
        volts, lamps, load = self.volts, self.lamps, self.load
        return (
            [volts.means[at] * lamps[lit] * load.means[loaded] for at, lit, loaded in places],
            [volts.bests[at] * lamps[lit] * load.bests[loaded] for at, lit, loaded in places],
        )


def _of_side(one: ReadingSet, family: OutletFamily, rulebook: Rulebook) -> _Side:
    kernel = kernel_of(rulebook)
    tester = tester_of(one, family)
    across = one.loaded.across if one.loaded else family.acrosses[0]
    return _Side(
        one.meter.input,
        _by_volts(one, family, kernel),
        tester,
        by_lamps(one, family, rulebook, tester),
        f"load {across}",
        _by_load(one, family, across, kernel),
    )


def mirrored(one: ReadingSet, family: OutletFamily) -> ReadingSet:
    """Give a set as it would have been read with the two hots swapped."""
    loaded = one.loaded
    if loaded is not None:
        across = family.mirror.get(loaded.across, loaded.across)
        loaded = replace(loaded, across=across, volts=_swapped(loaded.volts, family))
    return replace(one, volts=_swapped(one.volts, family), lamps=_swapped(one.lamps, family), loaded=loaded)


def _swapped(read: Mapping[str, Read], family: OutletFamily) -> dict[str, Read]:
    found = {family.mirror.get(pair, pair): value for pair, value in read.items()}
    return {pair: found[pair] for pair in family.pairs if pair in found}


def tester_of(one: ReadingSet, family: OutletFamily) -> str:
    """Name the tester whose lamps were seen: one leg's alone, or one between every two contacts."""
    if all(pair == NEUTRAL_TO_GROUND for pair in one.lamps):
        return "lamps"
    for name in sorted(family.testers, reverse=True):
        if all(pair in family.testers[name] for pair in one.lamps):
            return name
    return "lamps"


def _by_volts(one: ReadingSet, family: OutletFamily, kernel: Kernel) -> Fits:
    if not one.volts:
        return _no_fits(len(family.meters[one.meter.input]))
    readings = meter_readings_of(one.volts, one.meter, family.pairs, kernel)
    return volts_likelihoods(family_points(family, one.meter.input, kernel), readings, kernel)


def _no_fits(count: int) -> Fits:
    return Fits([1.0] * count, [1.0] * count)


def by_lamps(one: ReadingSet, family: OutletFamily, rulebook: Rulebook, tester: str) -> list[float]:
    """Give the probability of a set's lamps under each of the tester's patterns; 1 where none was seen."""
    lamps: tuple[LampSet, ...] = family.lamps[tester]
    if not one.lamps:
        return [1.0] * len(lamps)
    pairs = family.testers[tester]
    seen = [LAMP_STATES.index(one.lamps[pair]) if pair in one.lamps else None for pair in pairs]
    return lamps_likelihoods(lamps, seen, [rulebook.misread[state] for state in LAMP_STATES])


def _by_load(one: ReadingSet, family: OutletFamily, across: str, kernel: Kernel) -> Fits:
    if one.loaded is None or not one.loaded.volts:
        return _no_fits(len(family.loads[across]))
    readings = load_readings(one, one.loaded, bare_pairs(family), kernel)
    points = family_load_points(family, across, kernel)
    neutral = family.pairs.index(NEUTRAL_TO_GROUND)
    return load_likelihoods(points, readings, neutral, one.loaded.amps, measured_drop(one), kernel)


def other_of_set(one: ReadingSet, rulebook: Rulebook) -> float:
    """Give the likelihood of a set's readings under what no wiring gives."""
    likelihood, volts = 1.0, rulebook.limit("other-volts")
    for _ in one.volts:
        likelihood = likelihood / volts
    for _ in one.lamps:
        likelihood = likelihood / 3.0
    for pair in one.loaded.volts if one.loaded else ():
        if not pair.endswith("-e"):
            likelihood = likelihood / volts
    return likelihood


def _with_load_gone(found: list[float], family: OutletFamily, state: str) -> list[float]:
    """Exclude what something plugged in explains; what it leaves behind may explain the first set.

    With everything unplugged an open neutral with a load on it is an open neutral, and an open ground with a
    leaking appliance is an open ground; as found, either may have looked like the other.
    """
    kept = list(found)
    ids = [family.wirings[way.wiring].id for way in family.ways]
    for place, way in enumerate(family.ways):
        left = family.wirings[way.wiring].when_unplugged
        if not left:
            continue
        behind = ids.index(left)
        if state == "as-found" and found[place] > kept[behind]:
            kept[behind] = found[place]
        kept[place] = 0.0
    return kept


def way_factor(check: Check, way: Way, family: OutletFamily, rulebook: Rulebook) -> float:
    """Give what continuity and a device upstream say of a way: 0 where it is excluded."""
    wiring = family.wirings[way.wiring]
    if wiring.id == SWAPPED_NEUTRAL and has_held_upstream(check, rulebook):
        return 0.0
    factor, misread = 1.0, rulebook.limit("continuity-misread")
    for pair, state in check.continuity.items():
        expected = wiring.variants[way.variant].continuity[check.where][pair]
        factor = factor * (1.0 - misread if expected == state else misread)
    return factor


def has_held_upstream(check: Check, rulebook: Rulebook) -> bool:
    """Tell whether a device upstream tripped by its button, reset, and then held a load of 1 A or more."""
    if not check.trip:
        return False
    least = rulebook.limit("load-least")
    is_loaded = any(one.loaded is not None and one.loaded.amps >= least for one in check.live_sets)
    return is_loaded and any(
        trip.by == "button" and trip.device == "upstream" and trip.tripped and trip.reset
        for trip in check.trip
    )


def lamps_alone(check: Check, name: str, family: OutletFamily, rulebook: Rulebook) -> float:
    """Give the probability of all lamps of a check under one explanation, nothing else considered."""
    likelihood = 1.0
    for one in check.live_sets:
        if one.lamps:
            likelihood = likelihood * _lamps_of_wiring(one, name, family, rulebook)
    return likelihood


def _lamps_of_wiring(one: ReadingSet, name: str, family: OutletFamily, rulebook: Rulebook) -> float:
    total, count = 0.0, 0
    sides = {False: one, True: mirrored(one, family) if family.mirror else one}
    for way in family.ways:
        wiring = family.wirings[way.wiring]
        if wiring.id == name:
            side = sides[way.is_mirrored]
            tester = tester_of(side, family)
            place = wiring.variants[way.variant].sets[tester]
            total, count = total + by_lamps(side, family, rulebook, tester)[place], count + 1
    return total / count
