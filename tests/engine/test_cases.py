"""Situations and what must come of them; tests/js/assess.test.js reads the same file."""

import json
from pathlib import Path
from typing import Any

import pytest

from fieldlog.engine import assess
from fieldlog.errors import BadInput
from fieldlog.rulebook import load

CASES = json.loads((Path(__file__).parents[1] / "cases/checks.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("case", CASES["cases"], ids=lambda case: case["name"])
def test_a_situation_is_judged_as_it_must_be(case: dict[str, Any]) -> None:
    answer = assess(case["check"], load())

    found = [finding["id"] for finding in answer["findings"]]
    first = answer["faults"][0]["id"] if answer["faults"] else None
    assert (answer["verdict"], first) == (case["verdict"], case["first"])
    assert set(case["findings"]) <= set(found)
    assert not set(case["not"]) & set(found)


@pytest.mark.parametrize("case", CASES["bad"], ids=lambda case: case["name"])
def test_bad_input_names_every_member_that_is_wrong(case: dict[str, Any]) -> None:
    with pytest.raises(BadInput) as raised:
        assess(case["check"], load())

    assert [problem.at for problem in raised.value.problems] == case["at"]
