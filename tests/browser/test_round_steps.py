"""Each step of a round: what it asks, what stops there, and what is kept of it."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Site
from tests.browser.looks import FEW, LIGHT, TARGETS, Look, faults_in
from tests.browser.phone import Phone
from tests.browser.rounds import RIGHT, Noted, a_noted_rig, handed_in, kept, press
from tests.builders import a_record
from tests.conftest import PASSWORD

pytestmark = pytest.mark.browser


@pytest.fixture
def noted(phone: Phone, site: Site, request: pytest.FixtureRequest) -> Noted:
    """The rig, on the server and on the phone."""
    return handed_in(phone, site, request.node.name[-60:])


def test_nothing_is_chosen_beforehand_at_any_step(phone: Phone, noted: Noted) -> None:
    for thing in (noted.galley, noted.outlets["Bed"]):
        phone.open(noted.way(thing))
        expect(phone.find("h1")).to_have_text(thing["body"]["name"])
        assert phone.page.locator("fl-round input[type=radio]").count() > 0
        assert phone.page.locator("fl-round input:checked").count() == 0
        phone.next()
        expect(phone.find("[data-problem]").first).to_be_visible()
        expect(phone.find("h1")).to_have_text(thing["body"]["name"])


def test_a_pattern_that_means_a_fault_stops_there_and_is_kept_at_once(
    phone: Phone, site: Site, noted: Noted
) -> None:
    phone.open(noted.way(noted.outlets["Sink"]))
    phone.choose("dry", "yes")
    phone.choose("supply", "utility")
    phone.choose("pattern", "lit dark dark")

    phone.expect_verdict("do-not-use")
    phone.expect_saved("server")
    (record,) = kept(site.store, noted, "outlet-test")
    assert record["subject"] == noted.outlets["Sink"]["id"]
    assert record["body"]["check"]["lamps"] == {"h-n": "lit", "h-g": "dark", "n-g": "dark"}
    assert record["body"]["judgement"]["verdict"] == "do-not-use"
    assert "volts.h-n" in record["body"]["not_tested"] and "look" in record["body"]["not_tested"]
    expect(phone.find("h1").first).to_have_text("Sink")
    phone.tap("text=Noted: next")
    expect(phone.find("h1")).to_have_text("Bath")


def test_something_else_is_said_lamp_by_lamp(phone: Phone, site: Site, noted: Noted) -> None:
    phone.open(noted.way(noted.outlets["Sink"]))
    phone.choose("dry", "yes")
    phone.choose("supply", "utility")
    phone.choose("pattern", "other")
    phone.next()
    phone.expect_problem("pattern", "Say what each lamp shows")
    for pair, shown in (("h-n", "lit"), ("h-g", "dim"), ("n-g", "none")):
        phone.choose(f"lamps.{pair}", shown)
    phone.find(".verdict").wait_for()
    phone.expect_saved("server")

    (record,) = kept(site.store, noted, "outlet-test")
    assert record["body"]["check"]["lamps"] == {"h-n": "lit", "h-g": "dim"}
    assert "lamps.n-g" in record["body"]["not_tested"]


def test_nobody_probes_in_the_wet(phone: Phone, noted: Noted) -> None:
    phone.open(noted.way(noted.outlets["Sink"]))
    phone.choose("dry", "no")
    phone.choose("supply", "utility")
    phone.choose("pattern", RIGHT)
    phone.next()

    phone.expect_problem("dry", "Do not probe in rain or on wet ground")


def test_a_device_that_does_not_trip_says_what_to_do_and_goes_nowhere_by_itself(
    phone: Phone, site: Site, noted: Noted
) -> None:
    phone.open(noted.way(noted.galley))
    phone.choose("tripped", "no")
    phone.next()
    phone.expect_problem("power", "Say whether it had power before")
    phone.choose("power", "no")
    phone.next()
    phone.expect_problem("power", "It had no power, so this shows nothing")
    assert kept(site.store, noted, "trip-test") == []
    phone.choose("power", "yes")

    expect(phone.find("[data-part=says]")).to_contain_text("Do not use what it guards. Replace the device")
    phone.expect_saved("server")
    (record,) = kept(site.store, noted, "trip-test")
    assert (record["body"]["tripped"], record["body"]["reset"]) == (False, None)
    assert record["body"]["not_tested"] == ["face_dead", "reset", "outlets"]
    expect(phone.find("h1")).to_have_text("Galley receptacle")


def test_a_second_test_is_no_correction_of_the_first(phone: Phone, site: Site, noted: Noted) -> None:
    phone.open(noted.way(noted.galley))
    phone.choose("tripped", "no")
    phone.choose("power", "yes")
    phone.expect_saved("server")
    phone.tap("[data-again]")
    press(phone, noted.galley, [noted.outlets["Galley"], noted.outlets["Sink"]])
    expect(phone.find("h1")).to_have_text("Bath receptacle")
    phone.tap("[data-back]")
    phone.tap("[data-end]")
    phone.expect_saved("server")

    first, second = kept(site.store, noted, "trip-test")
    assert (first["body"]["tripped"], second["body"]["tripped"]) == (False, True)
    assert second["corrects"] is None
    assert kept(site.store, noted, "round")[0]["body"]["steps"][0]["record"] == second["id"]


def test_a_trip_that_contradicts_the_map_says_so_at_once_and_leads_to_it(
    phone: Phone, site: Site, noted: Noted
) -> None:
    phone.open(noted.way(noted.galley))
    press(phone, noted.galley, [noted.outlets["Galley"], noted.outlets["Bed"]], goes_on=False)

    says = phone.find("[data-part=says]")
    expect(says).to_contain_text("“Sink” stayed live; the map says dead")
    expect(says).to_contain_text("“Bed” went dead; the map says live")
    expect(says.locator("a")).to_have_attribute("href", f"/rigs/{noted.rig['id']}/map")
    phone.expect_saved("server")
    (record,) = kept(site.store, noted, "trip-test")
    assert record["body"]["dead"] == [noted.outlets["Galley"]["id"], noted.outlets["Bed"]["id"]]
    phone.tap("text=Noted: next")
    expect(phone.find("h1")).to_have_text("Bath receptacle")


def test_a_device_that_does_not_hold_stops_there(phone: Phone, site: Site, noted: Noted) -> None:
    phone.open(noted.way(noted.galley))
    phone.choose("tripped", "yes")
    phone.choose("face_dead", "no")
    phone.choose("others", "none")
    expect(phone.page.locator("[name=reset]").first).to_be_hidden()
    phone.choose("pressed", "yes")
    phone.choose("reset", "no")

    says = phone.find("[data-part=says]")
    expect(says).to_contain_text("its own face stayed live")
    expect(says).to_contain_text("did not reset and hold. Leave it off")
    phone.expect_saved("server")
    (record,) = kept(site.store, noted, "trip-test")
    assert (record["body"]["face_dead"], record["body"]["reset"]) == (False, False)
    assert record["body"]["not_tested"] == ["outlets"]


def test_the_mode_is_asked_where_a_device_has_power_in_several(phone: Phone, site: Site) -> None:
    noted = a_noted_rig("Heron N")
    bed = noted.outlets["Bed"]
    parts = [
        {"id": "i", "kind": "inlet", "name": "Inlet"},
        {"id": "s", "kind": "inverter", "name": "Station"},
        {"id": "g", "kind": "gfci-receptacle", "name": "Galley", "device": noted.galley["id"]},
        {"id": "b", "kind": "receptacle", "name": "Bed", "outlet_type": "5-15", "outlet": bed["id"]},
    ]
    runs = [{"from": "i", "to": "g"}, {"from": "s", "to": "g"}, {"from": "i", "to": "b"}]
    modes = {"Shore": {"without": [1]}, "Station": {"without": [0, 2]}}
    a_map = a_record("rig-map", {"parts": parts, "runs": runs, "modes": modes}, rig=noted.rig["id"])
    site.hand_in(site.account("Heron N"), *noted.records, a_map)
    phone.enter("Heron N", PASSWORD)
    expect(phone.find(".due-card").first).to_be_visible()
    phone.open(noted.way(noted.galley))
    assert phone.page.locator("fl-round input:checked").count() == 0
    press(phone, noted.galley, [bed])
    phone.expect_problem("mode", "Say which mode the rig is in")
    assert kept(site.store, noted, "trip-test") == []
    phone.choose("mode", "mode Station")
    phone.next()
    expect(phone.find("h1")).to_have_text("Bath receptacle")
    phone.tap("[data-back]")
    phone.tap("[data-end]")
    phone.expect_saved("server")

    (record,) = kept(site.store, noted, "trip-test")
    assert (record["body"]["mode"], record["body"]["dead"]) == ("Station", [bed["id"]])


def test_an_outlet_outside_is_looked_at_as_well_and_a_bad_point_stops_there(phone: Phone, site: Site) -> None:
    noted = a_noted_rig("Heron R")
    awning = noted.outlets["Awning"]
    parts = [
        {"id": "i", "kind": "inlet", "name": "Inlet"},
        {
            "id": "a",
            "kind": "receptacle",
            "name": "Awning",
            "outlet_type": "5-15",
            "outlet": awning["id"],
            "where": ["outside"],
        },
    ]
    body = {"parts": parts, "runs": [{"from": "i", "to": "a"}], "modes": {}}
    a_map = a_record("rig-map", body, rig=noted.rig["id"])
    site.hand_in(site.account("Heron R"), *noted.records, a_map)
    phone.enter("Heron R", PASSWORD)
    expect(phone.find(".due-card").first).to_be_visible()
    phone.open(f"/round#rig={noted.rig['id']}&at=look-{awning['id']}")
    expect(phone.find("h1")).to_have_text("Look at Awning")
    phone.choose("point.outlet-cover", "bad")
    expect(phone.find(".notice")).to_contain_text("An outlet outside needs a cover")
    phone.next()
    phone.expect_problem("point.outlet-dry", "Say yes or no")
    for point, how in (("strain-relief", "good"), ("dry", "good"), ("grip", "none")):
        phone.choose(f"point.outlet-{point}", how)
    phone.expect_saved("server")
    expect(phone.find("h1")).to_have_text("Look at Awning")

    (look,) = kept(site.store, noted, "look")
    assert look["subject"] == awning["id"] and look["body"]["of"] == "outlet"
    assert look["body"]["points"]["outlet-cover"] == "bad"
    assert look["body"]["not_tested"] == ["outlet-grip"]


def test_a_skin_with_volts_stops_there_and_one_read_without_shore_power_is_not_kept(
    phone: Phone, site: Site, noted: Noted
) -> None:
    phone.open(f"/round#rig={noted.rig['id']}&at=look-skin")
    phone.choose("shore", "no")
    phone.choose("earth", "no")
    phone.type("volts", "0.4")
    phone.next()
    phone.expect_problem("shore", "Only shore power shows")
    phone.choose("shore", "yes")
    expect(phone.find("[data-part=says]")).to_contain_text("Nothing against an earth that was not proved")
    phone.type("volts", "48")
    phone.next()
    expect(phone.find("[data-part=says]")).to_contain_text("Breaker off, do not touch the rig")
    phone.expect_saved("server")

    (look,) = kept(site.store, noted, "look")
    assert look["body"] | {"note": ""} == {
        "of": "skin",
        "points": {"skin-quiet": "bad"},
        "not_tested": [],
        "note": "",
        "volts": "48 V",
    }


def test_printed_ends_are_asked_told_and_offered_again(phone: Phone, site: Site, noted: Noted) -> None:
    phone.open(f"/round#rig={noted.rig['id']}&at=look-alarms")
    phone.tap("[data-all]")
    phone.type("end.smoke", "May 2020")
    phone.next()
    phone.expect_problem("end.smoke", "Write year and month")
    phone.type("end.smoke", "2020-05")
    expect(phone.find("[data-part=says]")).to_contain_text("Smoke alarm: its end, 2020-05, is past")
    phone.next()
    expect(phone.find("h1")).to_have_text("Galley receptacle")
    phone.tap("[data-back]")
    phone.tap("[data-end]")
    phone.expect_saved("server")

    (look,) = kept(site.store, noted, "look")
    assert look["body"]["ends"] == {"smoke": "2020-05"}
    phone.open("/")
    expect(phone.find("fl-due")).to_contain_text("Smoke alarm: its end, 2020-05, is past")
    phone.open(f"/round#rig={noted.rig['id']}&at=look-alarms")
    expect(phone.find("[name='end.smoke']")).to_have_value("2020-05")


@pytest.mark.parametrize(("looks", "theme"), [(FEW, ""), ([LIGHT], "sun")], ids=["few", "sun"])
def test_every_screen_of_a_round_is_fit_for_rain_and_gloves(
    phone: Phone, noted: Noted, pictures: Path, looks: tuple[Look, ...], theme: str
) -> None:
    phone.page.evaluate("(theme) => localStorage.setItem('fieldlog-look', theme)", theme)
    faults = []
    for number, name in enumerate(_screens(phone, noted)):
        faults += faults_in(looks, phone, f"round{theme}-{number:02}-{name}", pictures)
        low = [each["name"] for each in phone.page.evaluate(TARGETS) if _is_low_entry(each)]
        faults += [f"{name}: entry {each}" for each in low]
    print(f"pictures: {pictures}", *faults, sep="\n")

    assert faults == []


def _is_low_entry(target: dict[str, Any]) -> bool:
    return "radio" in target["name"] and bool(target["height"] < 63.9)


def _screens(phone: Phone, noted: Noted) -> Iterator[str]:
    phone.open("/")
    expect(phone.find(".due-card").first).to_be_visible()
    yield "first-page"
    phone.open("/round")
    phone.find("[data-go=dry]").wait_for()
    yield "list"
    phone.tap("[data-go=dry]")
    phone.choose("tripped", "yes")
    yield "device"
    phone.next()
    yield "device-open"
    phone.choose("tripped", "no")
    yield "device-stayed-on"
    press(phone, noted.galley, [noted.outlets["Bed"]], goes_on=False)
    phone.expect_saved("server")
    yield "device-against-the-map"
    phone.open(noted.way(noted.outlets["Sink"]))
    phone.choose("supply", "generator")
    yield "outlet"
    phone.choose("pattern", "other")
    yield "outlet-other"
    phone.choose("pattern", "dark dark dark")
    phone.expect_saved("server")
    yield "outlet-bad"
    yield from _looks(phone, noted)


def _looks(phone: Phone, noted: Noted) -> Iterator[str]:
    phone.open(f"/round#rig={noted.rig['id']}&at=look-cord")
    phone.tap("summary")
    yield "look-to-be-skipped"
    phone.choose("point.cord-jacket", "bad")
    yield "look"
    phone.open(f"/round#rig={noted.rig['id']}&at=look-skin")
    phone.choose("shore", "yes")
    phone.choose("earth", "no")
    phone.type("volts", "48")
    yield "skin"
    phone.open(f"/round#rig={noted.rig['id']}&at=look-alarms")
    phone.tap("[data-all]")
    phone.type("end.smoke", "2020-05")
    yield "alarms"
    phone.tap("[data-back]")
    phone.find("[data-end]").wait_for()
    yield "list-begun"
    phone.tap("[data-end]")
    phone.expect_saved("server")
    yield "end"
