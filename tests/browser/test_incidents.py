"""What went wrong is noted in three taps, without the server too, and makes due what it touches."""

import itertools
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Site
from tests.browser.looks import Look, faults_in, in_each_look
from tests.browser.phone import Phone
from tests.browser.rounds import Noted, handed_in, kept, press

pytestmark = pytest.mark.browser

NUMBERS = itertools.count(1)
FORGET_RULES = """async () => {
  const [{ name }] = await indexedDB.databases();
  const store = await new Promise((done) => {
    indexedDB.open(name).onsuccess = ({ target }) => done(target.result);
  });
  const way = store.transaction(["kept"], "readwrite");
  way.objectStore("kept").delete("rig-rules");
  await new Promise((done) => way.addEventListener("complete", done));
  store.close();
}"""


@pytest.fixture
def noted(phone: Phone, site: Site) -> Noted:
    """The rig, on the server and on the phone."""
    return handed_in(phone, site, f"Redstart {next(NUMBERS)}")


def test_a_tingle_is_noted_in_three_taps_and_says_first_what_to_do_then_what_is_due(
    phone: Phone, site: Site, noted: Noted
) -> None:
    phone.open(f"/incidents/new#rig={noted.rig['id']}")
    expect(phone.find("h1")).to_contain_text("Something went wrong: Wren")
    phone.choose("what", "shock")
    expect(phone.find("[data-level=stop]:visible")).to_contain_text("Do not touch the rig")
    phone.choose("where", "rig")
    phone.next()

    expect(phone.find("[data-part=told] h1")).to_have_text("Noted: Wren")
    due = phone.find("[data-part=due]")
    expect(due).to_contain_text("Galley receptacle until TEST is pressed")
    expect(due).to_contain_text("The rig’s skin until it is read on shore power")
    expect(due).to_contain_text("Bed: its ground until its ground is shown")
    expect(phone.find("fl-photos")).to_be_visible()
    phone.expect_saved("server")
    (record,) = kept(site.store, noted, "incident")
    assert (record["subject"], record["body"]) == (None, {"what": "shock", "at": "rig", "note": ""})
    phone.open("/")
    expect(phone.find(".due-card").first).to_contain_text("shock or tingle noted")
    phone.open(f"/rigs/{noted.rig['id']}")
    expect(phone.find(".thing--open").first).to_contain_text("shock or tingle noted")


def test_where_the_table_is_not_on_the_phone_nothing_stands_as_not_due(phone: Phone, noted: Noted) -> None:
    phone.excuse("ERR_FAILED", "rig-rules")
    phone.context.route("**/rig-rules.json", lambda route: route.abort())
    phone.page.evaluate(FORGET_RULES)
    phone.open(f"/incidents/new#rig={noted.rig['id']}")
    phone.choose("what", "water")
    phone.choose("where", "rig")
    phone.next()

    expect(phone.find("[data-part=due]")).to_contain_text("until then count all as due")


def test_what_is_missing_is_asked_and_nothing_typed_is_lost(phone: Phone, site: Site, noted: Noted) -> None:
    phone.open(f"/incidents/new#rig={noted.rig['id']}")
    phone.next()
    phone.expect_problem("what", "Say what happened")
    phone.expect_problem("where", "Say where it happened")
    phone.choose("what", "burned")
    phone.choose("where", noted.outlets["Sink"]["id"])
    phone.tap("summary")
    phone.find("[name=note]").fill("The plug of the heater")
    phone.page.reload()
    expect(phone.find("[name=note]")).to_have_value("The plug of the heater")
    phone.next()

    expect(phone.find("[data-part=due]")).to_contain_text(
        "Sink: under load until it is tested with a known load"
    )
    phone.expect_saved("server")
    (record,) = kept(site.store, noted, "incident")
    assert record["subject"] == noted.outlets["Sink"]["id"]
    phone.open(f"/history/{record['id']}")
    expect(phone.find("h1")).to_have_text("Burned plug or outlet")
    phone.open(f"/history/{record['id']}/corrections/new")
    phone.choose("what", "none")
    phone.find("[name=reason]").fill("It was the stove")
    phone.tap("main button[type=submit]")
    expect(phone.find("h1")).to_contain_text("noted by mistake")


def test_a_phone_without_a_rig_says_what_to_do_and_where_to_note_the_rig(phone: Phone) -> None:
    phone.open("/incidents/new#what=shock")

    expect(phone.find("[data-level=stop]:visible")).to_contain_text("Breaker off")
    expect(phone.find("[data-part=rigs]")).to_contain_text("This phone knows no rig")


def _screens(phone: Phone, noted: Noted) -> Iterator[str]:
    phone.open(f"/incidents/new#rig={noted.rig['id']}")
    expect(phone.find("h1")).to_contain_text("Wren")
    yield "new"
    phone.choose("what", "shock")
    yield "shock"
    phone.choose("where", "cord")
    phone.next()
    phone.find("[data-part=due] li").first.wait_for()
    phone.expect_saved("server")
    yield "kept"
    phone.open("/")
    phone.find(".due-card").first.wait_for()
    yield "home"
    phone.open(f"/round#rig={noted.rig['id']}")
    phone.find(".due-card").first.wait_for()
    yield "round"


@in_each_look
def test_every_screen_of_an_incident_is_fit_for_rain_and_gloves(
    phone: Phone, noted: Noted, pictures: Path, looks: tuple[Look, ...]
) -> None:
    faults = []
    for number, screen in enumerate(_screens(phone, noted)):
        faults += faults_in(looks, phone, f"incident-{number}-{screen}", pictures)
    print(f"pictures: {pictures}", *faults, sep="\n")

    assert faults == []


def test_what_a_round_noted_before_an_incident_is_asked_again(phone: Phone, site: Site, noted: Noted) -> None:
    phone.open(f"/round#rig={noted.rig['id']}")
    phone.tap("[data-go=dry]")
    press(phone, noted.galley, [noted.outlets["Galley"], noted.outlets["Sink"]])
    expect(phone.find("h1")).not_to_have_text(noted.galley["body"]["name"])  # it goes on once that is kept
    phone.open(f"/incidents/new#rig={noted.rig['id']}")
    phone.choose("what", "overvoltage")
    phone.choose("where", "rig")
    phone.next()
    phone.expect_saved("server")

    phone.open(f"/round#rig={noted.rig['id']}")
    expect(phone.find(".due-card").first).to_contain_text("Noted before the incident (surge)")
    expect(phone.find(".due-card").first).not_to_have_attribute("data-done", "")
    phone.tap(".due-card >> nth=0")
    expect(phone.find("[data-before]")).to_contain_text("due again")
    expect(phone.find("[name=tripped]:checked")).to_have_count(0)
    press(phone, noted.galley, [noted.outlets["Galley"], noted.outlets["Sink"]])
    expect(phone.find("h1")).not_to_have_text(noted.galley["body"]["name"])
    phone.tap("[data-back]")
    expect(phone.find(".due-card").first).to_contain_text("Noted: ")
    phone.open("/phone")
    expect(phone.find("main")).to_contain_text("Nothing waits here")
    first, second = kept(site.store, noted, "trip-test")
    assert second["corrects"] is None and first["id"] != second["id"]
