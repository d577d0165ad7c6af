"""The map of a rig on the phone: its drawing, the same in words, and what is wrong with it."""

import re
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, expect
from pypdf import PdfReader

from tests.browser.conftest import Site
from tests.browser.drawn_rigs import DrawnRig, a_big_map, a_drawn_rig, hand_in
from tests.browser.looks import WIDE, Look, faults_in, in_each_look
from tests.browser.phone import Phone
from tests.browser.served import Server, a_phone, another_tab, visit
from tests.builders import a_device, a_record, a_rig, a_trip_test, an_id, an_outlet
from tests.conftest import PASSWORD

pytestmark = pytest.mark.browser
# Parts that stand over each other, or beyond the drawing, on the screen.
OVER = """() => {
  const frames = [...document.querySelectorAll(".rig-map-frame .rig-map__frame")];
  const boxes = frames.map((each) => each.getBoundingClientRect());
  const over = (a, b) => a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
  return boxes.flatMap((a, i) => boxes.slice(i + 1).filter((b) => over(a, b))).length;
}"""
# Letters that a box or the drawing cuts off.
CUT = """() => [...document.querySelectorAll(".rig-map-frame [data-part]")].flatMap((box) => {
  const frame = box.querySelector(".rig-map__frame").getBoundingClientRect();
  return [...box.querySelectorAll("text")].filter((text) => text.getBoundingClientRect().right > frame.right);
}).map(({ textContent }) => textContent)"""
MIDDLE = """() => {
  const boxes = [...document.querySelectorAll(".rig-map-frame [data-part]")];
  const middle = ({ top, bottom }) => (top + bottom) / 2;
  const from = (box) => Math.abs(middle(box.getBoundingClientRect()) - innerHeight / 2);
  return boxes.sort((a, b) => from(a) - from(b))[0].dataset.part;
}"""


def open_map(phone: Phone, rig: str) -> None:
    phone.open(f"/rigs/{rig}/map")
    phone.page.locator("svg.rig-map[data-width]").wait_for()


def a_signed_in_rig(phone: Phone, site: Site, name: str, rig: DrawnRig, *more: dict[str, Any]) -> None:
    site.hand_in(site.account(name), *rig.records, *more)
    phone.enter(name, PASSWORD)


def a_trip_that_disagrees(rig: DrawnRig) -> dict[str, Any]:
    trip = a_trip_test(rig.id, rig.devices["galley"], observed_at="2026-11-20T10:00:00.000+01:00")
    trip["body"] |= {"dead": [rig.outlets["dinette"]], "live": [rig.outlets["awning"]], "not_tested": []}
    return trip


def part(phone: Phone, name: str) -> Any:
    return phone.page.locator(f'.rig-map-frame [data-part="{name}"]')


def in_words(phone: Phone, name: str) -> Any:
    return phone.find(".rig-text > li").filter(has=phone.page.locator(f"h3:text-is('{name}')"))


def test_guarded_parts_are_told_by_pattern_and_words(phone: Phone, site: Site) -> None:
    rig = a_drawn_rig("two-circuits")
    a_signed_in_rig(phone, site, "Merlin", rig)
    open_map(phone, rig.id)

    expect(part(phone, "dinette")).to_contain_text("Guarded by Galley outlet")
    expect(part(phone, "dinette").locator(".rig-map__guard")).to_have_count(1)
    expect(part(phone, "cooling")).to_contain_text("NOT guarded")
    expect(part(phone, "cooling").locator(".rig-map__guard")).to_have_count(0)
    expect(part(phone, "galley")).to_have_class(re.compile("--device"))
    expect(part(phone, "dinette")).not_to_have_class(re.compile("--device"))
    expect(phone.find(".rig-text > li")).to_have_count(len(rig.body["parts"]))
    expect(in_words(phone, "Dinette outlet")).to_contain_text(
        "Fed from Galley outlet (14 AWG, 6 ft, load side). Feeds Awning outlet. Guarded by Galley outlet."
    )


