"""What a person is told where the server, or the phone's store, no longer has what it had."""

from collections.abc import Iterator
from itertools import count
from pathlib import Path

import pytest
from playwright.sync_api import expect

from fieldlog.model.account import Account
from tests.browser.conftest import Site
from tests.browser.looks import FEW, faults_in
from tests.browser.phone import Phone
from tests.browser.test_phone_page import keep, said
from tests.builders import a_photo, an_arrival_check
from tests.conftest import PASSWORD

pytestmark = [pytest.mark.browser, pytest.mark.sources]

NAMES = (f"Forgotten {number}" for number in count())
DB = 'const db = await import("/static/js/outbox/db.js");'


@pytest.fixture
def account(site: Site) -> Account:
    return site.account(next(NAMES))


@pytest.fixture
def signed_in(phone: Phone, account: Account) -> Iterator[Phone]:
    phone.sign_in(account.name, PASSWORD)
    phone.open("/sign-out")
    said(phone, f"The log on this phone is that of {account.name}")
    yield phone
    phone.excuse("401 (UNAUTHORIZED)")


def test_what_the_server_lacks_is_told_on_every_page_until_it_was_read(
    signed_in: Phone, site: Site, account: Account, pictures: Path
) -> None:
    check = an_arrival_check()
    site.hand_in(account, check, a_photo(check["id"], b"lost", what="The scorched plug"))
    signed_in.page.evaluate(
        f"""async () => {{ {DB}
          await db.put("kept", "lost", {{ at: "2026-11-25T12:00:00.000+00:00", records: 2 }});
        }}"""
    )
    signed_in.open("/")
    expect(signed_in.find("fl-waiting")).to_contain_text("no longer held all that it had confirmed")
    signed_in.open("/phone")
    said(signed_in, "2 records were sent again.")
    said(signed_in, "1 photo is neither on the server nor on this phone.")
    expect(signed_in.find("[data-part=lost] a")).to_have_text("The scorched plug")
    assert faults_in(FEW, signed_in, "forgotten", pictures) == []
    signed_in.tap("[data-read]")

    expect(signed_in.find("[data-part=lost]")).to_be_hidden()
    signed_in.open("/")
    expect(signed_in.find("fl-waiting")).to_be_hidden()


def test_what_an_earlier_account_left_is_taken_over_by_a_tap(
    signed_in: Phone, account: Account, pictures: Path
) -> None:
    keep(signed_in, an_arrival_check())
    said(signed_in, "1 record is on the server")
    signed_in.page.evaluate(
        f"""async (name) => {{ {DB}
          const label = `${{name}}\\nearlier`;
          for (const row of await db.transact("records", "readonly", (rows) => rows.getAll()))
            await db.put("records", null, {{ ...row, account: label }});
          await db.put("kept", "aside", [{{ label, name }}]);
        }}""",
        account.name,
    )
    signed_in.open("/phone")
    said(signed_in, "1 record of an earlier account")
    assert faults_in(FEW, signed_in, "set-aside", pictures) == []
    signed_in.tap("[data-take]")

    expect(signed_in.find("[data-part=aside]")).to_be_hidden()
    said(signed_in, "1 record, and it is on the server.")


def test_without_an_answer_about_the_copies_nobody_is_signed_out_at_the_first_tap(
    signed_in: Phone, pictures: Path
) -> None:
    keep(signed_in, an_arrival_check())
    said(signed_in, "1 record is on the server")
    signed_in.context.route("**/api/known", lambda route: route.abort())
    signed_in.tap('[data-do="go"]')
    said(signed_in, "this phone’s copy is the only one")
    expect(signed_in.page.get_by_text("Signed out on this phone")).to_have_count(0)
    assert faults_in(FEW, signed_in, "not-asked", pictures) == []
    signed_in.tap('[data-do="unasked"]')
    said(signed_in, "Signed out on this phone")
    signed_in.context.unroute("**/api/known")
    signed_in.excuse("ERR_FAILED")


def test_copies_that_the_server_has_lost_are_not_dropped(signed_in: Phone) -> None:
    check = an_arrival_check()
    keep(signed_in, check)
    said(signed_in, "1 record is on the server")
    missing = {"missing": {"records": [check["id"]], "photos": []}}
    signed_in.context.route("**/api/known", lambda route: route.fulfill(json=missing))
    signed_in.tap('[data-do="go"]')

    said(signed_in, "The server no longer has 1 record that it had confirmed.")
    said(signed_in, "1 record is on this phone only.")
    signed_in.context.unroute("**/api/known")


def test_a_check_whose_store_was_emptied_under_the_page_can_be_kept_once_more(signed_in: Phone) -> None:
    check = an_arrival_check()
    signed_in.context.route("**/api/records", lambda route: route.abort())
    keep(signed_in, check)
    signed_in.page.evaluate(
        """async (id) => {
          await import("/static/js/elements/saved.js").then(({ FlSaved }) => {
            if (!customElements.get("fl-saved")) customElements.define("fl-saved", FlSaved);
          });
          const saved = document.querySelector("main").appendChild(document.createElement("fl-saved"));
          saved.follow(id);
        }""",
        check["id"],
    )
    saved = signed_in.find("fl-saved")
    expect(saved).to_contain_text("Saved on this phone")
    signed_in.page.evaluate(
        f"""async () => {{ {DB}
          await db.transact("records", "readwrite", (rows) => void rows.clear());
          document.dispatchEvent(new Event("visibilitychange"));
        }}"""
    )
    expect(saved).to_contain_text("The server had not confirmed it.")
    saved.get_by_role("button", name="Keep it again").click()

    expect(saved).to_contain_text("Saved on this phone")
    signed_in.excuse("ERR_FAILED")
