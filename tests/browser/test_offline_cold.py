"""Every field page from nothing, with the server dead, after one visit."""

from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from tests.browser.phone import Phone, arrive_by_meter, prove_earth
from tests.browser.served import Server, a_phone, another_tab, kept, visit
from tests.builders import an_id
from tests.conftest import PASSWORD

pytestmark = [pytest.mark.browser, pytest.mark.whole]


@pytest.fixture
def phone(browser: Browser, server: Server) -> Iterator[Phone]:
    with a_phone(browser, server) as phone:
        yield phone
    server.portal = ()
    if server._running is None:
        server.start()


def cold(phone: Phone, server: Server) -> Phone:
    """Close the only page, stop the server, and hold the phone again."""
    phone.page.close()
    server.stop()
    return another_tab(phone)


# A field page, and what it shows once its script has run.
SIGNS = {
    "/sign-out": "fl-sign-out a[href='/sign-in']",  # first: later it offers to keep the forms that were begun
    "/": "a[data-use=arrive]",
    "/arrive": 'form[data-step="where"]',
    "/phone": "fl-files [data-save=all]",
    "/phone/try": "fl-trial li [data-open=store]",
    "/round": "fl-round a[href='/rigs']",
    "/sites": "fl-sites .empty",
    f"/checks/{an_id()}": "fl-past-check .empty",
    f"/outlets/{an_id()}": 'form[data-step="outlet"]',
    "/grounds": "fl-proofs a[href='/rigs']",
    "/changes/new": "fl-new-change a[href='/rigs']",
    f"/changes/{an_id()}": "fl-proofs .notice",
}


def test_every_field_page_opens_from_nothing_after_one_visit(phone: Phone, server: Server) -> None:
    visit(phone)
    for path, sign in SIGNS.items():
        phone = cold(phone, server)
        phone.open(path)

        expect(phone.find(sign), path).to_be_visible()
        color = phone.page.locator(".bar").evaluate("(bar) => getComputedStyle(bar).borderBottomStyle")
        assert color == "solid", path


def test_a_whole_check_is_made_and_opened_again_without_the_server(phone: Phone, server: Server) -> None:
    visit(phone)
    phone = cold(phone, server)
    arrive_by_meter(phone)
    phone.expect_verdict("use")
    phone.expect_saved("phone")
    phone.next()
    prove_earth(phone)
    phone.type("skin.volts", "0.2")
    phone.next()
    phone.type("inside", "120.9")
    phone.next()
    phone.expect_saved("phone")
    phone.tap("a[data-finish]")
    phone.tap(".check-card")

    phone.expect_verdict("use")
    expect(phone.find("[data-correct]")).to_be_visible()


def test_a_page_that_only_the_server_makes_says_so_and_leads_back(phone: Phone, server: Server) -> None:
    visit(phone)
    phone = cold(phone, server)
    phone.open("/history?page=2")

    expect(phone.find("h1")).to_have_text("No way to the server now")
    expect(phone.find("[data-part=page]")).to_have_text("The history")
    server.start()
    phone.tap("[data-part=again]")
    expect(phone.find("h1")).to_have_text("Sign in")
    assert "history" in phone.page.url


def test_the_pages_that_are_kept_hold_nobodys_data(phone: Phone, server: Server) -> None:
    server.account("Robin")
    phone.sign_in("Robin", PASSWORD)
    visit(phone)
    holding = phone.page.evaluate(
        """async () => {
          const texts = [];
          for (const name of await caches.keys()) {
            const cache = await caches.open(name);
            for (const request of await cache.keys()) {
              const answer = await cache.match(request);
              const cookie = answer.headers.get("Set-Cookie");
              texts.push([new URL(request.url).pathname, await answer.text(), cookie]);
            }
          }
          return texts;
        }"""
    )
    pages = {path: text for path, text, _ in holding}
    nobody = server.app.test_client()

    assert {"/", "/arrive", "/checks/shell", "/outlets/shell", "/offline"} <= set(pages)
    assert [path for path, text, cookie in holding if "Robin" in text or "csrf" in text or cookie] == []
    for path in ("/", "/arrive", "/checks/shell", "/outlets/shell"):
        assert pages[path] == nobody.get(path).text


