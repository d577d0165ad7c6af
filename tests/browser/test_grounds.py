"""Grounds are shown on a phone without a change: power off, at every outlet, without the server too."""

import itertools
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, expect

from fieldlog.clock import now
from fieldlog.model.account import Account
from fieldlog.sync.inbox import Inbox
from tests.browser.changing import absent, go_on, state, yes
from tests.browser.conftest import Site
from tests.browser.looks import Look, faults_in, in_each_look
from tests.browser.phone import Phone
from tests.browser.served import Server, a_phone, another_tab, visit
from tests.builders import a_rig, an_outlet
from tests.conftest import PASSWORD

pytestmark = pytest.mark.browser

NUMBERS = itertools.count(1)


@dataclass(frozen=True)
class Assured:
    """A rig in the assured grounding manner, three months, with one outlet whose ground was never shown."""

    rig: dict[str, Any]
    sink: dict[str, Any]

    @property
    def page(self) -> str:
        """Give the address of its grounds."""
        return f"/grounds#rig={self.rig['id']}"

    @property
    def records(self) -> list[dict[str, Any]]:
        """Give its records in their order."""
        return [self.rig, self.sink]


def an_assured_rig() -> Assured:
    rig = a_rig()
    rig["body"]["assured_months"] = 3
    return Assured(rig, an_outlet(rig["id"], "Sink"))


@pytest.fixture
def account(site: Site) -> Account:
    """Somebody of this test's own."""
    return site.account(f"Dipper {next(NUMBERS)}")


@pytest.fixture
def assured(phone: Phone, site: Site, account: Account) -> Assured:
    """The rig, on the server and on the phone."""
    assured = an_assured_rig()
    site.hand_in(account, *assured.records)
    phone.enter(account.name, PASSWORD)
    phone.open(assured.page)
    expect(phone.find("h1")).to_contain_text("The grounds:")
    return assured


def shown_absent(phone: Phone) -> None:
    """Do all that comes before the ohms, from the list."""
    go_on(phone, "unplugged")
    yes(phone, "source-dead")
    yes(phone, "meter-before")
    yes(phone, "no-volts")
    absent(phone, "meter-after")
    yes(phone, "leads-zeroed")
    yes(phone, "ground-continuous")


