"""From likelihoods to explanations: which wirings fit, how surely, and which cannot be ruled out.

The same arithmetic, in the same order, stands in static/js/engine/explanations.js.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from fieldlog.engine.limits import is_behind_120_volts
from fieldlog.engine.reading_sets import Joint, joint_likelihoods
from fieldlog.engine.twins import twins_of
from fieldlog.model.check import Check
from fieldlog.model.rulebook import OutletFamily, Rulebook, WiringEntry

OTHER = "other"
CORRECT, ONE_HOT = "correct", "same-leg"


@dataclass(frozen=True)
class Explanations:
    """What fits the readings.

    Parameters
    ----------
    probabilities : tuple of (id, float)
        In rulebook order, named wirings first, "other" last; together 1.
    not_ruled_out : tuple of str
        Dangerous wirings that fit the readings nearly as well as the best one and do not come first.
    unnamed : str
        The unnamed wiring that fits best where one holds more than half of "other", or "".
    likelihoods, fits, weights : tuple of float
        For every way in rulebook order: likelihood, best fit, and likelihood times prior; for a trace.
    keys : tuple of str
        Groups of twins: ways with the same key start with their priors, different keys start equal.
    other : float
        Weight of what no wiring gives.
    """

    probabilities: tuple[tuple[str, float], ...] = ()
    not_ruled_out: tuple[str, ...] = ()
    unnamed: str = ""
    likelihoods: tuple[float, ...] = ()
    fits: tuple[float, ...] = ()
    weights: tuple[float, ...] = ()
    keys: tuple[str, ...] = ()
    other: float = 0.0

    def probability(self, name: str) -> float:
        """Give the probability of one explanation, 0 when it is unknown."""
        return dict(self.probabilities).get(name, 0.0)

    @property
    def first(self) -> str:
        """Name the most probable explanation; the earlier of the rulebook wins a tie."""
        return _first(self.probabilities) if self.probabilities else ""


def is_read(check: Check) -> bool:
    """Tell whether anything was read by meter or lamp with the breaker on."""
    return any(one.volts or one.lamps or (one.loaded and one.loaded.volts) for one in check.live_sets)


def explain(check: Check, rulebook: Rulebook) -> Explanations:
    """Weigh every wiring of the outlet's family against all that was read.

    Parameters
    ----------
    check : Check
        With at least one reading by meter or lamp.
    rulebook : Rulebook
        Wirings and sample points.

    Returns
    -------
    Explanations
        Probabilities and what is not ruled out.

    Notes
    -----
    Each set of readings has its own likelihood; they are multiplied. An explanation may be so in several
    ways: by its variants, and on an outlet with two hots with these as they are or swapped. Ways that the
    readings at hand cannot separate are twins: one group. Every group starts equal, so that readings, not
    priors, decide between groups; within a group the priors decide:
    weight_i = L_i * prior_i / (sum of priors in the group of i), and an explanation has the weight of all its
    ways. What no wiring gives has a flat, small likelihood of its own and is called other. Not ruled out is
    what fits nearly as well as the best wiring with a name, on average over the plausible world or at its
    best point.
    """
    family = rulebook.family_of(check.outlet)
    joint = joint_likelihoods(check, family, rulebook)
    twins = twins_of(check, family)
    by_way = [likelihood * share for likelihood, share in zip(joint.likelihoods, twins.shares, strict=True)]
    weights = over_ways(by_way, family)
    other, unnamed, largest = joint.other, "", 0.0
    for wiring, weight in zip(family.wirings, weights, strict=True):
        if not wiring.is_named:
            other = other + weight
            if weight > largest:
                unnamed, largest = wiring.id, weight
    probabilities = _probabilities(family, weights, other, rulebook.limit("shown-from"))
    return Explanations(
        probabilities=probabilities,
        not_ruled_out=_not_ruled_out(check, family, joint, _first(probabilities), rulebook),
        unnamed=unnamed if largest > other / 2.0 else "",
        likelihoods=tuple(joint.likelihoods),
        fits=tuple(joint.fits),
        weights=tuple(by_way),
        keys=twins.keys,
        other=other,
    )


def over_ways(values: Sequence[float], family: OutletFamily) -> list[float]:
    """Add up each explanation's ways, mirror images first, so that swapping the hots changes no bit."""
    found, place = list[float](), 0
    sides = 2 if family.mirror else 1
    for count in _variants(family):
        total = 0.0
        for _ in range(count):
            own = values[place]
            total = total + (own + values[place + 1] if sides == 2 else own)
            place += sides
        found.append(total)
    return found


