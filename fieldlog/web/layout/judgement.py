"""Words for an answer of the assessment that the templates cannot take from the rulebook as they stand."""

import math
import re
from collections.abc import Mapping, Sequence
from typing import Any

from flask import Flask

from fieldlog.model.contacts import OF_FAMILY
from fieldlog.model.outlets import NAMES
from fieldlog.model.rulebook import Rulebook
from fieldlog.reports.findings import figures_text, finding_sentence, supply_lines
from fieldlog.reports.reasons import first_sentence, gravest_of, reason_of
from fieldlog.reports.settling import left_open, made_in
from fieldlog.reports.shown import HOW_SURE, SHOWN_FROM
from fieldlog.web.layout.drawing import figure_text
from fieldlog.web.layout.parts import parts
from fieldlog.words.kinds import kind_name
from fieldlog.words.naming import words_for
from fieldlog.words.wording import begun, pair_words, step_words


def how_sure(probability: float) -> str:
    """Say in words and as a number how sure an explanation is; never 100 % and never 0 %."""
    words = next(words for least, words in HOW_SURE if probability >= least)
    return f"{words} ({_percent(probability)})"


def figures(finding: Mapping[str, Any]) -> str:
    """Give the reading, its uncertainty, the limit and its source of a finding, in sentences."""
    return figures_text(finding, parts().rulebook)


def words_at(outlet: str, rulebook: Rulebook) -> dict[str, Any]:
    """Give the rulebook's words as they hold for an outlet, and its family, whose wirings are drawn."""
    family = rulebook.raw["families"][rulebook.raw["outlets"][outlet]["family"]]
    return {**words_for(outlet, rulebook), "family": family}


def banner_words(
    judged: Mapping[str, Any],
    words: Mapping[str, Any],
    check: Mapping[str, Any],
    not_tested: Sequence[str],
    is_kept: bool = False,
) -> list[str]:
    """Give what stands under a verdict's word: its sentence, its reason, what the readings cannot show.

    One that is looked at later (is_kept) orders nothing that was to be done before plugging in.
    """
    verdict = judged["verdict"]
    said = words["verdicts"][verdict]
    sentence = first_sentence(said["sentence"]) if verdict == "use" else str(said["sentence"])
    is_usable = verdict in ("use", "use-limited")
    parts = (
        str(said["kept"]) if is_kept else sentence,
        reason_of(judged, words, not_tested),
        _open_words(judged, words, check) if is_usable else "",
    )
    return [part for part in parts if part]


def _open_words(judged: Mapping[str, Any], words: Mapping[str, Any], check: Mapping[str, Any]) -> str:
    place = {name: check[name] for name in ("supply", "where") if name in check}
    found = left_open(judged, words["family"], made=made_in(check), **place)
    if not found.left:
        unloaded = any(finding["id"] == "not-loaded" for finding in judged["findings"])
        return str(words["findings"]["not-loaded"]["sentence"]) if unloaded else ""
    names = [f"“{_lowered(words['explanations'].get(id, {}).get('name', id))}”" for id in found.left]
    said = " or ".join(part for part in (", ".join(names[:-1]), names[-1]) if part)
    if found.by:
        tests = "; ".join(_lowered(words["tests"].get(id, {}).get("name", id)) for id in found.by)
        return f"These readings cannot rule out {said}; to settle it: {tests}."
    made = "; the test that can was made and did not settle it" if found.was_made else ""
    return f"These readings cannot rule out {said}{made}."


def _lowered(text: str) -> str:
    return text[:1].lower() + text[1:]


def to_do(judged: Mapping[str, Any], words: Mapping[str, Any], where: str) -> list[str]:
    """List what to do now: what the verdict asks, then of the first explanation's what was not said yet."""
    said = words["verdicts"][judged["verdict"]]
    now, *then = said["at_rig"] if where == "rig" else said["do_now"]
    first = judged["faults"][0]["id"] if judged["faults"] else "correct"
    is_plain = where == "rig" or first == "correct" or judged["verdict"] in ("use", "use-limited")
    asked = [] if is_plain else words["explanations"].get(first, {}).get("do_now") or []
    more = _sentences([asked] if isinstance(asked, str) else asked)
    known = _sentences([now, *then])
    return [now, *(each for each in more if each not in known), *then]


def _sentences(texts: Sequence[str]) -> list[str]:
    return [each for text in texts for each in re.split(r"(?<=[.!?])\s+", text)]


def said_rest(finding: Mapping[str, Any], words: Mapping[str, Any], judged: Mapping[str, Any]) -> str:
    """Say of a finding what the banner did not say."""
    sentence = finding_sentence(finding, words)
    return sentence[len(first_sentence(sentence)) :].strip() if finding is gravest_of(judged) else sentence


def unnamed_words(wiring_id: str, words: Mapping[str, Any]) -> str:
    """Say in plain words what an unnamed wiring joins."""
    family = words["family"]
    for wiring in family["wirings"]:
        if wiring["id"] == wiring_id:
            contacts = figure_text(wiring["variants"], family["contacts"], words)
            return str(words["unnamed"]["sentence"]).replace("{contacts}", contacts)
    return ""


def add_words(app: Flask) -> None:
    """Give the templates what speaks of readings, names kinds, and tells from where on all is shown."""
    app.jinja_env.globals.update(shown_from=SHOWN_FROM, contacts=OF_FAMILY, contact_names=NAMES)
    app.jinja_env.filters.update(
        how_sure=how_sure,
        figures=figures,
        pair_words=pair_words,
        step_words=step_words,
        begun=begun,
        kind_name=kind_name,
        supply_lines=supply_lines,
        unnamed_words=unnamed_words,
        banner_words=banner_words,
        to_do=to_do,
        said_rest=said_rest,
    )


def _percent(probability: float) -> str:
    if probability > 0.99:
        return "over 99 %"
    return "under 1 %" if probability < 0.01 else f"{math.floor(probability * 100 + 0.5)} %"
