"""What may not be switched on, on the map of a phone, and how a shared neutral is noted there."""

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Site
from tests.browser.drawn_rigs import DrawnRig, a_drawn_rig
from tests.browser.looks import FEW, faults_in
from tests.browser.phone import Phone
from tests.builders import a_trip_test
from tests.conftest import PASSWORD

pytestmark = pytest.mark.browser


def with_a_second_source(rig: DrawnRig) -> None:
    rig.body["parts"].append({"id": "station", "kind": "inverter", "name": "Power station"})
    rig.body["runs"].append({"from": "station", "to": "awning"})


def enter(phone: Phone, site: Site, name: str, rig: DrawnRig, *more: dict[str, Any]) -> None:
    site.hand_in(site.account(name), *rig.records, *more)
    phone.enter(name, PASSWORD)


def test_two_sources_at_once_and_a_disproved_guard_stand_on_map_and_story(
    phone: Phone, site: Site, pictures: Path
) -> None:
    rig = a_drawn_rig("two-circuits")
    with_a_second_source(rig)
    trip = a_trip_test(rig.id, rig.devices["galley"])
    trip["body"] |= {"live": [rig.outlets["dinette"]], "face_dead": False, "not_tested": []}
    enter(phone, site, "Petrel", rig, trip)

    phone.open(f"/rigs/{rig.id}/map")
    expect(phone.find("h2:text-is('Do not switch it on so') + .rig-odd")).to_contain_text(
        "“Awning outlet” (“Inlet”, “Power station”): Two sources feed the same wiring at once"
    )
    expect(phone.page.locator('.rig-map-frame [data-part="awning"]')).to_contain_text("STOP")
    expect(phone.page.locator('.rig-map-frame [data-part="galley"]')).to_contain_text("NOT guarded")
    assert faults_in(FEW, phone, "map-stop", pictures) == []

    phone.open(f"/outlets/{rig.outlets['awning']}")
    expect(phone.find(".caution").first).to_contain_text("Do not switch the rig on so")
    expect(phone.page.locator(".rig-map__run--guarded")).to_have_count(0)


def test_a_shared_neutral_is_noted_on_the_page_of_a_breaker_and_is_a_stop(
    phone: Phone, site: Site, pictures: Path
) -> None:
    """Behind an inlet of 30 A both breakers are on one leg: NEC 210.4, ANSI/NEMA WD 6."""
    rig = a_drawn_rig("two-circuits")
    enter(phone, site, "Dunlin L", rig)

    phone.open(f"/rigs/{rig.id}/map/parts/b2")
    phone.tap("summary:has-text('Leg, shared neutral, handle tie')")
    phone.find('[name="shares_neutral"]').select_option(label="Outlets breaker")
    phone.find('[name="tied"]').select_option("no")
    phone.type("reason", "One white wire for both.")
    assert faults_in(FEW, phone, "map-breaker", pictures) == []
    phone.tap("button:has-text('Keep the change')")
    expect(phone.find("main")).to_contain_text("shares a neutral, not tied")

    phone.open(f"/rigs/{rig.id}/map/advice")
    expect(phone.find("main")).to_contain_text("the neutral carries the sum of both")
    expect(phone.find("main")).to_contain_text("their breakers are not tied")
    phone.open(f"/rigs/{rig.id}/map")
    expect(phone.find("h2:text-is('Do not switch it on so') + .rig-odd")).to_contain_text("Cooling breaker")
