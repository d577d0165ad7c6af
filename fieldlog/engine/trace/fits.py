"""How well one explanation fits: its best sample points, what they would show, and the likelihood."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import sqrt

from fieldlog.engine.explanations import Explanations
from fieldlog.engine.kernel import Kernel, kernel_of
from fieldlog.engine.reading_sets import AfterSet, after_each_set, way_factor
from fieldlog.engine.trace.figures import said, told
from fieldlog.engine.trace.point import Fit, Points, Term, scale_of
from fieldlog.engine.trace.way import LoadFit, WaySet, way_set
from fieldlog.model.check import Check
from fieldlog.model.rulebook import OutletFamily, Rulebook, Way


@dataclass(frozen=True)
class Basis:
    """What every explanation of one check is held against.

    Parameters
    ----------
    check, found, family, rulebook, kernel
        The check, what fits it, its outlet's family, the rulebook and its constants.
    steps : tuple of AfterSet
        The engine's own likelihoods, set by set.
    """

    check: Check
    found: Explanations
    family: OutletFamily
    rulebook: Rulebook
    kernel: Kernel
    steps: tuple[AfterSet, ...]


def known_of(check: Check, found: Explanations, family: OutletFamily, rulebook: Rulebook) -> Basis:
    """Gather what every explanation is held against."""
    steps = tuple(after_each_set(check, family, rulebook))
    return Basis(check, found, family, rulebook, kernel_of(rulebook), steps)


def legend_lines(kernel: Kernel) -> Iterator[str]:
    """Say what the numbers of a fit are."""
    middle, spread = said(kernel.supply_volts), said(sqrt(1.0 / kernel.supply_weight))
    yield "Fits: a sample point shows ratio x supply, and under load - share x amps x loop besides"
    yield f"  the supply is fitted, {middle} +- {spread} V beforehand; under load the loop's ohms are as well"
    yield "  off squared is over the squares of the standard error and of the spread between points"
    yield "  width: sqrt of the variances of what was fitted, after over before; scale: 1 over all errors"
    yield "  likelihood of a set: the product over meter, lamps and load"


def ways_of(place: int, family: OutletFamily) -> list[int]:
    """Give the places of an explanation's ways among all ways."""
    return [index for index, way in enumerate(family.ways) if way.wiring == place]


def way_name(way: Way, family: OutletFamily) -> str:
    """Name a way by its explanation, its variant and whether the hots are swapped."""
    wiring = family.wirings[way.wiring]
    variant = f" variant {way.variant + 1}" if len(wiring.variants) > 1 else ""
    side = (" hots swapped" if way.is_mirrored else " hots as they are") if family.mirror else ""
    return f"{wiring.id}{variant}{side}"


def fit_lines(place: int, known: Basis) -> Iterator[str]:
    """Write how well the explanation at a place of the family fits: its best way in full."""
    ways = ways_of(place, known.family)
    best = max(ways, key=lambda index: known.found.weights[index])
    yield from _way_lines(best, known)
    for index in ways:
        if index != best:
            name = way_name(known.family.ways[index], known.family)
            yield f"{name}: likelihood {said(known.found.likelihoods[index])}, by the same steps"


def _way_lines(index: int, known: Basis) -> Iterator[str]:
    way = known.family.ways[index]
    yield way_name(way, known.family)
    for number, one in enumerate(known.check.sets, start=1):
        if one.state != "breaker-off":
            held = way_set(way, one, known.family, known.rulebook)
            yield from _set_lines(f"  set {number}", held, known)
    for number, step in enumerate(known.steps, start=1):
        before = known.steps[number - 2].total[index] if number > 1 else 1.0
        yield (
            f"  after live set {number}: {said(before)} x {said(step.found[index])} / {said(step.largest)} "
            f"= {said(step.total[index])}, the largest product so far being 1"
        )
    if known.check.continuity:
        yield f"  x {_continuity_words(way, known)}"
    yield f"  likelihood {said(known.found.likelihoods[index])}"


def _continuity_words(way: Way, known: Basis) -> str:
    expected = known.family.wirings[way.wiring].variants[way.variant].continuity[known.check.where]
    shown = told({pair: expected[pair] for pair in known.check.continuity})
    misread = said(known.rulebook.limit("continuity-misread"))
    factor = said(way_factor(known.check, way, known.family, known.rulebook))
    return f"{factor} for continuity: it would show {shown}; {misread} for a misread one"


def _set_lines(title: str, held: WaySet, known: Basis) -> Iterator[str]:
    pairs, kernel = known.family.pairs, known.kernel
    if held.volts:
        yield from _points_lines(f"{title}, meter", held.volts, pairs, kernel)
    if held.one.lamps:
        yield f"{title}, lamps: probability {said(held.lamps)} of {told(held.one.lamps)}"
    if held.load:
        best = max(held.load, key=lambda each: each.share * each.points.density)
        yield from _points_lines(f"{title}, under load{_sign_words(best)}", best.points, pairs, kernel)
    if len(held.load) > 1:
        shares = " + ".join(f"{said(each.share)} x {said(each.points.density)}" for each in held.load)
        yield f"    over the signs of the neutral, {_signs(held.load)}: {said(held.load_density)} = {shares}"


def _signs(load: Sequence[LoadFit]) -> str:
    return ", ".join(each.sign for each in load)


def _sign_words(load: LoadFit) -> str:
    return f", the neutral {load.sign}" if load.share < 1.0 else ""


def _points_lines(title: str, points: Points, pairs: Sequence[str], kernel: Kernel) -> Iterator[str]:
    best = points.best
    loop = f" and a loop of {said(best.ohms)} ohm" if any(term.steps for term in best.terms) else ""
    yield (
        f"{title}: point {best.place + 1} of {len(points.fits)} fits best, "
        f"with {said(best.supply_volts)} V{loop}"
    )
    for term in best.terms:
        yield f"    {pairs[term.pair]} {_term_words(term, best)}"
    yield f"    {_chi_words(best, kernel)}"
    yield (
        f"    kernel 1 / (1 + {said(best.chi)} / 4)^4 = {said(best.kernel)}; x width {said(best.width)} "
        f"x scale {said(scale_of(best))} = {said(best.height * scale_of(best))}"
    )
    yield f"    likelihood, the mean over the {len(points.fits)} points: {said(points.density)}"


def _term_words(term: Term, fit: Fit) -> str:
    verb = "fell" if term.is_fall else "read"
    ratio = [f"{said(term.ratio)} x {said(fit.supply_volts)}"] if not term.is_fall else []
    steps = [f"{said(term.steps)} A x {said(fit.ohms)} ohm"] if term.steps else []
    shown = " + ".join([*ratio, *steps]) or "no share of the loop"
    return (
        f"{verb} {said(term.seen)} V, would show {said(term.shown(fit.supply_volts, fit.ohms))} V = {shown}; "
        f"off squared / ({' + '.join(f'{said(part)}^2' for part in term.errors_volts)}) = "
        f"{said(term.chi(fit.supply_volts, fit.ohms))}"
    )


def _chi_words(fit: Fit, kernel: Kernel) -> str:
    loop = f", {said(fit.ohms_chi)} for the loop's ohms" if fit.ohms_chi else ""
    return (
        f"chi squared {said(fit.chi)}: these, {said(fit.supply_chi)} for a supply off "
        f"{said(kernel.supply_volts)} V{loop}"
    )
