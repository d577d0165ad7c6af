"""What a rig's map says, and accepting what the trips say."""

from typing import Any

import pytest

from fieldlog.store.session import Store
from tests.builders import a_device, a_record, a_rig, a_trip_test, an_outlet
from tests.conftest import Person
from tests.web.maps import Drawn, draw_a_rig, keep_version, last_map, maps_of
from tests.web.opened import form_of, opened
from tests.web.rigs import log_of, note_a_rig


@pytest.fixture
def drawn(owner: Person) -> Drawn:
    return draw_a_rig(owner)


def stayed_live(owner: Person, rig: str, device: str, outlet: str) -> str:
    trip = a_trip_test(rig, device)
    trip["body"] |= {"live": [outlet], "not_tested": []}
    assert owner.send(trip)[0]["status"] == "stored"
    return str(trip["id"])


def page(owner: Person, drawn: Drawn) -> str:
    answer = owner.client.get(f"{drawn.map}/advice")
    assert answer.status_code == 200
    return str(answer.text)


def test_each_outlet_stands_with_its_guard(owner: Person, drawn: Drawn) -> None:
    told = page(owner, drawn)

    assert '<th scope="row">“Bunk”</th><td>“Galley”</td>' in told
    assert "No guard:" not in told
    assert "The trips say otherwise" not in told


def test_an_outlet_without_a_guard_is_named_with_where_one_would_guard_it(
    owner: Person, store: Store, drawn: Drawn
) -> None:
    body = last_map(store, owner)
    body["runs"][2]["from_side"] = "line"
    body["parts"][3]["where"] = ["outside"]
    keep_version(owner, drawn, drawn.first, body)

    told = page(owner, drawn)

    assert "No guard: “Bunk”." in told
    assert "An outlet outside has no guard." in told
    assert "NEC 551.41(C), edition 2014 to 2023. From memory, check the current code." in told
    assert "“Bunk”: a GFCI outlet in its place would guard “Bunk”." in told


def test_each_mode_is_told_for_itself(owner: Person, store: Store, drawn: Drawn) -> None:
    body = last_map(store, owner)
    body["modes"] = {"shore": {"without": []}, "station": {"without": [1]}}
    keep_version(owner, drawn, drawn.first, body)

    told = page(owner, drawn)

    assert told.index("Mode shore") < told.index("Mode station")
    assert "No outlet has power here." in told


def test_a_trip_that_says_otherwise_is_told_with_its_fewest_explanations(owner: Person, drawn: Drawn) -> None:
    stayed_live(owner, drawn.rig, drawn.device, drawn.bunk)

    told = page(owner, drawn)

    assert (
        "“Bunk” stayed live when “Galley” tripped on 2026-11-25, and the map says that it goes dead." in told
    )
    assert "“Bunk” is fed from the line side of “Galley”, not from its load side." in told


def test_a_feed_from_another_device_s_load_side_is_offered(owner: Person, store: Store, drawn: Drawn) -> None:
    """The bunk is drawn on the load side of a device in the awning, and went dead with the galley's."""
    body = last_map(store, owner)
    body["parts"].append({"id": "g2", "kind": "gfci-receptacle", "name": "Awning", "amps": 15})
    body["runs"][2] = {"from": "g2", "to": "r1", "from_side": "load"}
    body["runs"].append({"from": "b1", "to": "g2"})
    keep_version(owner, drawn, drawn.first, body)
    trip = a_trip_test(drawn.rig, drawn.device)
    trip["body"] |= {"dead": [drawn.bunk], "live": [], "not_tested": []}
    owner.send(trip)

    assert "“Bunk” is fed from the load side of “Galley”, not from “Awning”." in page(owner, drawn)


