"""Browsers that keep nothing get an honest sentence, and whatever can still work does."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, expect

from tests.browser.phone import Phone, arrive_by_meter
from tests.browser.served import Server, a_phone, visit

pytestmark = pytest.mark.browser

WITHOUT_WORKER = "delete Navigator.prototype.serviceWorker;"
WITHOUT_STORE = "Object.defineProperty(window, 'indexedDB', { value: undefined });"
STORE_REFUSED = "IDBFactory.prototype.open = () => { throw new DOMException('no', 'SecurityError'); };"


@pytest.fixture
def phone(browser: Browser, server: Server) -> Iterator[Phone]:
    with a_phone(browser, server) as phone:
        yield phone


def test_a_browser_without_a_worker_is_told_what_will_not_work(phone: Phone) -> None:
    phone.context.add_init_script(WITHOUT_WORKER)
    phone.open("/")
    expect(phone.find("fl-offline")).to_contain_text("This browser keeps no pages")
    expect(phone.find("fl-offline")).to_contain_text("opening one needs it")

    arrive_by_meter(phone)
    phone.expect_verdict("use")
    phone.expect_saved("phone")
    expect(phone.find("fl-offline")).to_have_count(0)


@pytest.mark.parametrize("without", [WITHOUT_STORE, STORE_REFUSED])
def test_a_browser_without_a_store_is_told_that_nothing_stays(phone: Phone, without: str) -> None:
    phone.context.add_init_script(without)
    phone.open("/")

    expect(phone.find("fl-offline")).to_contain_text("This browser keeps nothing on this phone")
    expect(phone.find("fl-offline")).to_contain_text("write down what you read")
    phone.open("/arrive")
    phone.expect_step("where")


def test_where_the_pages_could_not_be_kept_the_phone_says_so(phone: Phone, server: Server) -> None:
    server.portal = ("/static/js/outbox/saved.js.no", "/rulebook.json")
    phone.open("/")

    expect(phone.find("fl-offline")).to_contain_text("The pages are not kept on this phone yet")
    server.portal = ()
    visit(phone)
    expect(phone.find("fl-offline")).to_have_count(0)


def test_a_browser_that_keeps_everything_is_told_nothing(phone: Phone) -> None:
    visit(phone)

    expect(phone.find("fl-offline")).to_have_count(0)
    expect(phone.find("fl-update")).to_have_count(0)


def test_without_script_the_page_says_what_that_means(browser: Browser, server: Server) -> None:
    with a_phone(browser, server, java_script_enabled=False) as phone:
        phone.open("/")

        expect(phone.find("footer noscript p")).to_contain_text(
            "Without script nothing is kept on this phone"
        )
