"""One outlet, judged: explanations, findings, verdict, next test.

static/js/engine/assess.js gives the same answer to the last bit.
"""

from typing import Any

from fieldlog.engine.explanations import OTHER, Explanations, explain, is_usable
from fieldlog.engine.intake import read_check
from fieldlog.engine.limits import (
    Finding,
    breaker_findings,
    continuity_findings,
    detector_findings,
    evidence_findings,
    frequency_findings,
    look_findings,
    voltage_findings,
)
from fieldlog.engine.next_test import next_test
from fieldlog.engine.trip import trip_findings
from fieldlog.model.check import LAMP_PAIRS, Check
from fieldlog.model.rulebook import Rulebook

MOSTLY = 0.5
HARDLY = 0.05
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
    read = read_check(check, rulebook)
    found = explain(read, rulebook) if read.volts or read.lamps else Explanations((), ())
    findings = _findings(read, found, rulebook)
    verdict = _verdict(read, found, findings, rulebook)
    is_stopped_by_look = any(finding.level == "stop" for finding in look_findings(read))
    proposal = None if is_stopped_by_look or not found.probabilities else next_test(read, found, rulebook)
    ordered = sorted(found.probabilities, key=lambda pair: -pair[1])
    return {
        "verdict": verdict,
        "faults": [{"id": name, "probability": probability} for name, probability in ordered],
        "not_ruled_out": list(found.not_ruled_out),
        "next_test": proposal,
        "findings": [finding.as_json() for finding in findings],
        "supply": None,
        "rulebook": rulebook.id,
    }


def _findings(check: Check, found: Explanations, rulebook: Rulebook) -> list[Finding]:
    first = found.first if found.probabilities else ""
    return [
        *look_findings(check),
        *breaker_findings(check, rulebook),
        *frequency_findings(check, rulebook),
        *voltage_findings(check, rulebook),
        *detector_findings(check),
        *continuity_findings(check),
        *trip_findings(check.trip, rulebook),
        *evidence_findings(check, first),
    ]


def _verdict(check: Check, found: Explanations, findings: list[Finding], rulebook: Rulebook) -> str:
    if any(finding.level == "stop" for finding in findings):
        return "do-not-use"
    if not found.probabilities:
        return "test-more"
    against = _held_against(check, found, rulebook)
    other = found.probability(OTHER)
    if against > MOSTLY and other <= MOSTLY:
        return "do-not-use"
    is_forced = any(finding.id in FORCES_TEST for finding in findings)
    if not against < HARDLY or not _has_least_evidence(check) or is_forced:
        return "test-more"
    return "use-limited" if any(finding.level == "limit" for finding in findings) else "use"


def _held_against(check: Check, found: Explanations, rulebook: Rulebook) -> float:
    """Sum what everything holds but the usable explanations and loose joints."""
    left_out = {w.id for w in rulebook.wirings if is_usable(w, check) or w.is_decided_by_ohms}
    held = 0.0
    for name, probability in found.probabilities:
        if name not in left_out:
            held = held + probability
    return held


def _has_least_evidence(check: Check) -> bool:
    return all(pair in check.volts for pair in LAMP_PAIRS) or all(pair in check.lamps for pair in LAMP_PAIRS)
