"""A change to the wiring is noted and proved on a phone: first dead, then live, step by step."""

import itertools
from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Locator, expect

from fieldlog.clock import now
from fieldlog.model.account import Account
from fieldlog.sync.inbox import Inbox
from tests.browser.changing import (
    WHAT,
    Changed,
    a_changed_rig,
    check_the_sink,
    go_on,
    press_test,
    prove_dead,
    show,
    state,
    unplug,
    yes,
)
from tests.browser.conftest import Site
from tests.browser.phone import Phone
from tests.browser.served import Server, a_phone, another_tab, visit
from tests.conftest import PASSWORD

pytestmark = pytest.mark.browser

NUMBERS = itertools.count(1)
PAIRS = ("h-n", "h-g", "n-g")


# What a tap would find of the answers in the very moment in which the next screen is there.
WHEN_IT_COMES = """() => {
  const seen = () => document.querySelector("[data-step=meter-before] [data-outcome=good]");
  new MutationObserver(() => {
    if (seen()) globalThis.first ??= getComputedStyle(seen()).pointerEvents;
  }).observe(document.body, { childList: true, subtree: true });
}"""


@pytest.fixture
def account(site: Site) -> Account:
    """Somebody of this test's own."""
    return site.account(f"Ouzel {next(NUMBERS)}")


@pytest.fixture
def changed(phone: Phone, site: Site, account: Account) -> Changed:
    """The rig and its change, on the server and on the phone."""
    changed = a_changed_rig()
    site.hand_in(account, changed.rig, changed.device, changed.sink, changed.change)
    phone.enter(account.name, PASSWORD)
    phone.open(changed.page)
    expect(phone.find("h1")).to_have_text(WHAT)
    return changed


def not_proved(phone: Phone) -> Locator:
    """Find what the rig's page says is open of the change."""
    return phone.find(".thing--open").filter(has_text="Changed, not yet proved")


# long: the whole way in its order
def test_a_change_is_noted_proved_and_stands_as_proved_on_the_rigs_page(
    phone: Phone, site: Site, account: Account
) -> None:
    changed = a_changed_rig()
    site.hand_in(account, changed.rig, changed.device, changed.sink)
    phone.enter(account.name, PASSWORD)
    phone.open(f"/rigs/{changed.rig['id']}")
    phone.tap("text=Note a change to the wiring")
    expect(phone.find("[name=parts]:checked")).to_have_count(0)
    phone.next()
    phone.expect_problem("what", "Say what was changed")
    phone.expect_problem("parts", "Choose the parts")
    phone.type("what", WHAT)
    phone.choose("parts", changed.sink["id"])
    phone.type("wire", "12 AWG, copper")
    phone.next()
    expect(phone.find("h1")).to_have_text(WHAT)
    address = phone.page.url

    assert state(phone) == "not-proved"
    expect(phone.find(".proving-state")).to_have_text("Changed, not yet proved0 of 33 steps stand good")
    phone.expect_saved("server")
    phone.open(f"/rigs/{changed.rig['id']}")
    expect(not_proved(phone)).to_contain_text(WHAT)
    not_proved(phone).get_by_role("link").tap()
    prove_dead(phone)
    show(phone, "0.3", "skin-main")
    show(phone, "0.3", "skin-branches")
    phone.type("value", "0.4")
    phone.next()
    phone.expect_problem("named", "Type it")
    phone.type("named", "2")
    phone.next()
    phone.expect_step("trips")
    press_test(phone, changed)
    expect(phone.find("[data-found=good]")).to_contain_text("It tripped")
    yes(phone, "polarity")
    check_the_sink(phone, is_loaded=False)
    assert phone.page.url == address
    go_on(phone, "polarity")
    expect(phone.find("[data-found=good]")).to_contain_text("Use")
    yes(phone, "skin-tested")
    show(phone, "0.4", "under-load")
    expect(phone.find("[data-found]")).to_have_count(0)
    check_the_sink(phone, is_loaded=True)
    go_on(phone, "under-load")
    phone.tap("[data-outcome=good]")
    expect(phone.find(".proving-state")).to_contain_text("entered by the owner, not an inspection")

    assert state(phone) == "proved"
    phone.expect_saved("server")
    proofs = [each["record"]["body"] for each in site.records(account) if each["record"]["kind"] == "proof"]
    assert [body["value"] for body in proofs if body["step"] == "no-volts"] == ["0", "0.2", "0"] * 2
    assert [body["record"] is not None for body in proofs][-4:] == [True, True, False, True]
    phone.open(f"/rigs/{changed.rig['id']}")
    phone.tap('summary:text("1 noted")')
    expect(phone.find("[data-change=proved] .thing__state")).to_contain_text("Proved 20")
    expect(not_proved(phone)).to_have_count(0)


def test_volts_that_are_there_are_said_at_once_and_stop_the_way_on(phone: Phone, changed: Changed) -> None:
    unplug(phone)
    phone.type("value", "abc")
    phone.next()
    phone.expect_problem("value", "Type what the meter shows as a number")
    phone.type("value", "118,2")
    phone.next()

    expect(phone.find("[role=alert]")).to_contain_text("BAD: 118.2 V")
    expect(phone.find("[role=alert]")).to_contain_text("There is voltage: stop")
    phone.expect_step("no-volts")
    phone.tap(".button--back")
    assert state(phone) == "failed"
    expect(phone.find(".proving-state")).to_contain_text("a step is bad")
    go_on(phone, "no-volts")
    phone.type("value", "0.1")
    phone.next()
    expect(phone.find(".proving-place")).to_have_text("Inlet, hot–ground")
    phone.page.go_back()
    before = phone.find("[data-part=before] li")
    expect(before).to_have_count(1)
    expect(before).to_contain_text("BAD: 118.2 V (")


