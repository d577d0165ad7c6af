"""The past checks, one check's page, and its corrections."""

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Site
from tests.browser.held import Held
from tests.browser.phone import Phone, arrive_by_meter
from tests.builders import a_device, a_rig, an_arrival_check, an_outlet
from tests.conftest import PASSWORD
from tests.sync.held import a_file

pytestmark = pytest.mark.browser


def test_a_check_is_there_again_tomorrow(phone: Phone) -> None:
    arrive_by_meter(phone)
    phone.expect_saved("phone")
    phone.open("/")
    phone.page.reload()

    card = phone.find(".check-card")
    expect(card).to_contain_text("Use")
    expect(card).to_contain_text("Alder Bend, site 12")
    expect(card.locator("[data-saved=phone]")).to_be_visible()
    expect(card.locator("svg use")).to_have_attribute("href", "/static/shapes.svg#use")


def test_checks_are_shown_newest_first(phone: Phone, site: Site) -> None:
    account = site.account("Swift")
    old = an_arrival_check(park="Old Mill", observed_at="2026-10-01T10:00:00.000+00:00")
    new = an_arrival_check(park="New Mill", observed_at="2026-11-01T10:00:00.000+00:00")
    site.hand_in(account, new, old)
    phone.enter("Swift", PASSWORD)

    expect(phone.find(".check-card__place")).to_contain_text(["New Mill", "Old Mill"])


def test_a_correction_is_kept_beside_what_it_corrects(phone: Phone, site: Site) -> None:
    account = site.account("Crane")
    arrive_by_meter(phone)
    phone.expect_saved("phone")
    phone.open("/")
    phone.tap(".check-card")
    phone.tap("[data-correct]")
    phone.type("volts.h-n", "nonsense")
    phone.tap("text=Keep the correction")
    phone.expect_problem("volts.h-n", "as a number")
    phone.expect_problem("reason", "Give the reason")
    phone.type("volts.h-n", "112")
    phone.type("volts.h-g", "112")
    phone.type("breaker_amps", "")
    phone.type("reason", "Read the wrong line of the notes")
    phone.tap("text=Keep the correction")

    expect(phone.find("text=Read the wrong line of the notes")).to_be_visible()
    expect(phone.find("text=First entry")).to_be_visible()
    expect(phone.find("dd:text-is('112 V')").first).to_be_visible()
    phone.enter("Crane", PASSWORD)
    expect(phone.find('.check-card [data-saved="server"]')).to_be_visible()
    _, first, second = [entry["record"] for entry in site.records(account)]
    assert second["corrects"] == first["id"]
    assert second["reason"] == "Read the wrong line of the notes"
    assert second["body"]["check"]["volts"]["h-n"] == "112 V"
    assert "breaker_amps" not in second["body"]["check"]
    assert second["body"]["ready"] == first["body"]["ready"]
    assert second["observed_at"] == first["observed_at"]


def test_a_reading_that_a_correction_takes_out_is_absent(phone: Phone, site: Site) -> None:
    account = site.account("Rail")
    arrive_by_meter(phone)
    phone.expect_saved("phone")
    phone.open("/")
    phone.tap(".check-card")
    phone.tap("[data-correct]")
    phone.type("breaker_amps", "")
    phone.type("volts.n-g", "")
    phone.type("reason", "That was the next outlet")
    phone.tap("text=Keep the correction")

    expect(phone.find("text=That was the next outlet")).to_be_visible()
    phone.enter("Rail", PASSWORD)
    expect(phone.find('.check-card [data-saved="server"]')).to_be_visible()
    check = site.records(account)[-1]["record"]["body"]["check"]
    assert "breaker_amps" not in check
    assert sorted(check["volts"]) == ["h-g", "h-n"]


def test_a_check_that_is_not_here_says_what_to_do(phone: Phone) -> None:
    phone.open("/checks/01920000-0000-7000-8000-000000000000")

    expect(phone.find("text=Sign in, and it comes here if it is yours.")).to_be_visible()


def test_what_was_never_tested_stands_on_the_first_page_and_leads_into_the_round(
    phone: Phone, site: Site
) -> None:
    account = site.account("Tern")
    rig = a_rig()
    device = a_device(rig["id"], "Galley receptacle")
    site.hand_in(account, rig, device)
    phone.enter("Tern", PASSWORD)

    card = phone.find(".due-card").first
    expect(card).to_contain_text("Galley receptacle never tested")
    expect(card).to_have_attribute("href", f"/round#rig={rig['id']}&device={device['id']}")


