"""A change to the wiring is noted and proved on a phone: first dead, then live, step by step."""

import itertools
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

import pytest
from playwright.sync_api import Browser, expect

from fieldlog.clock import now
from fieldlog.model.account import Account
from fieldlog.sync.inbox import Inbox
from tests.browser.conftest import Site
from tests.browser.phone import FINE, Phone, read_to_earth, read_under_load
from tests.browser.served import Server, a_phone, another_tab, visit
from tests.builders import a_device, a_record, a_rig, an_outlet
from tests.conftest import PASSWORD

pytestmark = pytest.mark.browser

NUMBERS = itertools.count(1)
WHAT = "New cable to the sink"
PAIRS = ("h-n", "h-g", "n-g")


# What a tap would find of the answers in the very moment in which the next screen is there.
WHEN_IT_COMES = """() => {
  const seen = () => document.querySelector("[data-step=meter-before] [data-outcome=good]");
  new MutationObserver(() => {
    if (seen()) globalThis.first ??= getComputedStyle(seen()).pointerEvents;
  }).observe(document.body, { childList: true, subtree: true });
}"""


@dataclass(frozen=True)
class Changed:
    """A rig with an outlet behind a ground-fault receptacle, and a change of that outlet."""

    rig: dict[str, Any]
    device: dict[str, Any]
    sink: dict[str, Any]
    change: dict[str, Any]

    @property
    def page(self) -> str:
        """Give the address of the change."""
        return f"/changes/{self.change['id']}"

    def proof(
        self,
        step: str,
        outcome: str | None,
        *,
        pair: str | None = None,
        ago: timedelta = timedelta(0),
        **body: Any,
    ) -> dict[str, Any]:
        """Give a proof of a step; those of each pair or of the outlet name the sink, unless said."""
        of_part = step in ("no-volts", "ground-continuous", "polarity", "under-load")
        told = {"step": step, "part": self.sink["id"] if of_part else None, "pair": pair, "outcome": outcome}
        rest = {"value": None, "unit": None, "record": None, "note": ""}
        observed_at = (now() - ago).isoformat()
        members = {"rig": self.rig["id"], "subject": self.change["id"], "observed_at": observed_at}
        return a_record("proof", told | rest | body, **members)

    def shown_dead(self, ago: timedelta = timedelta(0)) -> list[dict[str, Any]]:
        """Give all that shows the absence of volts, up to the meter's second proof."""
        first = [self.proof(step, "good", ago=ago) for step in ("unplugged", "source-off", "meter-before")]
        volts = [
            self.proof("no-volts", "good", pair=pair, ago=ago, value="0.1", unit="V", part=part)
            for part in ("inlet", self.sink["id"])
            for pair in PAIRS
        ]
        return [*first, *volts, self.proof("meter-after", "good", ago=ago)]


def a_changed_rig() -> Changed:
    rig = a_rig()
    device = a_device(rig["id"], "Galley receptacle")
    sink = an_outlet(rig["id"], "Sink", device["id"])
    body = {"what": WHAT, "why": "", "parts": [sink["id"]], "map": None, "wire": "", "device": ""}
    return Changed(rig, device, sink, a_record("change", body, rig=rig["id"]))


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


def state(phone: Phone) -> str:
    """Give how the change stands by the list."""
    return phone.find(".proving-state").get_attribute("data-state") or ""


def go_on(phone: Phone, step: str) -> None:
    """Tap the way on to a step, once what was handed in has led there."""
    phone.tap(f'a[data-next][href*="at={step}%7C"]')
    phone.expect_step(step)


def yes(phone: Phone, then: str) -> None:
    """Answer yes, and wait for the next step."""
    phone.tap("[data-outcome=good]")
    phone.expect_step(then)


def show(phone: Phone, value: str, then: str) -> None:
    """Type what the meter shows, and wait for the next step."""
    phone.type("value", value)
    phone.next()
    phone.expect_step(then)


def unplug(phone: Phone) -> None:
    """Answer what comes before the first reading, from the list."""
    go_on(phone, "unplugged")
    yes(phone, "source-off")
    yes(phone, "meter-before")
    yes(phone, "no-volts")


def absent(phone: Phone, then: str) -> None:
    """Find no volts on any pair, at the inlet and at the outlet."""
    words = ("hot–neutral", "hot–ground", "neutral–ground")
    for part, (pair, between) in itertools.product(("Inlet", "Sink"), zip(PAIRS, words, strict=True)):
        expect(phone.find(".proving-place")).to_have_text(f"{part}, {between}")
        phone.type("value", "0,2" if pair == "h-g" else "0")
        phone.next()
    phone.expect_step(then)


