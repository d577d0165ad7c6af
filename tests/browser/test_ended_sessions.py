"""A session that ended elsewhere: the phone says whose log it still shows, and leads to where to lock it."""

from itertools import count
from typing import Any

import pytest
from playwright.sync_api import FilePayload, expect

from fieldlog.model.account import Account
from fieldlog.store.accounts import close_sessions
from tests.browser.conftest import Site
from tests.browser.phone import Phone
from tests.builders import an_arrival_check
from tests.conftest import PASSWORD
from tests.sync.held import a_file

pytestmark = pytest.mark.browser

NAMES = (f"Ended {number}" for number in count())
STILL_SHOWS = "Nobody is signed in here now, yet this phone still shows the log of"


@pytest.fixture
def account(site: Site) -> Account:
    return site.account(next(NAMES))


def end_elsewhere(site: Site, account: Account) -> None:
    """End the account's sessions, as from another device."""
    with site.store.writing() as tx:
        assert close_sessions(tx, account.id) > 0


@pytest.mark.parametrize("path", ["/", "/phone"])
def test_the_phone_says_whose_log_it_still_shows_and_takes_it_off(
    phone: Phone, site: Site, account: Account, path: str
) -> None:
    site.hand_in(account, an_arrival_check())
    phone.enter(account.name, PASSWORD)
    expect(phone.find(".check-card")).to_have_count(1)
    expect(phone.page.locator("fl-left-log")).to_be_hidden()
    end_elsewhere(site, account)
    phone.open(path)
    notice = phone.find("fl-left-log")
    expect(notice).to_contain_text(f"{STILL_SHOWS} {account.name}.")
    expect(phone.find("fl-session a")).to_have_text("Sign in")

    phone.tap("fl-left-log a[href='/sign-out']")
    phone.tap('[data-do="go"]')
    phone.tap('[data-do="unasked"]')
    expect(phone.find("[data-part=standing] h2")).to_have_text("Signed out on this phone")
    expect(phone.page.locator("fl-left-log")).to_be_hidden()
    phone.excuse("401 (UNAUTHORIZED)")
    phone.open("/")
    expect(phone.find(".empty")).to_be_visible()
    expect(phone.find("fl-left-log")).to_have_count(0)


def test_what_the_server_does_not_have_is_locked_there(phone: Phone, site: Site, account: Account) -> None:
    phone.enter(account.name, PASSWORD, "/phone")
    expect(phone.find("fl-session a")).to_have_text(account.name)
    end_elsewhere(site, account)
    phone.excuse("401 (UNAUTHORIZED)")
    phone.page.set_input_files("fl-files input[type=file]", files=[as_picked(an_arrival_check())])
    expect(phone.find("fl-left-log")).to_contain_text(account.name)
    phone.tap("fl-left-log a[href='/sign-out']")
    phone.tap('[data-do="lock"]')

    expect(phone.find("[data-part=standing] h2")).to_have_text("Signed out on this phone")
    expect(phone.page.locator("fl-left-log")).to_be_hidden()
    phone.enter(account.name, PASSWORD)
    expect(phone.find('.check-card [data-saved="server"]')).to_have_count(1)
    expect(phone.page.locator("fl-left-log")).to_be_hidden()


def as_picked(*records: dict[str, Any]) -> FilePayload:
    """Give a file with records, as a phone writes it."""
    text = a_file(*records).encode()
    return {"name": "log.json", "mimeType": "application/json", "buffer": text}


def test_who_is_signed_in_comes_to_the_account_from_the_header_and_from_there_to_the_sign_out(
    phone: Phone, account: Account
) -> None:
    phone.enter(account.name, PASSWORD)
    expect(phone.find("fl-session a")).to_have_text(account.name)
    phone.tap("fl-session a")
    expect(phone.find("h1")).to_have_text(account.name)
    expect(phone.find("text=This session")).to_be_visible()
    phone.tap("main a[href='/sign-out']")

    expect(phone.find("fl-sign-out [data-part=standing]")).to_contain_text(account.name)
