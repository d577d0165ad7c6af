"""Signing out on the phone: what is on it only is never left to chance."""

import json
from collections.abc import Iterator
from itertools import count
from pathlib import Path

import pytest
from playwright.sync_api import expect

from fieldlog.model.account import Account
from tests.browser.conftest import Site
from tests.browser.phone import Phone
from tests.browser.test_phone_page import find_the_network, keep, lose_the_network, misread, said, stored
from tests.builders import an_arrival_check
from tests.conftest import PASSWORD

pytestmark = [pytest.mark.browser, pytest.mark.sources]

NAMES = (f"Parting {number}" for number in count())


@pytest.fixture
def account(site: Site) -> Account:
    return site.account(next(NAMES))


@pytest.fixture
def signed_in(phone: Phone, account: Account) -> Iterator[Phone]:
    phone.sign_in(account.name, PASSWORD)
    phone.open("/sign-out")
    # Only now does the phone itself know: a network that goes before leaves it nobody's.
    said(phone, f"The log on this phone is that of {account.name}")
    yield phone
    # What was under way when the session ended is answered so.
    phone.excuse("401 (UNAUTHORIZED)")


def rows(phone: Phone) -> int:
    """Count the records in the phone's store, whoever's they are."""
    return int(
        phone.page.evaluate(
            """async () => {
              const { transact } = await import("/static/js/outbox/db.js");
              return transact("records", "readonly", (store) => store.count());
            }"""
        )
    )


def test_with_nothing_waiting_one_tap_signs_out_and_empties_the_phone(
    signed_in: Phone, site: Site, account: Account
) -> None:
    keep(signed_in, an_arrival_check())
    expect(signed_in.find(".bar__nav fl-session a")).to_have_text(account.name)
    signed_in.tap(".bar__nav fl-session a")
    signed_in.tap("main a[href='/sign-out']")
    said(signed_in, "Nothing waits here. 1 record is on the server")
    signed_in.tap('[data-do="go"]')

    said(signed_in, "Signed out on this phone")
    assert rows(signed_in) == 0
    signed_in.open("/")
    expect(signed_in.find(".check-card")).to_have_count(0)
    expect(signed_in.find("fl-session a")).to_have_text("Sign in")
    signed_in.sign_in(account.name, PASSWORD)
    expect(signed_in.find(".check-card")).to_have_count(1)


def test_what_waits_is_sent_first_when_that_is_chosen(signed_in: Phone, site: Site, account: Account) -> None:
    signed_in.open("/sign-out")
    # Not offline: at its end a browser says so, and the page would send by itself.
    signed_in.context.route("**/api/**", lambda route: route.abort())
    keep(signed_in, an_arrival_check())
    said(signed_in, "1 record is on this phone only.")
    signed_in.tap('[data-do="send"]')
    said(signed_in, "There is no way to the server now.")
    signed_in.context.unroute("**/api/**")
    signed_in.excuse("ERR_FAILED")
    signed_in.tap('[data-do="send"]')

    said(signed_in, "Nothing waits here.")
    assert len(stored(site, account)) == 1
    signed_in.tap('[data-do="go"]')
    said(signed_in, "Signed out on this phone")


def test_what_the_server_refuses_is_not_said_to_be_sent(signed_in: Phone) -> None:
    keep(signed_in, misread())
    signed_in.open("/sign-out")
    signed_in.tap('[data-do="send"]')

    said(signed_in, "1 record did not go")
    expect(signed_in.find('[data-part="send-said"] a')).to_have_attribute("href", "/phone")


def test_saving_to_a_file_signs_nobody_out(signed_in: Phone) -> None:
    check = misread()
    keep(signed_in, check)
    signed_in.open("/sign-out")
    with signed_in.page.expect_download() as download:
        signed_in.tap('[data-do="save"]')

    file = json.loads(Path(download.value.path()).read_text(encoding="utf-8"))
    assert [record["id"] for record in file["records"]] == [check["id"]]
    said(signed_in, "1 record handed to the browser")
    expect(signed_in.find('[data-do="lock"]')).to_be_visible()
    assert rows(signed_in) == 1


def test_what_is_left_locked_is_shown_to_nobody_and_goes_when_its_account_signs_in_again(
    signed_in: Phone, site: Site, account: Account
) -> None:
    other = site.account(next(NAMES))
    signed_in.open("/sign-out")
    lose_the_network(signed_in)
    keep(signed_in, *(an_arrival_check() for _ in range(3)))
    signed_in.tap('[data-do="lock"]')
    said(signed_in, "3 records lie locked on this phone")
    said(signed_in, "The server was not reached. It is told at the next meeting")
    find_the_network(signed_in)
    keep(signed_in)  # the server is told
    signed_in.sign_in(other.name, PASSWORD)
    expect(signed_in.find(".check-card")).to_have_count(0)
    signed_in.open("/phone")
    expect(signed_in.find("[data-part=locked]")).to_have_text(
        "3 records of another account wait here locked until it signs in; they are not encrypted."
    )
    assert stored(site, other) == []
    signed_in.open("/sign-out")
    signed_in.tap('[data-do="go"]')
    said(signed_in, "Signed out on this phone")
    signed_in.sign_in(account.name, PASSWORD)

    expect(signed_in.find('.check-card [data-saved="server"]')).to_have_count(3)
    assert len(stored(site, account)) == 3
    assert stored(site, other) == []


def test_discarding_needs_the_count_typed(signed_in: Phone, site: Site, account: Account) -> None:
    keep(signed_in, misread(), misread())
    signed_in.open("/sign-out")
    signed_in.tap('[data-do="discard"]')
    expect(signed_in.find("#discard-problem")).to_contain_text("Type 2 to discard 2 records")
    signed_in.type("count", "3")
    signed_in.tap('[data-do="discard"]')
    expect(signed_in.find("#discard-problem")).to_contain_text("nothing was discarded")
    assert rows(signed_in) == 2
    signed_in.type("count", "2")
    signed_in.tap('[data-do="discard"]')

    said(signed_in, "2 records discarded.")
    assert rows(signed_in) == 0
    assert stored(site, account) == []


def test_a_phone_that_nobody_is_signed_in_on_offers_no_lock(phone: Phone) -> None:
    phone.open("/sign-out")
    said(phone, "Nobody is signed in on this phone.")
    keep(phone, an_arrival_check())

    said(phone, "1 record is on this phone only.")
    expect(phone.find('[data-do="lock"]')).to_have_count(0)
    phone.tap('[data-do="send"]')
    expect(phone.find('[data-part="send-said"] a')).to_have_attribute("href", "/sign-in?next=/sign-out")


@pytest.mark.parametrize("look", [{"java_script_enabled": False}], indirect=True)
def test_without_script_the_plain_form_signs_out(phone: Phone, site: Site, account: Account) -> None:
    phone.sign_in(account.name, PASSWORD)
    phone.open("/sign-out")
    phone.tap("noscript a")
    expect(phone.find("h1")).to_have_text("Sign out")
    phone.tap("main button[type=submit]")

    expect(phone.find("h1")).to_have_text("Sign in")
    phone.open("/history")
    expect(phone.find("h1")).to_have_text("Sign in")
