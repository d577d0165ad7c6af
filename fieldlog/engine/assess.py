"""One outlet, judged: explanations, findings, verdict, next test.

static/js/engine/assess.js gives the same answer to the last bit.
"""

from typing import Any

from fieldlog.engine.bands import voltage_findings
from fieldlog.engine.evidence import evidence_findings, has_least_evidence
from fieldlog.engine.explanations import OTHER, Explanations, explain, is_read, is_usable
from fieldlog.engine.intake import read_check
from fieldlog.engine.limits import (
    Finding,
    breaker_findings,
    continuity_findings,
    detector_findings,
    frequency_findings,
    look_findings,
)
from fieldlog.engine.next_test import next_test
from fieldlog.engine.supply import Supply, supply_findings, supply_of
from fieldlog.engine.trip import trip_findings
from fieldlog.model.check import Check
from fieldlog.model.rulebook import Rulebook

FORCES_TEST = ("meter-too-coarse", "ground-near-voltage")


def assess(check: Any, rulebook: Rulebook) -> dict[str, Any]:
    """Judge one outlet.

    Parameters
    ----------
    check : JSON object
        Readings and looks; volts in V, breaker in A, frequency in Hz, times in ms, currents in mA.
    rulebook : Rulebook
        The compiled rulebook.

    Returns
    -------
    dict
        "verdict", "faults" (explanations with probabilities), "not_ruled_out", "next_test", "findings",
        "supply" (null without a load) and "rulebook" (its id).

    Raises
    ------
    BadInput
        With every problem found.

    Notes
    -----
    The verdict is the first that applies. Do not use: a stop stands, or named explanations other than the
    usable ones hold more than 0.5. Test more: they and "other" hold 0.05 or more, or "other" more than 0.5,
    or the least evidence is missing. Use with limits: a limit stands. Use. Loose joints are left to ohms.
    """
    return judged(read_check(check, rulebook), rulebook)


def judged(check: Check, rulebook: Rulebook) -> dict[str, Any]:
    """Judge a check that was read already; the same answer as `assess`."""
    found = explain(check, rulebook) if is_read(check) else Explanations()
    supply = supply_of(check, rulebook)
    findings = findings_of(check, found, supply, rulebook)
    is_stopped = any(finding.level == "stop" for finding in look_findings(check, rulebook))
    proposal = None if is_stopped or not found.probabilities else next_test(check, found, rulebook)
    ordered = sorted(found.probabilities, key=lambda pair: -pair[1])
    return {
        "verdict": ruling(check, found, findings, rulebook)[0],
        "faults": [{"id": name, "probability": probability} for name, probability in ordered],
        "not_ruled_out": list(found.not_ruled_out),
        "next_test": proposal,
        "findings": [finding.as_json() for finding in findings],
        "supply": None if supply is None else supply.as_json(),
        "rulebook": rulebook.id,
    }


def findings_of(
    check: Check, found: Explanations, supply: Supply | None, rulebook: Rulebook
) -> list[Finding]:
    """Give every finding, in the order of the answer."""
    return [
        *look_findings(check, rulebook),
        *breaker_findings(check, rulebook),
        *frequency_findings(check, rulebook),
        *voltage_findings(check, rulebook),
        *detector_findings(check),
        *continuity_findings(check),
        *trip_findings(check.trip, rulebook),
        *evidence_findings(check, found, rulebook),
        *supply_findings(check, supply, rulebook),
    ]


def ruling(check: Check, found: Explanations, findings: list[Finding], rulebook: Rulebook) -> tuple[str, str]:
    """Give the verdict, and the name of the rule that was the first to apply."""
    if any(finding.level == "stop" for finding in findings):
        return "do-not-use", "stop"
    if not found.probabilities:
        return "test-more", "nothing-read"
    against = held_against(check, found, rulebook)
    mostly = rulebook.limit("against-mostly")
    if against > mostly and found.probability(OTHER) <= mostly:
        return "do-not-use", "mostly-against"
    if not against < rulebook.limit("against-hardly"):
        return "test-more", "partly-against"
    if not has_least_evidence(check, rulebook):
        return "test-more", "evidence-missing"
    if any(finding.id in FORCES_TEST for finding in findings):
        return "test-more", "forced"
    if any(finding.level == "limit" for finding in findings):
        return "use-limited", "limit"
    return "use", "nothing-against"


def held_against(check: Check, found: Explanations, rulebook: Rulebook) -> float:
    """Sum what everything holds but the usable explanations and loose joints."""
    wirings = rulebook.family_of(check.outlet).wirings
    left_out = {w.id for w in wirings if is_usable(w, check) or w.is_decided_by_ohms}
    held = 0.0
    for name, probability in found.probabilities:
        if name not in left_out:
            held = held + probability
    return held
