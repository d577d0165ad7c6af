"""What a person may type as a number; static/js/lib/measured.js is tested from the same cases."""

import json
from pathlib import Path

import pytest

from fieldlog.words.entry import RANGES, read_entry

CASES = json.loads((Path(__file__).parents[1] / "cases" / "entries.json").read_text(encoding="utf-8"))


def _name(case: dict[str, str]) -> str:
    return f"{case['field']} {case['typed']}"


@pytest.mark.parametrize("case", [c for c in CASES if "number" in c], ids=_name)
def test_an_entry_is_kept_as_a_plain_number(case: dict[str, str]) -> None:
    assert read_entry(case["typed"], RANGES[case["field"]]) == case["number"]


@pytest.mark.parametrize("case", [c for c in CASES if "problem" in c], ids=_name)
def test_a_wrong_entry_gets_a_sentence(case: dict[str, str]) -> None:
    with pytest.raises(ValueError) as caught:
        read_entry(case["typed"], RANGES[case["field"]])

    assert str(caught.value) == case["problem"]
