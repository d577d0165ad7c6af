"""From likelihoods to explanations: which wirings fit, how surely, and which cannot be ruled out.

The same arithmetic, in the same order, stands in static/js/engine/explanations.js.
"""

from dataclasses import dataclass

from fieldlog.engine.likelihood import lamps_likelihood, reading_errors, volts_likelihood
from fieldlog.model.check import LAMP_PAIRS, PAIRS, Check
from fieldlog.model.rulebook import Rulebook, WiringEntry

OTHER = "other"
TWINS_BY = "high-impedance"
"""Which meter's classes settle who is a twin of whom, own choice: the less telling one."""
OTHER_SHARE = 0.05
"""Weight of readings that no wiring of the rulebook gives, own choice."""
OTHER_VOLTS = 300.0
"""Such readings lie anywhere up to here, own choice."""
SHOWN_FROM = 0.001
RULED_OUT_BELOW = 0.05
"""A twentieth of the best likelihood, own choice."""


@dataclass(frozen=True)
class Explanations:
    """What fits the readings.

    Parameters
    ----------
    probabilities : tuple of (id, float)
        In rulebook order, named wirings first, "other" last; together 1.
    not_ruled_out : tuple of str
        Dangerous wirings that fit the readings nearly as well as the best one and do not come first.
    """

    probabilities: tuple[tuple[str, float], ...]
    not_ruled_out: tuple[str, ...]

    def probability(self, name: str) -> float:
        """Give the probability of one explanation, 0 when it is unknown."""
        return dict(self.probabilities).get(name, 0.0)

    @property
    def first(self) -> str:
        """Name the most probable explanation; the earlier of the rulebook wins a tie."""
        best_name, best = OTHER, -1.0
        for name, probability in self.probabilities:
            if probability > best:
                best_name, best = name, probability
        return best_name


def explain(check: Check, rulebook: Rulebook) -> Explanations:
    """Weigh every wiring of the rulebook against the volts and lamps of a check.

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
    Wirings that the readings at hand cannot separate are twins: one group. Every group starts equal, so that
    readings, not priors, decide between groups; within a group the priors decide:
    weight_i = L_i * prior_i / (sum of priors in the group of i). What no wiring gives has a flat, small
    likelihood of its own and is called other.
    """
    likelihoods = _likelihoods(check, rulebook)
    weights = _weights(check, rulebook, likelihoods)
    other = _likelihood_of_other(check)
    for wiring, weight in zip(rulebook.wirings, weights, strict=True):
        if not wiring.is_named:
            other = other + weight
    total = other
    for wiring, weight in zip(rulebook.wirings, weights, strict=True):
        if wiring.is_named:
            total = total + weight
    shown: list[tuple[str, float]] = []
    rest = other / total
    for wiring, weight in zip(rulebook.wirings, weights, strict=True):
        if wiring.is_named:
            probability = weight / total
            if probability >= SHOWN_FROM:
                shown.append((wiring.id, probability))
            else:
                rest = rest + probability
    shown.append((OTHER, rest if rest < 1.0 else 1.0))
    draft = Explanations(tuple(shown), ())
    return Explanations(draft.probabilities, _not_ruled_out(check, rulebook, likelihoods, draft.first))


def _likelihoods(check: Check, rulebook: Rulebook) -> list[float]:
    by_volts = _by_volts(check, rulebook)
    by_lamps = _by_lamps(check, rulebook)
    meter = check.meter.input
    return [by_volts[wiring.sets[meter]] * by_lamps[wiring.sets["lamps"]] for wiring in rulebook.wirings]


def _by_volts(check: Check, rulebook: Rulebook) -> list[float]:
    sets = rulebook.meters[check.meter.input]
    if not check.volts:
        return [1.0] * len(sets)
    errors = reading_errors(check.volts, check.meter.accuracy_percent, check.meter.accuracy_volts)
    readings = [
        (index, check.volts[pair], errors[pair]) for index, pair in enumerate(PAIRS) if pair in check.volts
    ]
    return [volts_likelihood(one, readings) for one in sets]


def _by_lamps(check: Check, rulebook: Rulebook) -> list[float]:
    if not check.lamps:
        return [1.0] * len(rulebook.lamps)
    seen = [check.lamps.get(pair) for pair in LAMP_PAIRS]
    return [lamps_likelihood(one, seen) for one in rulebook.lamps]


def _weights(check: Check, rulebook: Rulebook, likelihoods: list[float]) -> list[float]:
    keys = [_twin_key(check, rulebook, wiring) for wiring in rulebook.wirings]
    sums: dict[str, float] = {}
    for key, wiring in zip(keys, rulebook.wirings, strict=True):
        if wiring.is_named:
            sums[key] = sums.get(key, 0.0) + wiring.prior[check.supply]
    weights: list[float] = []
    for key, wiring, likelihood in zip(keys, rulebook.wirings, likelihoods, strict=True):
        group = sums[key] if wiring.is_named else 1.0
        weights.append(likelihood * (wiring.prior[check.supply] / group))
    return weights


def _twin_key(check: Check, rulebook: Rulebook, wiring: WiringEntry) -> str:
    volts = rulebook.meters[TWINS_BY][wiring.sets[TWINS_BY]].classes
    lamps = rulebook.lamps[wiring.sets["lamps"]].classes
    key = "".join(volts[index] for index, pair in enumerate(PAIRS) if pair in check.volts)
    return key + "/" + "".join(lamps[index] for index, pair in enumerate(LAMP_PAIRS) if pair in check.lamps)


def _likelihood_of_other(check: Check) -> float:
    likelihood = OTHER_SHARE
    for pair in PAIRS:
        if pair in check.volts:
            likelihood = likelihood / OTHER_VOLTS
    for pair in LAMP_PAIRS:
        if pair in check.lamps:
            likelihood = likelihood / 3.0
    return likelihood


def _not_ruled_out(check: Check, rulebook: Rulebook, likelihoods: list[float], first: str) -> tuple[str, ...]:
    best = 0.0
    for likelihood in likelihoods:
        if likelihood > best:
            best = likelihood
    return tuple(
        wiring.id
        for wiring, likelihood in zip(rulebook.wirings, likelihoods, strict=True)
        if likelihood >= RULED_OUT_BELOW * best
        and wiring.is_named
        and wiring.is_dangerous
        and not is_usable(wiring, check)
        and wiring.id != first
    )


def is_usable(wiring: WiringEntry, check: Check) -> bool:
    """Tell whether an explanation lets the outlet be used, on this supply and at this place."""
    use = wiring.usable.get(check.supply)
    return use == "always" or (use == "at-pedestal" and check.where == "pedestal")
