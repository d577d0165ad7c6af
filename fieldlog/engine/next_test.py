"""Which test tells most of what is left apart, for the least effort, without danger under what is left.

The same arithmetic, in the same order, stands in static/js/engine/next-test.js.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from fieldlog.engine.evidence import contacts_not_shown, is_off_unsettled
from fieldlog.engine.explanations import Explanations, is_usable
from fieldlog.engine.twins import bare_pairs
from fieldlog.model.check import Check
from fieldlog.model.rulebook import NextTest, OutletFamily, Rulebook

DRAINING = "low-impedance"
Term = tuple[float, tuple[str, str]]


def next_test(check: Check, found: Explanations, rulebook: Rulebook) -> dict[str, Any] | None:
    """Propose the next test, or None when none gains enough.

    Parameters
    ----------
    check : Check
        What counts of what was read already; a test that was made is not proposed again.
    found : Explanations
        What is left.
    rulebook : Rulebook
        Table of tests.

    Returns
    -------
    dict or None
        {"id": test, "separates": pairs of explanations, the most telling first}.

    Notes
    -----
    gain = sum over pairs of p_i p_j w_ij S(i, j) / effort, w being 1 where one of the two is usable and
    the other is not, 0.2 otherwise; what is not ruled out counts with at least 0.01. A test is left out while
    an explanation under which it is dangerous stands at 0.01 or is not ruled out, unless it is harmless.
    """
    if is_off_unsettled(check, rulebook):
        return {"id": DRAINING, "separates": []}
    family = rulebook.family_of(check.outlet)
    shares = shares_of(check, found, rulebook)
    usable = usable_of(shares, check, family)
    best: NextTest | None = None
    most, telling = rulebook.limit("next-test-least-gain"), list[Term]()
    for test in family.tests:
        if left_out_for(test, check, family, shares, rulebook):
            continue
        terms = terms_of(test, usable, family, shares, rulebook)
        gain = gain_of(test, terms)
        if gain > most:
            best, most, telling = test, gain, terms
    if best is None:
        return None
    shown = sorted(telling, key=lambda term: -term[0])[: int(rulebook.limit("next-test-shown"))]
    return {"id": best.id, "separates": [list(pair) for _, pair in shown]}


def shares_of(check: Check, found: Explanations, rulebook: Rulebook) -> dict[int, float]:
    """Give what each named wiring counts with, by its place.

    What is not ruled out has a least share, and so has an open contact that nothing read would have shown.
    """
    kept_at = rulebook.limit("next-test-kept-at")
    probabilities = dict(found.probabilities)
    kept = {*found.not_ruled_out, *contacts_not_shown(check, rulebook)}
    shares: dict[int, float] = {}
    for place, wiring in enumerate(rulebook.family_of(check.outlet).wirings):
        share = probabilities.get(wiring.id, 0.0)
        if wiring.id in kept and share < kept_at:
            share = kept_at
        if wiring.is_named and share > 0.0:
            shares[place] = share
    return shares


def usable_of(shares: Mapping[int, float], check: Check, family: OutletFamily) -> dict[int, bool]:
    """Say of each wiring that counts, by its place, whether it lets the outlet be used."""
    return {place: is_usable(family.wirings[place], check) for place in shares}


def terms_of(
    test: NextTest,
    usable: Mapping[int, bool],
    family: OutletFamily,
    shares: Mapping[int, float],
    rulebook: Rulebook,
) -> list[Term]:
    """Give a test's gain, before effort, pair by pair of what is left."""
    terms: list[Term] = []
    for two in shares:
        for one in shares:
            how_surely = test.separates.get((one, two), 0.0) if one < two else 0.0
            if how_surely > 0.0:
                weight = 1.0 if usable[one] != usable[two] else rulebook.limit("next-test-less-telling")
                pair = family.wirings[one].id, family.wirings[two].id
                terms.append((shares[one] * shares[two] * weight * how_surely, pair))
    return terms


def gain_of(test: NextTest, terms: Sequence[Term]) -> float:
    """Give the sum of a test's terms over its effort."""
    gain = 0.0
    for term, _ in terms:
        gain = gain + term
    return gain / test.effort


def left_out_for(
    test: NextTest, check: Check, family: OutletFamily, shares: Mapping[int, float], rulebook: Rulebook
) -> str:
    """Say why a test is not proposed: not for here, made already, or dangerous; "" where it is open."""
    if check.supply not in test.supplies:
        return f"not for a supply by {check.supply}"
    if check.where not in test.places:
        return f"not at the {check.where}"
    if _is_made(test, check, family):
        return "made already"
    kept_at = rulebook.limit("next-test-kept-at")
    dangerous = [
        family.wirings[place].id
        for place, share in shares.items()
        if share >= kept_at and family.wirings[place].id in test.dangerous_under
    ]
    return f"dangerous under {', '.join(dangerous)}" if dangerous and not test.is_harmless else ""


def _is_made(test: NextTest, check: Check, family: OutletFamily) -> bool:
    sets = check.live_sets
    bare = bare_pairs(family)
    match test.done_by:
        case "volts":
            return any(all(pair in one.volts for pair in bare) for one in sets)
        case "volts-low-impedance":
            low = [one for one in sets if one.meter.input == "low-impedance"]
            return any(all(pair in one.volts for pair in bare) for one in low)
        case "lamps":
            return any(one.lamps for one in sets) and (
                len(family.contacts) > 3 or any(len(one.lamps) == len(family.lamp_pairs) for one in sets)
            )
        case "unplugged":
            return any(one.state == "unplugged" for one in sets)
        case "earth":
            return any(pair in one.volts for one in sets for pair in ("n-e", "g-e"))
        case "loaded":
            return any(one.loaded is not None for one in sets)
        case "trip.upstream":
            return any(trip.device == "upstream" for trip in check.trip)
        case "near.g":
            return "g" in check.detector
        case _:
            return test.done_by.removeprefix("continuity.") in check.continuity