@lru_cache(maxsize=16)
def _variants(family: OutletFamily) -> tuple[int, ...]:
    return tuple(len(wiring.variants) for wiring in family.wirings)


def _first(probabilities: Sequence[tuple[str, float]]) -> str:
    best_name, best = OTHER, -1.0
    for name, probability in probabilities:
        if probability > best:
            best_name, best = name, probability
    return best_name


def _probabilities(
    family: OutletFamily, weights: Sequence[float], other: float, shown_from: float
) -> tuple[tuple[str, float], ...]:
    total = other
    for wiring, weight in zip(family.wirings, weights, strict=True):
        if wiring.is_named:
            total = total + weight
    shown: list[tuple[str, float]] = []
    rest = other / total
    for wiring, weight in zip(family.wirings, weights, strict=True):
        if wiring.is_named:
            probability = weight / total
            if probability >= shown_from:
                shown.append((wiring.id, probability))
            else:
                rest = rest + probability
    shown.append((OTHER, rest if rest < 1.0 else 1.0))
    return tuple(shown)


def _not_ruled_out(
    check: Check, family: OutletFamily, joint: Joint, first: str, rulebook: Rulebook
) -> tuple[str, ...]:
    least = rulebook.limit("ruled-out-below")
    likelihoods = _means(joint.likelihoods, family)
    fits = _bests(joint.fits, family)
    least_likelihood = least * _best_named(likelihoods, family)
    least_fit = rulebook.limit("fits-well") * _best_named(fits, family)
    return tuple(
        wiring.id
        for wiring, likelihood, fit in zip(family.wirings, likelihoods, fits, strict=True)
        if (likelihood >= least_likelihood or fit >= least_fit)
        and wiring.is_named
        and wiring.is_dangerous
        and not is_usable(wiring, check)
        and wiring.id != first
    )


def _best_named(values: Sequence[float], family: OutletFamily) -> float:
    return max(value for value, wiring in zip(values, family.wirings, strict=True) if wiring.is_named)


def _means(values: Sequence[float], family: OutletFamily) -> list[float]:
    sides = 2 if family.mirror else 1
    return [
        total / (len(wiring.variants) * sides)
        for total, wiring in zip(over_ways(values, family), family.wirings, strict=True)
    ]


def _bests(values: Sequence[float], family: OutletFamily) -> list[float]:
    found = [0.0] * len(family.wirings)
    for value, way in zip(values, family.ways, strict=True):
        if value > found[way.wiring]:
            found[way.wiring] = value
    return found


def is_usable(wiring: WiringEntry, check: Check) -> bool:
    """Tell whether an explanation lets the outlet be used, on this supply, at this place, behind adapters."""
    return _is_usable(wiring, check.supply, check.where, is_behind_120_volts(check))


def usable_or_by_ohms(check: Check, family: OutletFamily) -> frozenset[str]:
    """Name the wirings that are not held against the outlet: usable ones, and those that ohms decide."""
    return _usable_or_by_ohms(family, check.supply, check.where, is_behind_120_volts(check))


@lru_cache(maxsize=64)
def _usable_or_by_ohms(family: OutletFamily, supply: str, where: str, is_behind: bool) -> frozenset[str]:
    return frozenset(
        one.id
        for one in family.wirings
        if one.is_decided_by_ohms or _is_usable(one, supply, where, is_behind)
    )


def _is_usable(wiring: WiringEntry, supply: str, where: str, is_behind: bool) -> bool:
    if is_behind and wiring.id in (CORRECT, ONE_HOT):
        return wiring.id == ONE_HOT
    use = wiring.usable.get(supply)
    return use == "always" or (use == "at-pedestal" and where == "pedestal")
