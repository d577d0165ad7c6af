"""What a phone keeps outlasts a newer version, a full disk, a browser that drops it, and a kill."""

from collections.abc import Iterator
from pathlib import Path
from random import Random
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, Playwright, expect

from tests.browser.conftest import Site
from tests.browser.held import BARE, FIRST, FIRST_VERSION, HELD_ROWS, IDS, Held
from tests.browser.killed import PAUSE, killed_browser
from tests.browser.phone import Phone
from tests.browser.served import another_tab
from tests.builders import an_arrival_check
from tests.sync.test_phone_in_node import TRIAL, in_between

pytestmark = [pytest.mark.browser, pytest.mark.sources]

# Keeps the transaction of an upgrade open, so that a kill surely falls into it.
LINGER = """() => {
  const real = IDBDatabase.prototype.createObjectStore;
  IDBDatabase.prototype.createObjectStore = function (...given) {
    const store = real.apply(this, given);
    const again = () => { store.count().onsuccess = again; };
    again();
    console.log("upgrading");
    return store;
  };
}"""

# Drops the connection at the n-th transaction from now, `times` in a row, as a browser that lost its store.
DROP = """({ nth, times }) => {
  const real = window.realTransaction ??= IDBDatabase.prototype.transaction;
  let count = 0;
  IDBDatabase.prototype.transaction = function (...given) {
    count += 1;
    if (count >= nth && count < nth + times) {
      throw new DOMException("Connection to Indexed Database server lost.", "UnknownError");
    }
    return real.apply(this, given);
  };
}"""

# Ends the n-th transaction from now after its work was done and before it has completed.
CUT = """(nth) => {
  const real = window.realTransaction ??= IDBDatabase.prototype.transaction;
  let count = 0;
  IDBDatabase.prototype.transaction = function (...given) {
    const transaction = real.apply(this, given);
    count += 1;
    if (count === nth) queueMicrotask(() => transaction.abort());
    return transaction;
  };
}"""


@pytest.fixture
def page(browser: Browser, site: Site) -> Iterator[Page]:
    context = browser.new_context(service_workers="block")
    page = context.new_page()
    problems: list[str] = []
    page.on("pageerror", lambda error: problems.append(str(error)))
    yield page
    context.close()
    assert problems == []


def an_old_page(page: Page, site: Site, *, makes_way: bool = True) -> Page:
    """Hold the first version's store open in a page of its own."""
    old = page.context.new_page()
    old.goto(site.address + BARE)
    assert old.evaluate(FIRST_VERSION, {"rows": FIRST, "makesWay": makes_way}) == 1
    return old


def test_every_row_of_the_first_version_is_there_unchanged_and_goes_to_the_server(
    page: Page, site: Site
) -> None:
    kestrel = site.account("Kestrel")
    an_old_page(page, site).close()
    held = Held(page, site)
    rows = {row["id"]: row for row in FIRST["records"]}
    assert held.ask("return db.transact('records', 'readonly', (rows) => rows.getAll());") == [
        rows[identity] for identity in sorted(rows)
    ]
    for store in ("drafts", "remembered", "kept"):
        for key, value in FIRST[store].items():
            assert held.ask("return db.get(...given);", [store, key]) == value
    assert held.ask("return queue.lockedCounts();") == [{"account": "Robin", "count": 1}]
    assert len(held.ask("return queue.unsentRows();")) == 5

    site.hand_in(kestrel, FIRST["records"][0]["record"])
    held.sign_in(kestrel)
    held.sync()
    assert held.saved() == {"server": 5, "refused": 1}
    there = {entry["record"]["id"] for entry in site.records(kestrel)}
    assert there == {row["id"] for row in FIRST["records"] if row["account"] != "Robin"} - {
        row["id"] for row in FIRST["records"] if row["saved"] == "refused"
    }


def test_an_open_page_of_the_first_version_makes_way(page: Page, site: Site) -> None:
    an_old_page(page, site)
    held = Held(page, site)
    held.keep(an_arrival_check())

    found = page.evaluate(HELD_ROWS)
    assert (found["version"], len(found["rows"])) == (2, len(IDS) + 1)


