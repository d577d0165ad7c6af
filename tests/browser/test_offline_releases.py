"""A phone that runs an earlier release meets this one, and the way back."""

import hashlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, expect

from fieldlog.store.records import records_after
from tests.browser.phone import Phone, arrive_by_meter
from tests.browser.served import Server, a_phone, another_tab, kept, visit
from tests.conftest import PASSWORD
from tests.releases.pack import releases, unpack

pytestmark = pytest.mark.browser

LOOK_FOR_ONE = "() => navigator.serviceWorker.getRegistration().then((found) => found.update())"
MARK = "() => { document.documentElement.dataset.before = 'yes'; }"
ASSETS = """(paths) => Promise.all(paths.map(async (path) => {
  const answer = await fetch(path);
  const hash = new Uint8Array(await crypto.subtle.digest("SHA-256", await answer.arrayBuffer()));
  return [path, Array.from(hash, (byte) => byte.toString(16).padStart(2, "0")).join("")];
}))"""
MISSING = "async (path) => { const a = await fetch(path); return [a.status, await a.text()]; }"
# Straight from the store, whatever its version and whoever holds it.
KEPT_IDS = """() => new Promise((resolve, reject) => {
  const opening = indexedDB.open("fieldlog");
  opening.onerror = () => reject(opening.error);
  opening.onsuccess = () => {
    const asked = opening.result.transaction("records").objectStore("records").getAllKeys();
    asked.onsuccess = () => { opening.result.close(); resolve(asked.result); };
  };
})"""


@pytest.fixture
def server(tmp_path: Path) -> Iterator[Server]:
    server = Server(tmp_path)
    server.account("Robin")
    yield server
    server.close()


@pytest.fixture
def phone(browser: Browser, server: Server) -> Iterator[Phone]:
    with a_phone(browser, server) as phone:
        yield phone


@pytest.fixture(params=releases(), ids=lambda path: path.stem)
def release(request: pytest.FixtureRequest) -> Any:
    """What an earlier release answered, by address."""
    return unpack(request.param)


def version_of(release: Any) -> str:
    return str(release["/sw.js"].content.decode().split('const VERSION = "', 1)[1].split('"', 1)[0])


def begin(phone: Phone, server: Server, release: Any) -> None:
    """Run an earlier release, signed in, with its pages kept."""
    server.release = release
    phone.sign_in("Robin", PASSWORD)
    visit(phone)
    phone.page.reload()
    expect(phone.find("fl-checks")).to_be_visible()


def check_without_the_server(phone: Phone, server: Server, checks: int) -> list[str]:
    """Make checks that wait to be sent, and give their ids."""
    server.stop()
    for _ in range(checks):
        arrive_by_meter(phone)
        phone.expect_saved("phone")
        phone.open("/")
    ids: list[str] = phone.page.evaluate(KEPT_IDS)
    return ids


def bring(phone: Phone, server: Server, release: Any) -> None:
    """Put a release on the server (None is this one), and let the phone find it."""
    server.release = release
    if server._running is None:
        server.start()
    phone.page.evaluate(LOOK_FOR_ONE)
    expect(phone.find("fl-update")).to_contain_text("A newer version is ready.")


def use_it(phone: Phone) -> None:
    """Take what is offered: this page, and no other, loads again."""
    phone.page.evaluate(MARK)
    phone.tap("button[data-use]")
    expect(phone.page.locator("html:not([data-before])")).to_have_count(1)


def is_same_document(phone: Phone) -> bool:
    return phone.page.locator("html").get_attribute("data-before") == "yes"


def expect_sent(phone: Phone, server: Server, ids: list[str]) -> None:
    """Wait until all that waited is said to be on the server, and find it there."""
    phone.open("/")
    expect(phone.page.locator('.check-card [data-saved="phone"]')).to_have_count(0)
    expect(phone.page.locator('.check-card [data-saved="server"]').first).to_be_visible()
    store = server.app.extensions["fieldlog"].store
    with store.reading() as tx:
        held = {entry.record.id for entry in records_after(tx, server.accounts["Robin"], 0, 1000)}

    assert set(ids) <= held


def test_a_phone_goes_over_from_an_earlier_release_and_loses_nothing(
    phone: Phone, server: Server, release: Any
) -> None:
    begin(phone, server, release)
    ids = check_without_the_server(phone, server, 2)
    assert len(ids) >= 2
    phone.open("/arrive")
    phone.expect_step("where")
    phone.page.evaluate(MARK)
    phone.type("place.park", "Alder Bend")
    bring(phone, server, None)

    assert is_same_document(phone)
    expect(phone.find('[name="place.park"]')).to_have_value("Alder Bend")
    use_it(phone)
    expect(phone.page.locator('script[src="/static/joined/js/main.js"]')).to_have_count(1)
    phone.expect_step("where")
    expect(phone.find('[name="place.park"]')).to_have_value("Alder Bend")
    expect_sent(phone, server, ids)
    assert set(kept(phone)) == {f"fieldlog-shell-{server.version}"}


def test_a_tab_of_an_earlier_release_has_its_own_files_while_it_lives(
    phone: Phone, server: Server, release: Any
) -> None:
    begin(phone, server, release)
    phone.open("/arrive")
    phone.expect_step("where")
    phone.page.evaluate(MARK)
    phone.type("place.park", "Alder Bend")
    other = another_tab(phone)
    other.open("/")
    bring(other, server, None)
    use_it(other)
    expect(other.page.locator('script[src="/static/joined/js/main.js"]')).to_have_count(1)
    files = {path: kept.content for path, kept in release.items() if path.startswith("/static/")}

    assert is_same_document(phone)
    assert dict(phone.page.evaluate(ASSETS, sorted(files))) == {
        path: hashlib.sha256(content).hexdigest() for path, content in files.items()
    }
    for tab in (phone, other):
        assert tab.page.evaluate(MISSING, "/static/joined/no-such-file.js") == [404, ""]
    use_it(phone)
    expect(phone.find('[name="place.park"]')).to_have_value("Alder Bend")


def test_a_phone_that_goes_back_before_a_change_of_its_store_is_told_so_and_loses_nothing(
    phone: Phone, server: Server, release: Any
) -> None:
    begin(phone, server, None)
    ids = check_without_the_server(phone, server, 1)
    bring(phone, server, release)
    use_it(phone)
    expect(phone.find("fl-offline")).to_contain_text("This browser keeps nothing on this phone")
    phone.open("/")
    assert set(kept(phone)) == {f"fieldlog-shell-{version_of(release)}"}
    bring(phone, server, None)
    use_it(phone)

    expect(phone.page.locator(".check-card")).to_have_count(1)
    expect_sent(phone, server, ids)
    assert set(kept(phone)) == {f"fieldlog-shell-{server.version}"}
