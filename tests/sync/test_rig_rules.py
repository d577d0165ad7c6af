"""What makes a record of the rig's wiring right beyond its shape."""

from collections.abc import Callable
from typing import Any

import pytest

from tests.builders import a_device, a_record, a_rig, a_trip_test, an_id, an_outlet, an_outlet_test
from tests.conftest import Person

Made = dict[str, Any]
BEYOND = "OL: more than the meter can show"


def a_map(t: dict[str, Made], **members: Any) -> Made:
    """Give a map of the rig's inlet, its device and its outlet."""
    parts = [
        {"id": "inlet", "kind": "inlet", "name": "Inlet"},
        {"id": "g", "kind": "gfci-receptacle", "name": "Galley", "device": t["device"]["id"]},
        {"id": "r", "kind": "receptacle", "name": "Bunk", "outlet": t["outlet"]["id"]},
    ]
    runs = [{"from": "inlet", "to": "g"}, {"from": "g", "to": "r", "from_side": "load"}]
    body = {"parts": parts, "runs": runs, "modes": {}} | members
    return a_record("rig-map", body, rig=t["rig"]["id"])


def with_part(t: dict[str, Made], at: int, **members: Any) -> Made:
    made = a_map(t, runs=[])
    made["body"]["parts"][at] |= members
    return made


def a_change(t: dict[str, Made], **members: Any) -> Made:
    body = {"what": "New wire", "why": "", "parts": ["r"], "map": t["map"]["id"], "wire": "", "device": ""}
    return a_record("change", body | members, rig=t["rig"]["id"])


def a_proof(t: dict[str, Made], subject: str | None = None, **members: Any) -> Made:
    body = {
        "step": "no-volts",
        "part": "r",
        "pair": "h-n",
        "outcome": "good",
        "value": "0.2",
        "unit": "V",
        "record": None,
        "note": "",
    }
    return a_record("proof", body | members, rig=t["rig"]["id"], subject=subject)


def a_look(t: dict[str, Made], subject: str | None = None, **members: Any) -> Made:
    body = {"of": "cord", "points": {"cord-jacket": "good"}, "not_tested": [], "note": ""}
    return a_record("look", body | members, rig=t["rig"]["id"], subject=subject)


def a_round(t: dict[str, Made], **members: Any) -> Made:
    step = {"what": "device", "subject": t["device"]["id"], "of": None, "record": t["trip"]["id"]}
    step |= {"skipped": False, "why": ""}
    body = {"started_at": "2026-11-25T09:00:00Z", "steps": [step | members]}
    return a_record("round", body, rig=t["rig"]["id"])


def an_incident(t: dict[str, Made], subject: str | None = None, **members: Any) -> Made:
    body = {"what": "shock", "at": "rig" if subject is None else "thing", "note": ""}
    return a_record("incident", body | members, rig=t["rig"]["id"], subject=subject)


@pytest.fixture
def things(owner: Person) -> dict[str, Made]:
    """A rig with a drawn map, tests and a change, and another rig, all of them in the owner's log."""
    rig, other = a_rig(), a_rig("Other")
    made = {
        "rig": rig,
        "other rig": other,
        "device": a_device(rig["id"]),
        "other device": a_device(other["id"]),
        "outlet": an_outlet(rig["id"]),
        "other outlet": an_outlet(other["id"]),
    }
    made["trip"] = a_trip_test(rig["id"], made["device"]["id"])
    made["other trip"] = a_trip_test(other["id"], made["other device"]["id"])
    made["test"] = an_outlet_test(rig["id"], made["outlet"]["id"])
    made["map"] = a_map(made)
    made["other map"] = a_record("rig-map", made["map"]["body"] | {"runs": []}, rig=other["id"])
    made["other map"]["body"]["parts"] = made["map"]["body"]["parts"][:1]
    made["look"] = a_look(made)
    made["change"] = a_change(made)
    receipts = owner.send(*made.values())
    assert [receipt["status"] for receipt in receipts] == ["stored"] * len(made), receipts
    return made


