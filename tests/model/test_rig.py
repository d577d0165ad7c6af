"""A rig told from its records."""

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from fieldlog.model.rig import chains, rig_of, rigs_of
from tests.builders import (
    a_device,
    a_meter,
    a_rig,
    a_trip_test,
    an_arrival_check,
    an_id,
    an_outlet,
    an_outlet_test,
)
from tests.model.log import a_log, at, correcting

CASES = json.loads((Path(__file__).parents[1] / "cases" / "leaves.json").read_text(encoding="utf-8"))
RIG = a_rig()
DEVICE = a_device(RIG["id"])
OUTLET = an_outlet(RIG["id"], guard=DEVICE["id"])


def test_the_newest_correction_is_what_counts() -> None:
    renamed = correcting(OUTLET, an_id(), name="Sink")
    again = correcting(renamed, an_id(), name="Left of the sink")

    rig = rig_of(a_log(RIG, DEVICE, OUTLET, renamed, again), RIG["id"])

    assert rig is not None
    assert [(outlet.id, outlet.name, len(outlet.chain.corrections)) for outlet in rig.outlets] == [
        (OUTLET["id"], "Left of the sink", 2)
    ]


def test_a_rig_holds_its_own_things_only() -> None:
    other = a_rig("Other")
    log = a_log(a_meter(), RIG, DEVICE, OUTLET, other, an_outlet(other["id"]), an_arrival_check())

    mine, theirs = rigs_of(log)

    assert (len(mine.outlets), len(mine.devices), len(mine.log)) == (1, 1, 3)
    assert (len(theirs.outlets), len(theirs.devices), len(theirs.log)) == (1, 0, 2)


def test_a_rig_that_is_not_in_the_log_is_none() -> None:
    assert rig_of(a_log(RIG), DEVICE["id"]) is None


def test_the_last_test_is_the_last_one_made_not_the_last_one_sent() -> None:
    newer = an_outlet_test(RIG["id"], OUTLET["id"], observed_at=at("2026-11-20"))
    older = an_outlet_test(RIG["id"], OUTLET["id"], observed_at=at("2026-10-20"))

    rig = rig_of(a_log(RIG, DEVICE, OUTLET, newer, older), RIG["id"])

    assert rig is not None
    assert rig.outlets[0].last_test is not None
    assert rig.outlets[0].last_test.id == newer["id"]


def test_only_a_press_of_test_with_an_outcome_starts_a_new_month() -> None:
    pressed = a_trip_test(RIG["id"], DEVICE["id"], observed_at=at("2026-09-30"))
    external = a_trip_test(RIG["id"], DEVICE["id"], observed_at=at("2026-10-30"))
    external["body"] |= {"by": "external"}
    skipped = a_trip_test(RIG["id"], DEVICE["id"], observed_at=at("2026-11-20"))
    skipped["body"] |= {"tripped": None, "face_dead": None, "reset": None}

    rig = rig_of(a_log(RIG, DEVICE, pressed, external, skipped), RIG["id"])

    assert rig is not None
    assert rig.devices[0].last_press is not None
    assert rig.devices[0].last_press.id == pressed["id"]
    assert rig.devices[0].last_trip is not None
    assert rig.devices[0].last_trip.id == skipped["id"]


def test_the_day_of_a_test_is_the_day_where_it_was_made() -> None:
    late = a_trip_test(RIG["id"], DEVICE["id"], observed_at="2026-10-31T23:30:00.000-07:00")

    rig = rig_of(a_log(RIG, DEVICE, late), RIG["id"])

    assert rig is not None
    assert rig.devices[0].trips[0].at.date() == date(2026, 10, 31)


def test_a_chain_keeps_every_version() -> None:
    renamed = correcting(DEVICE, an_id(), name="Other name")

    rig_chain, device_chain = chains(a_log(RIG, DEVICE, renamed))

    assert len(rig_chain.versions) == 1
    assert [entry.record.id for entry in device_chain.versions] == [DEVICE["id"], renamed["id"]]


def version(name: str, corrects: str | None = None, also_corrects: list[str] | None = None) -> dict[str, Any]:
    record = a_rig(id=name, rig="a", corrects=corrects, reason=corrects and "Looked again.")
    return record if also_corrects is None else record | {"also_corrects": also_corrects}


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["what"])
def test_the_leaves_of_a_chain_are_what_no_other_version_corrects(case: dict[str, Any]) -> None:
    chain = chains(a_log(*(version(*members) for members in case["chain"])))[0]

    assert [leaf.record.id for leaf in chain.leaves] == case["leaves"]
    assert [leaf.record.id for leaf in chain.beside] == case["leaves"][:-1]
    assert chain.entry.record.id == case["leaves"][-1]
