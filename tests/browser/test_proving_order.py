"""No step of a proof opens before what it rests on was shown, since the last power and not too long ago."""

from datetime import timedelta

import pytest
from playwright.sync_api import expect

from fieldlog.clock import now
from fieldlog.model.account import Account
from tests.browser.changing import Changed, go_on, yes
from tests.browser.conftest import Site
from tests.browser.phone import Phone
from tests.browser.test_proving import account as account
from tests.browser.test_proving import changed as changed

pytestmark = pytest.mark.browser


def test_no_volts_are_not_asked_for_before_the_meter_was_proved(phone: Phone, changed: Changed) -> None:
    phone.open(f"{changed.page}#at=no-volts%7C{changed.sink['id']}%7Ch-n")
    phone.page.reload()
    expect(phone.find("[data-part=locked]")).to_contain_text("Shore cord unplugged")
    expect(phone.find("[name=value]")).to_have_count(0)
    phone.tap("a[data-next]")
    yes(phone, "source-dead")
    yes(phone, "battery-off")
    yes(phone, "meter-before")
    phone.tap("[data-outcome=bad]")
    expect(phone.find("[role=alert]")).to_contain_text("A meter that reads nothing there proves nothing")
    phone.page.goto(f"{phone.site}{changed.page}#at=no-volts%7C{changed.sink['id']}%7Ch-n")

    expect(phone.find("[data-part=locked]")).to_contain_text("Meter shows the volts")
    expect(phone.find("[name=value]")).to_have_count(0)


def test_ohms_stay_locked_until_the_meter_was_proved_again(
    phone: Phone, site: Site, account: Account, changed: Changed
) -> None:
    site.hand_in(account, *changed.shown_dead()[:-2])
    phone.page.reload()
    go_on(phone, "meter-after")
    phone.page.goto(f"{phone.site}{changed.page}#at=ground-continuous%7C{changed.sink['id']}%7C")
    expect(phone.find("[data-part=locked]")).to_contain_text("the known live source again")
    expect(phone.find("[name=value]")).to_have_count(0)
    phone.tap("a[data-next]")
    yes(phone, "leads-zeroed")
    yes(phone, "ground-continuous")

    expect(phone.find(".caution")).to_contain_text("Ohms only with the cord unplugged")
    expect(phone.find("[name=value]")).to_be_visible()


def test_after_power_ohms_stay_locked_until_volts_were_shown_absent_again(
    phone: Phone, site: Site, account: Account, changed: Changed
) -> None:
    site.hand_in(account, *changed.shown_dead(), changed.proof("polarity", "bad"))
    phone.page.reload()
    expect(phone.find(".proving-state")).to_contain_text("a step is bad")
    phone.page.goto(f"{phone.site}{changed.page}#at=ground-continuous%7C{changed.sink['id']}%7C")
    expect(phone.find("[data-part=locked]")).to_contain_text("The rig has had power since")
    expect(phone.find("[data-part=locked]")).to_contain_text("Shore cord unplugged")
    expect(phone.find("[name=value]")).to_have_count(0)
    phone.tap("a[data-next]")

    phone.expect_step("unplugged")
    yes(phone, "source-dead")


def test_absence_of_volts_that_was_shown_too_long_ago_locks_ohms_again(
    phone: Phone, site: Site, account: Account, changed: Changed
) -> None:
    site.hand_in(account, *changed.shown_dead(ago=timedelta(hours=5)))
    phone.page.reload()
    go_on(phone, "ground-continuous")

    expect(phone.find("[data-part=locked]")).to_contain_text("is too old: it has to be shown again")
    expect(phone.find("[name=value]")).to_have_count(0)
    phone.tap("a[data-next]")
    phone.expect_step("unplugged")


def test_a_screen_that_stood_open_while_the_absence_of_volts_grew_old_notes_nothing(
    phone: Phone, site: Site, account: Account, changed: Changed
) -> None:
    site.hand_in(account, *changed.shown_dead(ago=timedelta(hours=3, minutes=50)))
    phone.page.reload()
    go_on(phone, "ground-continuous")
    phone.type("value", "0.3")
    phone.page.clock.set_fixed_time(now() + timedelta(minutes=30))
    phone.tap("button[data-next]")
    expect(phone.find("[data-part=locked]")).to_contain_text("is too old: it has to be shown again")
    expect(phone.find("[name=value]")).to_have_count(0)

    phone.page.goto(f"{phone.site}{changed.page}#at=ground-continuous%7C{changed.sink['id']}%7C")
    phone.expect_step("ground-continuous")
    expect(phone.find("form.step .proof")).to_have_count(0)


def test_power_waits_for_the_steps_without_it(phone: Phone, changed: Changed) -> None:
    phone.page.goto(f"{phone.site}{changed.page}#at=polarity%7C{changed.sink['id']}%7C")

    expect(phone.find("[data-part=locked]")).to_contain_text("Shore cord unplugged")
    expect(phone.find("[data-outcome]")).to_have_count(0)
