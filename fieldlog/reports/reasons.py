"""Why a verdict is what it is, in a sentence or two, from the gravest finding or the first explanation.

The twin is static/js/check/reason.js; both are tested from tests/cases/reasons.json.
"""

import re
from collections.abc import Mapping, Sequence
from typing import Any, Final

from fieldlog.reports.findings import figure, finding_sentence
from fieldlog.reports.shown import STANDS_FROM
from fieldlog.words.wording import begun, pair_words

RIGHT: Final = "correct"

Words = Mapping[str, Any]
"""The rulebook's words, as they hold for an outlet."""


def reason_of(answer: Mapping[str, Any], words: Words, not_tested: Sequence[str] = ()) -> str:
    """Say why; nothing where an outlet may be used and nothing else was found."""
    explanations = answer["faults"]
    first = explanations[0]["id"] if explanations else RIGHT
    gravest = gravest_of(answer)
    told = [
        "" if first == RIGHT else _cause(first, words),
        _found(gravest, words) if gravest is not None else "",
    ]
    said = " ".join(part for part in told if part)
    return said or (_open(answer, words, not_tested) if answer["verdict"] == "test-more" else "")


def gravest_of(answer: Mapping[str, Any]) -> Mapping[str, Any] | None:
    """Give the finding that stops; where the outlet is not forbidden anyway, one that limits."""
    levels = ("stop",) if answer["verdict"] == "do-not-use" else ("stop", "limit")
    for level in levels:
        for finding in answer["findings"]:
            if finding["level"] == level:
                found: Mapping[str, Any] = finding
                return found
    return None


def first_sentence(text: str) -> str:
    """Give a text up to the end of its first sentence."""
    match = re.match(r".*?[.!?](?=\s|$)", text, re.DOTALL)
    return match[0] if match else text


def _cause(identity: str, words: Words) -> str:
    said = words["explanations"].get(identity, {})
    if identity == "other" and said.get("sentence"):
        return str(said["sentence"])
    return f"{said.get('name', identity)}."


def _found(finding: Mapping[str, Any], words: Words) -> str:
    parts = (_beyond(finding, words), first_sentence(finding_sentence(finding, words)))
    return " ".join(part for part in parts if part)


def _beyond(finding: Mapping[str, Any], words: Words) -> str:
    value, limit = finding.get("value"), finding.get("limit")
    if value is None or limit is None:
        return ""
    known = words.get("quantities", {}).get(finding.get("quantity"), {})
    label, unit = known.get("label", ""), known.get("unit", "")
    is_low = value > limit if finding.get("straddles") else value < limit
    how = f"{'too ' if finding['level'] == 'stop' else ''}{'low' if is_low else 'high'}"
    claim = f"may be {how}, by the meter’s error" if finding.get("straddles") else f"is {how}"
    about = f"{begun(label)}: " if label else ""
    return f"{about}{figure(value, unit)} {unit} {claim}; the limit is {figure(limit, unit)} {unit}."


def _open(answer: Mapping[str, Any], words: Words, not_tested: Sequence[str]) -> str:
    """Say what keeps an answer open where nothing was found: what was not read, or may be so as well."""
    unread = [step.split(".")[1] for step in not_tested if step.startswith(("volts.", "lamps."))]
    if unread:
        return f"Not read: {', '.join(pair_words(pair) for pair in dict.fromkeys(unread))}."
    for explanation in answer["faults"][1:]:
        if explanation["id"] != RIGHT and explanation["probability"] >= STANDS_FROM:
            name = words["explanations"].get(explanation["id"], {}).get("name", "another")
            return f"It may also be: {name}."
    findings = answer["findings"]
    return first_sentence(finding_sentence(findings[0], words)) if findings else ""