RIGHT: list[Callable[[dict[str, Made]], Made]] = [
    a_map,
    lambda t: a_map(t, modes={"shore": {"without": [1]}}),
    lambda t: with_part(t, 0, amps=None, where=[], bonded=False, note="old"),
    a_change,
    lambda t: a_change(t, map=None, parts=[t["outlet"]["id"], t["device"]["id"], "inlet"]),
    lambda t: a_proof(t, t["change"]["id"]),
    a_proof,
    lambda t: a_proof(t, value="5", outcome="bad"),
    lambda t: a_proof(t, step="no-short", pair=None, value=None, unit=None, note=BEYOND),
    lambda t: a_proof(
        t, step="ground-continuous", pair=None, value=None, unit=None, outcome="bad", note=BEYOND
    ),
    lambda t: a_proof(t, step="trips", pair=None, value=None, unit=None, outcome="bad"),
    lambda t: a_proof(t, step="polarity", pair=None, value=None, unit=None, outcome="bad"),
    lambda t: a_proof(t, step="under-load", pair=None, value=None, unit=None, record=t["test"]["id"]),
    lambda t: a_proof(t, step="unplugged", part=None, pair=None, value=None, unit=None),
    lambda t: a_proof(t, step="no-volts", part=None),
    lambda t: a_proof(t, value=None, unit=None, outcome=None, note="no meter"),
    lambda t: a_proof(t, step="trips", pair=None, value=None, unit=None, record=t["trip"]["id"]),
    lambda t: a_proof(t, step="polarity", pair=None, value=None, unit=None, record=t["test"]["id"]),
    a_look,
    lambda t: a_look(t, t["device"]["id"]),
    lambda t: a_look(t, t["outlet"]["id"], of="outlet", points={"outlet-dry": "bad"}),
    lambda t: a_look(t, of="skin", points={"skin-quiet": "good"}, volts="0.4 V"),
    lambda t: a_look(t, of="surge", points={"surge-light": "good"}),
    lambda t: a_look(t, of="alarms", points={}, ends={"smoke": "2031-05", "extinguisher": "2030-01"}),
    an_incident,
    lambda t: an_incident(t, at="cord"),
    lambda t: an_incident(t, t["outlet"]["id"], what="burned"),
    lambda t: an_incident(t, t["device"]["id"], what="trips"),
    a_round,
    lambda t: a_round(t, record=None, skipped=True, why="no time"),
    lambda t: a_round(t, what="outlet", subject=t["outlet"]["id"], record=t["test"]["id"]),
    lambda t: a_round(t, what="look", subject=None, of="cord", record=t["look"]["id"]),
]


@pytest.mark.parametrize("make", RIGHT)
def test_a_record_of_the_wiring_that_speaks_of_what_is_there_is_kept(
    owner: Person, things: dict[str, Made], make: Callable[[dict[str, Made]], Made]
) -> None:
    assert owner.send(make(things))[0] | {"id": "", "hash": "", "seq": 0} == {
        "id": "",
        "hash": "",
        "seq": 0,
        "status": "stored",
        "problems": [],
    }


