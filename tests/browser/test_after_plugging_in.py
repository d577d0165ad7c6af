"""What follows a usable verdict: plugging in, the skin before it is touched, volts inside."""

import re

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Site
from tests.browser.phone import Phone, arrive_at_a_generator, arrive_by_meter, prove_earth
from tests.conftest import PASSWORD

pytestmark = pytest.mark.browser


def _plug_in(phone: Phone) -> None:
    arrive_by_meter(phone)
    phone.expect_saved("phone")
    phone.next()
    prove_earth(phone)
    phone.expect_step("skin")


def test_the_earth_is_asked_about_before_the_outlet_is_covered(phone: Phone, site: Site) -> None:
    account = site.account("Siskin E")
    arrive_by_meter(phone)
    phone.next()
    phone.next()
    phone.expect_problem("skin.earth", "Say yes or no")
    prove_earth(phone, "no")
    expect(phone.find("text=nothing shows nothing")).to_be_visible()
    expect(phone.find('[name="skin.low"]')).to_be_hidden()
    phone.type("skin.volts", "0.4")
    phone.next()
    phone.tap("[data-skip]")
    expect(phone.find("text=an earth that nobody proved shows nothing")).to_be_visible()

    phone.enter("Siskin E", PASSWORD)
    expect(phone.find('.check-card [data-saved="server"]')).to_be_visible()
    body = site.records(account)[-1]["record"]["body"]
    assert body["skin"] == {"by": "meter", "volts": "0.4 V", "earth_proved": False}
    assert (body["not_tested"], body["judgement"]["level"]) == (["skin", "inside"], "not-tested")


@pytest.mark.parametrize(("low", "step"), [("", "unplug"), ("1.2", "inside"), ("57", "unplug")])
def test_on_a_generator_a_low_impedance_meter_tells_a_filter_from_a_fault(
    phone: Phone, low: str, step: str
) -> None:
    arrive_at_a_generator(phone)
    phone.next()
    phone.expect_step("plug")
    expect(phone.find('[name="skin.earth"]').first).to_be_hidden()
    phone.next()
    phone.type("skin.volts", "58.9")
    if low:
        phone.type("skin.low", low)
    phone.next()

    phone.expect_step(step)


def test_the_skin_and_the_volts_inside_are_kept(phone: Phone, site: Site) -> None:
    account = site.account("Siskin")
    _plug_in(phone)
    phone.type("skin.volts", "0,4")
    phone.next()
    phone.type("inside", "119.8")
    phone.next()
    phone.expect_step("done")
    expect(phone.find("text=In half an hour")).to_be_visible()
    expect(phone.find("text=Compare it with a plug beside it, or with metal in the same sun")).to_be_visible()
    expect(phone.find("a[download='feel-the-plug.ics']")).to_have_attribute("href", re.compile("^blob:"))
    phone.expect_saved("phone")

    phone.enter("Siskin", PASSWORD)
    expect(phone.find('.check-card [data-saved="server"]')).to_be_visible()
    _, check, plug_in = [entry["record"] for entry in site.records(account)]
    assert plug_in["subject"] == check["id"]
    assert plug_in["body"]["skin"] == {"by": "meter", "volts": "0.4 V", "earth_proved": True}
    assert plug_in["body"]["inside"] == "119.8 V"
    assert plug_in["body"]["judgement"]["level"] == "none"


def test_a_live_skin_stops(phone: Phone) -> None:
    _plug_in(phone)
    phone.type("skin.volts", "12")
    phone.next()

    phone.expect_step("unplug")
    expect(phone.find("[data-level=stop] h1")).to_have_text("Breaker off. Unplug.")
    expect(phone.find("li b:text-is('Do not touch the rig.')")).to_be_visible()
    phone.expect_saved("phone")


def test_a_live_skin_stands_above_the_verdict_among_past_checks(phone: Phone) -> None:
    _plug_in(phone)
    phone.type("skin.volts", "48")
    phone.next()
    phone.expect_step("unplug")
    phone.expect_saved("phone")
    phone.tap("a[data-finish]")

    card = phone.find('.check-card[data-verdict="do-not-use"]')
    expect(card).to_contain_text("the rig’s skin was live")


def test_a_check_ends_on_its_page_while_the_server_cannot_be_reached(phone: Phone) -> None:
    arrive_by_meter(phone, ("120.1", "46.2", "71.5"))
    phone.expect_saved("phone")
    phone.context.set_offline(True)
    phone.tap("a[data-finish]")

    expect(phone.find("a[data-finish]")).to_contain_text("No way to the server now")
    phone.expect_verdict("do-not-use")

    phone.context.set_offline(False)
    phone.tap("a[data-finish]")
    expect(phone.find(".check-card")).to_have_count(1)
    phone.excuse("ERR_INTERNET_DISCONNECTED")


def test_a_detector_that_tells_voltage_stops(phone: Phone) -> None:
    _plug_in(phone)
    phone.choose("skin.by", "detector")
    phone.next()
    phone.expect_problem("skin.detected", "Say yes or no")
    phone.choose("skin.detected", "yes")
    phone.next()

    phone.expect_step("unplug")


@pytest.mark.parametrize("at", ["skin", "inside", "done"])
def test_a_tingle_stops_at_any_time(phone: Phone, at: str) -> None:
    _plug_in(phone)
    while phone.step != at:
        phone.tap("[data-skip]")
    phone.tap("text=Someone felt a tingle")

    phone.expect_step("unplug")
    expect(phone.find("li b:text-is('Tell the office.')")).to_be_visible()
    phone.expect_saved("phone")


def test_what_is_skipped_stands_as_not_tested(phone: Phone) -> None:
    _plug_in(phone)
    phone.tap("[data-skip]")
    phone.tap("[data-skip]")
    phone.expect_saved("phone")
    phone.tap("a[data-finish]")
    phone.tap(".check-card")

    expect(phone.find("text=After plugging in")).to_be_visible()
    expect(phone.find("dd:text-is('not tested')")).to_be_visible()
    expect(phone.find("dd:text-is('not measured')")).to_be_visible()


def test_the_phone_can_be_put_away_between_verdict_and_skin(phone: Phone) -> None:
    _plug_in(phone)
    phone.open("/")
    phone.tap("text=read the rig’s skin before you touch it")

    phone.expect_step("skin")


def test_a_finished_check_makes_room_for_a_new_one(phone: Phone) -> None:
    _plug_in(phone)
    phone.open("/arrive")

    phone.expect_step("where")
    expect(phone.find('[name="place.park"]')).to_have_value("Alder Bend")
