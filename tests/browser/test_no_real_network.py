"""A network that is none: the park's page answers, or nothing does. Nothing waits, nothing is claimed."""

from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.browser.conftest import Site
from tests.browser.phone import Phone, read_meter, until_readings
from tests.browser.proxy import Spoil, all_of_the_app, batches, pass_on
from tests.browser.way import (
    BEGIN_TO_SEND,
    PLAIN_PAGE,
    Way,
    keep,
    places,
    rows,
    send,
    send_all,
    to_the,
    wait_until_sent,
)

pytestmark = [pytest.mark.browser, pytest.mark.sources]

WITHOUT_BACKGROUND_SYNC = """
delete window.SyncManager;
if (window.ServiceWorkerRegistration) delete ServiceWorkerRegistration.prototype.sync;
"""
# The longest time from a tap to the words, in milliseconds; the network below answers after 20 s or never.
SOON_MS = 2000
NO_NETWORK = [Spoil.PORTAL, Spoil.OTHER_JSON, Spoil.HANG, Spoil.RESET]


@pytest.fixture
def way(site: Site) -> Iterator[Way]:
    with to_the(site) as way:
        yield way


# From the last tap of a check to the verdict, and to the words that it is saved.
WATCH = """() => {
  const told = document.documentElement.dataset;
  addEventListener("click", ({ timeStamp }) => {
    const watch = new MutationObserver(() => {
      const since = Math.round(performance.now() - timeStamp);
      if (document.querySelector(".verdict[data-verdict]")) told.verdictMs ??= since;
      if (document.querySelector("fl-saved [data-saved]")) told.savedMs ??= since;
    });
    watch.observe(document.body, { subtree: true, childList: true, attributes: true });
  }, { capture: true });
}"""


@pytest.mark.parametrize("spoil", NO_NETWORK)
def test_a_check_is_judged_and_saved_at_once_and_never_said_to_be_on_the_server(
    browser: Browser, way: Way, spoil: Spoil
) -> None:
    account = way.account(f"Dunlin {spoil.name}")
    with way.phone(browser, account) as phone:
        until_readings(phone)
        way.proxy.use(all_of_the_app(spoil))
        phone.page.evaluate(BEGIN_TO_SEND)
        read_meter(phone)
        phone.expect_verdict("use")
        phone.expect_saved("phone")
        assert way.proxy.spoiled[spoil] >= 1
        assert way.proxy.hanging >= (spoil is Spoil.HANG)
        way.proxy.use(batches(spoil))
        phone.page.evaluate(BEGIN_TO_SEND)
        wait_for(lambda: way.proxy.batches >= 1, phone.page)
        assert places(phone.page) == {"phone"}
        assert way.entries(account) == []

        way.proxy.use(pass_on)
        assert send_all(phone.page) == 0
        phone.expect_saved("server")
        assert way.hashes(account) == {row["id"]: row["hash"] for row in rows(phone.page)}


def test_verdict_and_saving_take_no_longer_while_the_network_hangs(browser: Browser, way: Way) -> None:
    with way.phone(browser, way.account("Knot")) as phone:
        until_readings(phone)
        way.proxy.use(all_of_the_app(Spoil.HANG))
        phone.page.evaluate(BEGIN_TO_SEND)
        read_meter(phone)
        phone.expect_saved("phone")
        phone.tap("[data-back]")
        phone.expect_step("volts.n-g")
        phone.type("volts.n-g", "0.6")
        phone.page.evaluate(WATCH)
        phone.next()
        phone.expect_saved("phone")

        verdict, saved = (
            float(phone.page.locator("html").get_attribute(f"data-{what}-ms") or "nan")
            for what in ("verdict", "saved")
        )
        print(
            f"{way.proxy.hanging} requests hang: verdict after {verdict:.0f} ms, saved after {saved:.0f} ms"
        )
        assert way.proxy.hanging >= 1
        assert verdict <= SOON_MS
        assert saved <= SOON_MS


