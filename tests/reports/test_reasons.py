"""Why a verdict is what it is, and what the readings leave open, in the words of the pages without script."""

import json
from pathlib import Path
from typing import Any

import pytest

from fieldlog.reports.reasons import reason_of
from fieldlog.reports.settling import left_open, made_in

CASES = Path(__file__).parents[1] / "cases"
REASONS = json.loads((CASES / "reasons.json").read_text(encoding="utf-8"))
SETTLING = json.loads((CASES / "settling.json").read_text(encoding="utf-8"))
WORDS = {
    "explanations": {
        "dead": {"name": "No supply"},
        "open-ground": {"name": "Open ground"},
        "other": {"name": "Something else", "sentence": "Nothing fits, or one of them is wrong."},
    },
    "findings": {
        "low": {"sentence": "It is low. Motors suffer."},
        "high": {"sentence": "It is high. Heaters suffer."},
        "burned": {"sentence": "Burn marks: it was hot."},
    },
    "pairs": {"h-n": "hot–neutral", "g-e": "ground–earth"},
    "quantities": {
        "h-n": {"label": "hot–neutral", "unit": "V"},
        "g-e": {"label": "ground–earth", "unit": "V"},
    },
}


def a_test(id: str, *separates: tuple[int, int, int], **members: Any) -> dict[str, Any]:
    return {
        "id": id,
        "supplies": ["utility"],
        "places": ["pedestal", "rig"],
        "dangerous_under": [],
        "separates": separates,
        **members,
    }


FAMILY = {
    "wirings": [{"id": id} for id in ("correct", "deadly", "swapped", "open", "bonded")],
    "tests": [
        a_test("earth", (0, 1, 100), (0, 2, 89), (0, 4, 66)),
        a_test("meter", (0, 1, 66), (0, 3, 100)),
        a_test("upstream", (0, 2, 90), places=["pedestal"], dangerous_under=["deadly"]),
    ],
}


@pytest.mark.parametrize("case", REASONS, ids=lambda case: str(case["what"]))
def test_a_verdict_gives_its_reason(case: dict[str, Any]) -> None:
    assert reason_of(case["answer"], WORDS, case["not_tested"]) == case["reason"]


@pytest.mark.parametrize("case", SETTLING, ids=lambda case: str(case["what"]))
def test_what_is_open_is_named_with_the_test_that_settles_it(case: dict[str, Any]) -> None:
    answer = {
        "not_ruled_out": case["not_ruled_out"],
        "faults": [{"id": id, "probability": probability} for id, probability in case["faults"]],
        "findings": [{"id": id} for id in case.get("findings", [])],
    }

    found = left_open(answer, FAMILY, where=case.get("where", "pedestal"), made=case["made"])

    assert [*found.left] == case["left"]
    assert ([*found.by], found.was_made) == (case["by"], case["was_made"])


def test_readings_stand_for_the_tests_by_which_they_were_made() -> None:
    check = {
        "volts": {"h-n": "121 V", "h-e": "120 V"},
        "more": [{"meter": {"input": "low-impedance"}, "volts": {"h-n": "121 V"}}],
        "trip": [{"by": "button", "device": "upstream"}],
    }

    assert made_in(check) == {"earth", "low-impedance", "meter", "upstream-hold"}
