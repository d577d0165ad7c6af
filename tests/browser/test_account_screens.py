"""The pages of one's own account as a phone shows them, and the notice of a session that has ended."""

from pathlib import Path

import pytest
from playwright.sync_api import expect

from fieldlog.store.accounts import close_sessions
from tests.browser.conftest import Site
from tests.browser.looks import LIGHT, Look, faults_in, in_each_look
from tests.browser.phone import Phone
from tests.builders import an_arrival_check
from tests.conftest import PASSWORD

pytestmark = pytest.mark.browser

DARK = Look("dark", 360)


@in_each_look
# long: the screens in their order
def test_the_pages_of_an_account_are_fit_for_rain_and_gloves(
    phone: Phone, site: Site, pictures: Path, looks: tuple[Look, ...]
) -> None:
    looks = tuple(dict.fromkeys((*looks, LIGHT, DARK)))
    account = site.account(f"Wilhelmina Longname-Hollow {len(looks)}")
    site.hand_in(account, *(an_arrival_check() for _ in range(3)))
    phone.enter(account.name, PASSWORD)
    phone.enter(account.name, PASSWORD, "/account")
    faults = []

    def look_at(screen: str) -> None:
        faults.extend(faults_in(looks, phone, screen, pictures))

    look_at("account")
    phone.page.fill("[name=current]", "a wrong guess")
    phone.page.fill("[name=password]", "four dry socks")
    phone.tap("text=Change the password")
    expect(phone.find("#current-problem")).to_be_visible()
    look_at("account-wrong-password")
    phone.page.fill("[name=current]", PASSWORD)
    phone.page.fill("[name=password]", "four dry socks")
    phone.tap("text=Change the password")
    expect(phone.find("main p[role=status]")).to_contain_text("password is changed")
    look_at("account-password-changed")
    phone.tap("text=Remove this account")
    expect(phone.find("h1")).to_contain_text("Remove the account")
    look_at("removal")
    with site.store.writing() as tx:
        close_sessions(tx, account.id)
    phone.open("/")
    expect(phone.find("fl-left-log")).to_be_visible()
    look_at("ended-home")
    phone.open("/phone")
    expect(phone.find("fl-left-log")).to_be_visible()
    look_at("ended-phone")
    phone.enter(account.name, "four dry socks", "/account/removal")
    phone.page.fill("[name=name]", account.name)
    phone.page.fill("[name=password]", "four dry socks")
    phone.tap("text=for good")
    expect(phone.find("h1")).to_contain_text("is removed")
    look_at("removed")
    phone.excuse("400 (BAD REQUEST)", "401 (UNAUTHORIZED)")

    assert faults == []


@pytest.mark.parametrize("look", [{"java_script_enabled": False}], indirect=True)
def test_without_script_the_password_is_changed_and_the_account_removed(phone: Phone, site: Site) -> None:
    account = site.account("Scriptless")
    phone.enter(account.name, PASSWORD, "/sign-in")
    phone.tap("text=Your account")
    phone.page.fill("[name=current]", PASSWORD)
    phone.page.fill("[name=password]", "four dry socks")
    phone.tap("text=Change the password")
    expect(phone.find("main [role=status]")).to_be_visible()
    phone.tap("text=Remove this account")
    phone.page.fill("[name=name]", account.name)
    phone.page.fill("[name=password]", "four dry socks")
    phone.tap("text=for good")

    expect(phone.find("h1")).to_have_text(f"The account {account.name} is removed")
