"""The month's work as one guided pass, on a phone that may have no server."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, expect

from fieldlog.clock import new_id, now
from fieldlog.sync.inbox import Inbox
from fieldlog.web.people.accounts import create_account
from tests.browser.conftest import Site
from tests.browser.phone import Phone
from tests.browser.rounds import (
    Noted,
    a_noted_rig,
    handed_in,
    kept,
    look_over,
    press,
    read_lamps,
    read_the_skin,
)
from tests.browser.served import Server, a_phone, another_tab, visit
from tests.builders import a_device, a_rig
from tests.conftest import PASSWORD

pytestmark = pytest.mark.browser


@pytest.fixture
def noted(phone: Phone, site: Site, request: pytest.FixtureRequest) -> Noted:
    """The rig, on the server and on the phone."""
    return handed_in(phone, site, request.node.name[-60:])


def walk(phone: Phone, noted: Noted) -> None:
    """Make the whole round."""
    phone.tap("[data-go=dry]")
    press(phone, noted.galley, [noted.outlets["Galley"], noted.outlets["Sink"]])
    press(phone, noted.bath, [noted.outlets[name] for name in ("Bath", "Awning", "Shelf")])
    for outlet in noted.outlets.values():
        read_lamps(phone, outlet)
    for name in ("The cord", "The inlet"):
        expect(phone.find("h1")).to_have_text(name)
        look_over(phone)
    read_the_skin(phone)
    expect(phone.find("h1")).to_have_text("Smoke and gas alarms")
    look_over(phone)
    expect(phone.find("h1")).to_have_text("Round ended: Wren")


@pytest.fixture
def cold(browser: Browser, server: Server) -> Iterator[tuple[Phone, Noted]]:
    """A phone that knows the rig, opened anew with the server dead."""
    noted = a_noted_rig()
    parts = server.app.extensions["fieldlog"]
    account = create_account(parts.store, "Siskin R", PASSWORD, now=now, new_id=new_id)
    with a_phone(browser, server) as phone:
        visit(phone)
        phone.enter("Siskin R", PASSWORD)
        receipts = Inbox(parts.store, parts.rulebook_or_damage, account).receive(noted.records, now())
        assert {receipt.status for receipt in receipts} == {"stored"}
        phone.open("/")
        expect(phone.find(".due-card").first).to_be_visible()
        phone.page.close()
        server.stop()
        yield another_tab(phone), noted


def test_a_round_without_the_server_takes_about_forty_taps_and_none_is_chosen_beforehand(
    cold: tuple[Phone, Noted], server: Server
) -> None:
    phone, noted = cold
    phone.open("/round")
    expect(phone.find("text=12 things are due")).to_be_visible()
    walk(phone, noted)

    print(f"taps: {phone.taps}")
    assert phone.taps <= 40
    phone.expect_saved("phone")
    expect(phone.find("text=12 noted, 0 skipped")).to_be_visible()
    server.start()
    phone.page.reload()
    phone.open("/")
    expect(phone.find("fl-waiting")).to_have_count(0)
    expect(phone.find('.check-card [data-saved="server"]')).to_have_count(6)
    store = server.app.extensions["fieldlog"].store
    (record,) = kept(store, noted, "round")
    assert [step["skipped"] for step in record["body"]["steps"]] == [False] * 12
    assert len(kept(store, noted, "trip-test")) == 2 and len(kept(store, noted, "look")) == 4


def test_a_step_is_skipped_with_its_reason_and_the_rest_at_the_end(
    phone: Phone, site: Site, noted: Noted
) -> None:
    phone.open(f"/round#rig={noted.rig['id']}")
    phone.tap("[data-go=dry]")
    expect(phone.find("h1")).to_have_text("Galley receptacle")
    phone.tap("text=Skip this step")
    phone.type("why", "The breaker panel is behind the luggage")
    phone.tap("[data-skip]")
    expect(phone.find("h1")).to_have_text("Bath receptacle")
    phone.tap("[data-back]")
    expect(phone.find(".due-card").first).to_contain_text("Skipped: The breaker panel")
    phone.tap("[data-end]")
    phone.expect_saved("server")

    (record,) = kept(site.store, noted, "round")
    steps = record["body"]["steps"]
    assert steps[0]["why"] == "The breaker panel is behind the luggage"
    assert all(step["skipped"] and step["record"] is None for step in steps) and len(steps) == 12
    assert kept(site.store, noted, "trip-test") == []
    phone.page.reload()
    expect(phone.find("text=12 things are due")).to_be_visible()


def test_an_interrupted_round_goes_on_where_it_was(phone: Phone, noted: Noted) -> None:
    phone.open(f"/round#rig={noted.rig['id']}")
    phone.tap("[data-go=dry]")
    press(phone, noted.galley, [noted.outlets["Galley"], noted.outlets["Sink"]])
    expect(phone.find("h1")).to_have_text("Bath receptacle")
    phone.choose("tripped", "yes")
    phone.choose("face_dead", "yes")
    phone.page.reload()
    expect(phone.page.locator("[name=face_dead][value=yes]")).to_be_checked()
    phone.choose("others", "live")
    phone.tap("[data-back]")
    phone.find("[data-end]").wait_for()
    phone.page.close()
    phone.page = phone.context.new_page()
    phone.open("/")
    phone.tap("text=Go on with the round: Wren")
    expect(phone.find("text=1 of 12 done")).to_be_visible()
    expect(phone.find(".due-card").first).to_contain_text("Noted: Tripped, reset")
    phone.tap("[data-go]")

    expect(phone.find("h1")).to_have_text("Bath receptacle")
    expect(phone.page.locator("[name=face_dead][value=yes]")).to_be_checked()


def test_a_step_that_was_only_looked_at_begins_no_round(phone: Phone, noted: Noted) -> None:
    phone.open(noted.way(noted.galley))
    expect(phone.find("h1")).to_have_text("Galley receptacle")
    phone.tap("[data-back]")

    expect(phone.find("text=12 things are due")).to_be_visible()
    phone.open("/")
    expect(phone.find("text=Begin the round: Wren")).to_be_visible()


def test_an_outlet_tested_on_its_own_page_is_done_in_the_round(
    phone: Phone, site: Site, noted: Noted
) -> None:
    bed = noted.outlets["Bed"]
    phone.open(noted.way(bed))
    expect(phone.find("[data-way]")).to_contain_text("With a known load: due")
    phone.tap("[data-way]")
    phone.expect_step("outlet")
    for _ in range(5):
        phone.next()
    for pair, shown in (("h-n", "119"), ("h-g", "119"), ("n-g", "0.2")):
        phone.type(f"volts.{pair}", shown)
        phone.next()
    phone.tap("text=Not pressed")
    phone.expect_saved("server")
    phone.open(noted.way(bed))
    expect(phone.find("[data-part=says]")).to_contain_text("Tested on its own page")
    phone.next()
    expect(phone.find("h1")).to_have_text("The cord")
    phone.tap("[data-back]")
    phone.tap("[data-end]")
    phone.expect_saved("server")

    (test,) = kept(site.store, noted, "outlet-test")
    steps = kept(site.store, noted, "round")[0]["body"]["steps"]
    assert [step["record"] for step in steps if step["subject"] == bed["id"]] == [test["id"]]


def test_the_rig_is_chosen_where_there_are_several_and_noted_where_there_is_none(
    phone: Phone, site: Site
) -> None:
    phone.open("/round")
    expect(phone.find("text=This phone knows no rig yet")).to_be_visible()
    one, other = a_noted_rig("Plover R"), a_noted_rig("Dunlin")
    site.hand_in(site.account("Ruff R"), *one.records, *other.records)
    phone.enter("Ruff R", PASSWORD)
    expect(phone.find(".due-card").first).to_be_visible()
    phone.open("/round")
    phone.tap("text=Dunlin")

    expect(phone.find("h1")).to_have_text("Round: Dunlin")


def test_the_icon_says_how_many_things_are_due_and_nothing_when_none_is(phone: Phone, site: Site) -> None:
    phone.context.add_init_script(
        "navigator.setAppBadge = async (n) => (document.title = `badge ${n}`);"
        "navigator.clearAppBadge = async () => (document.title = 'no badge');"
    )
    phone.open("/")
    expect(phone.page).to_have_title("no badge")
    rig = a_rig()
    site.hand_in(site.account("Dotterel R"), rig, a_device(rig["id"]))
    phone.enter("Dotterel R", PASSWORD)

    expect(phone.page).to_have_title("badge 5")  # the device, the cord, the inlet, the skin, the alarms
    expect(phone.find("fl-due h2")).to_have_text("Due now: 5")
    expect(phone.page.locator(".due-card")).to_have_count(5)
    phone.tap("[data-use=round]")
    expect(phone.find("fl-round")).to_contain_text("5 things are due")
