"""/history with looks, changes, their proofs, rounds and maps, each in a line of its own."""

import html
import re
from typing import Any

from tests.builders import a_change, a_look, a_proof, a_round, a_trip_test
from tests.conftest import Person
from tests.web.maps import Drawn, a_map, draw_a_rig, keep_version


def lines(person: Person) -> list[str]:
    """Give what a person reads of each entry, newest first."""
    page = person.client.get("/history").text
    return [text_of(entry) for entry in re.findall(r"<li>(.*?)</li>", page, re.DOTALL)]


def text_of(page: str) -> str:
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", page)).split())


def send(person: Person, *records: dict[str, Any]) -> None:
    receipts = person.send(*records)
    assert {receipt["status"] for receipt in receipts} == {"stored"}, receipts


def with_a_frame(person: Person) -> Drawn:
    """Give the drawn rig with a fridge on its breaker."""
    drawn = draw_a_rig(person)
    body = a_map(drawn.device, drawn.galley, drawn.bunk)
    body["parts"].append({"id": "f1", "kind": "appliance", "name": "Fridge"})
    body["runs"].append({"from": "b1", "to": "f1", "awg": 14, "feet": 4})
    keep_version(person, drawn, drawn.first, body)
    return drawn


def test_a_device_that_did_not_reset_is_said_to_have_tripped_and_not_reset(owner: Person) -> None:
    drawn = draw_a_rig(owner)
    trip = a_trip_test(drawn.rig, drawn.device)
    trip["body"] |= {"reset": False}
    stayed = a_trip_test(drawn.rig, drawn.device)
    stayed["body"] |= {"face_dead": False}
    send(owner, trip, stayed)

    assert lines(owner)[1].startswith("Tripped, did not reset Trip test “Galley”")
    assert lines(owner)[0].startswith("Tripped, its own face stayed live Trip test")
    assert "<h1>Tripped, did not reset</h1>" in owner.client.get(f"/history/{trip['id']}").text


def test_a_look_is_listed_with_its_points(owner: Person) -> None:
    drawn = draw_a_rig(owner)
    look = a_look(drawn.rig, subject=drawn.galley)
    look["body"] |= {"of": "outlet", "points": {"outlet-dry": "bad"}, "not_tested": ["outlet-grip"]}
    send(owner, look)

    assert lines(owner)[0].startswith(
        "An outlet: BAD: Dry, and out of the way of splash and condensation?; "
        "not looked at: Does a plug sit tight? Look “Galley”"
    )


def test_a_change_and_each_of_its_proofs_are_listed_the_bad_one_too(owner: Person) -> None:
    drawn = draw_a_rig(owner)
    change = a_change(drawn.rig, "r1", shown=drawn.first)
    bad = a_proof(drawn.rig, change["id"])
    bad["body"] |= {"part": "r1", "outcome": "bad", "value": "118"}
    good = a_proof(drawn.rig, change["id"])
    good["body"] |= {"part": "r1", "value": "0.1"}
    send(owner, change, bad, good)

    newest, before, first = lines(owner)[:3]
    assert newest.startswith(
        "Good: 0.1 V. AC volts between these contacts (“Bunk”, hot–neutral) Proof of a change “New wire”"
    )
    assert before.startswith("Bad: 118 V. AC volts between these contacts (“Bunk”, hot–neutral)")
    assert first.startswith("New wire Change to the wiring")


def test_a_map_and_a_round_are_listed(owner: Person) -> None:
    drawn = draw_a_rig(owner)
    send(owner, a_round(drawn.rig, drawn.device, None))

    newest, before = lines(owner)
    assert newest.startswith("0 done, 1 skipped Round")
    assert before.startswith("4 parts Rig map")


def test_a_proof_at_an_appliance_is_told_in_the_words_for_its_frame(owner: Person) -> None:
    drawn = with_a_frame(owner)
    proof = a_proof(drawn.rig)
    proof["body"] |= {"step": "ground-continuous", "part": "f1", "pair": None, "value": "0.3", "unit": "ohm"}
    send(owner, proof)

    page = text_of(owner.client.get(f"/history/{proof['id']}").text)
    assert "Step Ohms from the inlet’s ground pin" in page
    assert "Part “Fridge”, appliance" in page
    assert "to this outlet’s ground contact" not in page
    assert "metal frame of this appliance (“Fridge”)" in lines(owner)[0]
