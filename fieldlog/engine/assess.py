"""One outlet, judged: explanations, findings, verdict, next test.

static/js/engine/assess.js gives the same answer to the last bit.
"""

from typing import Any

from fieldlog.engine.bands import voltage_findings
from fieldlog.engine.earth import counting, earth_findings, is_ground_clean
from fieldlog.engine.evidence import (
    evidence_findings,
    has_least_evidence,
    is_all_read_by_meter,
    is_neutral_in_doubt,
)
from fieldlog.engine.explanations import OTHER, Explanations, explain, is_read, usable_or_by_ohms
from fieldlog.engine.intake import read_check
from fieldlog.engine.limits import (
    Finding,
    adapter_findings,
    breaker_findings,
    continuity_findings,
    detector_findings,
    frequency_findings,
    look_findings,
)
from fieldlog.engine.loops import CheckAsCounted, Doubt, loop_findings, settled, without_reading
from fieldlog.engine.next_test import next_test
from fieldlog.engine.supply import Supply, supply_findings, supply_of
from fieldlog.engine.trip import trip_findings
from fieldlog.model.check import Check
from fieldlog.model.rulebook import Rulebook

FORCES_TEST = ("neutral-near-voltage", "continuity-disagrees", "legs-disagree", "lamps-unlike")


def assess(check: Any, rulebook: Rulebook) -> dict[str, Any]:
    """Judge one outlet.

    Parameters
    ----------
    check : JSON object
        Readings and looks: "volts" [V RMS, 0 to 600] by pair, "lamps", "loaded" with "amps" [A, above 0 to
        100], "meter" with "accuracy_percent" [%, 0 to 20] and "accuracy_volts" [V, 0 to 20], "breaker_amps"
        [A], "hertz" [Hz, 30 to 90], "trip" with "milliseconds" [ms, 0 to 20000] and "milliamps" [mA, 0 to
        500], "look", "near", "continuity", "via", "more". `fieldlog assess --help` has them all.
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
    Readings that do not add up (`settled`) are test more, do not use where leaving out any one leaves that.
    What was read to an earth counts once that earth was proved (`is_earth_proved`).

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
    >>> low = next(one for one in answer["findings"] if one["level"] == "limit")
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
    weighed = weighed_of(read, rulebook)
    found = explained(weighed, rulebook)
    findings = findings_of(read, weighed, found, supply_of(weighed.check, rulebook), rulebook)
    return ruling(weighed, found, findings, rulebook)[0], found.first or None


def judged(check: Check, rulebook: Rulebook) -> dict[str, Any]:
    """Judge a check that was read already; the same answer as `assess`."""
    weighed = weighed_of(check, rulebook)
    found = explained(weighed, rulebook)
    supply = supply_of(weighed.check, rulebook)
    findings = findings_of(check, weighed, found, supply, rulebook)
    ordered = sorted(found.probabilities, key=lambda pair: -pair[1])
    return {
        "verdict": ruling(weighed, found, findings, rulebook)[0],
        "faults": [{"id": name, "probability": probability} for name, probability in ordered],
        "not_ruled_out": list(found.not_ruled_out),
        "next_test": proposal_of(check, weighed, found, rulebook),
        "findings": [finding.as_json() for finding in findings],
        "supply": None if supply is None else supply.as_json(),
        "rulebook": rulebook.id,
    }


def weighed_of(check: Check, rulebook: Rulebook) -> CheckAsCounted:
    """Leave out what says nothing, and find what does not add up."""
    return settled(counting(check, rulebook), rulebook)


def explained(weighed: CheckAsCounted, rulebook: Rulebook) -> Explanations:
    """Explain what counts; nothing where nothing counts."""
    return explain(weighed.check, rulebook) if is_read(weighed.check) else Explanations()


def findings_of(
    check: Check, weighed: CheckAsCounted, found: Explanations, supply: Supply | None, rulebook: Rulebook
) -> list[Finding]:
    """Give every finding, in the order of the answer."""
    counted = weighed.check
    quantity = "" if weighed.doubt is None else weighed.doubt.quantity
    return [
        *loop_findings(weighed),
        *look_findings(check, rulebook),
        *breaker_findings(check, rulebook),
        *adapter_findings(counted, rulebook),
        *frequency_findings(check, rulebook),
        *(one for one in voltage_findings(counted, rulebook) if one.quantity != quantity),
        *detector_findings(check, is_ground_clean(check, rulebook)),
        *continuity_findings(check),
        *trip_findings(check.trip, rulebook),
        *earth_findings(check, rulebook),
        *evidence_findings(counted, found, rulebook),
        *supply_findings(counted, supply, rulebook),
    ]


def proposal_of(
    check: Check, weighed: CheckAsCounted, found: Explanations, rulebook: Rulebook
) -> dict[str, Any] | None:
    """Give the next test: a pair that is in doubt again before any other; none where a look stops all."""
    is_stopped = any(finding.level == "stop" for finding in look_findings(check, rulebook))
    if is_stopped or not found.probabilities:
        return None
    if weighed.doubt is not None:
        return {"id": "read-again", "pairs": list(weighed.doubt.pairs), "separates": []}
    return next_test(weighed.check, found, rulebook)


def ruling(
    weighed: CheckAsCounted, found: Explanations, findings: list[Finding], rulebook: Rulebook
) -> tuple[str, str]:
    """Give the verdict, and the name of the rule that was the first to apply."""
    check = weighed.check
    if weighed.doubt is not None:
        return _ruling_in_doubt(check, weighed.doubt, rulebook)
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
    if any(forces_test(finding, check, rulebook) for finding in findings):
        return "test-more", "forced"
    if any(finding.level == "limit" for finding in findings):
        return "use-limited", "limit"
    return "use", "nothing-against"


def _ruling_in_doubt(check: Check, doubt: Doubt, rulebook: Rulebook) -> tuple[str, str]:
    """Refuse the outlet only where it is refused whichever of the readings is left out."""
    if all(_is_refused(without_reading(check, doubt, pair), rulebook) for pair in doubt.loop):
        return "do-not-use", "whichever-left-out"
    return "test-more", "readings-disagree"


def _is_refused(check: Check, rulebook: Rulebook) -> bool:
    """Tell whether what is left is refused; where it does not add up either, by a stop that it has alone."""
    weighed = weighed_of(check, rulebook)
    found = explained(weighed, rulebook)
    supply = supply_of(weighed.check, rulebook)
    findings = findings_of(weighed.check, weighed, found, supply, rulebook)
    if weighed.doubt is not None:
        return any(finding.level == "stop" for finding in findings)
    return ruling(weighed, found, findings, rulebook)[0] == "do-not-use"


def forces_test(finding: Finding, check: Check, rulebook: Rulebook) -> bool:
    """Tell whether a finding by itself asks for another test."""
    if finding.id == "meter-too-coarse":
        return not is_all_read_by_meter(check, rulebook)
    if finding.id == "neutral-lifted":
        return is_neutral_in_doubt(finding, check, rulebook)
    if finding.id == "ground-near-voltage":
        return finding.level == "limit"
    return finding.id in FORCES_TEST


def held_against(check: Check, found: Explanations, rulebook: Rulebook) -> float:
    """Sum what everything holds but the usable explanations and loose joints."""
    left_out = usable_or_by_ohms(check, rulebook.family_of(check.outlet))
    held = 0.0
    for name, probability in found.probabilities:
        if name not in left_out:
            held = held + probability
    return held