def test_an_outlet_of_the_rig_is_tested_the_same_way(phone: Phone, site: Site) -> None:
    account = site.account("Avocet")
    rig = a_rig()
    outlet = an_outlet(rig["id"], "By the sink")
    site.hand_in(account, rig, outlet)
    phone.enter("Avocet", PASSWORD)
    phone.open(f"/outlets/{outlet['id']}")
    expect(phone.find("h1")).to_have_text("Test By the sink")
    expect(phone.find("[name=outlet][value='5-15']")).to_be_checked()
    phone.type("breaker_amps", "15")
    phone.next()
    phone.next()
    phone.next()
    phone.next()
    phone.next()
    for pair, shown in (("h-n", "119"), ("h-g", "119"), ("n-g", "0.2")):
        phone.type(f"volts.{pair}", shown)
        phone.next()
    phone.tap("text=Not pressed")

    phone.expect_verdict("use")
    phone.expect_saved("server")
    record = site.records(account)[-1]["record"]
    assert (record["kind"], record["rig"], record["subject"]) == ("outlet-test", rig["id"], outlet["id"])
    assert record["body"]["check"]["where"] == "rig"
    phone.tap("a[data-finish]")
    expect(phone.find(".check-card")).to_contain_text("In the rig: By the sink")


def test_an_outlet_that_this_phone_does_not_know_is_judged_and_not_said_to_be_saved(phone: Phone) -> None:
    phone.open("/outlets/01920000-0000-7000-8000-000000000000")
    expect(phone.find("[data-part=unknown-outlet]")).to_contain_text("does not know this outlet")
    phone.choose("outlet", "5-15")
    phone.next()
    phone.choose("look", "wet")
    phone.next()

    phone.expect_verdict("do-not-use")
    expect(phone.find("fl-saved")).to_contain_text("Not saved")
    expect(phone.page.locator("[data-saved]")).to_have_count(0)


def test_a_check_that_cannot_be_drawn_takes_no_other_from_the_list(phone: Phone, site: Site) -> None:
    """Earlier releases took such records out of a file; they may still lie on a phone."""
    good, half, odd = an_arrival_check(), an_arrival_check(park="Half"), an_arrival_check(park="Odd")
    half["body"] = {"place": {"park": "x"}}
    odd |= {"corrects": good["id"], "reason": "a slip", "also_corrects": 5}
    other = an_arrival_check(park="New Mill")
    Held(phone.page, site).keep(good, half, odd, other)
    phone.errors.clear()  # that page has no icon
    phone.open("/")

    expect(phone.find("a.check-card")).to_have_count(2)
    expect(phone.find("fl-checks")).to_contain_text("New Mill")
    strange = phone.find("li.check-card")
    expect(strange).to_contain_text("Arrival check: cannot be shown here.")
    expect(strange).to_contain_text(half["observed_at"][:10])
    expect(strange.locator("a")).to_have_attribute("href", "/phone")
    assert phone.errors == []
    phone.open(f"/checks/{half['id']}")
    expect(phone.find("fl-past-check")).to_contain_text("This check cannot be shown here.")
    phone.errors.clear()  # the console tells that there was nothing to judge


def test_a_file_with_one_bad_record_leaves_that_one_out_and_the_list_stands(phone: Phone, site: Site) -> None:
    good, half = an_arrival_check(), an_arrival_check()
    half["body"] = {"place": {"park": "x"}}
    several = an_arrival_check(corrects=good["id"], reason="a slip") | {"also_corrects": 5}
    text = a_file(good, half, several)
    done = Held(phone.page, site).ask("return file.importFile(given);", text)
    phone.errors.clear()  # that page has no icon

    assert (done["kept"], done["known"]) == (1, 0)
    assert done["problems"] == [
        "Entry 2 of the file is no record; it was left out. Look at /body/place/site in it.",
        "Entry 3 of the file is no record; it was left out. Look at /also_corrects in it.",
    ]
    phone.open("/")
    expect(phone.find("a.check-card")).to_have_count(1)


def test_a_kept_check_gives_its_reason_and_shows_no_bare_hash_nor_orders(phone: Phone) -> None:
    arrive_by_meter(phone, ("102", "102", "0.3"))
    phone.expect_saved("phone")
    phone.tap("a[data-finish]")
    card = phone.find(".check-card")
    expect(card).to_contain_text("102 V is too low; the limit is 104 V")
    card.tap()

    expect(phone.find(".verdict__why")).to_contain_text("102 V is too low")
    expect(phone.find("text=Read the rig's skin before you touch it.")).to_have_count(0)
    expect(phone.find("code")).to_have_count(0)
    phone.tap("text=Marks to check it by")
    expect(phone.find("code").first).to_be_visible()
