"""The first page: what this is, its four uses, and a header that a long name does not wrap."""

from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Site
from tests.browser.phone import Phone, arrive_by_meter
from tests.builders import a_rig
from tests.conftest import PASSWORD

pytestmark = pytest.mark.browser

USES = ["arrive", "round", "change", "record"]
NAME = "Bartholomew Featherstonehaugh the Third"
SEEN_WORDS = """() => {
  globalThis.seenWords = new Set();
  new MutationObserver(() => {
    for (const word of document.querySelectorAll(".check-card__word")) seenWords.add(word.textContent);
  }).observe(document, { childList: true, subtree: true, characterData: true });
}"""


def _uses(phone: Phone) -> list[Any]:
    links: list[Any] = phone.find("a[data-use]").evaluate_all(
        "(links) => links.map((link) => [link.dataset.use, link.getBoundingClientRect().bottom])"
    )
    return links


def test_four_uses_stand_on_the_first_screen_without_an_account_and_each_leads_on(
    phone: Phone, site: Site
) -> None:
    phone.open("/")
    expect(phone.find("[data-use=record]")).to_contain_text("First sign in and note your rig.")
    uses = _uses(phone)
    assert [name for name, _ in uses] == USES
    assert all(bottom <= 740 for _, bottom in uses)
    phone.tap("[data-use=change]")
    expect(phone.find("[name=password]")).to_be_visible()

    account = site.account(NAME)
    rig = a_rig()
    site.hand_in(account, rig)
    phone.enter(NAME, PASSWORD)
    expect(phone.find("fl-session a")).to_contain_text("Bartholomew")
    header = phone.find("header.bar").bounding_box()
    assert header is not None and header["height"] < 2 * 48
    phone.page.locator(f"[data-use=change][href$='rig={rig['id']}']").wait_for()
    phone.tap("[data-use=change]")
    expect(phone.find("h1")).to_contain_text("A change to the wiring")


def test_a_check_that_forbids_an_outlet_says_why_in_the_list_and_never_shows_its_id(phone: Phone) -> None:
    arrive_by_meter(phone, ("120.1", "0.4", "119.8"), settled=True)
    phone.expect_saved("phone")
    phone.page.add_init_script(f"({SEEN_WORDS})()")
    phone.open("/")

    expect(phone.find(".check-card")).to_contain_text("Hot and neutral swapped")
    assert phone.page.evaluate("[...seenWords]") == ["Do not use"]


def test_what_could_not_be_sent_can_be_tried_at_once(phone: Phone) -> None:
    phone.context.route("**/api/session", lambda route: route.abort())
    arrive_by_meter(phone)
    phone.expect_saved("phone")
    phone.open("/")
    expect(phone.find("fl-waiting")).to_contain_text("There is no way to the server now")
    phone.context.unroute("**/api/session")
    phone.tap("text=Try now")

    expect(phone.find("fl-waiting")).to_contain_text("Sign in to send")
    phone.excuse("ERR_FAILED")