def test_where_nothing_that_was_tried_explains_the_trips_it_is_said_what_was_tried(
    owner: Person, store: Store, drawn: Drawn
) -> None:
    """The breaker itself went dead with a device that hangs on it."""
    body = last_map(store, owner)
    body["parts"].append({"id": "r0", "kind": "receptacle", "name": "Lamp", "outlet": drawn.bunk})
    body["parts"][3] |= {"outlet": None}
    body["runs"].append({"from": "b1", "to": "r0"})
    body["runs"][1] = {"from": "r0", "to": "g1"}
    keep_version(owner, drawn, drawn.first, body)
    trip = a_trip_test(drawn.rig, drawn.device)
    trip["body"] |= {"dead": [drawn.bunk], "live": [], "not_tested": []}
    owner.send(trip)

    told = page(owner, drawn)

    for tried in ("another side of a device", "swapped", "does not trip", "circuit of another breaker"):
        assert tried in told
    assert "the load side of another device" in told and f'href="{drawn.map}/table"' in told


def test_accepting_an_explanation_keeps_a_version_with_the_trips_as_its_reason(
    owner: Person, store: Store, drawn: Drawn
) -> None:
    stayed_live(owner, drawn.rig, drawn.device, drawn.bunk)
    fields = opened(owner, f"{drawn.map}/advice", f"{drawn.map}/changes")

    answer = owner.client.post(f"{drawn.map}/changes", data=fields)

    assert (answer.status_code, answer.location) == (303, f"{drawn.map}/advice")
    assert "The trips say otherwise" not in page(owner, drawn)
    newest = maps_of(store, owner)[-1].record
    assert newest.corrects == drawn.first
    assert newest.reason == "Trip of “Galley” on 2026-11-25: “Bunk” stayed live."
    rig_page = owner.client.get(f"/rigs/{drawn.rig}").text
    assert "contradict the map" not in rig_page
    assert "Guarded by, as noted: nothing" in rig_page


def test_accepting_on_a_list_keeps_the_list_as_version_one(owner: Person, store: Store) -> None:
    noted = note_a_rig(owner)
    stayed_live(owner, noted.rig, noted.device, noted.galley)
    path = f"{noted.page}/map"

    answer = owner.client.post(f"{path}/changes", data=opened(owner, f"{path}/advice", f"{path}/changes"))

    assert answer.status_code == 303
    first, second = [entry.record for entry in maps_of(store, owner)]
    assert (first.corrects, first.reason, second.corrects) == (None, None, first.id)
    assert second.reason == "Trip of “GFCI in the galley” on 2026-11-25: “Galley” stayed live."
    assert "The trips say otherwise" not in owner.client.get(f"{path}/advice").text


def test_an_explanation_sent_twice_is_kept_once(owner: Person, store: Store, drawn: Drawn) -> None:
    stayed_live(owner, drawn.rig, drawn.device, drawn.bunk)
    fields = opened(owner, f"{drawn.map}/advice", f"{drawn.map}/changes")

    for _ in range(2):
        assert owner.client.post(f"{drawn.map}/changes", data=fields).status_code == 303

    assert len(maps_of(store, owner)) == 2


def test_the_second_of_two_desks_is_told_what_changed(owner: Person, store: Store, drawn: Drawn) -> None:
    stayed_live(owner, drawn.rig, drawn.device, drawn.bunk)
    fields = opened(owner, f"{drawn.map}/advice", f"{drawn.map}/changes")
    body = last_map(store, owner)
    body["parts"][1]["amps"] = 20
    keep_version(owner, drawn, drawn.first, body)

    answer = owner.client.post(f"{drawn.map}/changes", data=fields)

    assert answer.status_code == 409
    assert "rating 20 A, before 15 A" in answer.text
    assert form_of(answer.text, f"{drawn.map}/changes")["changes"] == fields["changes"]
    assert len(maps_of(store, owner)) == 2


@pytest.mark.parametrize(
    "wrong",
    [
        {"changes": "nonsense"},
        {"changes": "[]"},
        {"changes": '[{"change": "to-line-side", "run": 99}]'},
        {"changes": '[{"change": "fed-from", "run": 2, "from": "inlet"}]'},
        {"changes": "7"},
        {"trips": ""},
    ],
)
def test_what_does_not_explain_the_trips_is_refused(
    owner: Person, store: Store, drawn: Drawn, wrong: dict[str, str]
) -> None:
    stayed_live(owner, drawn.rig, drawn.device, drawn.bunk)
    fields = opened(owner, f"{drawn.map}/advice", f"{drawn.map}/changes")

    answer = owner.client.post(f"{drawn.map}/changes", data={**fields, **wrong})

    assert answer.status_code == 400
    assert "That no longer explains the trips" in answer.text
    assert len(maps_of(store, owner)) == 1