def test_a_trip_that_disagrees_is_told_with_its_day_and_its_part_does_not_look_guarded(
    phone: Phone, site: Site
) -> None:
    rig = a_drawn_rig("two-circuits")
    a_signed_in_rig(phone, site, "Whimbrel", rig, a_trip_that_disagrees(rig))
    open_map(phone, rig.id)

    expect(phone.find(".rig-odd")).to_contain_text(
        "“Awning outlet” stayed live when “Galley outlet” tripped on 20 Nov 2026, and the map says that it "
        "goes dead. Treat it as not guarded by “Galley outlet”, and mend the map or the wiring."
    )
    expect(phone.find("text=See what would explain it")).to_have_attribute(
        "href", f"/rigs/{rig.id}/map/advice"
    )
    expect(part(phone, "awning")).to_contain_text("Trip test: stayed live")
    expect(part(phone, "awning").locator(".rig-map__guard")).to_have_count(0)
    expect(part(phone, "dinette").locator(".rig-map__guard")).to_have_count(1)


def test_what_stands_outside_or_near_water_without_a_guard_is_named_first(phone: Phone, site: Site) -> None:
    rig = a_drawn_rig("two-circuits")
    rig.body["runs"][5]["from"] = "b1"  # the awning outlet, before the device
    a_signed_in_rig(phone, site, "Plover M", rig)
    open_map(phone, rig.id)

    expect(phone.find(".due-card")).to_have_text(["Awning outlet outside: no ground-fault device before it"])
    expect(phone.find("text=Also: “Air conditioner”")).to_be_visible()


def test_each_mode_has_its_own_feeds_and_a_part_without_one_is_dashed(phone: Phone, site: Site) -> None:
    rig = a_drawn_rig("two-sources")
    rig.body["runs"].append({"from": "b1", "to": "heater"})
    rig.body["parts"].append({"id": "heater", "kind": "appliance", "name": "Water heater"})
    rig.body["modes"]["station"]["without"] = [2, 6]
    a_signed_in_rig(phone, site, "Siskin M", rig)
    open_map(phone, rig.id)
    expect(part(phone, "heater")).to_contain_text("NOT guarded")
    phone.tap('[name="mode"][value="station"]')

    expect(part(phone, "heater")).to_contain_text("No feed in this mode")
    expect(part(phone, "heater")).to_have_class(re.compile("--out"))
    assert (
        part(phone, "heater").locator("rect").evaluate("e => getComputedStyle(e).strokeDasharray") != "none"
    )
    expect(phone.find('[name="mode"][value="station"]')).to_be_focused()
    expect(in_words(phone, "Plug moved by hand")).to_contain_text(
        "Fed from Outlets breaker (14 AWG, 4 ft, not in this mode), and from Power station (14 AWG, 4 ft)."
    )


def test_a_tap_on_a_part_opens_its_page_or_tells_of_it(phone: Phone, site: Site) -> None:
    rig = a_drawn_rig("one-circuit")
    rig.body["parts"][0]["note"] = "Behind the left flap"
    a_signed_in_rig(phone, site, "Dunlin", rig)
    open_map(phone, rig.id)
    phone.tap('.rig-map-frame [data-part="inlet"]')
    panel = phone.find("dialog")
    expect(panel).to_contain_text("Inlet, 15 A. Feeds Entry breaker. Note: Behind the left flap")
    expect(panel.locator("a")).to_have_attribute("href", f"/rigs/{rig.id}/map/parts/inlet")
    phone.tap("[data-close]")
    expect(phone.page.locator("dialog")).to_be_hidden()
    phone.tap('.rig-map-frame [data-part="bunk"]')
    phone.page.wait_for_url(f"**/outlets/{rig.outlets['bunk']}*")
    open_map(phone, rig.id)
    phone.tap('.rig-map-frame [data-part="entry"]')

    phone.page.wait_for_url(f"**/round#rig={rig.id}&device={rig.devices['entry']}")


def test_a_rig_without_a_drawn_map_is_drawn_from_its_list(phone: Phone, site: Site) -> None:
    rig = a_rig("Teal")
    device = a_device(rig["id"], "By the sink")
    outlet = an_outlet(rig["id"], "Dinette", guard=device["id"])
    site.hand_in(site.account("Teal"), rig, device, outlet)
    phone.enter("Teal", PASSWORD)
    open_map(phone, rig["id"])

    expect(phone.find("text=Drawn from your list")).to_be_visible()
    expect(part(phone, outlet["id"])).to_contain_text("Guarded by By the sink")


