"""Words for an answer of the assessment that the templates cannot take from the rulebook as they stand."""

import math
from collections.abc import Mapping
from typing import Any, Final

from flask import Flask

from fieldlog.model.rulebook import Rulebook
from fieldlog.reports.findings import figures_text, supply_lines
from fieldlog.reports.kinds import kind_name
from fieldlog.reports.naming import words_for
from fieldlog.reports.wording import begun, pair_words, step_words
from fieldlog.web.layout.drawing import figure_text
from fieldlog.web.layout.parts import parts

# How sure an explanation is, in words: the least probability, and what it is called. Own choice.
SURE: Final = (
    (0.99, "almost certain"),
    (0.9, "very likely"),
    (0.66, "likely"),
    (0.33, "about as likely as not"),
    (0.1, "less likely"),
    (0.0, "unlikely, not impossible"),
)


def how_sure(probability: float) -> str:
    """Say in words and as a number how sure an explanation is; never 100 % and never 0 %."""
    words = next(words for least, words in SURE if probability >= least)
    return f"{words} ({_percent(probability)})"


def figures(finding: Mapping[str, Any]) -> str:
    """Give the reading, its uncertainty, the limit and its source of a finding, in sentences."""
    return figures_text(finding, parts().rulebook)


def words_at(outlet: str, rulebook: Rulebook) -> dict[str, Any]:
    """Give the rulebook's words as they hold for an outlet, and its family, whose wirings are drawn."""
    family = rulebook.raw["families"][rulebook.raw["outlets"][outlet]["family"]]
    return {**words_for(outlet, rulebook), "family": family}


def unnamed_words(wiring_id: str, words: Mapping[str, Any]) -> str:
    """Say in plain words what an unnamed wiring joins."""
    family = words["family"]
    for wiring in family["wirings"]:
        if wiring["id"] == wiring_id:
            contacts = figure_text(wiring["variants"], family["contacts"], words)
            return str(words["unnamed"]["sentence"]).replace("{contacts}", contacts)
    return ""


def add_words(app: Flask) -> None:
    """Give the templates the filters that speak of readings and name kinds."""
    app.jinja_env.filters.update(
        how_sure=how_sure,
        figures=figures,
        pair_words=pair_words,
        step_words=step_words,
        begun=begun,
        kind_name=kind_name,
        supply_lines=supply_lines,
        unnamed_words=unnamed_words,
    )


def _percent(probability: float) -> str:
    if probability > 0.99:
        return "over 99 %"
    return "under 1 %" if probability < 0.01 else f"{math.floor(probability * 100 + 0.5)} %"
