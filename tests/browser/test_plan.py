"""From a verdict to what can run together, by touch, with the server dead; and how the planner looks."""

import itertools
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from fieldlog.clock import now
from fieldlog.model.account import Account
from fieldlog.sync.inbox import Inbox
from tests.browser.conftest import Site
from tests.browser.looks import Look, faults_in, in_each_look
from tests.browser.phone import Phone, arrive_by_meter, read_to_earth, read_under_load
from tests.browser.served import Server, a_phone, another_tab, visit
from tests.conftest import PASSWORD
from tests.planned_rigs import a_planned_rig

pytestmark = pytest.mark.browser

NUMBERS = itertools.count(1)


@pytest.fixture
def cold(browser: Browser, tmp_path: Path) -> Iterator[Phone]:
    """A phone that knows the rig, opened anew with the server dead."""
    server = Server(tmp_path / "served")
    server.account("Linnet P")
    parts = server.app.extensions["fieldlog"]
    account = Account(server.accounts["Linnet P"], "Linnet P")
    Inbox(parts.store, parts.rulebook_or_damage, account).receive(a_planned_rig(), now())
    with a_phone(browser, server) as phone:
        visit(phone)
        phone.enter("Linnet P", PASSWORD)
        phone.open("/plan")
        expect(phone.find("[data-part=rig]")).to_contain_text("Wren")
        for _ in range(2):  # off and on again: what is changed is kept, before anything was read
            phone.page.locator("label:has([name=on])").first.click()
        phone.page.close()
        server.stop()
        yield another_tab(phone)
    server.close()


def test_from_a_verdict_in_three_taps_to_these_together_and_to_a_kept_plan_with_the_server_dead(
    cold: Phone,
) -> None:
    """The figures by hand: 121.3 V and 117.3 V at 10 A are 0.4 ohm; 25 ft of 10 AWG and its ends 0.082."""
    phone = cold
    arrive_by_meter(phone)
    read_to_earth(phone)
    read_under_load(phone, "10", {"h-n": "117.3", "n-g": "2.2"})
    phone.taps = 0
    phone.tap("text=What can run here")

    expect(phone.find("[data-part=source]")).to_contain_text("loop 0.40")
    expect(phone.find(".verdict")).to_contain_text("Switch off first")
    phone.tap("text=Which together")
    phone.tap("[data-set='0']")
    assert phone.taps <= 3
    expect(phone.find(".verdict__sentence")).to_contain_text("Together:")
    phone.next()
    phone.expect_saved("phone")
    expect(phone.find("[data-part=kept]")).to_contain_text("Planned at the rig")
    phone.tap("text=Read it now")
    phone.type("read.volts", "99,4")
    phone.tap("[data-read]")
    expect(phone.find("[data-part=kept]")).to_contain_text("Read the outlet too")
    phone.open("/plan")
    expect(phone.find("[data-part=kept]")).to_contain_text("Read: 99.4 V")
    phone.tap("text=Read the volts again this evening")
    expect(phone.find("[data-part=evening] a[download]")).to_be_visible()


def _screens(phone: Phone) -> Iterator[str]:
    phone.open("/plan")
    expect(phone.find("[data-part=rig]")).to_contain_text("Wren")
    yield "over"
    phone.tap("[href='#load=ac']")
    phone.choose("kind", "motor")
    yield "load"
    phone.next()
    for part in ("kettle", "heater"):
        phone.tap(f"[name=on][value={part}]")
    for title in ("Which together", "When a motor starts", "Watts lost", "Which cord", "Supply and cords"):
        phone.unfold(title)
    yield "folds"
    phone.unfold("Read the volts again")
    phone.next()
    phone.expect_saved("server")
    phone.tap("text=Read it now")
    yield "kept"
    phone.choose("source", "battery")
    phone.type("battery.watt_hours", "1280")
    phone.type("battery.inverter_watts", "1000")
    phone.tap("[href='#load=laptop']")
    phone.choose("kind", "electronic")
    phone.choose("direct", "yes")
    phone.type("hours", "3")
    phone.next()
    phone.unfold("The evening on the battery")
    phone.type("battery.panel_watts", "200")
    expect(phone.find("[data-part=battery]")).to_contain_text("straight from 12 V")
    yield "battery"


@in_each_look
def test_every_screen_of_the_planner_is_fit_for_rain_and_gloves(
    phone: Phone, site: Site, pictures: Path, looks: tuple[Look, ...]
) -> None:
    name = f"Linnet {next(NUMBERS)}"
    site.hand_in(site.account(name), *a_planned_rig())
    phone.enter(name, PASSWORD)
    faults = []
    for number, screen in enumerate(_screens(phone)):
        faults += faults_in(looks, phone, f"plan-{number}-{screen}", pictures)
        phone.page.screenshot(path=pictures / f"seen-{number}-{screen}.png", full_page=True)
    print(f"pictures: {pictures}", *faults, sep="\n")

    assert faults == []
