"""Two phones correct one check without knowing of each other."""

from itertools import count
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect

from tests.browser.conftest import Site
from tests.browser.looks import CONTRASTS, TARGETS, crowded, small, too_wide
from tests.browser.phone import Phone
from tests.browser.test_phone_page import said
from tests.builders import a_check, an_arrival_check
from tests.conftest import PASSWORD

pytestmark = [pytest.mark.browser, pytest.mark.sources]

NAMES = (f"Corrector {number}" for number in count())


def corrected(first: dict[str, Any], reason: str, volts: str) -> dict[str, Any]:
    """Make a correction of one reading."""
    check = a_check(volts={"h-n": volts, "h-g": "121.0 V", "n-g": "0.4 V"})
    return an_arrival_check(check, corrects=first["id"], reason=reason)


@pytest.mark.parametrize("look", [{"color_scheme": "light"}, {"color_scheme": "dark"}], indirect=True)
def test_both_are_shown_until_one_is_chosen(phone: Phone, site: Site, pictures: Path) -> None:
    account = site.account(next(NAMES))
    first = an_arrival_check()
    one, other = corrected(first, "Wrong line", "118.0 V"), corrected(first, "Smudged", "112.0 V")
    site.hand_in(account, first, one, other)
    phone.enter(account.name, PASSWORD)
    expect(phone.find(".check-card")).to_contain_text("Corrected twice, on two phones.")
    phone.tap(".check-card")
    sides = phone.find(".conflict__side")
    expect(sides).to_have_count(2)
    expect(sides.nth(0)).to_contain_text("Wrong line")
    expect(sides.nth(1)).to_contain_text("Smudged")
    expect(sides.nth(1)).to_contain_text("counts now")
    phone.page.screenshot(path=pictures / "two-corrections.png", full_page=True)
    faults = [v["id"] for v in Axe().run(phone.page).response["violations"]]
    targets = [
        t for t in phone.page.evaluate(TARGETS) if "data-settle" in t["name"] or "<summary" in t["name"]
    ]
    faults += small(targets) + crowded(targets)
    faults += [c["name"] for c in phone.page.evaluate(CONTRASTS) if c["ratio"] < 7]
    wide = too_wide(phone)
    faults += [f"{wide} px too wide"] if wide > 0 else []
    assert faults == []
    phone.tap(f'[data-settle="{one["id"]}"]')

    expect(phone.find(".conflict")).to_have_count(0)
    said(phone, "Of corrections made on two phones, this one was chosen.")
    expect(phone.find('.when [data-saved="server"]')).to_be_visible()
    settled = site.records(account)[-1]["record"]
    assert (settled["corrects"], settled["also_corrects"]) == (one["id"], [other["id"]])
    assert settled["body"]["check"] == one["body"]["check"]
    assert settled["body"]["judgement"]["rulebook"] == site.parts.rulebook.id
    phone.open("/")
    expect(phone.find(".check-card")).not_to_contain_text("on two phones")


def test_one_correction_alone_is_no_matter_of_choice(phone: Phone, site: Site) -> None:
    account = site.account(next(NAMES))
    first = an_arrival_check()
    site.hand_in(account, first, corrected(first, "Wrong line", "118.0 V"))
    phone.enter(account.name, PASSWORD)
    expect(phone.find(".check-card")).to_contain_text("corrected")
    expect(phone.find(".check-card")).not_to_contain_text("on two phones")
    phone.tap(".check-card")

    said(phone, "Correction:")
    expect(phone.find(".conflict")).to_have_count(0)
