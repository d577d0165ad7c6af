"""Maps of an electrician: what guards what, which stop stands, and which advice is given."""

import json
from pathlib import Path
from typing import Any

import pytest

from fieldlog.engine.protection import judge, read_map
from fieldlog.model.rig_map import Protection
from fieldlog.tables import load

CASES: list[dict[str, Any]] = json.loads(
    (Path(__file__).parents[1] / "cases" / "protection.json").read_text(encoding="utf-8")
)["cases"]


def told(one: Protection) -> dict[str, Any]:
    answer: Any = one.as_json()
    members = ("id", "part", "runs", "among")
    return {
        "protected_by": answer["protected_by"],
        "unprotected": answer["unprotected"],
        "stops": [{name: each.as_json()[name] for name in members} for each in one.stops],
        "disproved": {
            each["part"]: each["among"] for each in answer["findings"] if each["id"] == "guard-disproved"
        },
    }


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_a_map_says_what_an_electrician_says_of_it(case: dict[str, Any]) -> None:
    found = judge(read_map(case["map"]), load())
    findings = {(one.id, one.part) for each in found.values() for one in each.findings}

    if case["modes"] is not None:
        assert {mode: told(one) for mode, one in found.items()} == case["modes"]
    assert {tuple(each) for each in case["says"]} <= findings
    assert not {one for one, _ in findings} & set(case["never"])
