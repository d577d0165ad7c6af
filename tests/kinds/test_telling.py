"""What tells one record of a thing from another; tests/js/newest.test.js is fed the same cases."""

import json
from typing import Any

import pytest

from fieldlog.kinds.telling import telling
from fieldlog.model.record import Record
from tests.builders import a_record
from tests.repository import ROOT

CASES: list[dict[str, Any]] = json.loads((ROOT / "tests/cases/telling.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["why"])
def test_two_records_of_one_thing_say_the_same_of_it_or_not(case: dict[str, Any]) -> None:
    one, other = (telling(Record.from_json(a_record(case["kind"], body))) for body in case["bodies"])

    assert (one == other) == case["same"]
