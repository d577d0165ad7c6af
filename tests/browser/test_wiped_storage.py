"""The browser clears away what it kept for the site; the server has it, and it comes back."""

from collections.abc import Iterator
from time import monotonic

import pytest
from playwright.sync_api import Browser, expect

from fieldlog.model.account import Account
from tests.browser.conftest import Site
from tests.browser.phone import Phone
from tests.browser.way import Sizes, Way, hashes_on, in_both_sizes, to_the
from tests.builders import an_arrival_check
from tests.conftest import PASSWORD

pytestmark = [pytest.mark.browser, pytest.mark.sources]

# All that script can keep; a browser that evicts a site leaves the cookies that the server set.
WIPED = "indexeddb,cache_storage,service_workers,local_storage"
PATIENCE_S = 10

WAIT_FOR_ROWS = """async ({ count, patience_ms }) => {
  const { allRows } = await import("/static/js/outbox/queue.js");
  const until = performance.now() + patience_ms;
  const have = async () => (await allRows()).length;
  const pause = () => new Promise((settled) => setTimeout(settled, 50));
  while ((await have()) < count && performance.now() < until) await pause();
  return have();
}"""


@pytest.fixture
def way(site: Site) -> Iterator[Way]:
    with to_the(site) as way:
        yield way


def wipe(phone: Phone) -> None:
    """Clear away what the browser keeps for the site, cookies excepted."""
    session = phone.context.new_cdp_session(phone.page)
    session.send("Storage.clearDataForOrigin", {"origin": phone.site, "storageTypes": WIPED})


def rows_within(phone: Phone, count: int, patience_s: float) -> int:
    found: int = phone.page.evaluate(WAIT_FOR_ROWS, {"count": count, "patience_ms": patience_s * 1000})
    return found


def hand_in(site: Site, account: Account, count: int) -> None:
    """Keep a history on the server, as if other devices had sent it."""
    for _ in range(0, count, 100):
        checks = [an_arrival_check(park="Old Mill") for _ in range(100)]
        for check in checks:
            check["body"]["judgement"]["rulebook"] = site.parts.rulebook.id
        site.hand_in(account, *checks)


@in_both_sizes
def test_a_wiped_phone_is_still_signed_in_and_has_its_history_back_in_ten_seconds(
    browser: Browser, site: Site, way: Way, sizes: Sizes
) -> None:
    account = way.account(f"Avocet {sizes.history}")
    hand_in(site, account, sizes.history)
    with way.phone(browser, service_workers="allow") as phone:
        phone.enter(account.name, PASSWORD)
        assert rows_within(phone, sizes.history, 30) == sizes.history
        wipe(phone)
        began = monotonic()
        phone.open("/")
        assert rows_within(phone, sizes.history, PATIENCE_S) == sizes.history
        print(f"no seed: {sizes.history} records back after {monotonic() - began:.1f} s")
        expect(phone.find("fl-session")).to_contain_text(account.name)
        expect(phone.find(".check-card").first).to_contain_text("Old Mill")
        assert hashes_on(phone.page) == way.hashes(account)


def test_a_page_that_is_open_while_its_store_is_wiped_goes_on(browser: Browser, site: Site, way: Way) -> None:
    account = way.account("Turnstone")
    hand_in(site, account, 100)
    with way.phone(browser, account) as phone:
        phone.open("/")
        assert rows_within(phone, 100, PATIENCE_S) == 100
        wipe(phone)
        phone.page.evaluate("() => window.dispatchEvent(new Event('online'))")

        assert rows_within(phone, 100, PATIENCE_S) == 100
        assert phone.errors == []