def test_a_page_that_does_not_make_way_is_named_within_three_seconds(page: Page, site: Site) -> None:
    old = an_old_page(page, site, makes_way=False)
    held = Held(page, site)
    trial = """const began = performance.now();
    try { await queue.keep(given); return ["kept"]; }
    catch (error) { return [error.message, performance.now() - began]; }"""
    for _ in range(2):
        sentence, took_ms = held.ask(trial, an_arrival_check())
        assert "Another page of this site is open in an older version; close it" in sentence
        assert took_ms < 3000
    old.close()

    assert held.ask(trial, an_arrival_check()) == ["kept"]
    assert len(page.evaluate(HELD_ROWS)["rows"]) == len(IDS) + 1


def test_a_page_makes_way_for_a_newer_version_and_says_what_to_do(page: Page, site: Site) -> None:
    held = Held(page, site)
    held.keep(an_arrival_check())
    newer = """() => Promise.race([
      new Promise((done) => { indexedDB.open("fieldlog", 9).onsuccess = () => done("open"); }),
      new Promise((done) => setTimeout(done, 4000, "still waiting")),
    ])"""
    assert page.evaluate(newer) == "open"
    sentence = held.ask("return queue.keep(given).catch(({ message }) => message);", an_arrival_check())

    assert "All of it is still there. Load this page again" in sentence


def test_what_is_typed_after_another_page_brought_a_newer_store_is_there_when_the_page_is_loaded_again(
    phone: Phone,
) -> None:
    phone.open("/arrive")
    phone.expect_step("where")
    phone.type("place.park", "Alder")
    other = another_tab(phone)
    other.open("/sign-in")
    other.page.evaluate("() => void indexedDB.open('fieldlog', 9)")
    phone.type("place.park", "Alder Bend")
    expect(phone.find("[data-part=not-kept]")).to_be_visible()
    # A tab that dies is told of it by nobody: what it holds must be there before.
    held = phone.page.evaluate("() => Object.values(sessionStorage).join()")
    phone.page.reload()
    phone.expect_step("where")
    phone.errors.clear()  # each refusal of the store is told in the console

    assert "Alder Bend" in held
    expect(phone.find('[name="place.park"]')).to_have_value("Alder Bend")


KEEP_EACH = """const answers = [];
for (const record of given) answers.push(await queue.keep(record).then(() => "kept", ({ name }) => name));
return answers;"""


