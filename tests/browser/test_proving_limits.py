"""Values that are nearly good have words of their own; on the skin and between wires none passes."""

import pytest
from playwright.sync_api import expect

from fieldlog.model.account import Account
from tests.browser.changing import Changed, go_on
from tests.browser.conftest import Site
from tests.browser.phone import Phone
from tests.browser.test_proving import account as account
from tests.browser.test_proving import changed as changed

pytestmark = pytest.mark.browser


@pytest.mark.parametrize(
    ("volts", "words"), [("7", "check the ground before you go on"), ("12", "do not touch the rig")]
)
def test_volts_on_the_skin_end_the_power_up(
    phone: Phone, site: Site, account: Account, changed: Changed, volts: str, words: str
) -> None:
    site.hand_in(account, *changed.shown_dead(), *changed.shown_apart())
    phone.page.reload()
    go_on(phone, "skin-plugged")
    expect(phone.find(".caution")).to_contain_text("leave the clip there")
    phone.type("value", volts)
    phone.next()

    expect(phone.find("[role=alert]")).to_contain_text(words)
    phone.expect_step("skin-plugged")


def test_half_a_megohm_asks_for_the_branch(
    phone: Phone, site: Site, account: Account, changed: Changed
) -> None:
    site.hand_in(account, *changed.shown_dead(), *changed.shown_apart()[:5])
    phone.page.reload()
    go_on(phone, "hot-ground-apart")
    expect(phone.find(".caution")).to_contain_text("few volts are no insulation test")
    phone.type("value", "0.5")
    phone.next()
    expect(phone.find("[role=alert]")).to_contain_text("find the branch")
    phone.type("value", "0.05")
    phone.next()

    expect(phone.find("[role=alert]")).to_contain_text("do not plug in")
