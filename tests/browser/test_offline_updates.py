"""A newer version is offered and never forced; what an open page needs stays; the kill switch."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from tests.browser.phone import Phone, arrive_by_meter
from tests.browser.served import Server, a_phone, another_tab, kept, visit

pytestmark = pytest.mark.browser

LOOK_FOR_ONE = "() => navigator.serviceWorker.getRegistration().then((found) => found.update())"
SOURCE = "async (path) => { const a = await fetch(path); return `${a.status} ${await a.text()}`; }"
NEWER = "\nglobalThis.build = 'newer';\n"
BUILD = "() => globalThis.build"
SCRIPT = "/static/joined/js/main.js"
SHEET = "/static/joined/css/main.css"
MARK = "() => { document.documentElement.dataset.before = 'yes'; }"


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Server]:
    server = Server(tmp_path)
    yield server
    server.close()


@pytest.fixture
def phone(browser: Browser, server: Server) -> Iterator[Phone]:
    with a_phone(browser, server) as phone:
        yield phone


def deploy(phone: Phone, server: Server, to_sheet: str = "", **changed: str) -> tuple[str, str]:
    """Put a newer build on the server, let the phone find it, and give both caches' names."""
    before = server.version
    if changed:
        server.build(**changed)
    else:
        server.append(NEWER, to_sheet)
    phone.page.evaluate(LOOK_FOR_ONE)
    expect(phone.find("fl-update")).to_contain_text("A newer version is ready.")
    return f"fieldlog-shell-{before}", f"fieldlog-shell-{server.version}"


def a_sheet(build: str) -> str:
    """Give a line of style, as it stands once the sheets are joined as well."""
    return f"\n:root {{ --build: {build}; }}\n"


def is_same_document(phone: Phone) -> bool:
    return phone.page.locator("html").get_attribute("data-before") == "yes"


def test_a_newer_version_is_offered_and_a_half_filled_form_stays(phone: Phone, server: Server) -> None:
    visit(phone, "/arrive")
    phone.expect_step("where")
    phone.page.evaluate(MARK)
    phone.type("place.park", "Alder B")
    old, new = deploy(phone, server)
    phone.tap("[data-close]")
    phone.page.locator('[name="place.park"]').press_sequentially("end")
    phone.next()
    phone.expect_step("outlet")

    assert is_same_document(phone)
    assert set(kept(phone)) == {old, new}
    assert "globalThis.build" not in phone.page.evaluate(SOURCE, SCRIPT)


def test_the_newer_version_is_used_on_a_tap_and_what_was_typed_is_still_there(
    phone: Phone, server: Server
) -> None:
    visit(phone, "/arrive")
    phone.expect_step("where")
    phone.page.evaluate(MARK)
    _, new = deploy(phone, server)
    phone.page.locator('[name="place.park"]').press_sequentially("Alder Bend")
    server.stop()  # all of it is on the phone already
    phone.tap("button[data-use]")

    expect(phone.page.locator("html:not([data-before])")).to_have_count(1)
    phone.expect_step("where")
    expect(phone.find('[name="place.park"]')).to_have_value("Alder Bend")
    assert phone.page.evaluate(BUILD) == "newer"
    phone.open("/")
    expect(phone.find("h1")).to_have_text("Is this outlet wired right?")
    assert set(kept(phone)) == {new}


def test_typing_that_nothing_keeps_is_not_lost_to_a_newer_version(phone: Phone, server: Server) -> None:
    visit(phone)
    phone.open("/sign-in")
    phone.page.evaluate(MARK)
    phone.type("name", "Robin")
    deploy(phone, server)
    phone.tap("button[data-use]")

    expect(phone.find("fl-update")).to_contain_text("What you typed here would be lost.")
    expect(phone.find("[name=name]")).to_have_value("Robin")
    assert is_same_document(phone)


def test_an_old_tab_goes_on_with_its_own_files_after_another_took_the_newer(
    phone: Phone, server: Server
) -> None:
    later = "\nglobalThis.later = async () => ({ ...(await import('./lazy.js')) }).version;\n"
    alone = f"export const filling = '{'x' * 6000}';\n"  # a small one is put together with others
    server.build(js__main_js=later, js__lazy_js=f"export const version = 1;\n{alone}")
    (lazy,) = (address for address, content in server.contents().items() if b"x" * 6000 in content)
    visit(phone, "/arrive")
    phone.page.reload()
    phone.expect_step("where")
    phone.page.evaluate(MARK)
    phone.type("place.park", "Alder Bend")
    other = another_tab(phone)
    other.open("/")
    expect(other.find("h1")).to_have_text("Is this outlet wired right?")
    old, new = deploy(
        other, server, js__lazy_js="export const build = 'newer';\n", css__base_css=a_sheet("newer")
    )
    other.tap("button[data-use]")
    expect(other.find("fl-update")).to_have_count(0)
    expect(other.find("h1")).to_have_text("Is this outlet wired right?")

    assert is_same_document(phone)
    expect(phone.find("fl-update")).to_contain_text("A newer version is ready.")
    assert phone.page.evaluate("() => globalThis.later()") == 1
    assert "--build: newer" not in phone.page.evaluate(SOURCE, SHEET)
    assert "--build: newer" in other.page.evaluate(SOURCE, SHEET)
    assert other.page.evaluate(SOURCE, lazy) == "404 "
    assert set(kept(phone)) == {old, new}

    phone.tap("button[data-use]")  # another tab took it already: this one is only loaded again
    expect(phone.page.locator("html:not([data-before])")).to_have_count(1)
    expect(phone.find('[name="place.park"]')).to_have_value("Alder Bend")
    phone.open("/")
    expect(phone.find("h1")).to_have_text("Is this outlet wired right?")
    assert set(kept(phone)) == {new}