@pytest.mark.parametrize("way", [DROP, CUT], ids=["lost", "ended before it completed"])
def test_a_store_that_is_lost_at_any_moment_is_opened_again_and_no_save_is_made_up(
    page: Page, site: Site, way: str
) -> None:
    held = Held(page, site)
    ids = []
    for nth in range(1, 31):
        checks = [an_arrival_check() for _ in range(1 + nth // 3)]
        page.evaluate(way, {"nth": nth, "times": 1} if way is DROP else nth)
        answers = held.ask(KEEP_EACH, checks)
        ids += [check["id"] for check, answer in zip(checks, answers, strict=True) if answer == "kept"]
        if way is DROP:
            assert set(answers) == {"kept"}, nth

    assert {row["id"] for row in page.evaluate(HELD_ROWS)["rows"]} >= set(ids)
    assert len(ids) >= 150


@in_between
def test_a_transaction_takes_nothing_more_once_it_waited_for_anything_else(
    page: Page, site: Site, work: str, comes_of_it: str
) -> None:
    assert Held(page, site).ask(TRIAL % work) == comes_of_it


def test_a_store_that_stays_lost_is_said_not_to_have_saved(page: Page, site: Site) -> None:
    held = Held(page, site)
    first, second = an_arrival_check(), an_arrival_check()
    held.keep(first)
    page.evaluate(DROP, {"nth": 1, "times": 1000})  # the page reads its rows meanwhile as well
    assert held.ask(KEEP_EACH, [second]) == ["UnknownError"]
    page.evaluate(DROP, {"nth": 1, "times": 0})
    assert [row["id"] for row in page.evaluate(HELD_ROWS)["rows"]] == [first["id"]]
    held.keep(second)

    assert len(page.evaluate(HELD_ROWS)["rows"]) == 2


def test_where_the_phone_is_full_a_reading_is_kept_or_said_not_to_be(page: Page, site: Site) -> None:
    held = Held(page, site)
    session = page.context.new_cdp_session(page)
    session.send("Storage.overrideQuotaForOrigin", {"origin": site.address, "quotaSize": 200_000})
    chance = Random(1)
    checks = [an_arrival_check(reason=chance.randbytes(2000).hex()) for _ in range(100)]
    answers = held.ask(KEEP_EACH, checks)
    kept = [check["id"] for check, answer in zip(checks, answers, strict=True) if answer == "kept"]
    session.send("Storage.overrideQuotaForOrigin", {"origin": site.address})
    page.reload()

    assert set(answers) == {"kept", "QuotaExceededError"}
    assert [row["id"] for row in page.evaluate(HELD_ROWS)["rows"]] == sorted(kept)


def test_the_browser_is_asked_once_to_keep_the_store(page: Page, site: Site) -> None:
    page.add_init_script(
        """window.asked = 0;
        window.wasAsked = new Promise((tell) => {
          StorageManager.prototype.persist = async () => { window.asked += 1; tell(); return false; };
        });"""
    )
    held = Held(page, site)
    assert page.evaluate("asked") == 0
    held.keep(an_arrival_check(), an_arrival_check())
    page.evaluate("wasAsked")
    assert page.evaluate("asked") == 1
    page.reload()
    held.keep(an_arrival_check())

    held.keep(an_arrival_check())
    assert page.evaluate("asked") == 0


def killed_while_upgrading(
    playwright: Playwright, site: Site, profile: Path, after_s: float | None
) -> tuple[int, dict[str, Any]]:
    """Kill a browser in an upgrade, or so long after its start; give what is there: version and rows."""
    start = "() => void import('/static/js/outbox/queue.js').then((queue) => queue.allRows())"
    with killed_browser(playwright, profile, site.address) as browser:
        browser.phone.open(BARE)
        browser.phone.page.evaluate(FIRST_VERSION, {"rows": FIRST, "makesWay": True})
        browser.close()
        browser.open()
        browser.phone.open(BARE)
        if after_s is None:
            browser.phone.page.evaluate(LINGER)
            with browser.phone.page.expect_console_message(lambda said: said.text == "upgrading"):
                browser.phone.page.evaluate(start)
        else:
            browser.phone.page.evaluate(start)
            PAUSE.wait(after_s)
        browser.kill()
        browser.open()
        browser.phone.open(BARE)
        found = browser.phone.page.evaluate(HELD_ROWS)
        assert ("photos" in found["names"]) == (found["version"] == 2)
        held = Held(browser.phone.page, site)
        assert len(held.ask("return queue.allRows();")) == len(IDS) - 1  # one is another account's
    return found["version"], {row["id"]: row for row in found["rows"]}


def test_a_browser_killed_in_the_middle_of_the_upgrade_leaves_the_old_store_whole(
    playwright: Playwright, site: Site, tmp_path: Path
) -> None:
    version, rows = killed_while_upgrading(playwright, site, tmp_path, None)

    assert (version, rows) == (1, {row["id"]: row for row in FIRST["records"]})


@pytest.mark.faults
@pytest.mark.parametrize("number", range(30))
def test_a_browser_killed_at_any_moment_of_the_upgrade_leaves_the_old_store_or_the_new(
    playwright: Playwright, site: Site, tmp_path: Path, number: int
) -> None:
    after_s = Random(number).uniform(0, 0.08) if number % 3 else None
    version, rows = killed_while_upgrading(playwright, site, tmp_path, after_s)

    assert version in (1, 2)
    assert rows == {row["id"]: row for row in FIRST["records"]}
    print(f"seed {number}: killed {after_s} s after the start: version {version}")
