"""The month's work as one guided pass, on a phone that may have no server."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, expect

from fieldlog.clock import new_id, now
from fieldlog.store.accounts import accounts_by_name
from fieldlog.store.records import records_after
from fieldlog.sync.inbox import Inbox
from fieldlog.web.people.accounts import create_account
from tests.browser.conftest import PASSWORD, Site
from tests.browser.phone import Phone
from tests.browser.served import Server, a_phone, another_tab, visit
from tests.browser.test_screens import CONTRASTS, LOOKS, TARGETS
from tests.browser.test_screens import _crowded as crowded
from tests.browser.test_screens import _small as small
from tests.builders import a_device, a_record, a_rig, an_outlet

pytestmark = pytest.mark.browser

RIGHT = "lit lit dark"


@dataclass(frozen=True)
class Noted:
    """A rig with two devices and six outlets: one hangs on the inlet, the others on the two devices."""

    rig: dict[str, Any]
    galley: dict[str, Any]
    bath: dict[str, Any]
    outlets: dict[str, dict[str, Any]]

    @property
    def records(self) -> list[dict[str, Any]]:
        """Give all that is noted."""
        return [self.rig, self.galley, self.bath, *self.outlets.values()]

    def way(self, thing: dict[str, Any]) -> str:
        """Give the address of a thing's step."""
        return f"/round#rig={self.rig['id']}&at={thing['kind']}-{thing['id']}"


def a_noted_rig(name: str = "Wren") -> Noted:
    rig = a_rig(name)
    galley, bath = a_device(rig["id"], "Galley receptacle"), a_device(rig["id"], "Bath receptacle")
    guards = {"Galley": galley, "Sink": galley, "Bath": bath, "Awning": bath, "Shelf": bath, "Bed": None}
    outlets = {
        name: an_outlet(rig["id"], name, guard and str(guard["id"])) for name, guard in guards.items()
    }
    return Noted(rig, galley, bath, outlets)


@pytest.fixture
def noted(phone: Phone, site: Site, request: pytest.FixtureRequest) -> Noted:
    """The rig, on the server and on the phone."""
    noted, name = a_noted_rig(), request.node.name[:60]
    site.hand_in(site.account(name), *noted.records)
    phone.sign_in(name, PASSWORD)
    expect(phone.find(".due-card").first).to_be_visible()
    return noted


def press(phone: Phone, device: dict[str, Any], dead: list[dict[str, Any]]) -> None:
    """Press TEST, find what is dead, and press RESET."""
    expect(phone.find("h1")).to_have_text(device["body"]["name"])
    phone.choose("tripped", "yes")
    phone.choose("face_dead", "yes")
    for outlet in dead:
        phone.choose(f"outlet.{outlet['id']}", "dead")
    phone.choose("others", "live")
    phone.next()


def read_lamps(phone: Phone, outlet: dict[str, Any], pattern: str = RIGHT) -> None:
    """Say what the tester shows, and go on."""
    expect(phone.find("h1")).to_have_text(outlet["body"]["name"])
    if phone.find("[name=supply]").count():
        phone.choose("supply", "utility")
    phone.choose("pattern", pattern)
    phone.expect_verdict("use-limited")
    phone.next()


def walk(phone: Phone, noted: Noted) -> None:
    """Make the whole round."""
    phone.tap("[data-go=dry]")
    press(phone, noted.galley, [noted.outlets["Galley"], noted.outlets["Sink"]])
    press(phone, noted.bath, [noted.outlets[name] for name in ("Bath", "Awning", "Shelf")])
    for outlet in noted.outlets.values():
        read_lamps(phone, outlet)
    for name in ("The cord", "The inlet", "Smoke and gas alarms"):
        expect(phone.find("h1")).to_have_text(name)
        phone.next()
    expect(phone.find("h1")).to_have_text("Round ended: Wren")


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    server = Server(tmp_path_factory.mktemp("served"))
    yield server
    server.close()


@pytest.fixture
def cold(browser: Browser, server: Server) -> Iterator[tuple[Phone, Noted]]:
    """A phone that knows the rig, opened anew with the server dead."""
    noted = a_noted_rig()
    parts = server.app.extensions["fieldlog"]
    account = create_account(parts.store, "Siskin", PASSWORD, now=now, new_id=new_id)
    with a_phone(browser, server) as phone:
        visit(phone)
        phone.sign_in("Siskin", PASSWORD)
        receipts = Inbox(parts.store, parts.found, account).receive(noted.records, now())
        assert {receipt.status for receipt in receipts} == {"stored"}
        phone.open("/")
        expect(phone.find(".due-card").first).to_be_visible()
        phone.page.close()
        server.stop()
        yield another_tab(phone), noted