def test_leaving_a_step_out_needs_a_reason_and_proves_nothing(
    phone: Phone, site: Site, account: Account, changed: Changed
) -> None:
    go_on(phone, "unplugged")
    for _ in range(33):
        phone.tap("summary")
        phone.tap("[data-skip]")
        phone.expect_problem("skip", "Say why it is not tested")
        step = phone.step, phone.find("form progress").get_attribute("value")
        phone.type("skip", "No time before the rain")
        phone.tap("[data-skip]")
        expect(phone.page.locator(f'[data-step="{step[0]}"] progress[value="{step[1]}"]')).to_have_count(0)
    expect(phone.find(".proving-state")).to_contain_text("Changed, not yet proved0 of 33")

    phone.expect_saved("server")
    bodies = [each["record"]["body"] for each in site.records(account)][-33:]
    assert {(body["outcome"], body["note"]) for body in bodies} == {(None, "No time before the rain")}
    phone.open(f"/rigs/{changed.rig['id']}")
    expect(not_proved(phone)).to_have_count(1)


def test_what_was_typed_is_still_there_after_a_reload(phone: Phone, changed: Changed) -> None:
    unplug(phone)
    phone.type("value", "0.4")
    phone.page.reload()
    expect(phone.find("[name=value]")).to_have_value("0.4")

    phone.open(f"/changes/new#rig={changed.rig['id']}")
    phone.type("why", "The old one was cut")
    phone.choose("parts", changed.device["id"])
    phone.page.reload()
    expect(phone.find("[name=why]")).to_have_value("The old one was cut")
    expect(phone.find("[name=parts]:checked")).to_have_count(1)


def test_a_second_tap_of_a_glove_finds_no_answer_on_the_screen_that_has_just_come(
    phone: Phone, changed: Changed
) -> None:
    go_on(phone, "unplugged")
    yes(phone, "source-dead")
    yes(phone, "battery-off")
    phone.page.evaluate(WHEN_IT_COMES)
    yes(phone, "meter-before")

    assert phone.page.evaluate("() => globalThis.first") == "none"
    yes(phone, "no-volts")


def test_what_comes_from_elsewhere_folds_nothing_up(
    phone: Phone, site: Site, account: Account, changed: Changed
) -> None:
    go_on(phone, "unplugged")
    phone.tap("summary")
    phone.page.evaluate("() => (document.querySelector('form.step').dataset.drawn = 'before')")
    site.hand_in(account, changed.proof("source-dead", "good"))
    phone.page.evaluate("() => window.dispatchEvent(new Event('online'))")
    expect(phone.page.locator("[data-drawn]")).to_have_count(0)

    expect(phone.find("[name=skip]")).to_be_visible()


def test_enter_in_a_text_notes_no_answer(phone: Phone, changed: Changed) -> None:
    go_on(phone, "unplugged")
    phone.tap("summary")
    phone.type("skip", "Later")
    phone.find("[name=skip]").press("Enter")
    phone.tap(".button--back")

    expect(phone.find(".proving-state")).to_contain_text("0 of 33")
    assert state(phone) == "not-proved"


def test_a_shops_test_is_noted_and_a_breakdown_fails_the_change(phone: Phone, changed: Changed) -> None:
    phone.tap(".proof:has-text('dielectric')")
    phone.tap("[data-outcome=bad]")
    phone.expect_problem("who", "Name who made the test")
    phone.type("who", "Alder Bend Trailers")
    phone.type("value", "900")
    phone.type("seconds", "60")
    phone.tap("[data-outcome=bad]")
    expect(phone.find("[role=alert]")).to_contain_text("900 V; By Alder Bend Trailers; 60 s")
    phone.tap(".button--back")

    assert state(phone) == "failed"


@pytest.fixture
def cold(browser: Browser, server: Server) -> Iterator[tuple[Phone, Changed]]:
    """A phone that knows the rig, opened anew with the server dead."""
    changed = a_changed_rig()
    server.account("Siskin P")
    parts = server.app.extensions["fieldlog"]
    with a_phone(browser, server) as phone:
        visit(phone)
        phone.enter("Siskin P", PASSWORD)
        account = Account(server.accounts["Siskin P"], "Siskin P")
        records = [changed.rig, changed.device, changed.sink, changed.change]
        receipts = Inbox(parts.store, parts.rulebook_or_damage, account).receive(records, now())
        assert {receipt.status for receipt in receipts} == {"stored"}
        phone.open(changed.page)
        expect(phone.find("h1")).to_have_text(WHAT)
        phone.page.close()
        server.stop()
        yield another_tab(phone), changed


def test_a_change_is_noted_and_proved_dead_from_nothing_without_the_server(
    cold: tuple[Phone, Changed], server: Server
) -> None:
    phone, changed = cold
    phone.open(changed.page)
    expect(phone.find("h1")).to_have_text(WHAT)
    prove_dead(phone)
    phone.open(f"/changes/new#rig={changed.rig['id']}")
    phone.type("what", "The receptacle itself")
    phone.choose("parts", changed.device["id"])
    phone.next()
    expect(phone.find("h1")).to_have_text("The receptacle itself")
    phone.expect_saved("phone")
    expect(phone.find(".proving-state")).to_contain_text("Changed, not yet proved")

    server.start()
    phone.open("/")
    phone.open(changed.page)
    expect(phone.find(".proving-state")).to_contain_text("26 of 33")
    phone.expect_saved("server")
