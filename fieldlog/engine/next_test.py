"""Which test tells most of what is left apart, for the least effort, without danger under what is left.

The same arithmetic, in the same order, stands in static/js/engine/next-test.js.
"""

from typing import Any

from fieldlog.engine.explanations import Explanations, is_usable
from fieldlog.model.check import LAMP_PAIRS, Check
from fieldlog.model.rulebook import NextTest, Rulebook

LEAST_GAIN = 0.0005
KEPT_AT = 0.01
LESS_TELLING = 0.2
SHOWN_PAIRS = 5


def next_test(check: Check, found: Explanations, rulebook: Rulebook) -> dict[str, Any] | None:
    """Propose the next test, or None when none gains enough.

    Parameters
    ----------
    check : Check
        What was read already; a test that was made is not proposed again.
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
    shares = _shares(found, rulebook)
    usable = {wiring.id: is_usable(wiring, check) for wiring in rulebook.wirings}
    best: tuple[float, dict[str, Any]] | None = None
    for test in rulebook.tests:
        if _is_made(test, check) or _is_dangerous(test, shares):
            continue
        terms = _terms(test, shares, usable)
        gain = 0.0
        for term, _ in terms:
            gain = gain + term
        gain = gain / test.effort
        if gain > LEAST_GAIN and (best is None or gain > best[0]):
            telling = sorted(terms, key=lambda term: -term[0])[:SHOWN_PAIRS]
            best = gain, {"id": test.id, "separates": [list(pair) for _, pair in telling]}
    return None if best is None else best[1]


def _shares(found: Explanations, rulebook: Rulebook) -> dict[str, float]:
    shares: dict[str, float] = {}
    for wiring in rulebook.wirings:
        share = found.probability(wiring.id)
        if wiring.id in found.not_ruled_out and share < KEPT_AT:
            share = KEPT_AT
        if wiring.is_named and share > 0.0:
            shares[wiring.id] = share
    return shares


def _terms(
    test: NextTest, shares: dict[str, float], usable: dict[str, bool]
) -> list[tuple[float, tuple[str, str]]]:
    terms: list[tuple[float, tuple[str, str]]] = []
    for (one, two), how_surely in test.separates.items():
        if one in shares and two in shares:
            weight = 1.0 if usable[one] != usable[two] else LESS_TELLING
            terms.append((shares[one] * shares[two] * weight * how_surely, (one, two)))
    return terms


def _is_dangerous(test: NextTest, shares: dict[str, float]) -> bool:
    if test.is_harmless:
        return False
    return any(name in shares and shares[name] >= KEPT_AT for name in test.dangerous_under)


def _is_made(test: NextTest, check: Check) -> bool:
    has_three = all(pair in check.volts for pair in LAMP_PAIRS)
    match test.done_by:
        case "volts":
            return has_three
        case "volts-low-impedance":
            return has_three and check.meter.input == "low-impedance"
        case "lamps":
            return all(pair in check.lamps for pair in LAMP_PAIRS)
        case "earth":
            return "n-e" in check.volts or "g-e" in check.volts
        case "near.g":
            return "g" in check.near
        case "continuity.g-frame":
            return check.is_ground_on_frame is not None
        case _:
            return False
