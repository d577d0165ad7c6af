"""The arrival check on a phone, by touch."""

import json
from typing import Any

import pytest
from playwright.sync_api import Route, expect

from tests.browser.conftest import Site
from tests.browser.phone import PAIRS, Phone, arrive_by_meter, read_meter, until_readings, until_volts
from tests.conftest import PASSWORD

pytestmark = pytest.mark.browser


def _body(site: Site, name: str, phone: Phone) -> list[dict[str, Any]]:
    """Sign in, let the phone send everything, and give what arrived."""
    account = site.account(name)
    phone.sign_in(name, PASSWORD)
    expect(phone.find("fl-waiting")).to_have_count(0)
    expect(phone.find('.check-card [data-saved="phone"]')).to_have_count(0)
    expect(phone.find('.check-card [data-saved="server"]').first).to_be_visible()
    return [entry["record"] for entry in site.records(account)]


def test_fifteen_taps_lead_from_the_start_to_the_verdict(phone: Phone) -> None:
    phone.open("/arrive")
    phone.tap('[name="place.park"]')
    phone.type("place.park", "Alder Bend")
    phone.tap('[name="place.site"]')
    phone.type("place.site", "12")
    phone.next()
    phone.choose("outlet", "TT-30")
    phone.tap('[data-fill="30"]')
    phone.next()
    phone.next()
    read_meter(phone)

    phone.expect_verdict("use")
    print(f"taps to the verdict: {phone.taps}")
    assert phone.taps <= 15


def test_the_verdict_is_a_word_a_shape_and_a_sentence_and_is_spoken(phone: Phone) -> None:
    arrive_by_meter(phone)

    verdict = phone.find(".verdict")
    expect(verdict.locator("h1")).to_have_text("Use")
    expect(verdict.locator("svg use")).to_have_attribute("href", "/static/shapes.svg#use")
    expect(verdict.locator(".verdict__sentence")).to_contain_text("right wiring")
    expect(phone.page.locator("[role=alert][data-part=spoken]")).to_contain_text("Use.")
    expect(phone.find("text=What this cannot show")).to_have_count(1)
    expect(phone.find("text=very likely (9")).to_have_count(1)


def test_a_check_is_saved_on_the_phone_and_after_signing_in_on_the_server(phone: Phone, site: Site) -> None:
    arrive_by_meter(phone)
    phone.expect_saved("phone")

    instrument, check = _body(site, "Robin", phone)

    assert instrument["kind"] == "instrument"
    assert check["kind"] == "arrival-check"
    assert check["instrument"] == instrument["id"]
    assert check["body"]["place"] == {"park": "Alder Bend", "site": "12"}
    assert check["body"]["check"]["volts"] == {"h-n": "121.3 V", "h-g": "121.0 V", "n-g": "0.4 V"}
    assert check["body"]["judgement"]["verdict"] == "use"
    assert check["body"]["not_tested"] == []


def test_signed_in_a_check_goes_to_the_server_at_once(phone: Phone, site: Site) -> None:
    site.account("Wren")
    phone.sign_in("Wren", PASSWORD)
    arrive_by_meter(phone)

    phone.expect_saved("server")


def test_another_device_shows_what_was_stored(phone: Phone, site: Site) -> None:
    from tests.builders import an_arrival_check

    account = site.account("Lark")
    site.hand_in(account, an_arrival_check(park="Quiet Creek"))
    phone.sign_in("Lark", PASSWORD)

    phone.tap(".check-card")

    expect(phone.find("h1")).to_have_text("Quiet Creek, site 12")
    phone.expect_verdict("use")


def test_a_stop_sign_ends_the_check_at_once(phone: Phone, site: Site) -> None:
    phone.open("/arrive")
    phone.next()
    phone.choose("outlet", "TT-30")
    phone.next()
    phone.choose("look", "burned")
    phone.next()

    phone.expect_verdict("do-not-use")
    phone.expect_saved("phone")
    expect(phone.find("button[data-next]")).to_have_count(0)
    (check,) = _body(site, "Finch", phone)
    assert check["body"]["check"] == {
        "outlet": "TT-30",
        "supply": "utility",
        "where": "pedestal",
        "look": ["burned"],
    }


def test_a_crack_is_no_stop_but_a_limit(phone: Phone) -> None:
    phone.open("/arrive")
    phone.next()
    phone.choose("outlet", "TT-30")
    phone.next()
    phone.choose("look", "cracked")
    phone.next()
    read_meter(phone)

    phone.expect_verdict("use-limited")


def test_what_is_skipped_is_not_tested_and_never_a_pass(phone: Phone, site: Site) -> None:
    phone.open("/arrive")
    phone.next()
    phone.choose("outlet", "TT-30")
    phone.next()
    phone.tap("text=Not looked")
    phone.next()
    phone.tap("text=Not proved")
    phone.next()
    phone.type("volts.h-n", "121")
    phone.next()
    phone.tap("text=Not measured")
    phone.tap("text=Not measured")

    phone.expect_verdict("test-more")
    phone.expect_saved("phone")
    *_, check = _body(site, "Heron", phone)
    assert check["body"]["not_tested"] == ["look", "volts.h-g", "volts.n-g", "meter_proved"]


