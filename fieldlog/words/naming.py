"""The rulebook's names for what an assessment gives: verdicts, explanations, and what a finding is about."""

from collections.abc import Mapping
from typing import Any

from fieldlog.model.bodies import BodyArrivalCheck, BodyOutletTest
from fieldlog.model.rulebook import Rulebook
from fieldlog.words.wording import begun, pair_words

UNKNOWN = "something else"


def verdict_name(verdict: str, rulebook: Rulebook) -> str:
    """Give the word of a verdict."""
    return str(rulebook.raw["words"]["verdicts"][verdict]["word"])


def words_for(outlet: str, rulebook: Rulebook) -> Mapping[str, Any]:
    """Give the rulebook's words as they hold for an outlet: its family's stand in for the general ones."""
    words, family = rulebook.raw["words"], rulebook.raw["outlets"][outlet]["family"]
    own = {group: _own(words[group], family) for group in ("explanations", "tests")}
    return {**words, **own}


def explanation_name(identity: str | None, outlet: str, rulebook: Rulebook) -> str:
    """Give the name of an explanation as it holds for an outlet."""
    family = rulebook.raw["outlets"][outlet]["family"]
    said = rulebook.raw["words"]["explanations"].get(identity, {})
    return str({**said, **said.get(family, {})}.get("name", UNKNOWN))


def ending(body: BodyArrivalCheck | BodyOutletTest, rulebook: Rulebook) -> str:
    """Give the word of the verdict that a check ended in, and the explanation that came first, if any."""
    said = body["judgement"]
    word = verdict_name(said["verdict"], rulebook)
    if said["first"] in (None, "correct"):
        return word
    return f"{word}: {explanation_name(said['first'], body['check']['outlet'], rulebook)}"


def quantity_label(quantity: str, rulebook: Rulebook) -> str:
    """Give in words what a finding has measured."""
    known = rulebook.raw["words"].get("quantities", {}).get(quantity)
    if known is not None:
        return begun(known["label"])
    under_load = " under load" if quantity.startswith("loaded.") else ""
    return begun(pair_words(quantity.removeprefix("loaded.")) + under_load)


def quantity_unit(quantity: str, rulebook: Rulebook) -> str:
    """Give the unit of what a finding has measured."""
    known = rulebook.raw["words"].get("quantities", {}).get(quantity, {})
    return str(known.get("unit", "V" if "-" in quantity else ""))


def _own(entries: Mapping[str, Mapping[str, Any]], family: str) -> dict[str, dict[str, Any]]:
    return {identity: {**said, **said.get(family, {})} for identity, said in entries.items()}