def prove_dead(phone: Phone) -> None:
    """Do all steps with the power off, from the list."""
    unplug(phone)
    absent(phone, "meter-after")
    yes(phone, "ground-continuous")
    show(phone, "0,3", "neutral-isolated")
    phone.tap("[data-over]")
    phone.expect_step("no-short")
    phone.tap("[data-over]")
    phone.expect_step("polarity")


def check_the_sink(phone: Phone) -> None:
    """Test the sink by meter and with a load, on its own page, and come back."""
    phone.tap("a[data-next]")
    expect(phone.find("h1")).to_have_text("Test Sink")
    phone.type("breaker_amps", "15")
    for _ in ("outlet", "look", "by", "proved", "ready"):
        phone.next()
    for pair, shown in zip(PAIRS, FINE, strict=True):
        phone.type(f"volts.{pair}", shown)
        phone.next()
    phone.tap("text=Not pressed")
    phone.expect_verdict("use")
    read_to_earth(phone)
    read_under_load(phone, "10", {"h-n": "118.3", "n-g": "1.9"})
    phone.expect_saved("server")
    phone.tap("a[data-finish]")
    expect(phone.find("h1")).to_have_text(WHAT)


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
    expect(phone.find(".proving-state")).to_have_text("Changed, not yet proved0 of 16 steps stand good")
    phone.expect_saved("server")
    phone.open(f"/rigs/{changed.rig['id']}")
    expect(phone.find("main > .notice")).to_contain_text(f"Changed, not yet proved: {WHAT}")
    phone.tap("main > .notice a")
    prove_dead(phone)
    check_the_sink(phone)
    go_on(phone, "polarity")
    expect(phone.find("[data-found=good]")).to_contain_text("Use")
    yes(phone, "under-load")
    yes(phone, "trips")
    phone.tap("a[data-next]")
    phone.choose("tripped", "yes")
    phone.choose("face_dead", "yes")
    phone.choose(f"outlet.{changed.sink['id']}", "dead")
    phone.next()
    expect(phone.find("h1")).to_have_text(WHAT)
    assert phone.page.url == address
    go_on(phone, "trips")
    expect(phone.find("[data-found=good]")).to_contain_text("It tripped")
    phone.tap("[data-outcome=good]")
    expect(phone.find(".proving-state")).to_contain_text("entered by the owner, not an inspection")

    assert state(phone) == "proved"
    phone.expect_saved("server")
    proofs = [each["record"]["body"] for each in site.records(account) if each["record"]["kind"] == "proof"]
    assert [body["value"] for body in proofs if body["step"] == "no-volts"] == ["0", "0.2", "0"] * 2
    assert [body["record"] is not None for body in proofs][-3:] == [True, True, True]
    phone.open(f"/rigs/{changed.rig['id']}")
    expect(phone.find("[data-change=proved] .thing__state")).to_contain_text("Proved 20")
    expect(phone.find("main > .notice")).to_have_count(0)


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
    for _ in range(16):
        phone.tap("summary")
        phone.tap("[data-skip]")
        phone.expect_problem("skip", "Say why it is not tested")
        step = phone.step, phone.find("form progress").get_attribute("value")
        phone.type("skip", "No time before the rain")
        phone.tap("[data-skip]")
        expect(phone.page.locator(f'[data-step="{step[0]}"] progress[value="{step[1]}"]')).to_have_count(0)
    expect(phone.find(".proving-state")).to_contain_text("Changed, not yet proved0 of 16")

    phone.expect_saved("server")
    bodies = [each["record"]["body"] for each in site.records(account)][-16:]
    assert {(body["outcome"], body["note"]) for body in bodies} == {(None, "No time before the rain")}
    phone.open(f"/rigs/{changed.rig['id']}")
    expect(phone.find("main > .notice")).to_contain_text("Changed, not yet proved")


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
    yes(phone, "source-off")
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
    site.hand_in(account, changed.proof("source-off", "good"))
    phone.page.evaluate("() => window.dispatchEvent(new Event('online'))")
    expect(phone.page.locator("[data-drawn]")).to_have_count(0)

    expect(phone.find("[name=skip]")).to_be_visible()


def test_enter_in_a_text_notes_no_answer(phone: Phone, changed: Changed) -> None:
    go_on(phone, "unplugged")
    phone.tap("summary")
    phone.type("skip", "Later")
    phone.find("[name=skip]").press("Enter")
    phone.tap(".button--back")

    expect(phone.find(".proving-state")).to_contain_text("0 of 16")
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


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A server that can be stopped."""
    server = Server(tmp_path_factory.mktemp("served"))
    yield server
    server.close()


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
        receipts = Inbox(parts.store, parts.found, account).receive(records, now())
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
    expect(phone.find(".proving-state")).to_contain_text("13 of 16")
    phone.expect_saved("server")
