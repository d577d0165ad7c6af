"""How a rig was kept up: gaps shown as gaps, a pedestal by its month alone, ohms then and now."""

from datetime import UTC, datetime
from typing import Any

from fieldlog.model.rig import Rig, rig_of
from fieldlog.reports.kept_up import kept_up_lines
from fieldlog.rulebook import load
from tests.builders import (
    a_device,
    a_full_check,
    a_rig,
    a_trip_test,
    an_arrival_check,
    an_outlet,
    an_outlet_test,
)
from tests.model.log import a_log

MADE_AT = datetime(2026, 11, 30, tzinfo=UTC)


def a_rig_with(*records: dict[str, Any]) -> Rig:
    found = rig_of(a_log(*records), records[0]["id"])
    assert found is not None
    return found


def on(day: str) -> dict[str, Any]:
    return {"observed_at": f"{day}T10:00:00.000-06:00"}


def test_each_line_is_told_by_the_log() -> None:
    """The ohms by hand: (121.3 - 116.9) V / 12.0 A = 0.37 ohm; (121.3 - 118.9) V / 12.0 A = 0.20 ohm."""
    rig = a_rig(**on("2026-06-02"))
    device, other = a_device(rig["id"], "GFCI", **on("2026-06-02")), an_outlet(rig["id"], "Bath")
    galley = an_outlet(rig["id"], "Galley")
    presses = [a_trip_test(rig["id"], device["id"], **on(f"2026-{month}-09")) for month in ("07", "08", "10")]
    before, now = a_full_check(where="rig"), a_full_check(where="rig")
    before["loaded"]["volts"] |= {"h-n": "118.9 V"}
    tests = [
        an_outlet_test(rig["id"], galley["id"], before, **on("2024-05-01")),
        an_outlet_test(rig["id"], galley["id"], now, **on("2026-11-20")),
    ]
    bad = an_arrival_check(rig=rig["id"], verdict="do-not-use", park="Owners Rest", **on("2026-07-14"))

    log = a_rig_with(rig, device, galley, other, *presses, *tests, bad)
    told = {line.label: line.told for line in kept_up_lines(log, load(), MADE_AT)}

    assert told["Monthly tests of ground-fault devices"] == (
        "GFCI: in 3 of the last 4 whole months; none in 2026-09",
    )
    assert told["Never tested"] == ("Bath",)
    (pedestal,) = told["Pedestals that did not end in “use”"]
    assert pedestal.startswith("2026-07, TT-30: ") and "Owners Rest" not in pedestal
    assert told["Loop ohms, first and newest"] == ("Galley: 0.37 Ω (2026-11-20), first 0.20 Ω (2024-05-01)",)


def test_where_nothing_is_noted_no_line_claims_anything() -> None:
    told = {line.label: line.told for line in kept_up_lines(a_rig_with(a_rig()), load(), MADE_AT)}

    assert told["Monthly tests of ground-fault devices"] == ("no ground-fault device is noted",)
    assert told["Loop ohms, first and newest"] == ("not noted",)