WRONG: list[tuple[str, Callable[[dict[str, Made]], Made]]] = [
    ("/subject", lambda t: an_incident(t, t["other outlet"]["id"])),
    ("/body/at", lambda t: an_incident(t, t["outlet"]["id"], at="cord")),
    ("/body/at", lambda t: an_incident(t, at="thing")),
    ("/body/what", lambda t: an_incident(t, what="none")),
    ("/body/volts", lambda t: a_look(t, volts="0.4 V")),
    ("/body/ends", lambda t: a_look(t, ends={"smoke": "2031-05"})),
    ("/body/parts/2/id", lambda t: with_part(t, 2, id="g")),
    ("/body/runs/0/from", lambda t: a_map(t, runs=[{"from": "nobody", "to": "g"}])),
    ("/body/runs/0", lambda t: a_map(t, runs=[{"from": "g", "to": "r"}, {"from": "r", "to": "g"}])),
    ("/body/parts/0/tied", lambda t: with_part(t, 0, tied=True)),
    ("/body/parts/2/outlet", lambda t: with_part(t, 2, outlet=t["other outlet"]["id"])),
    ("/body/parts/2/outlet", lambda t: with_part(t, 2, outlet=t["device"]["id"])),
    ("/body/parts/2/outlet", lambda t: with_part(t, 2, outlet=an_id())),
    ("/body/parts/1/device", lambda t: with_part(t, 1, device=t["other device"]["id"])),
    ("/body/map", lambda t: a_change(t, map=t["other map"]["id"])),
    ("/body/map", lambda t: a_change(t, map=t["outlet"]["id"])),
    ("/body/map", lambda t: a_change(t, map=an_id())),
    ("/body/parts/1", lambda t: a_change(t, parts=["r", "nobody"])),
    ("/body/parts/0", lambda t: a_change(t, map=None, parts=[t["other outlet"]["id"]])),
    ("/subject", lambda t: a_proof(t, t["outlet"]["id"])),
    ("/subject", lambda t: a_proof(t, an_id())),
    ("/body/step", lambda t: a_proof(t, step="hope")),
    ("/body/outcome", lambda t: a_proof(t, value="5")),
    ("/body/outcome", lambda t: a_proof(t, value="4.9", outcome="bad")),
    ("/body/outcome", lambda t: a_proof(t, step="no-short", unit="ohm", value="99")),
    ("/body/unit", lambda t: a_proof(t, unit="ohm")),
    ("/body/value", lambda t: a_proof(t, outcome=None, note="no time")),
    ("/body/note", lambda t: a_proof(t, outcome=None, value=None, unit=None, note=" ")),
    ("/body/record", lambda t: a_proof(t, record=t["other trip"]["id"])),
    ("/body/record", lambda t: a_proof(t, record=t["map"]["id"])),
    ("/body/record", lambda t: a_proof(t, step="polarity", pair=None, value=None, unit=None)),
    ("/body/record", lambda t: a_proof(t, step="under-load", pair=None, value=None, unit=None)),
    ("/body/record", lambda t: a_proof(t, step="trips", pair=None, value=None, unit=None)),
    (
        "/body/record",
        lambda t: a_proof(t, step="trips", pair=None, value=None, unit=None, record=t["test"]["id"]),
    ),
    (
        "/body/record",
        lambda t: a_proof(t, step="under-load", pair=None, value=None, unit=None, record=t["trip"]["id"]),
    ),
    (
        "/body/record",
        lambda t: a_proof(t, step="trips", pair=None, value=None, unit=None, record=t["other trip"]["id"]),
    ),
    ("/body/value", lambda t: a_proof(t, value=None, unit=None)),
    ("/body/value", lambda t: a_proof(t, value=None, unit=None, outcome="bad")),
    ("/body/value", lambda t: a_proof(t, step="no-short", pair=None, value=None, unit=None, note="fine")),
    ("/body/outcome", lambda t: a_proof(t, value=None, unit=None, note=BEYOND)),
    (
        "/body/outcome",
        lambda t: a_proof(t, step="ground-continuous", pair=None, value=None, unit=None, note=BEYOND),
    ),
    ("/subject", lambda t: a_look(t, of="outlet", points={})),
    ("/subject", lambda t: a_look(t, t["device"]["id"], of="outlet", points={})),
    ("/subject", lambda t: a_look(t, t["other device"]["id"])),
    ("/body/not_tested/0", lambda t: a_look(t, not_tested=["cord-jacket"])),
    ("/body/steps/0/skipped", lambda t: a_round(t, skipped=True)),
    ("/body/steps/0/skipped", lambda t: a_round(t, record=None)),
    ("/body/steps/0/subject", lambda t: a_round(t, subject=None)),
    ("/body/steps/0/subject", lambda t: a_round(t, subject=t["other device"]["id"])),
    ("/body/steps/0/subject", lambda t: a_round(t, what="outlet", record=t["test"]["id"])),
    ("/body/steps/0/record", lambda t: a_round(t, record=t["other trip"]["id"])),
    ("/body/steps/0/record", lambda t: a_round(t, record=t["test"]["id"])),
    ("/body/steps/0/record", lambda t: a_round(t, record=an_id())),
]


@pytest.mark.parametrize(("at", "make"), WRONG)
def test_a_record_of_the_wiring_that_contradicts_the_log_or_itself_is_refused_at_the_place(
    owner: Person, things: dict[str, Made], at: str, make: Callable[[dict[str, Made]], Made]
) -> None:
    receipt = owner.send(make(things))[0]

    assert receipt["status"] == "refused"
    assert [problem["at"] for problem in receipt["problems"]] == [at]
    assert all(problem["problem"].endswith(".") for problem in receipt["problems"])


def test_one_outlet_stands_on_the_map_once(owner: Person, things: dict[str, Made]) -> None:
    sent = with_part(things, 1, outlet=things["outlet"]["id"])

    assert [problem["at"] for problem in owner.send(sent)[0]["problems"]] == ["/body/parts/2/outlet"]


def test_a_change_may_name_what_it_took_out(owner: Person, things: dict[str, Made]) -> None:
    after = a_map(things) | {"corrects": things["map"]["id"], "reason": "taken out"}
    del after["body"]["parts"][2], after["body"]["runs"][1]

    receipts = owner.send(after, a_change(things, map=after["id"], parts=["r"]))

    assert [receipt["status"] for receipt in receipts] == ["stored"] * 2


def test_outlet_device_and_map_may_come_in_one_batch(owner: Person) -> None:
    rig = a_rig()
    made = {"rig": rig, "device": a_device(rig["id"]), "outlet": an_outlet(rig["id"])}

    receipts = owner.send(*made.values(), a_map(made))

    assert [receipt["status"] for receipt in receipts] == ["stored"] * 4


def test_nobody_draws_a_map_of_somebody_elses_rig(
    owner: Person, colleague: Person, things: dict[str, Made]
) -> None:
    receipt = colleague.send(a_map(things))[0]

    assert receipt["status"] == "refused"
    assert "/rig" in [problem["at"] for problem in receipt["problems"]]