def test_a_round_without_the_server_takes_about_thirty_taps_and_none_is_chosen_beforehand(
    cold: tuple[Phone, Noted], server: Server
) -> None:
    phone, noted = cold
    phone.open("/round")
    expect(phone.find("text=11 things are due")).to_be_visible()
    walk(phone, noted)

    print(f"taps: {phone.taps}")
    assert phone.taps <= 30
    phone.expect_saved("phone")
    expect(phone.find("text=11 noted, 0 skipped")).to_be_visible()
    server.start()
    phone.page.reload()
    phone.open("/")
    expect(phone.find("fl-waiting")).to_have_count(0)
    expect(phone.find('.check-card [data-saved="server"]')).to_have_count(6)
    kept = _kept(server, "round")
    assert [step["skipped"] for step in kept[0]["body"]["steps"]] == [False] * 11
    assert len(_kept(server, "trip-test")) == 2 and len(_kept(server, "look")) == 3


def _kept(server: Server, kind: str) -> list[dict[str, Any]]:
    parts = server.app.extensions["fieldlog"]
    with parts.store.reading() as tx:
        (account,) = accounts_by_name(tx)
        found = [entry.as_json() for entry in records_after(tx, account.id, 0, 1000)]
    return [entry["record"] for entry in found if entry["record"]["kind"] == kind]


def kept(site: Site, noted: Noted, kind: str) -> list[dict[str, Any]]:
    """Give the rig's records of a kind that the server has."""
    with site.store.reading() as tx:
        found = [
            entry.as_json()["record"]
            for account in accounts_by_name(tx)
            for entry in records_after(tx, account.id, 0, 1000)
        ]
    return [record for record in found if (record["rig"], record["kind"]) == (noted.rig["id"], kind)]


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
    (record,) = kept(site, noted, "outlet-test")
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

    (record,) = kept(site, noted, "outlet-test")
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

    expect(phone.find("[data-part=says]")).to_contain_text("Do not use what it guards. Replace the device")
    phone.expect_saved("server")
    (record,) = kept(site, noted, "trip-test")
    assert (record["body"]["tripped"], record["body"]["reset"]) == (False, None)
    assert record["body"]["not_tested"] == ["face_dead", "reset", "outlets"]
    expect(phone.find("h1")).to_have_text("Galley receptacle")


def test_a_second_test_is_no_correction_of_the_first(phone: Phone, site: Site, noted: Noted) -> None:
    phone.open(noted.way(noted.galley))
    phone.choose("tripped", "no")
    phone.expect_saved("server")
    phone.tap("[data-again]")
    press(phone, noted.galley, [noted.outlets["Galley"], noted.outlets["Sink"]])
    expect(phone.find("h1")).to_have_text("Bath receptacle")
    phone.tap("[data-back]")
    phone.tap("[data-end]")
    phone.expect_saved("server")

    first, second = kept(site, noted, "trip-test")
    assert (first["body"]["tripped"], second["body"]["tripped"]) == (False, True)
    assert second["corrects"] is None
    assert kept(site, noted, "round")[0]["body"]["steps"][0]["record"] == second["id"]


def test_a_trip_that_contradicts_the_map_says_so_at_once_and_leads_to_it(
    phone: Phone, site: Site, noted: Noted
) -> None:
    phone.open(noted.way(noted.galley))
    press(phone, noted.galley, [noted.outlets["Galley"], noted.outlets["Bed"]])

    says = phone.find("[data-part=says]")
    expect(says).to_contain_text("“Sink” stayed live; the map says dead")
    expect(says).to_contain_text("“Bed” went dead; the map says live")
    expect(says.locator("a")).to_have_attribute("href", f"/rigs/{noted.rig['id']}/map")
    phone.expect_saved("server")
    (record,) = kept(site, noted, "trip-test")
    assert record["body"]["dead"] == [noted.outlets["Galley"]["id"], noted.outlets["Bed"]["id"]]
    phone.tap("text=Noted: next")
    expect(phone.find("h1")).to_have_text("Bath receptacle")


def test_a_device_that_does_not_hold_stops_there(phone: Phone, site: Site, noted: Noted) -> None:
    phone.open(noted.way(noted.galley))
    phone.choose("tripped", "yes")
    phone.choose("face_dead", "no")
    phone.choose("others", "none")
    phone.choose("reset", "no")

    says = phone.find("[data-part=says]")
    expect(says).to_contain_text("its own face stayed live")
    expect(says).to_contain_text("did not reset and hold. Leave it off")
    phone.expect_saved("server")
    (record,) = kept(site, noted, "trip-test")
    assert (record["body"]["face_dead"], record["body"]["reset"]) == (False, False)
    assert record["body"]["not_tested"] == ["outlets"]


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

    (record,) = kept(site, noted, "round")
    steps = record["body"]["steps"]
    assert steps[0]["why"] == "The breaker panel is behind the luggage"
    assert all(step["skipped"] and step["record"] is None for step in steps) and len(steps) == 11
    assert kept(site, noted, "trip-test") == []
    phone.page.reload()
    expect(phone.find("text=11 things are due")).to_be_visible()


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
    expect(phone.find("text=1 of 11 done")).to_be_visible()
    expect(phone.find(".due-card").first).to_contain_text("Noted: Tripped, reset")
    phone.tap("[data-go]")

    expect(phone.find("h1")).to_have_text("Bath receptacle")
    expect(phone.page.locator("[name=face_dead][value=yes]")).to_be_checked()