def test_lamps_are_named_once_and_entered_by_their_pairs(phone: Phone, site: Site) -> None:
    until_readings(phone)
    phone.choose("by", "lamps")
    phone.next()
    phone.type("lamp.h-n.called", "the left one")
    phone.next()
    phone.expect_problem("lamp.h-g.called", "Name this lamp too")
    phone.type("lamp.h-g.called", "the middle")
    phone.type("lamp.n-g.called", "the right one")
    phone.next()
    phone.next()  # proved
    phone.next()  # dry, and all done
    expect(phone.find('[data-called="lamp.h-n"]')).to_have_text("“the left one”")
    phone.next()
    phone.expect_problem("lamps.h-n", "Say lit, dim or dark")
    for pair, shown in zip(PAIRS, ("lit", "lit", "dark"), strict=True):
        phone.choose(f"lamps.{pair}", shown)
    phone.next()
    phone.expect_verdict("use-limited")
    phone.expect_saved("phone")
    phone.next()
    phone.tap("a[data-finish]")
    expect(phone.find(".check-card")).to_have_count(1)

    until_readings(phone)
    for _ in ("by", "tester", "ready"):
        phone.next()
    phone.expect_step("lamps")
    expect(phone.find('[data-called="lamp.n-g"]')).to_have_text("“the right one”")
    tester, check = _body(site, "Plover", phone)
    assert [lamp["pair"] for lamp in tester["body"]["lamps"]] == list(PAIRS)
    assert check["instrument"] == tester["id"]
    assert check["body"]["check"]["lamps"] == {"h-n": "lit", "h-g": "lit", "n-g": "dark"}


def test_a_5_20_asks_for_test_and_reset(phone: Phone, site: Site) -> None:
    until_readings(phone, outlet="5-20", breaker="20")
    read_meter(phone)
    phone.expect_step("trip")
    phone.next()
    phone.expect_problem("trip.tripped", "Say whether it tripped")
    phone.choose("trip.tripped", "yes")
    phone.choose("trip.face_dead", "no")
    phone.choose("trip.reset", "yes")
    phone.next()

    phone.expect_verdict("do-not-use")
    phone.expect_saved("phone")
    *_, check = _body(site, "Dipper", phone)
    (pressed,) = check["body"]["check"]["trip"]
    assert pressed == {"by": "button", "device": "this", "tripped": True, "face_dead": False, "reset": True}


def test_wet_ground_stops_the_test_and_keeps_what_was_typed(phone: Phone) -> None:
    phone.open("/arrive")
    phone.next()
    phone.choose("outlet", "TT-30")
    for _ in ("outlet", "look", "by", "meter"):
        phone.next()
    phone.tap("text=It is wet, or there is thunder")

    expect(phone.find("[role=alert].notice")).to_contain_text("Do not test now")
    assert phone.step == "ready"


def test_nothing_is_lost_by_going_back_or_reloading(phone: Phone) -> None:
    until_readings(phone)
    until_volts(phone)
    phone.type("volts.h-n", "121,3")
    phone.next()
    phone.type("volts.h-g", "12")
    phone.page.reload()
    phone.expect_step("volts.h-g")
    expect(phone.find('[name="volts.h-g"]')).to_have_value("12")

    phone.page.go_back()
    phone.expect_step("volts.h-n")
    expect(phone.find('[name="volts.h-n"]')).to_have_value("121,3")
    phone.tap("[data-back]")
    phone.expect_step("ready")
    phone.page.go_forward()
    phone.next()
    phone.expect_step("volts.h-g")
    expect(phone.find('[name="volts.h-g"]')).to_have_value("12")


def test_a_check_under_way_goes_on_from_the_first_page(phone: Phone) -> None:
    until_readings(phone)
    phone.open("/")
    phone.tap("text=go on with the check")

    phone.expect_step("by")


def test_the_place_and_the_meter_are_remembered(phone: Phone) -> None:
    arrive_by_meter(phone)
    phone.expect_saved("phone")
    phone.open("/arrive")

    phone.expect_step("where")
    expect(phone.find('[name="place.park"]')).to_have_value("Alder Bend")


def test_enter_goes_on_to_the_next_field_and_the_next_screen(phone: Phone) -> None:
    phone.open("/arrive")
    phone.find('[name="place.park"]').press("Enter")
    expect(phone.find('[name="place.site"]')).to_be_focused()
    phone.find('[name="place.site"]').press("Enter")

    phone.expect_step("outlet")


WRONG = [
    ("volts.h-n", "", "Type what the meter shows, or choose “Not measured”."),
    ("volts.h-n", "abc", "as a number, such as 121.3"),
    ("volts.h-n", "1213", "from 0 to 600 V"),
    ("volts.h-n", "-3", "Leave the sign out"),
    ("volts.h-n", "1.23456", "at most four digits"),
]