def test_what_one_person_opened_is_not_shown_to_the_next(phone: Phone, server: Server) -> None:
    server.account("Kim")
    phone.sign_in("Kim", PASSWORD)
    visit(phone)
    phone.open("/history")
    expect(phone.find("h1")).to_contain_text("History")
    phone = cold(phone, server)
    phone.open("/history")

    expect(phone.find("h1")).to_have_text("No way to the server now")


def test_a_missing_asset_is_not_there_and_no_page(phone: Phone, server: Server) -> None:
    visit(phone)
    phone.open("/")
    asked = "async (path) => { const a = await fetch(path); return [a.status, await a.text()]; }"

    assert phone.page.evaluate(asked, "/static/joined/no-such-file.js") == [404, ""]
    server.portal = ("/",)
    assert phone.page.evaluate(asked, "/static/joined/no-such-file.js") == [404, ""]
    status, text = phone.page.evaluate(asked, "/static/joined/js/main.js")
    assert status == 200 and "fl-session" in text


def test_a_captive_portal_gets_nothing_into_a_cache(phone: Phone, server: Server) -> None:
    phone.open("/static/icons/sign.svg")  # no page of ours, so nothing is kept yet
    for taken in ("/", "/static/joined/", "/rulebook.json", "/arrive"):
        server.portal = (taken,)
        phone.page.evaluate(
            """async () => {
              const registration = await navigator.serviceWorker.register("/sw.js").catch(() => null);
              const worker = registration?.installing;
              if (worker) await new Promise((ended) => worker.addEventListener("statechange", ended));
            }"""
        )
        assert kept(phone) == {}, taken

    server.portal = ()
    visit(phone)
    assert kept(phone)[f"fieldlog-shell-{server.version}"] >= len(server.contents())


def test_at_the_first_visit_nothing_is_sent_twice(phone: Phone, server: Server) -> None:
    files = [path for path in server.contents() if path.startswith("/static/") or path.endswith(".json")]
    server.sent.clear()
    visit(phone)
    sent = Counter(server.sent)

    assert {path: sent[path] for path in files} == dict.fromkeys(files, 1)


def test_a_browsers_copy_that_was_changed_on_the_way_is_not_kept(phone: Phone, server: Server) -> None:
    server.spoiled = "/static/shapes.svg"
    phone.open("/static/shapes.svg")
    server.spoiled = None
    visit(phone)

    assert kept(phone)[f"fieldlog-shell-{server.version}"] >= len(server.contents())
    server.stop()
    shown = phone.page.evaluate("async () => (await fetch('/static/shapes.svg')).text()")
    assert shown == (server.static / "shapes.svg").read_text()


def test_a_captive_portal_after_the_visit_changes_no_field_page(phone: Phone, server: Server) -> None:
    visit(phone)
    before = kept(phone)
    server.portal = ("/",)
    arrive_by_meter(phone)

    phone.expect_verdict("use")
    phone.expect_saved("phone")
    assert kept(phone) == before


def test_the_rules_come_from_the_server_while_it_answers_and_else_from_the_phone(
    phone: Phone, server: Server
) -> None:
    visit(phone)
    phone.open("/")
    asked = "async () => (await (await fetch('/rulebook.json')).json()).id"
    server.asked.clear()
    online = phone.page.evaluate(asked)
    assert "/rulebook.json" in server.asked
    server.stop()

    assert phone.page.evaluate(asked) == online


def test_without_the_browsers_own_sync_everything_still_opens(browser: Browser, server: Server) -> None:
    with a_phone(browser, server) as phone:
        phone.context.add_init_script("delete window.SyncManager; delete window.PeriodicSyncManager;")
        visit(phone)
        server.stop()
        phone.open("/arrive")

        phone.expect_step("where")
    server.start()


def test_pictures_of_what_is_seen_without_the_server(phone: Phone, server: Server, pictures: Path) -> None:
    visit(phone)
    server.stop()
    for name, path in (("unreached", "/rigs"), ("home", "/"), ("arrive", "/arrive")):
        phone.open(path)
        phone.find("h1").first.wait_for()
        phone.page.screenshot(path=pictures / f"offline-{name}-light.png")
        phone.page.emulate_media(color_scheme="dark")
        phone.page.screenshot(path=pictures / f"offline-{name}-dark.png")
        phone.page.emulate_media(color_scheme="light")
        wide = phone.page.evaluate("() => document.documentElement.scrollWidth - screen.width")
        assert wide <= 0, name
    print(f"pictures: {pictures}")
