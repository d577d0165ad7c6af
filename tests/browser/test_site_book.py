"""The site book by touch, and what stands beside a verdict of the past, with the server dead."""

from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from fieldlog.clock import now
from fieldlog.model.account import Account
from fieldlog.sync.inbox import Inbox
from tests.browser.looks import LIGHT, Look, faults_in
from tests.browser.phone import Phone, read_meter, until_readings
from tests.browser.served import Server, a_phone, another_tab, visit
from tests.builders import an_arrival_check
from tests.conftest import PASSWORD
from tests.web.years import loaded

DARK = Look("dark", 360)
pytestmark = [pytest.mark.browser, pytest.mark.whole]


@pytest.fixture
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    server = Server(tmp_path_factory.mktemp("served"))
    yield server
    server.close()


def hand_in_a_year(server: Server, name: str) -> None:
    """Keep a check of this season last year, and one of another park since."""
    server.account(name)
    parts = server.app.extensions["fieldlog"]
    at = [(now() - timedelta(days=days)).isoformat(timespec="milliseconds") for days in (365, 40)]
    records = [
        an_arrival_check(loaded(0.4, 113.0, outlet="TT-30"), observed_at=at[0]),
        an_arrival_check(park="Gull Point", observed_at=at[1], verdict="do-not-use"),
    ]
    receipts = Inbox(parts.store, parts.rulebook_or_damage, Account(server.accounts[name], name)).receive(
        records, now()
    )
    assert [receipt.status for receipt in receipts] == ["stored"] * 2, receipts


def test_the_book_leads_to_a_check_that_is_held_against_last_years(
    browser: Browser, server: Server, pictures: Path
) -> None:
    hand_in_a_year(server, "Robin")
    with a_phone(browser, server, geolocation={"latitude": 60, "longitude": 5}) as phone:
        phone.context.grant_permissions(["geolocation"])
        phone.sign_in("Robin", PASSWORD)
        visit(phone, "/sites")
        expect(phone.find(".check-card")).to_have_count(2)
        phone.page.close()
        server.stop()
        phone = another_tab(phone)
        phone.open("/sites")
        faults = _the_list(phone, pictures)
        faults += _the_place(phone, pictures)
        faults += _the_check(phone, pictures)
        faults += _found_again(phone, pictures)

        phone.excuse("ERR_CONNECTION_REFUSED")
        assert faults == []
        assert phone.errors == []


def _the_list(phone: Phone, pictures: Path) -> list[str]:
    expect(phone.find("[data-last-year]")).to_have_text("Alder Bend, site 12")
    expect(phone.find(".check-card").first).to_contain_text("Gull Point")
    faults = faults_in([LIGHT, DARK], phone, "sites", pictures)
    phone.type("words", "bend")
    expect(phone.find(".check-card")).to_have_count(1)
    phone.type("words", "")
    phone.tap("[data-last-year]")
    expect(phone.find("[data-part=places] h1")).to_have_text("Alder Bend, site 12")
    phone.tap("[data-here]")
    expect(phone.find("[data-forget]")).to_be_visible()
    phone.tap("text=All places")
    phone.tap("[data-near]")
    expect(phone.find(".check-card").first).to_contain_text("0 m away")
    phone.tap(".check-card >> nth=0")
    return faults


def _the_place(phone: Phone, pictures: Path) -> list[str]:
    expect(phone.find("dd:has-text('113.0 V')")).to_be_visible()
    expect(phone.find("li:has-text('0.40 ± 0.07 ohm')")).to_be_visible()
    phone.find("#note").fill("The left breaker is stiff")
    phone.tap("[data-note]")
    expect(phone.find("li:has-text('The left breaker is stiff')")).to_be_visible()
    expect(phone.find("#note")).to_have_value("")
    report = phone.find(".site-report").input_value()
    assert "stiff" not in report
    assert "Place: Alder Bend, site 12" in report
    assert "Kim" not in report
    phone.context.grant_permissions(["geolocation", "clipboard-write"])
    phone.tap("[data-copy]")
    expect(phone.find("[data-part=said]")).to_have_text("It is copied.")
    return faults_in([LIGHT, DARK], phone, "site", pictures)


def _found_again(phone: Phone, pictures: Path) -> list[str]:
    phone.open("/")
    phone.tap("text=Find one")
    phone.find("fl-find #words").fill("GULL point")
    phone.tap("fl-find button")
    expect(phone.find("fl-find .tray__card h3")).to_have_text("Arrival check: Gull Point, site 12")
    return faults_in([LIGHT, DARK], phone, "find-here", pictures)


def _the_check(phone: Phone, pictures: Path) -> list[str]:
    phone.tap("[data-check]")
    expect(phone.find("[name='place.park']")).to_have_value("Alder Bend")
    until_readings(phone)
    read_meter(phone)
    phone.expect_verdict("use")
    before = phone.find("[data-before]")
    expect(before).to_contain_text(": Use")
    expect(phone.find("[data-apart]")).to_contain_text("Volts here: 113.0")
    return faults_in([LIGHT, DARK], phone, "verdict-before", pictures)
