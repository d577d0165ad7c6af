"""A cord, extension or adapter is noted with its number and tested by conductor, the server dead.

29 CFR 1926.404(b)(1)(iii): before first use, after what may have damaged it, every 3 months, 6 where fixed.
"""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from fieldlog.clock import new_id, now
from fieldlog.sync.inbox import Inbox
from fieldlog.web.people.accounts import create_account
from tests.browser.looks import LIGHT, Look, faults_in
from tests.browser.phone import Phone, arrive_by_meter
from tests.browser.rounds import Noted, a_noted_rig, kept
from tests.browser.served import Server, a_phone, another_tab, visit
from tests.conftest import PASSWORD

pytestmark = pytest.mark.browser

DARK = Look("dark", 360)
CONDUCTORS = {"set-ground": "good", "set-ground-attached": "good", "set-neutral": "good", "set-hot": "good"}


@pytest.fixture
def cold(browser: Browser, server: Server) -> Iterator[tuple[Phone, Noted]]:
    """A phone that knows the rig, opened anew with the server dead."""
    noted = a_noted_rig()
    noted.rig["body"] |= {"assured_by": "Robin Vale"}
    parts = server.app.extensions["fieldlog"]
    account = create_account(parts.store, "Linnet", PASSWORD, now=now, new_id=new_id)
    with a_phone(browser, server) as phone:
        visit(phone)
        phone.enter("Linnet", PASSWORD)
        Inbox(parts.store, parts.rulebook_or_damage, account).receive(noted.records, now())
        phone.open("/")
        expect(phone.find(".due-card").first).to_be_visible()
        phone.page.close()
        server.stop()
        yield another_tab(phone), noted


# long: the whole way of a set, in its order
def test_a_set_is_noted_tested_found_worn_and_tested_again_by_touch_without_the_server(
    cold: tuple[Phone, Noted], server: Server, pictures: Path
) -> None:
    phone, noted = cold
    faults: list[str] = []

    def look(name: str) -> None:
        faults.extend(faults_in((LIGHT, DARK), phone, f"set-{name}", pictures))

    phone.open(f"/round#rig={noted.rig['id']}")
    phone.tap("text=Note a cord, extension or adapter")
    phone.next()
    for name, words in {
        "type": "what it is",
        "number": "Mark a number",
        "hots": "one hot",
        "fixed": "fixed",
    }.items():
        phone.expect_problem(name, words)
    look("new")
    before = phone.taps
    phone.choose("type", "extension")
    phone.type("number", "3")
    phone.choose("hots", "1")
    phone.choose("fixed", "no")
    phone.page.reload()
    expect(phone.find("[name=number]")).to_have_value("3")
    phone.next()
    expect(phone.find("[data-part=told] h1")).to_have_text("Noted: Extension cord 3")
    phone.expect_saved("phone")
    look("kept")
    phone.tap("[data-part=test]")
    expect(phone.find("h1")).to_have_text("Extension cord 3")
    expect(phone.find("text=never tested: before first use")).to_be_visible()
    expect(phone.find("text=kept by Robin Vale")).to_be_visible()
    set_id = phone.page.url.partition("at=set-")[2]
    phone.next()
    phone.expect_problem("unplugged", "Say whether it is")
    phone.choose("unplugged", "no")
    phone.next()
    phone.expect_problem("unplugged", "Unplug it at both ends first")
    phone.choose("unplugged", "yes")
    phone.tap("[data-all]")
    phone.type("ohms", "1,4")
    phone.next()
    phone.expect_problem("ohms", "no good ground")
    look("test-problem")
    phone.type("ohms", "0,2")
    phone.next()
    expect(phone.find("h1")).to_have_text("Galley receptacle")
    print(f"taps: {phone.taps - before}")

    phone.open(f"/round#rig={noted.rig['id']}&at=set-look-{set_id}")
    expect(phone.find("h1")).to_have_text("Extension cord 3: look before use")
    phone.choose("point.cord-jacket", "bad")
    expect(phone.find("[role=alert]:visible")).to_contain_text("do not use the cord")
    look("worn")
    for point in ("cord-blades", "cord-ground-pin", "cord-strain-relief"):
        phone.choose(f"point.{point}", "good")
    phone.expect_saved("phone")
    phone.next()
    expect(phone.find("h1")).to_have_text("Galley receptacle")
    phone.open("/")
    card = phone.find(".due-card").first
    expect(card).to_contain_text("found bad: out of use until mended, looked at and every conductor shown")
    look("home")
    card.click()
    expect(phone.find("h1")).to_have_text("Extension cord 3")
    phone.choose("unplugged", "yes")
    phone.choose("point.set-neutral", "bad")
    for point in ("set-ground", "set-ground-attached", "set-hot"):
        phone.choose(f"point.{point}", "good")
    expect(phone.find("[data-part=says]")).to_contain_text("Out of use until it is mended")
    look("bad")
    phone.tap("[data-again]")
    phone.choose("unplugged", "yes")
    phone.tap("[data-all]")
    phone.next()
    expect(phone.find("h1")).to_have_text("Galley receptacle")
    phone.open(f"/round#rig={noted.rig['id']}&at=set-look-{set_id}")
    phone.tap("[data-again]")
    phone.tap("[data-all]")
    phone.next()
    expect(phone.find("h1")).to_have_text("Galley receptacle")
    phone.open(f"/incidents/new#rig={noted.rig['id']}")
    phone.choose("what", "pull")
    phone.choose("where", set_id)
    phone.next()
    expect(phone.find("[data-part=due]")).to_contain_text("Extension cord 3 until")
    look("pulled")
    phone.open(f"/round#rig={noted.rig['id']}")
    expect(phone.find(".round-list").first).to_contain_text("hard pull on the cord noted")
    look("round")
    arrive_by_meter(phone)
    phone.next()
    phone.expect_step("plug")
    today = phone.find("[data-part=cord-looks] .due-card")
    expect(today).to_contain_text("not looked over since the incident; hard pull on the cord noted")
    look("plug")
    today.click()
    expect(phone.find("h1")).to_have_text("Extension cord 3: look before use")
    expect(phone.find("[data-before]")).to_contain_text("Noted before the incident (hard pull")
    phone.tap("[data-all]")
    phone.next()
    phone.expect_step("plug")
    expect(today).to_contain_text("looked over today; hard pull")

    server.start()
    phone.open("/phone")
    expect(phone.find("main")).to_contain_text("Nothing waits here")
    store = server.app.extensions["fieldlog"].store
    looks = [record["body"] for record in kept(store, noted, "look")]
    assert [body["of"] for body in looks] == ["set", "set-look", "set", "set", "set-look", "set-look"]
    assert (looks[0]["points"], looks[0]["ohms"]) == (CONDUCTORS, "0.2 ohm")
    assert looks[2]["points"]["set-neutral"] == "bad" and looks[3]["points"] == CONDUCTORS
    phone.open(f"/rigs/{noted.rig['id']}")
    expect(phone.find("text=Kept by Robin Vale")).to_be_visible()
    look("rig")
    assert faults == [], f"pictures: {pictures}"
