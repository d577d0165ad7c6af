"""How an answer came about, step by step, for a colleague who checks it by hand.

It calls the functions that judge. Where those work on arrays, `point` redoes a sample point in plain Python.
"""

from collections.abc import Iterator
from typing import Any

from fieldlog.engine.assess import explained, findings_of, ruling, weighed_of
from fieldlog.engine.explanations import Explanations
from fieldlog.engine.intake import read_check
from fieldlog.engine.kernel import kernel_of
from fieldlog.engine.limits import look_findings
from fieldlog.engine.loops import CheckAsCounted
from fieldlog.engine.next_test import next_test
from fieldlog.engine.supply import supply_of
from fieldlog.engine.trace.findings import finding_lines, supply_lines, verdict_lines
from fieldlog.engine.trace.fits import fit_lines, known_of, legend_lines
from fieldlog.engine.trace.groups import exclusion_lines, places_worth_tracing, ruled_out_line, weight_lines
from fieldlog.engine.trace.proposal import proposal_lines
from fieldlog.engine.trace.readings import readings_lines
from fieldlog.engine.trace.worth import worth_lines
from fieldlog.model.check import Check
from fieldlog.model.rulebook import Rulebook


def trace(check: Any, rulebook: Rulebook) -> list[str]:
    """Tell how the answer to a check came about.

    Parameters
    ----------
    check : JSON object
        As `assess` takes it: V, A, Hz, ms, mA.
    rulebook : Rulebook
        The compiled rulebook.

    Returns
    -------
    list of str
        Lines of plain text: readings with their standard errors [V], fits, groups, findings, verdict, next
        test. Numbers have seven digits.

    Raises
    ------
    BadInput
        With every problem found.

    Notes
    -----
    The five best explanations and those not ruled out are told in full, and the best unnamed wiring where
    "other" comes first. `fieldlog assess --explain` prints it.
    """
    return list(_lines(read_check(check, rulebook), rulebook))


def _lines(check: Check, rulebook: Rulebook) -> Iterator[str]:
    weighed = weighed_of(check, rulebook)
    found = explained(weighed, rulebook)
    supply = supply_of(weighed.check, rulebook)
    findings = findings_of(check, weighed, found, supply, rulebook)
    yield from readings_lines(check, kernel_of(rulebook))
    yield from worth_lines(check, weighed, rulebook)
    verdict, rule = ruling(weighed, found, findings, rulebook)
    is_stopped = any(finding.level == "stop" for finding in look_findings(check, rulebook))
    check = weighed.check
    if found.probabilities:
        yield from _explanation_lines(check, found, rulebook)
    if supply is not None:
        yield f"Supply, loaded across {supply.across}"
        yield from supply_lines(supply, check)
    yield "Findings" if findings else "Findings: none"
    yield from finding_lines(findings, check, supply, rulebook)
    yield from verdict_lines(verdict, rule, check, found, rulebook)
    yield from _next_lines(weighed, is_stopped, found, rulebook)


def _explanation_lines(check: Check, found: Explanations, rulebook: Rulebook) -> Iterator[str]:
    family = rulebook.family_of(check.outlet)
    known = known_of(check, found, family, rulebook)
    places = places_worth_tracing(found, family)
    yield from legend_lines(known.kernel)
    for place in places:
        for line in fit_lines(place, known):
            yield f"  {line}"
    excluded = list(exclusion_lines(check, family, rulebook))
    yield "Excluded" if excluded else "Excluded: nothing"
    yield from excluded
    yield "Groups: twins, which these readings cannot tell apart, share one start by their priors"
    yield from weight_lines(places, check, found, family, rulebook)
    yield ruled_out_line(found, rulebook)


def _next_lines(
    weighed: CheckAsCounted, is_stopped: bool, found: Explanations, rulebook: Rulebook
) -> Iterator[str]:
    check = weighed.check
    if not found.probabilities:
        yield "Next test: none is weighed without a reading"
    elif is_stopped:
        yield "Next test: none, the look says stop"
    elif weighed.doubt is not None:
        yield "Next test: read-again"
        yield f"  {', '.join(weighed.doubt.pairs)}"
    else:
        proposed = next_test(check, found, rulebook)
        yield f"Next test: {proposed['id'] if proposed else 'none'}"
        yield from proposal_lines(check, found, rulebook)
