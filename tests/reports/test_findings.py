"""Findings and ohms in words."""

from dataclasses import replace
from typing import Any

import pytest

from fieldlog.engine import assess
from fieldlog.model.measured import check_input
from fieldlog.reports.findings import figure, figures_text, finding_lines, supply_lines
from fieldlog.rulebook import load
from fieldlog.words.naming import ending, explanation_name, words_for
from tests.builders import a_14_50_check, a_check, an_arrival_check

LOW = {
    "id": "voltage-low",
    "level": "limit",
    "quantity": "h-n",
    "value": 108.2,
    "uncertainty": 1.382,
    "limit": 110,
    "straddles": True,
    "source": "ANSI C84.1",
}


def answer_to(check: dict[str, Any]) -> dict[str, Any]:
    """Judge a check as it is recorded."""
    return assess(check_input(check), load())


def test_a_finding_shows_reading_limit_and_source() -> None:
    assert figures_text(LOW, load()) == (
        "Hot–neutral 108.2 ± 1.4 V. The limit is 110 V. The reading itself is better; the meter's error "
        "reaches over the limit. Source: ANSI C84.1"
    )


@pytest.mark.parametrize(
    ("quantity", "said"),
    [
        ("x-n", "Leg X–neutral 108.2 ± 1.4 V."),
        ("loaded.h-n", "Hot–neutral under load 108.2 ± 1.4 V."),
        ("joint-heat", "Heat in the joint at 80 % of the rating 108 ± 1 W."),
        ("hertz", "Frequency 108.2 ± 1.4 Hz."),
    ],
)
def test_what_was_measured_is_named_with_its_unit(quantity: str, said: str) -> None:
    assert figures_text({**LOW, "quantity": quantity}, load()).startswith(said)


def test_a_finding_without_a_figure_shows_its_source_alone() -> None:
    bare = {"quantity": None, "value": None, "limit": None, "source": "common practice"}

    assert figures_text(bare, load()) == "Source: common practice"


def test_a_rulebook_without_labels_falls_back_to_the_contacts() -> None:
    found = load()
    words = {name: said for name, said in found.raw["words"].items() if name != "quantities"}
    bare = replace(found, raw={**found.raw, "words": words})

    assert figures_text({**LOW, "quantity": "loaded.x-n"}, bare).startswith(
        "Leg X–neutral under load 108.2 ± 1.4 V."
    )


def test_every_finding_of_an_answer_is_told() -> None:
    answer = answer_to(a_14_50_check())

    lines = finding_lines(answer, load())

    assert [line.level for line in lines] == [finding["level"] for finding in answer["findings"]]
    assert "loop-drop" in [finding["id"] for finding in answer["findings"]]
    assert "V. The limit is" in " ".join(line.figures for line in lines)


def test_ohms_are_told_with_their_bounds() -> None:
    """Ohm's law by hand.

    4.8 V / 12.2 A = 0.393 Ω; ± (0.6 + 0.01·4.8)/12.2 + 0.05·0.393 = ± 0.073 Ω for one meter,
    ± (0.6 + 0.01·239.2)/12.2 + 0.05·0.393 = ± 0.265 Ω at worst; 2.1 V / 12.2 A = 0.172 Ω in the neutral.
    """
    lines = supply_lines(answer_to(a_14_50_check()))

    assert [line.text for line in lines] == [
        "There and back, leg X–neutral: 0.39 Ω",
        "As surely as one meter tells: 0.32 to 0.47 Ω",
        "At the very worst: 0.13 to 0.66 Ω",
        "Of it the hot: 0.22 Ω",
        "Of it the neutral: 0.17 Ω",
    ]


def test_without_a_load_there_are_no_ohms() -> None:
    assert supply_lines(answer_to(a_check())) == ()


def test_no_ohms_are_less_than_none() -> None:
    stiff = {"across": "h-n", "ohms": 0.02, "ohms_uncertainty": 0.05, "ohms_bound": None, "hot_ohms": None}
    lines = supply_lines({"supply": {**stiff, "neutral_ohms": None}})

    assert [line.value for line in lines] == ["0.02 Ω", "0 to 0.07 Ω"]


@pytest.mark.parametrize(
    ("number", "unit", "shown"),
    [
        (15.738, "V", "15.7"),
        (0.2213, "Ω", "0.22"),
        (3600.4, "W", "3600"),
        (120.0, "V", "120"),
        (0.25, "V", "0.3"),
    ],
)
def test_a_figure_has_the_digits_that_it_bears(number: float, unit: str, shown: str) -> None:
    assert figure(number, unit) == shown


def test_an_explanation_is_said_as_it_holds_for_the_outlet() -> None:
    rulebook = load()
    correct = rulebook.raw["words"]["explanations"]["correct"]

    assert (
        words_for("14-50", rulebook)["explanations"]["correct"]["sentence"]
        == correct["split-phase"]["sentence"]
    )
    assert words_for("TT-30", rulebook)["explanations"]["correct"]["sentence"] == correct["sentence"]
    assert explanation_name("no-such", "TT-30", rulebook) == "something else"


@pytest.mark.parametrize(
    ("first", "said"), [(None, "Use"), ("correct", "Use"), ("other", "Use: Something else")]
)
def test_a_check_ends_in_its_verdict_and_what_explains_it(first: str | None, said: str) -> None:
    body = an_arrival_check()["body"]
    body["judgement"]["first"] = first

    assert ending(body, load()) == said
