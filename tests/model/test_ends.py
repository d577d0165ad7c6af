"""What is told of printed ends: alarms have one by common practice; how near is near is our own choice."""

import json
from datetime import date
from typing import Any

import pytest

from fieldlog.model.ends import end_lines
from tests.repository import ROOT

CASES = json.loads((ROOT / "tests/cases/ends.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["about"])
def test_what_is_past_or_near_is_told(case: dict[str, Any]) -> None:
    assert end_lines(case["ends"], date.fromisoformat(case["today"])) == case["lines"]
