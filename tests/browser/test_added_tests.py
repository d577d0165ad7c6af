"""Tests added to a check after its first verdict: their answers join the same check, which is judged anew."""

from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Site
from tests.browser.phone import (
    LEGS,
    Phone,
    arrive_at_two_legs,
    arrive_by_meter,
    read_low_impedance,
    read_meter,
    read_to_earth,
    read_under_load,
    until_readings,
    until_volts,
)
from tests.conftest import PASSWORD

pytestmark = pytest.mark.browser


def _checks_sent(site: Site, name: str, phone: Phone) -> list[dict[str, Any]]:
    """Sign in, let the phone send everything, and give the arrival checks that arrived."""
    account = site.account(name)
    phone.enter(name, PASSWORD)
    expect(phone.find("fl-waiting")).to_have_count(0)
    expect(phone.find('.check-card [data-saved="phone"]')).to_have_count(0)
    expect(phone.find('.check-card [data-saved="server"]').first).to_be_visible()
    records = [entry["record"] for entry in site.records(account)]
    return [record for record in records if record["kind"] == "arrival-check"]


def test_two_legs_by_a_high_impedance_meter_need_a_second_test_and_are_then_fit_for_use(
    phone: Phone, site: Site
) -> None:
    arrive_at_two_legs(phone)
    phone.expect_verdict("test-more")
    phone.expect_saved("phone")

    read_low_impedance(phone, LEGS)

    phone.expect_verdict("use")
    phone.expect_saved("phone")
    expect(phone.find("button[data-next]")).to_have_text("Go on: plug in")
    first, second = _checks_sent(site, "Sora", phone)
    assert first["body"]["judgement"]["verdict"] == "test-more"
    assert second["corrects"] == first["id"]
    assert second["reason"].startswith("Test added: ")
    (read_again,) = second["body"]["check"]["more"]
    assert read_again["meter"]["input"] == "low-impedance"
    assert read_again["volts"] == {pair: f"{shown} V" for pair, shown in LEGS.items()}
    assert second["body"]["check"]["volts"] == first["body"]["check"]["volts"]


def test_a_load_shows_the_ohms_of_the_wiring(phone: Phone) -> None:
    arrive_by_meter(phone)
    read_to_earth(phone)
    read_under_load(phone, "10", {"h-n": "118.3", "n-g": "1.9"})

    phone.unfold("The wiring up to here")
    # Ohm's law: (121.3 - 118.3) V / 10 A = 0.30 ohm, of it (1.9 - 0.4) V / 10 A in the neutral.
    supply = phone.find(".supply")
    expect(supply.locator("dd").first).to_have_text("0.3 Ω")
    expect(supply).to_contain_text("Of it the neutral0.15 Ω")
    expect(supply).to_contain_text("At 24 A, 80 % of the rating, 7.2 V")
    phone.add("load")
    phone.type("loaded.after.h-n", "120.9")
    phone.next()
    phone.unfold("The wiring up to here")
    # Meanwhile the supply fell from 121.3 to 120.9 V: by their mean (121.1 - 118.3) V / 10 A.
    expect(supply.locator("dd").first).to_have_text("0.28 Ω")


def test_a_load_waits_until_a_live_ground_contact_is_ruled_out(phone: Phone) -> None:
    arrive_by_meter(phone)
    expect(phone.find(".verdict__why")).to_contain_text("to settle it: read the contacts against an earth")
    phone.unfold("Other tests you can add")
    expect(phone.find('[data-add="load"]')).to_have_count(0)
    expect(
        phone.find("text=dangerous under what is not ruled out: Hot and neutral swapped, ground joined")
    ).to_be_visible()
    read_to_earth(phone)

    expect(phone.page.locator('[data-add="load"]')).to_have_count(1)


def test_what_a_detector_told_joins_the_same_check(phone: Phone, site: Site) -> None:
    arrive_by_meter(phone)
    phone.expect_saved("phone")
    phone.add("detector")
    expect(phone.find(".caution")).to_contain_text("Silence proves nothing")
    phone.next()
    phone.expect_problem("near.g", "Say yes or no")
    phone.choose("near.g", "no")
    phone.next()
    phone.expect_step("verdict")
    phone.expect_saved("phone")

    first, second = _checks_sent(site, "Veery", phone)

    assert "near" not in first["body"]["check"]
    assert second["body"]["check"]["near"] == {"g": False}
    assert (second["corrects"], second["subject"]) == (first["id"], None)
    assert "detector" in second["reason"].lower()


def test_a_live_ground_contact_ends_the_way_to_plugging_in(phone: Phone) -> None:
    arrive_by_meter(phone)
    phone.expect_verdict("use")
    phone.add("detector")
    phone.choose("near.g", "yes")
    phone.next()

    phone.expect_verdict("test-more")
    expect(phone.find("button[data-next]")).to_have_count(0)


