"""What a change touches, from a rig's log; tests/js/rig-touched.test.js: the same from a phone's rows."""

import json
from pathlib import Path
from typing import Any

import pytest

from fieldlog.model.rig import rig_of
from fieldlog.reports.proving import touching
from tests.builders import a_record
from tests.model.log import a_log

ROOT = Path(__file__).parents[2]
KNOWN = json.loads((ROOT / "tests/cases/touched.json").read_text(encoding="utf-8"))


def record(short: dict[str, Any]) -> dict[str, Any]:
    members = {name: short[name] for name in ("id", "corrects", "also_corrects") if name in short}
    body = KNOWN["bodies"][short["kind"]] | short.get("body", {})
    return a_record(short["kind"], body, rig="rig", **members)


@pytest.mark.parametrize("case", KNOWN["cases"], ids=lambda case: case["about"])
def test_a_change_touches_what_hangs_on_its_parts_or_hung_on_them_since_before_it(
    case: dict[str, Any],
) -> None:
    rig = rig_of(a_log(*(record(each) for each in case["records"])), "rig")
    assert rig is not None

    found = touching(rig).touched["c"]

    assert {
        "outlets": [[part, list(pairs)] for part, pairs in found.outlets],
        "devices": list(found.devices),
        "sources": list(found.sources),
        "frames": list(found.frames),
        "inlets": [[part, list(pairs)] for part, pairs in found.inlets],
        "outputs": [[part, list(pairs)] for part, pairs in found.outputs],
        "relays": None if found.relays is None else list(found.relays),
        "branches": list(found.branches),
    } == case["touched"]