def test_a_step_that_was_only_looked_at_begins_no_round(phone: Phone, noted: Noted) -> None:
    phone.open(noted.way(noted.galley))
    expect(phone.find("h1")).to_have_text("Galley receptacle")
    phone.tap("[data-back]")

    expect(phone.find("text=11 things are due")).to_be_visible()
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
    phone.tap("text=No TEST button, or not pressed")
    phone.expect_saved("server")
    phone.open(noted.way(bed))
    expect(phone.find("[data-part=says]")).to_contain_text("Tested on its own page")
    phone.next()
    expect(phone.find("h1")).to_have_text("The cord")
    phone.tap("[data-back]")
    phone.tap("[data-end]")
    phone.expect_saved("server")

    (test,) = kept(site, noted, "outlet-test")
    steps = kept(site, noted, "round")[0]["body"]["steps"]
    assert [step["record"] for step in steps if step["subject"] == bed["id"]] == [test["id"]]


def test_an_outlet_outside_is_looked_at_as_well_and_a_bad_point_stops_there(phone: Phone, site: Site) -> None:
    noted = a_noted_rig("Heron")
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
    site.hand_in(site.account("Heron"), *noted.records, a_map)
    phone.sign_in("Heron", PASSWORD)
    expect(phone.find(".due-card").first).to_be_visible()
    phone.open(f"/round#rig={noted.rig['id']}&at=look-{awning['id']}")
    expect(phone.find("h1")).to_have_text("Look at Awning")
    phone.choose("point.outlet-cover", "bad")
    expect(phone.find(".notice")).to_contain_text("An outlet outside needs a cover that closes")
    phone.next()
    phone.expect_problem("point.outlet-dry", "Say yes or no")
    for point, how in (("strain-relief", "good"), ("dry", "good"), ("grip", "none")):
        phone.choose(f"point.outlet-{point}", how)
    phone.expect_saved("server")
    expect(phone.find("h1")).to_have_text("Look at Awning")

    (look,) = kept(site, noted, "look")
    assert look["subject"] == awning["id"] and look["body"]["of"] == "outlet"
    assert look["body"]["points"]["outlet-cover"] == "bad"
    assert look["body"]["not_tested"] == ["outlet-grip"]


def test_the_rig_is_chosen_where_there_are_several_and_noted_where_there_is_none(
    phone: Phone, site: Site
) -> None:
    phone.open("/round")
    expect(phone.find("text=This phone knows no rig yet")).to_be_visible()
    one, other = a_noted_rig("Plover"), a_noted_rig("Dunlin")
    site.hand_in(site.account("Ruff"), *one.records, *other.records)
    phone.sign_in("Ruff", PASSWORD)
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
    site.hand_in(site.account("Dotterel"), rig, a_device(rig["id"]))
    phone.sign_in("Dotterel", PASSWORD)

    expect(phone.page).to_have_title("badge 3")  # the device, cord and inlet, the alarms


@pytest.mark.parametrize("look", LOOKS, indirect=True, ids=str)
@pytest.mark.parametrize("theme", ["", "sun"])
def test_every_screen_of_a_round_is_fit_for_rain_and_gloves(
    phone: Phone, noted: Noted, pictures: Path, theme: str, look: dict[str, Any]
) -> None:
    phone.page.evaluate("(theme) => localStorage.setItem('fieldlog-look', theme)", theme)
    faults = []
    for number, name in enumerate(_screens(phone, noted)):
        phone.page.screenshot(path=pictures / f"round-{theme}-{look}-{number:02}-{name}.png", full_page=True)
        found = Axe().run(phone.page).response["violations"]
        faults += [f"{name}: axe {each['id']}: {each['nodes'][0]['html'][:160]}" for each in found]
        targets = phone.page.evaluate(TARGETS)
        faults += [f"{name}: small {each}" for each in small(targets)]
        faults += [f"{name}: entry {each['name']}" for each in targets if _is_low_entry(each)]
        faults += [f"{name}: crowded {each}" for each in crowded(targets)]
        weak = [each for each in phone.page.evaluate(CONTRASTS) if each["ratio"] < 7]
        faults += [f"{name}: contrast {each['ratio']:.1f}: {each['name']}" for each in weak]
        wide = phone.page.evaluate("() => document.documentElement.scrollWidth - innerWidth")
        faults += [f"{name}: {wide} px too wide"] if wide > 0 else []
    print(f"pictures: {pictures}")

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
    press(phone, noted.galley, [noted.outlets["Bed"]])
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
    phone.open(f"/round#rig={noted.rig['id']}&at=look-cord")
    phone.choose("point.cord-jacket", "bad")
    phone.tap("summary")
    yield "look"
    phone.tap("[data-back]")
    phone.find("[data-end]").wait_for()
    yield "list-begun"
    phone.tap("[data-end]")
    phone.expect_saved("server")
    yield "end"
