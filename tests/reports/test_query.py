"""Which records are looked for, from the cases that the phone is fed as well."""

import json
from dataclasses import replace
from typing import Any

import pytest

from fieldlog.model.record import Flag
from fieldlog.reports.query import Query, words_of
from tests.model.log import a_log
from tests.repository import ROOT

CASES = json.loads((ROOT / "tests/cases/queries.json").read_text(encoding="utf-8"))
RECORD = json.loads((ROOT / "tests/cases/queried-record.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("case", CASES, ids=lambda case: str(case["what"]))
def test_a_record_is_found_by(case: dict[str, Any]) -> None:
    (logged,) = a_log(RECORD)
    entry = replace(logged, flags=(Flag("clock-differs", "The phone’s clock was off."),))
    asked = dict(case["query"])
    words = words_of(asked.pop("words", ""))

    assert Query(words=words, **asked).finds(entry, "Galley") is case["found"]
