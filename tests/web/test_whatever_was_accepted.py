"""No page fails for what was once accepted: each accepted change of a record is drawn on every page."""

import json
from collections import Counter
from collections.abc import Iterator
from typing import Any

from fieldlog.sync.shape import SCHEMA, _quick_validator
from fieldlog.words.kinds import RECORDS as RECORD_KINDS
from tests.builders import (
    a_14_50_check,
    a_change,
    a_cord_set,
    a_device,
    a_full_check,
    a_hand_over,
    a_lamp_tester,
    a_look,
    a_meter,
    a_photo,
    a_plan,
    a_plan_on_both_legs,
    a_plug_in,
    a_proof,
    a_rig,
    a_rig_map,
    a_round,
    a_set_test,
    a_site_note,
    a_trip_test,
    an_arrival_check,
    an_id,
    an_incident,
    an_outlet,
    an_outlet_test,
)
from tests.conftest import Person
from tests.sync.test_shape import changed, places, without
from tests.web.rigs import Noted, note_a_rig

BATCH, LEAST_ACCEPTED, LEAST_OF_KIND = 100, 500, 5
SHOWN_ALONE = 7
"""Every so many-th has its own page opened too, beside the pages that show them all."""
SKIN: dict[str, Any] = {"of": "skin", "points": {"skin-quiet": "good"}, "not_tested": [], "note": ""}
SKIN |= {"volts": "0.4 V"}
LOOK_BEFORE_USE: dict[str, Any] = {"of": "set-look", "points": {"cord-jacket": "bad"}, "not_tested": []}
LOOK_BEFORE_USE |= {"note": ""}
ALARMS: dict[str, Any] = {"of": "alarms", "points": {"alarm-smoke": "good"}, "not_tested": [], "note": ""}
ALARMS |= {"ends": {"smoke": "2031-05"}}
OTHERS: dict[type, tuple[Any, ...]] = {
    bool: (True, False, None),
    int: (0, 1, 3, 100, None),
    float: (0.0, 0.5, 3.0, None),
    str: ("", "x", "<b>&amp;\u202e", "0 V", "600 V", "1 A", "2026-11-25", None),
    type(None): ("x", 1, True, "0 V", "2021-02"),
    list: ([],),
    dict: ({},),
}


def enumerations() -> list[list[Any]]:
    """Give every list of allowed values in the schema."""
    found: list[list[Any]] = []

    def walk(node: Any) -> None:
        if isinstance(node, dict):
            if isinstance(node.get("enum"), list):
                found.append(node["enum"])
            for each in node.values():
                walk(each)
        elif isinstance(node, list):
            for each in node:
                walk(each)

    walk(json.loads(SCHEMA.read_text(encoding="utf-8")))
    return found


def records_of(noted: Noted) -> list[dict[str, Any]]:
    """Give a record of each kind, about what is noted."""
    rig, check, change = noted.rig, an_arrival_check(a_full_check(), rig=noted.rig), a_change(noted.rig)
    trip, cord_set = a_trip_test(rig, noted.device), a_cord_set(rig)
    return [
        check,
        an_outlet_test(rig, noted.galley),
        an_outlet_test(rig, noted.fridge, a_14_50_check(near={"x": True, "y": True})),
        a_plug_in(check["id"], rig=rig),
        trip,
        a_rig(),
        an_outlet(rig, "Beside the bed", guard=noted.device),
        a_device(rig, "GFCI in the bath", made="2021-02"),
        a_meter(),
        a_lamp_tester(),
        a_photo(check["id"], rig=rig),
        a_rig_map(rig),
        change,
        a_proof(rig, change["id"]),
        a_look(rig),
        a_round(rig, noted.device, trip["id"]),
        a_hand_over(rig),
        an_incident(rig, noted.galley),
        an_incident(rig, what="water"),
        a_plan(rig),
        a_plan_on_both_legs(rig),
        a_site_note(),
        a_look(rig) | {"body": SKIN},
        a_look(rig) | {"body": ALARMS},
        cord_set,
        a_set_test(rig, cord_set["id"]),
        a_look(rig, subject=cord_set["id"]) | {"body": LOOK_BEFORE_USE},
        an_incident(rig, cord_set["id"], what="pull"),
    ]


def variants_of(record: dict[str, Any], enums: list[list[Any]]) -> Iterator[dict[str, Any]]:
    """Give copies with one thing of the body left out or replaced that the schema still accepts."""
    is_accepted = _quick_validator().is_valid
    for at in places(record["body"]):
        value: Any = record["body"]
        for step in at:
            value = value[step]
        others = [*OTHERS[type(value)], *(each for enum in enums if value in enum for each in enum)]
        place = ("body", *at)
        for variant in (without(record, place), *(changed(record, place, other) for other in others)):
            if variant != record and is_accepted(variant):
                fresh = an_id()
                yield variant | {"id": fresh, "rig": fresh if record["kind"] == "rig" else record["rig"]}


def pages_of(person: Person, rigs: list[str], records: list[str]) -> Iterator[tuple[str, int]]:
    """Open every page that shows them, and say how each answered."""
    of_rig = (
        "",
        "/record",
        "/record.pdf",
        "/labels",
        "/calendar.ics",
        "/map",
        "/map/table",
        "/map/versions",
        "/trends",
    )
    paths = ["/rigs", "/history", "/calendar", "/api/records?after=0"]
    paths += [f"/rigs/{rig}{page}" for rig in rigs for page in of_rig]
    paths += [f"/history/{record}" for record in records]
    for path in paths:
        status = person.client.get(path).status_code
        # A PDF that is not drawn within a few seconds leads to the page that waits for it.
        while path.endswith(".pdf") and status == 303:
            status = person.client.get(path).status_code
        yield path, status


def test_every_page_draws_whatever_was_accepted(owner: Person) -> None:
    noted, enums = note_a_rig(owner), enumerations()
    sent = records_of(noted)
    sent += [variant for record in sent for variant in variants_of(record, enums)]
    accepted: list[dict[str, Any]] = []
    for first in range(0, len(sent), BATCH):
        batch = sent[first : first + BATCH]
        receipts = owner.send(*batch)
        accepted += [record for record, one in zip(batch, receipts, strict=True) if one["status"] == "stored"]
    kinds = Counter(record["kind"] for record in accepted)
    print(f"{len(accepted)} of {len(sent)} accepted: {dict(kinds)}")

    answers = dict(pages_of(owner, [noted.rig], [record["id"] for record in accepted[::SHOWN_ALONE]]))

    assert len(accepted) >= LEAST_ACCEPTED
    assert [kind for kind in RECORD_KINDS if kinds[kind] < LEAST_OF_KIND] == []
    assert {path: status for path, status in answers.items() if status != 200} == {}
