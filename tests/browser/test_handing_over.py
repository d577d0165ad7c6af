"""A rig is handed over by a link that a real browser opens."""

import re
from pathlib import Path

import pytest
from playwright.sync_api import expect

from fieldlog.sync.handing_over import address_of
from tests.browser.conftest import Site
from tests.browser.looks import LIGHT, Look, faults_in, in_each_look
from tests.browser.phone import Phone
from tests.builders import a_rig, an_arrival_check
from tests.conftest import PASSWORD

pytestmark = pytest.mark.browser

DARK = Look("dark", 360)


@in_each_look
def test_the_pages_of_a_hand_over_are_fit_for_rain_and_gloves(
    phone: Phone, site: Site, pictures: Path, looks: tuple[Look, ...]
) -> None:
    looks = tuple(dict.fromkeys((*looks, LIGHT, DARK)))
    giver, taker = (site.account(f"{name} {len(looks)}") for name in ("Kim", "Wilhelmina Longname-Hollow"))
    rig = a_rig("The old trailer")
    site.hand_in(giver, rig, an_arrival_check(rig=rig["id"]))
    phone.enter(giver.name, PASSWORD, f"/rigs/{rig['id']}/hand-over")
    faults = faults_in(looks, phone, "hand-over", pictures)
    phone.page.fill("[name=name]", "The old trailer")
    phone.tap("text=Make the link")
    expect(phone.find("[data-address]")).to_contain_text("/take-over#")
    faults += faults_in(looks, phone, "hand-over-offered", pictures)
    secret = phone.page.inner_text("[data-address]").partition("#")[2]

    phone.enter(taker.name, PASSWORD)
    phone.page.goto(address_of(site.address, secret))
    expect(phone.find("[name=code]")).to_have_value(re.compile(secret))
    assert secret not in phone.page.url
    faults += faults_in(looks, phone, "take-over", pictures)
    phone.tap("text=See what would move")
    expect(phone.find("h1")).to_contain_text(f"from {giver.name}")
    faults += faults_in(looks, phone, "take-over-offer", pictures)
    phone.page.check("[name=is_read]")
    phone.tap("text=Take The old trailer over")
    expect(phone.find("h1")).to_have_text(
        "The old trailer"
    )  # what it asks for stands there too, with more words

    phone.enter(giver.name, PASSWORD, "/hand-overs")
    faults += faults_in(looks, phone, "hand-overs", pictures)
    assert faults == []
    assert phone.errors == []