@pytest.mark.parametrize("spoil", [Spoil.HANG, Spoil.HANG_AFTER])
def test_a_server_that_never_answers_is_given_up_after_ten_seconds(
    browser: Browser, way: Way, spoil: Spoil
) -> None:
    account = way.account(f"Ruff {spoil.name}")
    with way.phone(browser, account) as phone:
        phone.page.clock.install()
        phone.open(PLAIN_PAGE)
        assert send(phone.page)["reached"] is True
        way.proxy.use(all_of_the_app(spoil))
        kept = keep(phone.page, 1)
        phone.page.evaluate(BEGIN_TO_SEND)
        wait_for(lambda: way.proxy.hanging == 1, phone.page)
        phone.page.clock.fast_forward(9000)
        assert stands(phone.page) is True
        phone.page.clock.fast_forward(1500)
        wait_for(lambda: stands(phone.page) is False, phone.page)
        assert places(phone.page) == {"phone"}

        way.proxy.use(pass_on)
        assert send_all(phone.page) == 0
    assert way.hashes(account) == kept


STANDING = 'async () => (await import("/static/js/sync/flush.js")).standing.reached'


def stands(page: Page) -> bool:
    """Say whether the page thinks that it met the server the last time."""
    reached: bool = page.evaluate(STANDING)
    return reached


def wait_for(has_come: Callable[[], bool], page: Page, tries: int = 200) -> None:
    """Wait until something has come about, while the page goes on."""
    for _ in range(tries):
        if has_come():
            return
        page.evaluate("() => new Promise(requestAnimationFrame)")
    raise AssertionError("it did not come about")


HIDDEN_AND_BACK = """() => {
  const show = (state) => {
    Object.defineProperty(document, "visibilityState", { value: state, configurable: true });
    document.dispatchEvent(new Event("visibilitychange"));
  };
  show("hidden");
  show("visible");
}"""


def reload(phone: Phone) -> None:
    phone.page.reload()


def look_again(phone: Phone) -> None:
    phone.page.evaluate("() => window.dispatchEvent(new Event('focus'))")


def bring_to_the_front(phone: Phone) -> None:
    phone.page.evaluate(HIDDEN_AND_BACK)


def network_comes_up(phone: Phone) -> None:
    phone.context.set_offline(True)
    phone.context.set_offline(False)


def half_a_minute_passes(phone: Phone) -> None:
    phone.page.clock.fast_forward(30_500)


@pytest.mark.parametrize(
    "happens", [reload, look_again, bring_to_the_front, network_comes_up, half_a_minute_passes]
)
def test_without_background_sync_everything_goes_when(
    browser: Browser, way: Way, happens: Callable[[Phone], None]
) -> None:
    account = way.account(f"Stint {happens.__name__}")
    with way.phone(browser, account, WITHOUT_BACKGROUND_SYNC) as phone:
        if happens is half_a_minute_passes:
            phone.page.clock.install()
        phone.open(PLAIN_PAGE)
        assert send(phone.page)["reached"] is True
        kept = keep(phone.page, 3)
        assert places(phone.page) == {"phone"}
        assert phone.page.evaluate("() => 'SyncManager' in window") is False
        happens(phone)

        assert wait_until_sent(phone.page) == 0
    assert way.hashes(account) == kept


def test_what_waits_goes_by_itself_when_the_server_is_back(browser: Browser, way: Way) -> None:
    account = way.account("Whimbrel")
    with way.phone(browser, account, WITHOUT_BACKGROUND_SYNC) as phone:
        phone.page.clock.install()
        way.proxy.use(all_of_the_app(Spoil.RESET))
        phone.open(PLAIN_PAGE)
        kept = keep(phone.page, 3)
        for _ in range(3):
            assert send(phone.page)["reached"] is False
        way.proxy.use(pass_on)
        phone.page.clock.fast_forward(750_000)  # the longest that it waits after many misses

        assert wait_until_sent(phone.page) == 0
        expect(phone.page.locator("fl-waiting")).to_be_hidden()
    assert way.hashes(account) == kept
