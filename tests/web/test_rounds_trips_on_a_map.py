"""A trip test of a rig with a drawn map: the device's own face, and the mode that the rig is in."""

from typing import Any

import pytest

from fieldlog.store.session import Store
from tests.builders import a_trip_test, an_id
from tests.conftest import Person
from tests.web.maps import Drawn, draw_a_rig, keep_version, last_map
from tests.web.rigs import last_body, log_of


@pytest.fixture
def drawn(owner: Person) -> Drawn:
    return draw_a_rig(owner)


def path(drawn: Drawn) -> str:
    return f"/rigs/{drawn.rig}/devices/{drawn.device}/trip-tests/new"


def answers(**others: str) -> dict[str, str]:
    return {"id": an_id(), "by": "button", "tripped": "yes", "reset": "yes", **others}


def on_two_sources(owner: Person, store: Store, drawn: Drawn) -> None:
    """Add a station that feeds the breaker in the place of the inlet, each in a mode of its own."""
    body = last_map(store, owner)
    body["parts"] = [*body["parts"], {"id": "inv", "kind": "inverter", "name": "Station"}]
    body["runs"] = [*body["runs"], {"from": "inv", "to": "b1"}]
    body["modes"] = {"shore": {"without": [3]}, "station": {"without": [0]}}
    keep_version(owner, drawn, drawn.first, body)


def pages(drawn: Drawn) -> tuple[str, ...]:
    rig = f"/rigs/{drawn.rig}"
    return rig, drawn.map, f"{drawn.map}/advice", f"{rig}/record", f"{rig}/record.pdf"


def stored(owner: Person, drawn: Drawn, **body: Any) -> str:
    trip = a_trip_test(drawn.rig, drawn.device)
    trip["body"] = {**trip["body"], "dead": [], "live": [], "not_tested": [], **body}
    receipts = owner.send(trip)
    assert receipts[0]["status"] == "stored", receipts
    return str(trip["id"])


@pytest.mark.parametrize(("face", "outlet"), [("no", "dead"), ("yes", "live")])
def test_the_face_told_both_ways_is_refused_by_the_form(
    owner: Person, store: Store, drawn: Drawn, face: str, outlet: str
) -> None:
    before = len(log_of(store, owner))

    answer = owner.submit(path(drawn), **answers(face_dead=face, **{f"outlets.{drawn.galley}": outlet}))

    assert answer.status_code == 400
    assert "This outlet is the device’s own face" in answer.text
    assert len(log_of(store, owner)) == before


def test_the_face_told_twice_alike_is_kept(owner: Person, drawn: Drawn) -> None:
    sent = answers(face_dead="yes", **{f"outlets.{drawn.galley}": "dead", f"outlets.{drawn.bunk}": "live"})

    assert owner.submit(path(drawn), **sent).status_code == 303


@pytest.mark.parametrize("face", [True, False])
def test_a_stored_trip_that_tells_the_face_both_ways_locks_no_page(
    owner: Person, drawn: Drawn, face: bool
) -> None:
    seen = {"live" if face else "dead": [drawn.galley]}

    trip = stored(owner, drawn, face_dead=face, **seen)

    assert [owner.client.get(page).status_code for page in pages(drawn)] == [200] * 5
    said = "The face of “Galley” is told both ways when “Galley” tripped"
    assert said in owner.client.get(f"/rigs/{drawn.rig}/devices/{drawn.device}/trip-tests/{trip}").text
    assert said in owner.client.get(f"/rigs/{drawn.rig}").text


def test_a_device_on_a_part_that_cannot_trip_locks_no_page(owner: Person, store: Store, drawn: Drawn) -> None:
    body = last_map(store, owner)
    body["parts"][2] = {"id": "g1", "kind": "receptacle", "name": "Galley", "device": drawn.device}
    keep_version(owner, drawn, drawn.first, body)

    stored(owner, drawn, face_dead=True, dead=[drawn.bunk])

    assert [owner.client.get(page).status_code for page in pages(drawn)] == [200] * 5


def test_a_map_without_modes_asks_for_none(owner: Person, store: Store, drawn: Drawn) -> None:
    assert "Which mode" not in owner.client.get(path(drawn)).text

    owner.submit(path(drawn), **answers(face_dead="yes"), mode="mode shore")

    assert "mode" not in last_body(store, owner)


@pytest.mark.parametrize(
    ("said", "kept"), [("mode shore", "shore"), ("mode station", "station"), ("none", None)]
)
def test_the_mode_that_was_said_is_kept(
    owner: Person, store: Store, drawn: Drawn, said: str, kept: str | None
) -> None:
    on_two_sources(owner, store, drawn)
    page = owner.client.get(path(drawn)).text
    assert "Which mode is the rig in now?" in page
    assert " checked" not in page

    answer = owner.submit(path(drawn), **answers(face_dead="yes"), mode=said)

    assert answer.status_code == 303
    assert last_body(store, owner)["mode"] == kept
    assert ("Mode of the rig" in owner.client.get(answer.location).text) == (kept is not None)


def test_the_mode_of_a_device_that_tripped_has_to_be_said(owner: Person, store: Store, drawn: Drawn) -> None:
    on_two_sources(owner, store, drawn)

    answer = owner.submit(path(drawn), **answers(face_dead="yes"))

    assert answer.status_code == 400
    assert "Say which mode the rig is in, or that you do not know." in answer.text


def test_a_device_that_stayed_on_needs_no_mode(owner: Person, store: Store, drawn: Drawn) -> None:
    on_two_sources(owner, store, drawn)

    answer = owner.submit(path(drawn), id=an_id(), by="button", tripped="no")

    assert answer.status_code == 303
    assert last_body(store, owner)["mode"] is None


def test_a_mode_that_the_map_does_not_have_is_no_choice(owner: Person, store: Store, drawn: Drawn) -> None:
    on_two_sources(owner, store, drawn)

    answer = owner.submit(path(drawn), **answers(face_dead="yes"), mode="mode generator")

    assert answer.status_code == 400
    assert "That is none of the choices" in answer.text


def test_a_contradiction_names_the_mode_that_was_said(owner: Person, store: Store, drawn: Drawn) -> None:
    on_two_sources(owner, store, drawn)

    stored(owner, drawn, face_dead=True, live=[drawn.bunk], mode="station")

    assert (
        "in mode “station”, and the map says that it goes dead"
        in owner.client.get(f"{drawn.map}/advice").text
    )
    assert owner.client.get(f"/rigs/{drawn.rig}/record.pdf").status_code == 200


@pytest.mark.parametrize("mode", ["", "x" * 41, 3])
def test_a_mode_that_is_no_name_is_refused(owner: Person, drawn: Drawn, mode: object) -> None:
    trip = a_trip_test(drawn.rig, drawn.device)
    trip["body"] = {**trip["body"], "dead": [], "live": [], "mode": mode}

    (receipt,) = owner.send(trip)

    assert receipt["status"] == "refused"
    assert receipt["problems"][0]["at"] == "/body/mode"
