"""Several pages of one phone send at once; two phones correct the same record: all is kept, nothing twice."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, expect

from tests.browser.conftest import Site
from tests.browser.phone import Phone
from tests.browser.proxy import Spoil, all_of_the_app, pass_on
from tests.browser.served import another_tab
from tests.browser.way import (
    BEGIN_TO_SEND,
    PLAIN_PAGE,
    Sizes,
    Way,
    hashes_on,
    in_both_sizes,
    keep,
    places,
    send,
    to_the,
    wait_until_sent,
)
from tests.builders import an_arrival_check

pytestmark = [pytest.mark.browser, pytest.mark.sources]

TABS = 4
WITHOUT_LOCKS = "Object.defineProperty(Navigator.prototype, 'locks', { value: undefined });"


@pytest.fixture
def way(site: Site) -> Iterator[Way]:
    with to_the(site) as way:
        yield way


@in_both_sizes
@pytest.mark.parametrize("script", ["", WITHOUT_LOCKS], ids=["with locks", "without locks"])
def test_tabs_that_send_at_once_double_nothing(browser: Browser, way: Way, script: str, sizes: Sizes) -> None:
    for run in range(sizes.tab_runs):
        account = way.account(f"Plover {bool(script)} {sizes.tab_runs} {run}")
        with way.phone(browser, account, script) as phone:
            kept = send_from_all_tabs(phone, way, sizes.tab_records)
            assert phone.page.evaluate("() => Boolean(navigator.locks)") is not bool(script)
            assert hashes_on(phone.page) == kept
            assert places(phone.page) == {"server"}
        assert way.hashes(account) == kept
        assert len(kept) == TABS * (sizes.tab_records + 2)
    print(f"no seed: {sizes.tab_runs} runs of {len(kept)} records from {TABS} tabs")


def send_from_all_tabs(phone: Phone, way: Way, count: int) -> dict[str, str]:
    """Keep so many in each of some tabs, and two more while the others send; give the hash of each by id."""
    kept = dict[str, str]()
    tabs = [phone, *(another_tab(phone) for _ in range(TABS - 1))]
    for tab in tabs:
        tab.open(PLAIN_PAGE)
    way.proxy.use(all_of_the_app(Spoil.RESET))
    for tab in tabs:
        kept |= keep(tab.page, count)
    way.proxy.use(pass_on)
    for tab in tabs:
        tab.page.evaluate(BEGIN_TO_SEND)
    for tab in tabs:
        kept |= keep(tab.page, 2)
        tab.page.evaluate(BEGIN_TO_SEND)
    assert [wait_until_sent(tab.page, 20) for tab in tabs] == [0] * TABS
    assert [tab.errors for tab in tabs] == [offline_errors(tab) for tab in tabs]
    return kept


def offline_errors(tab: Phone) -> list[str]:
    """Give the errors of a page that come from the line that was cut."""
    return [error for error in tab.errors if "net::ERR_" in error]


def correct(phone: Phone, volts: str, reason: str) -> None:
    """Correct the check on screen."""
    phone.tap("[data-correct]")
    for name in ("volts.h-n", "volts.h-g"):
        phone.type(name, volts)
    phone.type("reason", reason)
    phone.tap("text=Keep the correction")
    expect(phone.find(f"text={reason}").first).to_be_visible()


def test_corrections_on_two_phones_without_network_are_both_kept_and_both_shown(
    browser: Browser, way: Way, site: Site
) -> None:
    account = way.account("Godwit")
    check = an_arrival_check()
    check["body"]["judgement"]["rulebook"] = site.parts.rulebook.id
    site.hand_in(account, check)
    with way.phone(browser, account) as one, way.phone(browser, account) as other:
        for phone in (one, other):
            phone.open(f"/checks/{check['id']}")
            phone.find("[data-correct]").wait_for()
            phone.context.set_offline(True)
        correct(one, "117", "Read the wrong line")
        correct(other, "119", "The meter was on the wrong range")
        for phone in (one, other, one):
            phone.context.set_offline(False)
            assert send(phone.page)["problem"] is None
            assert wait_until_sent(phone.page) == 0

        entries = [entry["record"] for entry in way.entries(account)]
        assert [record["corrects"] for record in entries] == [None, check["id"], check["id"]]
        assert {record["body"]["check"]["volts"]["h-n"] for record in entries[1:]} == {"117 V", "119 V"}
        hashes = way.hashes(account)
        for phone in (one, other):
            assert hashes_on(phone.page) == hashes
            phone.open("/")
            expect(phone.find(".check-card")).to_have_count(1)
            expect(phone.find(".check-card")).to_contain_text("Corrected twice, on two phones")
            phone.tap(".check-card")
            expect(phone.find("main")).to_contain_text("Corrected twice, on two phones")
            for told in ("Read the wrong line", "The meter was on the wrong range", "117 V", "119 V"):
                expect(phone.find("main")).to_contain_text(told)