def test_a_second_newer_version_keeps_each_tab_on_its_own(phone: Phone, server: Server) -> None:
    visit(phone)
    phone.page.reload()
    first = server.version
    tabs = [phone]
    for mark in ("two", "three"):
        tab = another_tab(phone)
        tab.open("/")
        expect(tab.find("h1")).to_have_text("Is this outlet wired right?")
        deploy(tab, server, to_sheet=a_sheet(mark))
        tab.page.evaluate(MARK)
        tab.tap("button[data-use]")
        expect(tab.page.locator("html:not([data-before])")).to_have_count(1)
        expect(tab.find("h1")).to_have_text("Is this outlet wired right?")
        tabs.append(tab)
    sheets = [tab.page.evaluate(SOURCE, SHEET) for tab in tabs]

    assert ["--build: two" in sheet for sheet in sheets] == [False, True, True]
    assert ["--build: three" in sheet for sheet in sheets] == [False, False, True]
    assert f"fieldlog-shell-{first}" in kept(phone) and len(kept(phone)) == 3


def test_the_newer_version_comes_by_itself_once_every_page_is_closed(phone: Phone, server: Server) -> None:
    visit(phone)
    phone.page.reload()
    _, new = deploy(phone, server)
    keeper = phone.context.new_page()
    phone.page.close()
    server.stop()
    again = Phone(phone.context, server.address)
    again.open("/arrive")
    again.expect_step("where")

    assert again.page.evaluate(BUILD) == "newer"
    assert set(kept(again)) == {new}
    keeper.close()


def test_files_of_two_versions_are_never_mixed(phone: Phone, server: Server) -> None:
    visit(phone)
    phone.page.reload()
    before = kept(phone)
    server.append(to_sheet=a_sheet("newer"))
    sheet = server.static / "joined" / "css" / "main.css"
    sheet.write_text(sheet.read_text() + "\n/* changed while it was fetched */\n")
    phone.page.evaluate(
        """async () => {
          const registration = await navigator.serviceWorker.getRegistration();
          const found = new Promise((found) => registration.addEventListener("updatefound", found));
          registration.update();
          await found;
          const worker = registration.installing;
          while (worker.state === "installing") {
            await new Promise((ended) => worker.addEventListener("statechange", ended, { once: true }));
          }
        }"""
    )

    assert kept(phone) == before
    server.stop()
    arrive_by_meter(phone)
    phone.expect_verdict("use")


def test_a_page_without_a_worker_goes_on_when_the_first_one_comes(browser: Browser, server: Server) -> None:
    with a_phone(browser, server) as phone:
        phone.open("/arrive")  # the first visit: the page is older than the worker
        phone.expect_step("where")
        phone.page.evaluate(MARK)
        phone.type("place.park", "Alder Bend")
        phone.page.evaluate("() => navigator.serviceWorker.ready.then(() => null)")

        expect(phone.find("fl-update")).to_have_count(0)
        assert is_same_document(phone)
        expect(phone.find('[name="place.park"]')).to_have_value("Alder Bend")


def test_switched_off_it_takes_away_what_it_kept_and_leaves_the_records(phone: Phone, server: Server) -> None:
    visit(phone)
    arrive_by_meter(phone)
    phone.expect_saved("phone")
    phone.page.evaluate(MARK)
    phone.page.evaluate("() => caches.open('somebody-elses')")
    server.switch_offline_off()
    phone.page.evaluate(
        """async () => {
          const registration = await navigator.serviceWorker.getRegistration();
          registration.update();
          while (await navigator.serviceWorker.getRegistration()) await new Promise(requestAnimationFrame);
        }"""
    )

    assert kept(phone) == {"somebody-elses": 0}
    assert is_same_document(phone)
    phone.open("/")
    expect(phone.find(".check-card")).to_have_count(1)
    assert set(kept(phone)) == {"somebody-elses"}


def test_pictures_of_the_offer(phone: Phone, server: Server, pictures: Path) -> None:
    visit(phone)
    phone.page.reload()
    deploy(phone, server)
    for path, name in (("/", "home"), ("/arrive", "arrive")):
        phone.open(path)
        expect(phone.find("fl-update")).to_be_visible()
        height = phone.find("fl-update").evaluate("(bar) => bar.getBoundingClientRect().height")
        boxes = phone.page.locator("fl-update button").evaluate_all(
            "(all) => all.map((each) => Math.min(each.offsetHeight, each.offsetWidth))"
        )
        phone.page.screenshot(path=pictures / f"update-{name}-light.png")
        phone.page.emulate_media(color_scheme="dark")
        phone.page.screenshot(path=pictures / f"update-{name}-dark.png")
        phone.page.emulate_media(color_scheme="light")

        assert height <= 60 and min(boxes) >= 48
    print(f"pictures: {pictures}")
