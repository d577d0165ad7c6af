"""What a rig's trips say of its map, from its log; the phone finds the same (tests/js/rig-judged.test.js)."""

import json
from pathlib import Path
from typing import Any

import pytest

from fieldlog import tables
from fieldlog.engine.protection import MOST_TRIPS
from fieldlog.model.rig import rig_of
from fieldlog.reports.rig_map import drawn, modes_to_ask
from tests.builders import a_record
from tests.model.log import a_log

KNOWN = json.loads((Path(__file__).parents[1] / "cases/rig-trips.json").read_text(encoding="utf-8"))


def record(short: dict[str, Any]) -> dict[str, Any]:
    members = {name: short[name] for name in ("id", "subject", "corrects") if name in short}
    observed_at = f"{short.get('day', '2026-09-01')}T10:00:00.000+00:00"
    said = short.get("body", {})
    body = KNOWN["bodies"][short["kind"]] | (KNOWN[said] if isinstance(said, str) else said)
    return a_record(short["kind"], body, rig="rig", observed_at=observed_at, **members)


@pytest.mark.parametrize("case", KNOWN["cases"], ids=lambda case: case["about"])
def test_the_trips_of_a_rig_are_held_against_its_map(case: dict[str, Any]) -> None:
    rig = rig_of(a_log(*(record(each) for each in [*KNOWN["things"], *case["records"]])), "rig")
    assert rig is not None

    found = drawn(rig, tables.load(), case.get("most", MOST_TRIPS))

    ids = [chain.entry.record.id for chain in found.trips]
    assert [
        [name, trip.device, list(trip.dead), list(trip.live), *([trip.mode] if trip.mode else [])]
        for name, trip in zip(ids, found.rig_map.trips, strict=True)
    ] == case["trips"]
    assert [[ids[one.trip], one.part, one.expected, one.seen] for one in found.contradictions] == case[
        "contradictions"
    ]
    both = [[one.trip.entry.record.id, one.part] for one in found.told_both]
    assert both == case.get("told_both", [])
    assert list(modes_to_ask(rig, "d")) == case.get("asked", [])