def test_a_device_at_fault_is_no_change_of_the_map(owner: Person, drawn: Drawn) -> None:
    trip = a_trip_test(drawn.rig, drawn.device)
    trip["body"] |= {"face_dead": False, "dead": [drawn.bunk], "not_tested": []}
    owner.send(trip)

    told = page(owner, drawn)

    assert "The face of “Galley” stayed live when “Galley” tripped" in told
    assert "that is a fault" in told


def test_the_wrong_person_finds_no_such_rig(
    owner: Person, colleague: Person, store: Store, drawn: Drawn
) -> None:
    stayed_live(owner, drawn.rig, drawn.device, drawn.bunk)
    fields = opened(owner, f"{drawn.map}/advice", f"{drawn.map}/changes")
    fields["csrf_token"] = opened(colleague, "/rigs/new")["csrf_token"]

    assert colleague.client.get(f"{drawn.map}/advice").status_code == 404
    assert colleague.client.post(f"{drawn.map}/changes", data=fields).status_code == 404
    assert len(maps_of(store, owner)) == 1


@pytest.mark.parametrize("method", ["get", "put", "delete", "patch"])
def test_other_methods_are_refused(owner: Person, drawn: Drawn, method: str) -> None:
    assert getattr(owner.client, method)(f"{drawn.map}/changes").status_code == 405


def test_the_rig_page_tells_guards_and_contradictions_by_the_map(owner: Person, drawn: Drawn) -> None:
    stayed_live(owner, drawn.rig, drawn.device, drawn.bunk)

    told = owner.client.get(f"/rigs/{drawn.rig}").text

    assert "Guarded by, as noted: Galley" in told
    assert "“Bunk” stayed live when “Galley” tripped on 2026-11-25, and the map says" in told
    assert "The trip tests contradict the map" in told
    assert f'href="{drawn.map}"' in told


def test_a_map_of_a_hundred_parts_with_twenty_trips_is_answered(owner: Person, store: Store) -> None:
    rig = a_rig()
    devices = [a_device(rig["id"], f"GFCI {at}") for at in range(20)]
    outlets = [an_outlet(rig["id"], f"Outlet {at}") for at in range(79)]
    assert [r["status"] for r in owner.send(rig, *devices, *outlets)] == ["stored"] * 100
    parts: list[dict[str, Any]] = [{"id": "inlet", "kind": "inlet", "name": "Inlet", "amps": 50}]
    runs: list[dict[str, Any]] = []
    for at, device in enumerate(devices):
        part = {"id": f"g{at}", "kind": "gfci-receptacle", "name": f"GFCI {at}", "device": device["id"]}
        parts.append(part)
        runs.append({"from": "inlet", "to": f"g{at}"})
    for at, outlet in enumerate(outlets):
        parts.append({"id": f"r{at}", "kind": "receptacle", "name": f"Outlet {at}", "outlet": outlet["id"]})
        runs.append({"from": f"g{at % 20}", "to": f"r{at}", "from_side": "load"})
    trips = []
    for at, device in enumerate(devices):
        trip = a_trip_test(rig["id"], device["id"])
        beyond = [outlet["id"] for number, outlet in enumerate(outlets) if number % 20 == at]
        trip["body"] |= {"dead": beyond[1:], "live": beyond[:1] if at < 3 else [], "not_tested": []}
        trips.append(trip)
    body = {"parts": parts, "runs": runs, "modes": {}}
    sent = owner.send(a_record("rig-map", body, rig=rig["id"]), *trips)
    assert {receipt["status"] for receipt in sent} == {"stored"}

    told = owner.client.get(f"/rigs/{rig['id']}/map/advice").text

    assert told.count("and the map says that it goes dead.") == 3
    assert "“Outlet 78”" in told
    assert len(log_of(store, owner)) == 121
