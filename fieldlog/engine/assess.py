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
        Readings and looks: "volts" [V RMS, 0 to 600] by pair, "lamps", "loaded" with "amps" [A, above 0 to
        100], "meter" with "accuracy_percent" [%, 0 to 20] and "accuracy_volts" [V, 0 to 20], "breaker_amps"
        [A], "hertz" [Hz, 30 to 90], "trip" with "milliseconds" [ms, 0 to 20000] and "milliamps" [mA, 0 to
        500], "look", "near", "continuity", "more". README.md has them all.
    rulebook : Rulebook
        The compiled rulebook, as fieldlog.rulebook.load gives it.

    Returns
    -------
    dict
        "verdict", "faults" (explanations with probabilities [0 to 1], together 1), "not_ruled_out",
        "next_test", "findings" (values, uncertainties and limits in the unit of their quantity), "supply"
        ([V] and [ohm]; null without a load) and "rulebook" (its id).

    Raises
    ------
    BadInput
        With every problem found, each naming its member. There is no answer without a verdict: whatever else
        goes wrong is raised as it comes.

    Notes
    -----
    Likelihood of a wiring: the mean over its sample points of w / (1 + chi^2 / 4)^4, with
    chi^2 = sum((r - V a)^2 / s^2) + (V - V0)^2 / s0^2, the supply V fitted and w the width of the fit; see
    `volts_likelihoods` and `load_likelihoods`. Weight: L_i prior_i / (sum of the priors in its group of
    twins); probability: weight over the sum of weights, see `explain`. Loop: Z = (V0 - V1) / I, see
    `supply_of`. Bands: v +- (v p / 100 + d) against each limit, see `voltage_findings`.

    The verdict is the first that applies. Do not use: a stop stands, or named explanations other than the
    usable ones hold more than 0.5. Test more: they and "other" hold 0.05 or more, or "other" more than 0.5,
    or the least evidence is missing. Use with limits: a limit stands. Use. Loose joints are left to ohms.

    Holds for 60 Hz, one outlet, and the plausible world of schemas/facts/world.json; ignores harmonics, and
    does not know how good a ground is that is there. `fieldlog assess --explain` prints each step.

    Examples
    --------
    108.2 V by a meter of 1 % and 0.3 V: 108.2 x 0.01 + 0.3 = 1.382 V either way, wholly below 110 V and above
    104 V, so the use is limited. Under 10 A it falls by 2 V: 2 / 10 = 0.2 ohm.

    >>> from fieldlog.rulebook import load
    >>> bare = {"h-n": 108.2, "h-g": 108.0, "n-g": 0.2}
    >>> loaded = {"amps": 10, "volts": {"h-n": 106.2, "h-g": 107.0, "n-g": 1.2}}
    >>> answer = assess({"outlet": "TT-30", "look": [], "volts": bare, "loaded": loaded}, load())
    >>> answer["verdict"], answer["faults"][0]["id"], round(answer["supply"]["ohms"], 3)
    ('use-limited', 'correct', 0.2)
    >>> low = answer["findings"][0]
    >>> low["id"], low["quantity"], low["value"], round(low["uncertainty"], 3), low["limit"]
    ('voltage-low', 'h-n', 108.2, 1.382, 110.0)

    References
    ----------
    ANSI C84.1-2020, Table 1 (bands); IEEE 1159-2019 (overvoltage); ILAC-G8:09/2019, section 4.2.2 (a limit
    guarded by the uncertainty); JCGM 100:2008, section 4.3.7 (standard errors); UL 943, Class A, T = (20 /
    I)^1.43 s (trip times); NEC 210.19(A), informational note (drop), 551.72 (120/208 V). The rulebook names
    the source of each limit; what is an own choice says so.
    """
    return judged(read_check(check, rulebook), rulebook)


def verdict_and_first(check: Any, rulebook: Rulebook) -> tuple[str, str | None]:
    """Judge one outlet, and give of the answer the verdict and the first explanation alone.

    Parameters
    ----------
    check, rulebook
        As for `assess`.

    Returns
    -------
    tuple of str and (str or None)
        The "verdict" of `assess`, and the id of the first of its "faults", None where there is none.

    Raises
    ------
    BadInput
        With every problem found, as `assess` does.

    Examples
    --------
    >>> from fieldlog.rulebook import load
    >>> bare = {"h-n": 121.3, "h-g": 121.0, "n-g": 0.4}
    >>> verdict_and_first({"outlet": "TT-30", "look": [], "volts": bare}, load())
    ('use', 'correct')
    """
    read = read_check(check, rulebook)
    found = explain(read, rulebook) if is_read(read) else Explanations()
    findings = findings_of(read, found, supply_of(read, rulebook), rulebook)
    return ruling(read, found, findings, rulebook)[0], found.first or None


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
