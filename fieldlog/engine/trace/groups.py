"""From likelihoods to probabilities: twins, priors, weights, and what was excluded."""

from collections.abc import Iterator, Sequence

from fieldlog.engine.explanations import OTHER, Explanations, over_ways
from fieldlog.engine.reading_sets import SWAPPED_NEUTRAL, has_held_upstream
from fieldlog.engine.trace.figures import quotient, said
from fieldlog.engine.trace.fits import way_name, ways_of
from fieldlog.engine.twins import prior_of
from fieldlog.model.check import Check
from fieldlog.model.rulebook import OutletFamily, Rulebook


def places_worth_tracing(found: Explanations, family: OutletFamily, most: int = 5) -> list[int]:
    """Give the places of the best few explanations, best first, and of those that are not ruled out."""
    weights = over_ways(found.weights, family)
    places = range(len(family.wirings))
    best = sorted(
        (place for place in places if family.wirings[place].is_named), key=lambda place: -weights[place]
    )
    kept = [
        place
        for rank, place in enumerate(best)
        if rank < most or family.wirings[place].id in found.not_ruled_out
    ]
    if found.first == OTHER:
        kept += [place for place in places if family.wirings[place].id == found.unnamed]
    return kept


def exclusion_lines(check: Check, family: OutletFamily, rulebook: Rulebook) -> Iterator[str]:
    """Write which explanations were excluded, and by what."""
    if any(one.state == "unplugged" for one in check.live_sets):
        for wiring in family.wirings:
            if wiring.when_unplugged:
                yield (
                    f"  {wiring.id}: nothing was plugged in; {wiring.when_unplugged} takes its likelihood "
                    "as found, where that is larger"
                )
    if has_held_upstream(check, rulebook):
        yield f"  {SWAPPED_NEUTRAL}: a device upstream tripped by its button, reset and held a load"
    if any(one.state == "breaker-off" for one in check.sets):
        yield "  sets with the breaker off are not weighed for the wiring"


def weight_lines(
    places: Sequence[int], check: Check, found: Explanations, family: OutletFamily, rulebook: Rulebook
) -> Iterator[str]:
    """Write each explanation's group, prior, weight and probability, and the total they are shares of."""
    total = total_weight(found, family)
    weights = over_ways(found.weights, family)
    for place in places:
        for index in ways_of(place, family):
            yield from _way_lines(index, check, found, family)
        wiring = family.wirings[place]
        if wiring.is_named:
            yield (
                f"  {wiring.id}: {said(weights[place])} / {said(total)} "
                f"= probability {said(quotient(weights[place], total))}"
            )
        else:
            yield f"  {wiring.id}: {said(weights[place])}, within other"
    unnamed = f", most of it {found.unnamed}" if found.unnamed else ""
    yield (
        f"  other: weight {said(found.other)}{unnamed}; / {said(total)}, and all below "
        f"{said(rulebook.limit('shown-from'))} with it = probability {said(found.probability(OTHER))}"
    )
    yield f"  total {said(total)} = {said(found.other)} other + {said(total - found.other)} named"


def total_weight(found: Explanations, family: OutletFamily) -> float:
    """Give what the probabilities are shares of: the named weights and other."""
    total = found.other
    for wiring, weight in zip(family.wirings, over_ways(found.weights, family), strict=True):
        if wiring.is_named:
            total = total + weight
    return total


def _way_lines(index: int, check: Check, found: Explanations, family: OutletFamily) -> Iterator[str]:
    way = family.ways[index]
    name, likelihood, weight = way_name(way, family), found.likelihoods[index], found.weights[index]
    prior = prior_of(way, family, check.supply)
    if not family.wirings[way.wiring].is_named:
        yield f"  {name}: {said(likelihood)} x prior {said(prior)} = weight {said(weight)}"
        return
    twins = _twins_of(index, found, family)
    of_group = sum(prior_of(family.ways[each], family, check.supply) for each in twins)
    others = dict.fromkeys(
        family.wirings[family.ways[each].wiring].id
        for each in twins
        if family.ways[each].wiring != way.wiring
    )
    yield f"  {name}: twins {', '.join(others) or 'none'}"
    share = f"prior {said(prior)} / {said(of_group)} of its group"
    yield f"    {said(likelihood)} x {share} = weight {said(weight)}"


def _twins_of(index: int, found: Explanations, family: OutletFamily) -> list[int]:
    """Give the places of all named ways in the same group, itself included."""
    return [
        place
        for place, way in enumerate(family.ways)
        if found.keys[place] == found.keys[index] and family.wirings[way.wiring].is_named
    ]


def ruled_out_line(found: Explanations, rulebook: Rulebook) -> str:
    """Write what is not ruled out, and from which likelihood on."""
    least_likelihood, least_fit = rulebook.limit("ruled-out-below"), rulebook.limit("fits-well")
    names = ", ".join(found.not_ruled_out) or "none"
    return (
        f"Not ruled out: {names} (dangerous, not first, and priors left out: mean likelihood of its ways at "
        f"least {said(least_likelihood)}, or kernels at its best points {said(least_fit)}, of the best one's "
        "with a name)"
    )
