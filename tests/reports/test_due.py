"""What of a rig is due, from its log; the phone finds the same from its rows (tests/js/due-rows.test.js)."""

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from fieldlog.model.rig import rig_of
from fieldlog.reports.due import due_of
from tests.builders import a_record
from tests.model.log import a_log

ROOT = Path(__file__).parents[2]
RULES = json.loads((ROOT / "schemas/facts/due.json").read_text(encoding="utf-8"))["entries"]
KNOWN = json.loads((ROOT / "tests/cases/due-rows.json").read_text(encoding="utf-8"))


def record(short: dict[str, Any]) -> dict[str, Any]:
    kind = short["kind"]
    members = {name: short[name] for name in ("id", "subject", "corrects") if name in short}
    observed_at = short.get("at", f"{short.get('day', '2026-09-01')}T10:00:00.000+00:00")
    body = KNOWN["bodies"][kind] | short.get("body", {})
    return a_record(kind, body, rig="rig", observed_at=observed_at, **members)


@pytest.mark.parametrize("case", KNOWN["cases"], ids=lambda case: case["about"])
def test_each_thing_of_a_rig_is_due_by_its_last_test_that_counts(case: dict[str, Any]) -> None:
    rig = rig_of(a_log(*(record(each) for each in case["records"])), "rig")
    assert rig is not None

    found = due_of(rig, RULES, date.fromisoformat(case["today"]))

    assert [
        [
            item.thing.what,
            item.thing.subject,
            item.rule,
            item.next and item.next.isoformat(),
            item.standing.value,
        ]
        for item in found
    ] == case["due"]