def test_what_was_typed_for_an_added_test_outlives_a_reload(phone: Phone) -> None:
    arrive_by_meter(phone)
    read_to_earth(phone)
    phone.add("load")
    phone.type("loaded.amps", "9,5")
    phone.type("loaded.volts.h-n", "11")
    phone.page.reload()

    phone.expect_step("load")
    expect(phone.find('[name="loaded.amps"]')).to_have_value("9,5")
    expect(phone.find('[name="loaded.volts.h-n"]')).to_have_value("11")
    expect(phone.find(".orders--short li").first).to_be_visible()
    phone.type("loaded.volts.h-n", "118.4")
    phone.next()
    phone.expect_step("verdict")
    phone.unfold("The wiring up to here")
    expect(phone.find(".supply")).to_be_visible()


def test_a_test_that_is_left_changes_nothing(phone: Phone, site: Site) -> None:
    arrive_by_meter(phone)
    phone.expect_saved("phone")
    phone.add("earth")
    expect(phone.find("text=Never drive a stake")).to_be_visible()
    phone.type("volts.h-e", "121")
    phone.tap("text=Leave this test out")
    phone.expect_step("verdict")
    phone.expect_saved("phone")
    phone.add("earth")
    phone.tap("[data-back]")
    phone.expect_step("verdict")
    phone.expect_saved("phone")

    (check,) = _checks_sent(site, "Knot", phone)

    assert sorted(check["body"]["check"]["volts"]) == ["h-g", "h-n", "n-g"]


def test_lamps_are_added_to_a_check_by_meter(phone: Phone, site: Site) -> None:
    arrive_by_meter(phone)
    phone.expect_saved("phone")
    phone.add("lamps", "lamp-names")
    phone.next()
    expect(phone.find(".caution")).to_contain_text("Dark lamps do not mean dead")
    for pair, shown in (("h-n", "lit"), ("h-g", "lit"), ("n-g", "dark")):
        phone.choose(f"lamps.{pair}", shown)
    phone.next()
    phone.expect_verdict("use")
    phone.expect_saved("phone")

    *_, check = _checks_sent(site, "Brant", phone)

    assert check["body"]["check"]["lamps"] == {"h-n": "lit", "h-g": "lit", "n-g": "dark"}


def test_a_stop_that_no_test_can_settle_names_no_next_test(phone: Phone) -> None:
    until_readings(phone, breaker="50")
    read_meter(phone)

    phone.expect_verdict("do-not-use")
    expect(phone.find("text=Only if you look for the fault")).to_have_count(0)
    phone.unfold("Other tests you can add")
    expect(phone.find(".other-tests [data-add]").first).to_be_visible()


def test_an_explanation_is_drawn_and_said(phone: Phone) -> None:
    until_readings(phone)
    read_meter(phone, ("121.3", "60.4", "60.8"))

    phone.expect_verdict("do-not-use")
    expect(phone.find(".explanation").first).to_contain_text("People:")
    phone.unfold("What fits the readings")
    expect(phone.find(".explanation svg.drawing")).to_have_count(1)
    phone.tap(".explanation details summary")
    expect(phone.find(".explanation svg.drawing")).to_have_count(2)


def test_another_outlet_with_other_contacts_starts_its_readings_anew(phone: Phone) -> None:
    arrive_by_meter(phone)
    phone.expect_saved("phone")
    for _ in range(6):
        phone.tap("[data-back]")
    phone.page.go_back()
    phone.page.go_back()
    phone.expect_step("outlet")
    phone.choose("outlet", "14-50")
    phone.next()
    phone.next()
    phone.next()
    phone.next()
    phone.next()

    phone.expect_step("volts.x-y")
    for pair, shown in list(LEGS.items())[:5]:
        phone.type(f"volts.{pair}", shown)
        phone.next()
    expect(phone.find('[name="volts.n-g"]')).to_have_value("")


def test_a_comma_before_three_digits_is_asked_about(phone: Phone) -> None:
    until_readings(phone)
    until_volts(phone)
    phone.type("volts.h-n", "1,213")

    expect(phone.find("[data-question]")).to_contain_text("Did you mean 1213 or 1.213?")


def test_readings_of_an_added_test_can_be_corrected(phone: Phone) -> None:
    arrive_by_meter(phone)
    read_to_earth(phone)
    read_under_load(phone, "10", {"h-n": "118.3", "n-g": "1.9"})
    phone.expect_saved("phone")
    phone.open("/")
    phone.tap(".check-card")
    expect(phone.find("dd:text-is('118.3 V')").first).to_be_visible()
    phone.tap("[data-correct]")
    phone.type("loaded.amps", "12,5")
    phone.type("reason", "The label says 1500 W")
    phone.tap("text=Keep the correction")

    expect(phone.find("text=The label says 1500 W")).to_be_visible()
    expect(phone.find("dd:text-is('12.5 A')").first).to_be_visible()
    phone.unfold("The wiring up to here")
    # Ohm's law: 3.0 V / 12.5 A.
    expect(phone.find(".supply dd").first).to_have_text("0.24 Ω")
