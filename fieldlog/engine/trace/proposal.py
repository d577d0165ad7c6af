"""The gain of each test, or why it was left out."""

from collections.abc import Iterator, Mapping

from fieldlog.engine.explanations import Explanations
from fieldlog.engine.next_test import Term, gain_of, left_out_for, shares_of, terms_of, usable_of
from fieldlog.engine.trace.figures import said
from fieldlog.model.check import Check
from fieldlog.model.rulebook import NextTest, OutletFamily, Rulebook


def proposal_lines(check: Check, found: Explanations, rulebook: Rulebook, *, most: int = 3) -> Iterator[str]:
    """Write each test's gain with its largest terms, and the tests that were left out."""
    family = rulebook.family_of(check.outlet)
    shares = shares_of(check, found, rulebook)
    usable = usable_of(shares, check, family)
    for test in family.tests:
        why = left_out_for(test, check, family, shares, rulebook)
        if why:
            yield f"  {test.id}: left out, {why}"
            continue
        terms = terms_of(test, usable, family, shares, rulebook)
        total = sum(term for term, _ in terms)
        gain = gain_of(test, terms)
        yield f"  {test.id}: gain {said(gain)} = sum {said(total)} / effort {said(test.effort)}"
        for term in sorted(terms, key=lambda each: -each[0])[:most]:
            yield f"    {_term_words(term, test, family, shares)}"
    yield f"  a gain counts above {said(rulebook.limit('next-test-least-gain'))}"


def _term_words(term: Term, test: NextTest, family: OutletFamily, shares: Mapping[int, float]) -> str:
    gain, (first, second) = term
    places = {family.wirings[place].id: place for place in shares}
    one, two = places[first], places[second]
    how_surely = test.separates[one, two]
    weight = gain / (shares[one] * shares[two] * how_surely)
    return (
        f"{said(gain)} = {said(shares[one])} {first} x {said(shares[two])} {second} "
        f"x {said(weight)} x told apart {said(how_surely)}"
    )