def test_a_wrong_reading_gets_a_sentence_and_keeps_what_was_typed(phone: Phone) -> None:
    until_readings(phone)
    until_volts(phone)
    for name, typed, sentence in WRONG:
        phone.type(name, typed)
        phone.next()
        phone.expect_problem(name, sentence)
        expect(phone.find(f'[name="{name}"]')).to_have_value(typed)
        expect(phone.find(f'[name="{name}"]')).to_have_attribute("aria-invalid", "true")

    phone.type("volts.h-n", "121")
    expect(phone.find("[data-problem]")).to_have_count(0)


def test_other_fields_get_their_sentences(phone: Phone) -> None:
    phone.open("/arrive")
    phone.type("place.park", "x" * 121)
    phone.type("place.site", "y" * 61)
    phone.next()
    phone.expect_problem("place.park", "Keep it to 120 characters")
    phone.expect_problem("place.site", "Keep it to 60 characters")
    phone.type("place.park", "Alder Bend")
    phone.type("place.site", "12")
    phone.next()
    phone.type("breaker_amps", "many")
    phone.next()
    phone.expect_problem("outlet", "Choose the outlet")
    phone.expect_problem("breaker_amps", "the number on the breaker as a number")
    phone.choose("outlet", "TT-30")
    phone.type("breaker_amps", "")
    for _ in ("outlet", "look", "by"):
        phone.next()
    phone.tap("text=Its accuracy")
    phone.type("meter.accuracy_percent", "lots")
    phone.type("meter.accuracy_volts", "50")
    phone.next()
    phone.expect_problem("meter.accuracy_percent", "the percentage from the meter’s leaflet")
    phone.expect_problem("meter.accuracy_volts", "from 0 to 20 V")


def test_a_likely_slip_is_asked_about_and_blocks_nothing(phone: Phone) -> None:
    until_readings(phone)
    until_volts(phone)
    phone.type("volts.h-n", "12.0")
    expect(phone.find("[data-question]")).to_contain_text("120")
    phone.next()

    phone.expect_step("volts.h-g")


def test_changing_a_reading_after_the_verdict_is_a_correction(phone: Phone, site: Site) -> None:
    arrive_by_meter(phone)
    phone.expect_saved("phone")
    phone.tap("[data-back]")
    phone.type("volts.n-g", "0.5")
    phone.next()
    phone.expect_saved("phone")

    _, first, second = _body(site, "Martin", phone)

    assert second["corrects"] == first["id"]
    assert second["reason"]
    assert second["body"]["check"]["volts"]["n-g"] == "0.5 V"


def test_a_damaged_rulebook_gives_no_verdict_and_keeps_the_readings(phone: Phone) -> None:
    def damage(route: Route) -> None:
        rulebook = route.fetch().json()
        rulebook["families"]["three-wire"]["wirings"][0]["prior"]["utility"] = 0.5
        route.fulfill(body=json.dumps(rulebook), content_type="application/json")

    phone.page.route("**/rulebook.json", damage)
    arrive_by_meter(phone)

    expect(phone.find("[data-no-verdict] h1")).to_have_text("No verdict")
    expect(phone.find("[data-no-verdict]")).to_contain_text("Do not use the outlet")
    expect(phone.page.locator("[data-verdict]")).to_have_count(0)
    expect(phone.page.locator("[data-saved]")).to_have_count(0)
    expect(phone.find("button[data-next]")).to_have_count(0)
    phone.page.unroute("**/rulebook.json")
    phone.page.reload()
    phone.expect_verdict("use")
    phone.excuse("damaged", "RulebookDamaged")


def test_without_a_network_the_verdict_comes_and_is_saved(phone: Phone) -> None:
    phone.open("/arrive")
    phone.expect_step("where")
    phone.page.wait_for_load_state("networkidle")
    phone.context.set_offline(True)
    phone.next()
    phone.choose("outlet", "TT-30")
    phone.next()
    phone.next()
    read_meter(phone)

    phone.expect_verdict("use")
    phone.expect_saved("phone")
    phone.context.set_offline(False)
    phone.excuse("ERR_INTERNET_DISCONNECTED")


REFUSE = """
const put = IDBObjectStore.prototype.put;
IDBObjectStore.prototype.put = function (...given) {
  if (this.name === "records") throw new DOMException("The disk is full.", "QuotaExceededError");
  return put.apply(this, given);
};
"""


def test_a_phone_that_refuses_to_keep_it_is_said_not_to_have_saved(phone: Phone) -> None:
    phone.context.add_init_script(REFUSE)
    arrive_by_meter(phone)

    phone.expect_verdict("use")
    expect(phone.find("fl-saved")).to_contain_text("Not saved")
    expect(phone.page.locator("[data-saved]")).to_have_count(0)
    phone.excuse("QuotaExceededError")
