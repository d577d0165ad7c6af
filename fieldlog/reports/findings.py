"""What an assessment says beside its verdict, in words: findings with figures, and the supply's ohms."""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from fieldlog.model.rulebook import Rulebook
from fieldlog.reports.shown import WEAKEST_SUPPLY, WEAKEST_SUPPLY_SAYS
from fieldlog.words.lines import Line
from fieldlog.words.naming import quantity_label, quantity_unit
from fieldlog.words.wording import pair_words

LEVELS: Final = {"stop": "Stop", "limit": "Limit", "note": "Note"}
# No more digits than a figure bears: parts of the unit that are still shown.
_PARTS: Final = {"W": 1, "Ω": 100}
_USUAL_PARTS: Final = 10
_LEGS: Final = "x-y"


@dataclass(frozen=True)
class FindingLine:
    """A finding in words."""

    level: str
    word: str
    sentence: str
    figures: str


def finding_lines(answer: Mapping[str, Any], rulebook: Rulebook) -> tuple[FindingLine, ...]:
    """Give the findings of an answer, in its order."""
    return tuple(_finding_line(finding, rulebook) for finding in answer["findings"])


def figures_text(finding: Mapping[str, Any], rulebook: Rulebook) -> str:
    """Give the reading, its uncertainty, the limit and its source of a finding, in sentences."""
    quantity = finding.get("quantity") or ""
    label, unit = quantity_label(quantity, rulebook), quantity_unit(quantity, rulebook)
    parts = (_reading(finding, label, unit), _limit(finding, unit), _source(finding))
    return " ".join(part for part in parts if part)


def supply_lines(answer: Mapping[str, Any]) -> tuple[Line, ...]:
    """Give what readings under load tell of the wires and joints up to the outlet; nothing without them."""
    supply = answer["supply"]
    return () if supply is None else tuple(_supply(supply))


def figure(number: float, unit: str) -> str:
    """Round a number to the digits that it bears in its unit, halves upwards."""
    parts = _PARTS.get(unit, _USUAL_PARTS)
    return f"{math.floor(number * parts + 0.5) / parts:.10g}"


def finding_sentence(finding: Mapping[str, Any], words: Mapping[str, Any]) -> str:
    """Say what a finding means; what is said of a weak supply is not said of a few volts."""
    value = finding.get("value")
    is_grave = finding["level"] == "stop" and finding.get("quantity") in words["pairs"]
    if is_grave and value is not None and value < WEAKEST_SUPPLY * (finding.get("limit") or 0):
        return WEAKEST_SUPPLY_SAYS
    said = words["findings"].get(finding["id"], {})
    return str(said.get("sentence", "The rulebook has no words for this finding."))


def _finding_line(finding: Mapping[str, Any], rulebook: Rulebook) -> FindingLine:
    sentence = finding_sentence(finding, rulebook.raw["words"])
    return FindingLine(finding["level"], LEVELS[finding["level"]], sentence, figures_text(finding, rulebook))


def _reading(finding: Mapping[str, Any], label: str, unit: str) -> str:
    value = finding.get("value")
    if value is None:
        return ""
    spread = finding.get("uncertainty")
    about = f" ± {figure(spread, unit)}" if spread else ""
    return f"{label} {figure(value, unit)}{about} {unit}".strip() + "."


def _limit(finding: Mapping[str, Any], unit: str) -> str:
    limit = finding.get("limit")
    if limit is None:
        return ""
    across = " The reading itself is better; the meter's error reaches over the limit."
    border = f"The limit is {figure(limit, unit)} {unit}".strip()
    return f"{border}.{across if finding.get('straddles') else ''}"


def _source(finding: Mapping[str, Any]) -> str:
    return f"Source: {finding['source']}" if finding.get("source") else ""


def _supply(supply: Mapping[str, Any]) -> Iterator[Line]:
    ohms, across = supply["ohms"], supply["across"]
    yield Line(f"There and back, {pair_words(across)}", f"{figure(ohms, 'Ω')} Ω")
    yield Line("As surely as one meter tells", _span(ohms, supply["ohms_uncertainty"]))
    if supply["ohms_bound"] is not None:
        yield Line("At the very worst", _span(ohms, supply["ohms_bound"]))
    if supply["hot_ohms"] is not None:
        of_it = "Of it the legs" if across == _LEGS else "Of it the hot"
        yield Line(of_it, f"{figure(supply['hot_ohms'], 'Ω')} Ω")
    if supply["neutral_ohms"] is not None:
        yield Line("Of it the neutral", f"{figure(supply['neutral_ohms'], 'Ω')} Ω")


def _span(ohms: float, spread: float) -> str:
    return f"{figure(max(0.0, ohms - spread), 'Ω')} to {figure(ohms + spread, 'Ω')} Ω"
