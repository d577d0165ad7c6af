"""The page of a rig."""

from datetime import timedelta

from fieldlog.store.session import Store
from tests.builders import a_change, a_device, a_rig, a_trip_test, an_id, an_outlet_test
from tests.conftest import Clock, Person, begin_session
from tests.web.rigs import note_a_rig


def test_what_was_never_tested_is_said_in_words(owner: Person) -> None:
    page = owner.client.get(note_a_rig(owner).page).text

    assert "“Galley” was never tested." in page
    assert "“GFCI in the galley” was never seen to trip by its own TEST button." in page
    assert page.count('data-state="never"') == 6
    assert "0 of 6 things are known today" in page


def test_each_outlet_and_device_leads_to_its_test(owner: Person) -> None:
    noted = note_a_rig(owner)

    page = owner.client.get(noted.page).text

    assert f'href="/outlets/{noted.galley}"' in page
    assert f'href="{noted.trip_test}"' in page
    assert f'href="/history/{noted.galley}/corrections/new"' in page


def test_the_last_verdict_and_its_day_stand_by_the_outlet(owner: Person) -> None:
    noted = note_a_rig(owner)
    owner.send(an_outlet_test(noted.rig, noted.galley))

    page = owner.client.get(noted.page).text

    assert 'data-verdict="use"' in page
    assert "Last tested 2026-11-25, today; next due 2026-12-25." in page
    assert "“Galley” was never tested." not in page


def test_a_trip_test_makes_the_next_one_due_in_a_month(owner: Person, store: Store, clock: Clock) -> None:
    noted = note_a_rig(owner)
    owner.send(a_trip_test(noted.rig, noted.device))

    assert "Last tested 2026-11-25, today; next due 2026-12-25." in owner.client.get(noted.page).text
    assert "trip test" not in owner.client.get("/rigs").text

    clock.pass_by(timedelta(days=31))
    begin_session(owner, store, clock)

    page = owner.client.get(noted.page).text
    assert "Tested 31 days ago, overdue since 2026-12-25" in page
    assert "Trips and resets" not in page
    assert ", trip test: overdue since 2026-12-25" in owner.client.get("/rigs").text


def test_an_outlet_that_stayed_live_is_shown_as_unguarded(owner: Person) -> None:
    noted = note_a_rig(owner)
    trip = a_trip_test(noted.rig, noted.device)
    trip["body"] |= {"live": [noted.galley], "not_tested": []}
    owner.send(trip)

    page = owner.client.get(noted.page).text

    assert "“Galley” stayed live when “GFCI in the galley” tripped on 2026-11-25" in page
    assert "and the map says that it goes dead. Treat it as not guarded by “GFCI in the galley”" in page
    assert "The trip tests contradict the map in 1 place." in page


def test_a_trip_before_the_wiring_was_changed_contradicts_nothing_any_more(owner: Person) -> None:
    noted = note_a_rig(owner)
    trip = a_trip_test(noted.rig, noted.device, observed_at="2026-11-20T10:00:00.000+01:00")
    trip["body"] |= {"live": [noted.galley], "not_tested": []}
    rewired = a_change(noted.rig, noted.galley, observed_at="2026-11-21T10:00:00.000+01:00")
    owner.send(trip, rewired)

    page = owner.client.get(noted.page).text

    assert "Does not agree" not in page
    assert "contradict the map" not in page


def test_a_device_that_did_not_trip_is_an_open_point(owner: Person) -> None:
    noted = note_a_rig(owner)
    trip = a_trip_test(noted.rig, noted.device)
    trip["body"] |= {"tripped": False, "face_dead": None, "reset": None}
    trip["body"]["not_tested"] = ["face_dead", "reset", "outlets"]
    owner.send(trip)

    page = owner.client.get(noted.page).text

    assert "TEST did not trip the device" in page
    assert "not tested: whether its own face goes dead, whether it resets, what else goes dead" in page


def test_a_rig_that_is_not_there_is_not_found(owner: Person) -> None:
    assert owner.client.get(f"/rigs/{an_id()}").status_code == 404
    assert owner.client.get("/rigs/nonsense").status_code == 404


def test_the_page_answers_no_other_method(owner: Person) -> None:
    assert owner.client.post(note_a_rig(owner).page).status_code == 405


def test_hostile_names_are_shown_as_text(owner: Person) -> None:
    noted = note_a_rig(owner)
    name = "<script>alert(1)</script>\"' onmouseover=x"

    owner.submit(f"{noted.page}/outlets/new", id=an_id(), name=name, outlet="5-15", guard="", note=name)

    page = owner.client.get(noted.page).text
    assert "<script>alert" not in page
    assert "&lt;script&gt;alert(1)" in page


def test_a_device_whose_face_stayed_live_has_failed_on_every_page(owner: Person) -> None:
    noted = note_a_rig(owner)
    trip = a_trip_test(noted.rig, noted.device)
    trip["body"] |= {"face_dead": False}
    owner.send(trip)

    page = owner.client.get(noted.page).text
    assert 'data-state="failed"' in page
    assert "Does not work" in page
    assert "GFCI in the galley, trip test: failed at its last test" in owner.client.get("/rigs").text
    shown = f"{noted.page}/devices/{noted.device}/trip-tests/{trip['id']}"
    assert 'data-due="failed">failed at its last test' in owner.client.get(shown).text
    assert "failed at its last test" in owner.client.get(f"{noted.page}/record").text


def test_a_device_is_due_by_a_change_and_by_the_season_as_on_the_phone(owner: Person) -> None:
    noted = note_a_rig(owner)
    owner.send(
        a_trip_test(noted.rig, noted.device, observed_at="2026-11-20T10:00:00.000+01:00"),
        a_change(noted.rig, noted.device, observed_at="2026-11-23T10:00:00.000+01:00"),
    )
    rig = a_rig("Robin")
    rig["body"]["season_starts"] = "11-22"
    device = a_device(rig["id"], "Entry")
    pressed = a_trip_test(rig["id"], device["id"], observed_at="2026-11-20T10:00:00.000+01:00")
    owner.send(rig, device, pressed)

    page = owner.client.get("/rigs").text

    assert "GFCI in the galley, trip test: overdue since 2026-11-23" in page
    assert "Entry, trip test: overdue since 2026-11-22" in page


def test_a_breaker_that_was_opened_by_hand_is_shown_as_that(owner: Person) -> None:
    noted = note_a_rig(owner)
    opened = a_trip_test(noted.rig, noted.device)
    opened["body"] |= {"by": "hand", "face_dead": None, "reset": None, "not_tested": ["outlets"]}
    owner.send(opened)

    assert "opened by hand: tripped" in owner.client.get(noted.page).text
