"""The rulebook is opened once the first screen is seen; what asks the engine before that waits for it."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Route, expect

from tests.browser.phone import Phone

pytestmark = pytest.mark.browser

RULEBOOK = "**/rulebook.json"
NEXT = "button[data-next]"
# What the page does to its store, and whether its first screen was there by then.
WATCH = """(() => {
  globalThis.done = [];
  for (const act of ["get", "put"]) {
    const before = IDBObjectStore.prototype[act];
    IDBObjectStore.prototype[act] = function (...given) {
      const shown = document.querySelector("form[data-step]:not([hidden])") ? "seen" : "not seen";
      globalThis.done.push([`${act} ${this.name}/${act === "get" ? given[0] : given[1]}`, shown]);
      return before.apply(this, given);
    };
  }
})()"""


@pytest.fixture
def held(phone: Phone) -> Iterator[list[Route]]:
    """A phone at what was seen, whose rulebook is on its way; the routes that hold it up."""
    routes: list[Route] = []
    phone.page.route(RULEBOOK, lambda route: routes.append(route))
    with phone.page.expect_request(RULEBOOK):
        phone.open("/arrive")
    phone.next()
    phone.choose("outlet", "5-15")
    phone.next()
    phone.expect_step("look")
    yield routes
    phone.page.unroute_all()


def done(phone: Phone) -> dict[str, str]:
    phone.page.wait_for_load_state("networkidle")
    return dict(phone.page.evaluate("() => globalThis.done"))


def test_a_verdict_that_is_asked_for_too_early_comes_when_the_rulebook_does(
    phone: Phone, held: list[Route]
) -> None:
    phone.choose("look", "burned")
    phone.tap(NEXT)
    expect(phone.page.locator("[data-no-verdict]")).to_have_count(0)
    phone.expect_step("look")
    held[0].continue_()

    phone.expect_verdict("do-not-use")
    phone.expect_saved("phone")


def test_two_taps_while_it_is_on_its_way_are_one_step(phone: Phone, held: list[Route]) -> None:
    phone.tap(NEXT)
    expect(phone.find("form[aria-busy=true]")).to_have_attribute("data-step", "look")
    phone.tap(NEXT)
    phone.expect_step("look")
    held[0].continue_()

    phone.expect_step("by")
    expect(phone.page.locator("form[aria-busy=true]")).to_have_count(0)
    phone.page.wait_for_load_state("networkidle")
    assert phone.step == "by"


def test_who_goes_back_meanwhile_stays_there(phone: Phone, held: list[Route]) -> None:
    phone.tap(NEXT)
    phone.tap("[data-back]")
    phone.expect_step("outlet")
    held[0].continue_()
    phone.page.wait_for_load_state("networkidle")

    assert phone.step == "outlet"


def test_what_was_seen_meanwhile_counts(phone: Phone, held: list[Route]) -> None:
    phone.tap(NEXT)
    phone.tap("[data-back]")
    phone.expect_step("outlet")
    phone.tap(NEXT)
    phone.expect_step("look")
    phone.choose("look", "burned")
    phone.tap(NEXT)
    held[0].continue_()

    phone.expect_verdict("do-not-use")


def test_without_any_rulebook_there_is_no_verdict(phone: Phone, held: list[Route]) -> None:
    phone.choose("look", "burned")
    phone.tap(NEXT)
    held[0].abort()

    expect(phone.find("[data-no-verdict]")).to_contain_text("The rulebook has not been loaded on this phone.")
    phone.errors.clear()  # the browser's own line about the request


def test_it_is_opened_after_the_first_screen_and_stored_once(phone: Phone) -> None:
    phone.page.add_init_script(WATCH)
    phone.open("/arrive")
    phone.expect_step("where")
    first = done(phone)
    phone.page.reload()
    phone.expect_step("where")
    again = done(phone)

    assert "put kept/rulebook" in first
    assert "put kept/rulebook" not in again
    assert (first["get kept/rulebook"], again["get kept/rulebook"]) == ("seen", "seen")