def test_to_a_stranger_the_page_names_nothing(phone: Phone, site: Site) -> None:
    rig = a_drawn_rig("two-circuits", "Secret name")
    site.hand_in(site.account("Godwit M"), *rig.records)
    site.account("Stranger at the map")
    phone.enter("Stranger at the map", PASSWORD)
    phone.open(f"/rigs/{rig.id}/map")

    expect(phone.find(".notice")).to_have_text(
        "This rig is not on this phone. Sign in to the account that holds it. Sign in"
    )
    assert "Secret name" not in phone.page.content()


def test_the_drawing_grows_and_shrinks_about_the_place_looked_at(phone: Phone, site: Site) -> None:
    rig = a_rig("Long one")
    site.hand_in(site.account("Longspur"), rig, a_record("rig-map", a_big_map(30), rig=rig["id"]))
    phone.enter("Longspur", PASSWORD)
    open_map(phone, rig["id"])
    svg = phone.page.locator("svg.rig-map[data-width]")
    part(phone, "p12").scroll_into_view_if_needed()
    at_first = svg.evaluate("e => e.getBoundingClientRect().width")
    looked_at = phone.page.evaluate(MIDDLE)
    for _ in range(2):  # not by tap, for which the driver scrolls the page
        phone.find('[data-zoom="larger"]').dispatch_event("click")

    assert svg.evaluate("e => e.getBoundingClientRect().width") == pytest.approx(at_first * 1.25**2, rel=0.02)
    assert phone.page.evaluate(MIDDLE) == looked_at
    assert phone.page.evaluate("document.documentElement.scrollWidth <= screen.width")
    phone.find('[data-zoom="whole"]').dispatch_event("click")
    whole = svg.bounding_box()
    assert whole is not None
    assert whole["height"] <= 740
    assert whole["width"] <= 360


def test_no_part_covers_another_and_no_letter_leaves_its_box(phone: Phone, site: Site) -> None:
    rig = a_rig("Big one")
    body = a_big_map(60)
    body["parts"][20]["name"] = "An outlet with as many letters in its name as may be in one: 60"
    body["parts"][20]["name"] = body["parts"][20]["name"][:60]
    body["parts"][21]["name"] = "W" * 60
    site.hand_in(site.account("Heron M"), rig, a_record("rig-map", body, rig=rig["id"]))
    phone.enter("Heron M", PASSWORD)
    open_map(phone, rig["id"])

    expect(phone.page.locator(".rig-map-frame .rig-map__frame")).to_have_count(60)
    assert phone.page.evaluate(OVER) == 0
    assert [text for text in phone.page.evaluate(CUT) if "WWW" not in text] == []


def test_it_opens_cold_with_the_server_dead(browser: Browser, tmp_path: Path) -> None:
    server, rig = Server(tmp_path), a_drawn_rig("two-circuits")
    server.account("Curlew")
    try:
        with a_phone(browser, server) as phone:
            visit(phone)
            phone.enter("Curlew", PASSWORD)
            hand_in(server, "Curlew", rig.records)
            open_map(phone, rig.id)
            phone.page.close()
            server.stop()
            cold = another_tab(phone)
            open_map(cold, rig.id)

            expect(part(cold, "dinette")).to_contain_text("Guarded by Galley outlet")
    finally:
        server.close()


def test_it_prints_whole_over_pages(phone: Phone, site: Site, pictures: Path) -> None:
    rig = a_rig("Printed one")
    site.hand_in(site.account("Avocet on paper"), rig, a_record("rig-map", a_big_map(40), rig=rig["id"]))
    phone.enter("Avocet on paper", PASSWORD)
    open_map(phone, rig["id"])
    phone.page.pdf(path=pictures / "rig-map.pdf", format="A4")

    text = "\n".join(page.extract_text() for page in PdfReader(pictures / "rig-map.pdf").pages)
    assert all(f"Part number {number}\n" in text for number in range(1, 40))
    assert "Smaller" not in text


@in_each_look
def test_the_page_is_fit_for_rain_and_gloves(
    phone: Phone, site: Site, pictures: Path, looks: tuple[Look, ...]
) -> None:
    rig = a_drawn_rig("two-circuits")
    two = a_drawn_rig("two-sources")
    trip = a_trip_that_disagrees(rig)
    a_signed_in_rig(phone, site, f"Map {len(looks)}", rig, trip, *two.records)
    faults = []
    for screen in (rig.id, two.id, an_id()):
        phone.open(f"/rigs/{screen}/map")
        phone.find("main h1").wait_for()
        faults += faults_in((*looks, WIDE), phone, f"map-{screen[-3:]}", pictures)

    assert faults == []