def proofs_in(records: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return [each["record"] for each in records if each["record"]["kind"] == "proof"]


@pytest.fixture
def cold(browser: Browser, server: Server) -> Iterator[tuple[Phone, Assured]]:
    """A phone that knows the rig, opened anew with the server dead."""
    assured = an_assured_rig()
    server.account("Siskin G")
    parts = server.app.extensions["fieldlog"]
    with a_phone(browser, server) as phone:
        visit(phone)
        phone.enter("Siskin G", PASSWORD)
        account = Account(server.accounts["Siskin G"], "Siskin G")
        receipts = Inbox(parts.store, parts.rulebook_or_damage, account).receive(assured.records, now())
        assert {receipt.status for receipt in receipts} == {"stored"}
        phone.open(assured.page)
        expect(phone.find("h1")).to_contain_text("The grounds:")
        phone.page.close()
        server.stop()
        yield another_tab(phone), assured


def test_a_ground_that_is_due_is_shown_from_the_round_on_without_the_server_and_is_then_due_no_more(
    cold: tuple[Phone, Assured], server: Server
) -> None:
    phone, assured = cold
    phone.open(f"/round#rig={assured.rig['id']}")
    expect(phone.find("h2")).to_contain_text(["With the power off"])
    phone.tap("text=Show it")
    expect(phone.find(".proving-state")).to_have_text("Not every ground is shown0 of 15 steps stand good")
    shown_absent(phone)
    expect(phone.find(".caution")).to_contain_text("Ohms only with the cord unplugged")
    phone.type("value", "0,3")
    phone.next()
    expect(phone.find(".proving-state")).to_contain_text("entered by the owner, not an inspection")

    assert state(phone) == "proved"
    phone.expect_saved("phone")
    phone.open(f"/round#rig={assured.rig['id']}")
    expect(phone.find("h1")).to_contain_text("Round:")
    expect(phone.page.locator("text=With the power off")).to_have_count(0)
    server.start()
    phone.open("/")
    phone.open(assured.page)
    phone.expect_saved("server")
    expect(phone.find(".proving-state")).to_contain_text("15 of 15")


def test_the_proofs_are_about_no_change_and_make_none(
    phone: Phone, site: Site, account: Account, assured: Assured
) -> None:
    shown_absent(phone)
    phone.type("value", "0.3")
    phone.next()
    expect(phone.find(".proving-state")).to_contain_text("Every ground shown")
    phone.expect_saved("server")

    proofs = proofs_in(site.records(account))
    assert {(proof["subject"], proof["rig"]) for proof in proofs} == {(None, assured.rig["id"])}
    assert (proofs[-1]["body"]["part"], proofs[-1]["body"]["value"]) == (assured.sink["id"], "0.3")
    phone.open(f"/rigs/{assured.rig['id']}")
    expect(phone.find("h1")).to_be_visible()
    expect(phone.page.locator("text=not yet proved")).to_have_count(0)


def test_a_ground_that_does_not_reach_an_outlet_leads_to_a_change(phone: Phone, assured: Assured) -> None:
    shown_absent(phone)
    phone.type("value", "4.7")
    phone.next()
    expect(phone.find("[role=alert]")).to_contain_text("find the open or loose joint")
    phone.expect_step("ground-continuous")
    phone.tap(".button--back")

    assert state(phone) == "failed"
    phone.tap("text=Note the change")
    expect(phone.find("h1")).to_contain_text("A change to the wiring: ")


def test_an_outlet_that_was_left_out_stays_due(phone: Phone, assured: Assured) -> None:
    shown_absent(phone)
    phone.tap("summary")
    phone.type("skip", "Behind the fridge")
    phone.tap("[data-skip]")
    expect(phone.find(".proving-state")).to_contain_text("Not every ground is shown14 of 15")
    expect(phone.find("a[data-next]")).to_have_text("Leave it: not every ground is shown")
    phone.open(f"/round#rig={assured.rig['id']}")

    expect(phone.find("h2")).to_contain_text(["With the power off"])


def test_a_step_is_opened_by_its_address_and_back_leads_to_the_same_rig(
    phone: Phone, assured: Assured
) -> None:
    phone.page.goto(f"{phone.site}{assured.page}&at=ground-continuous%7C{assured.sink['id']}%7C")
    expect(phone.find("[data-part=locked]")).to_contain_text("Shore cord unplugged")
    expect(phone.find("[name=value]")).to_have_count(0)
    phone.tap("a[data-next]")
    phone.expect_step("unplugged")
    phone.tap(".button--back")

    expect(phone.find("h1")).to_contain_text("The grounds:")


def test_without_a_rig_in_the_address_one_is_chosen(phone: Phone, assured: Assured) -> None:
    phone.open("/grounds")
    phone.page.reload()
    expect(phone.find("h1")).to_have_text("Showing the grounds: which rig?")
    phone.tap(".due-card")

    expect(phone.find(".proving-state")).to_contain_text("0 of 15")


def _screens(phone: Phone, assured: Assured) -> Iterator[str]:
    phone.open("/grounds")
    phone.page.reload()
    phone.find(".due-card").wait_for()
    yield "rigs"
    phone.tap(".due-card")
    phone.find(".proving-state").wait_for()
    yield "list"
    phone.page.goto(f"{phone.site}{assured.page}&at=ground-continuous%7C{assured.sink['id']}%7C")
    phone.find("[data-part=locked]").wait_for()
    yield "locked"
    phone.tap(".button--back")
    shown_absent(phone)
    yield "ground"
    phone.type("value", "4.7")
    phone.next()
    phone.find("[role=alert]").wait_for()
    yield "ground-bad"
    phone.tap(".button--back")
    phone.find(".proving-state").wait_for()
    yield "list-failed"
    go_on(phone, "ground-continuous")
    phone.type("value", "0.3")
    phone.next()
    phone.find(".proving-state[data-state=proved]").wait_for()
    yield "list-shown"


@in_each_look
def test_every_screen_of_grounds_is_fit_for_rain_and_gloves(
    phone: Phone, assured: Assured, pictures: Path, looks: tuple[Look, ...]
) -> None:
    faults = []
    for number, screen in enumerate(_screens(phone, assured)):
        faults += faults_in(looks, phone, f"grounds-{number}-{screen}", pictures)
    print(f"pictures: {pictures}", *faults, sep="\n")

    assert faults == []
