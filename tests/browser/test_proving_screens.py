"""Every screen of a change and its proofs: nothing that axe finds, big targets, strong contrast."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

from fieldlog.model.account import Account
from tests.browser.changing import Changed, absent, go_on, show, yes
from tests.browser.conftest import Site
from tests.browser.looks import Look, faults_in, in_each_look
from tests.browser.phone import Phone
from tests.browser.test_proving import account as account
from tests.browser.test_proving import changed as changed
from tests.builders import a_record

pytestmark = pytest.mark.browser


def _with_a_fridge(changed: Changed) -> dict[str, Any]:
    """Give a map on which a fridge hangs on the outlet that was changed."""
    sink, device = changed.sink["id"], changed.device["id"]
    parts = [
        {"id": "inlet", "kind": "inlet", "name": "Inlet", "amps": 30},
        {"id": device, "kind": "gfci-receptacle", "name": "Galley receptacle", "device": device},
        {"id": sink, "kind": "receptacle", "name": "Sink", "outlet_type": "5-15", "outlet": sink},
        {"id": "fridge", "kind": "appliance", "name": "Fridge"},
    ]
    runs = [
        {"from": "inlet", "to": device},
        {"from": device, "to": sink, "from_side": "load"},
        {"from": sink, "to": "fridge"},
    ]
    return a_record("rig-map", {"parts": parts, "runs": runs, "modes": {}}, rig=changed.rig["id"])


# long: every screen in its order
def _screens(phone: Phone, site: Site, account: Account, changed: Changed) -> Iterator[str]:
    site.hand_in(account, _with_a_fridge(changed))
    phone.open(f"/changes/new#rig={changed.rig['id']}")
    phone.choose("parts", changed.sink["id"])
    phone.next()
    phone.expect_problem("what", "Say what was changed")
    yield "new"
    phone.open(changed.page)
    phone.find(".proving-state").wait_for()
    yield "list"
    go_on(phone, "unplugged")
    phone.tap("summary")
    yield "unplugged"
    yes(phone, "source-dead")
    yield "source-dead"
    yes(phone, "battery-off")
    yes(phone, "meter-before")
    yield "meter-before"
    yes(phone, "no-volts")
    phone.type("value", "x")
    phone.next()
    phone.expect_problem("value", "as a number")
    yield "no-volts-problem"
    phone.type("value", "118.2")
    phone.next()
    phone.find("[role=alert]").wait_for()
    yield "no-volts-bad"
    phone.tap(".button--back")
    phone.find(".proving-state").wait_for()
    yield "list-failed"
    go_on(phone, "no-volts")
    absent(phone, "meter-after")
    yes(phone, "leads-zeroed")
    yes(phone, "ground-continuous")
    yield "ground"
    show(phone, "0.3", "ground-continuous")
    expect(phone.find(".proving-place")).to_have_text("Fridge")
    yield "frame"
    show(phone, "0.3", "frame-bond")
    yield "bond"
    show(phone, "0.3", "dc-negative")
    yes(phone, "joints-made")
    phone.tap("[data-outcome=good]")
    phone.expect_problem("named", "Type it")
    yield "torque"
    phone.page.goto(f"{phone.site}{changed.page}#at=hot-ground-apart%7Cinlet%7Ch-g")
    phone.find("[data-part=locked]").wait_for()
    yield "apart-locked"
    phone.page.goto(f"{phone.site}{changed.page}#at=polarity%7C{changed.sink['id']}%7C")
    phone.find("[data-part=locked]").wait_for()
    yield "locked"
    site.hand_in(account, changed.proof("under-load", "bad"))
    phone.page.goto(f"{phone.site}{changed.page}#at=ground-continuous%7Cfridge%7C")
    phone.page.reload()
    expect(phone.find("[data-part=locked]")).to_contain_text("The rig has had power since")
    yield "locked-by-power"
    phone.page.goto(f"{phone.site}{changed.page}#at=dielectric%7C%7C")
    phone.find("[name=who]").wait_for()
    yield "shop"
    phone.open(f"/rigs/{changed.rig['id']}")
    yield "rig"


@in_each_look
def test_every_screen_is_fit_for_rain_and_gloves(
    phone: Phone,
    site: Site,
    account: Account,
    changed: Changed,
    pictures: Path,
    looks: tuple[Look, ...],
) -> None:
    faults = []
    for number, screen in enumerate(_screens(phone, site, account, changed)):
        faults += faults_in(looks, phone, f"proving-{number:02}-{screen}", pictures)
    print(f"pictures: {pictures}", *faults, sep="\n")

    assert faults == []
