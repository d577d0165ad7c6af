"""Words for an answer of the assessment that the templates cannot take from the rulebook as they stand."""

import math
from collections.abc import Mapping
from typing import Any, Final

from flask import Flask

from fieldlog.reports.wording import pair_words, step_words

# How sure an explanation is, in words: the least probability, and what it is called. Own choice.
SURE: Final = (
    (0.99, "almost certain"),
    (0.9, "very likely"),
    (0.66, "likely"),
    (0.33, "about as likely as not"),
    (0.1, "less likely"),
    (0.0, "unlikely, not impossible"),
)
UNITS: Final = {"skin": "V", "hertz": "Hz", "breaker_amps": "A", "milliseconds": "ms"}


def how_sure(probability: float) -> str:
    """Say in words and as a number how sure an explanation is; never 100 % and never 0 %."""
    words = next(words for least, words in SURE if probability >= least)
    return f"{words} ({_percent(probability)})"


def figures(finding: Mapping[str, Any]) -> str:
    """Give the reading, its uncertainty, the limit and its source of a finding, in sentences."""
    quantity = finding.get("quantity") or ""
    unit = "V" if "-" in quantity else UNITS.get(quantity, "")
    return " ".join(
        part for part in (_reading(finding, unit), _limit(finding, unit), _source(finding)) if part
    )


def add_words(app: Flask) -> None:
    """Give the templates the filters that speak of readings."""
    app.jinja_env.filters.update(
        how_sure=how_sure, figures=figures, pair_words=pair_words, step_words=step_words
    )


def _percent(probability: float) -> str:
    if probability > 0.99:
        return "over 99 %"
    return "under 1 %" if probability < 0.01 else f"{math.floor(probability * 100 + 0.5)} %"


def _reading(finding: Mapping[str, Any], unit: str) -> str:
    value = finding.get("value")
    if not isinstance(value, int | float):
        return ""
    quantity = finding.get("quantity") or ""
    name = pair_words(quantity).capitalize() if "-" in quantity else "Value"
    spread = finding.get("uncertainty")
    about = f" ± {math.floor(spread * 10 + 0.5) / 10:g}" if spread else ""
    return f"{name} {value:g}{about} {unit}.".replace(" .", ".")


def _limit(finding: Mapping[str, Any], unit: str) -> str:
    limit = finding.get("limit")
    if not isinstance(limit, int | float):
        return ""
    across = " The reading itself is better; the meter's error reaches over the limit."
    return f"The limit is {limit:g} {unit}.".replace(" .", ".") + (across if finding.get("straddles") else "")


def _source(finding: Mapping[str, Any]) -> str:
    return f"Source: {finding['source']}" if finding.get("source") else ""
