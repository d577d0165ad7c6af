"""Every screen is fit for rain and gloves, in text of twice the size too."""

from pathlib import Path

import pytest

from tests.browser.looks import Look, faults_in, in_each_look, too_wide
from tests.browser.phone import Phone, arrive_by_meter
from tests.browser.screens import all_screens

pytestmark = pytest.mark.browser


@in_each_look
def test_every_screen_is_fit_for_rain_and_gloves(
    phone: Phone, pictures: Path, looks: tuple[Look, ...]
) -> None:
    faults = []
    for number, screen in enumerate(all_screens(phone)):
        faults += faults_in(looks, phone, f"{number:02}-{screen}", pictures)
    print(f"pictures: {pictures}")

    assert faults == []


@pytest.mark.parametrize("look", [{"width": 320}], indirect=True)
@pytest.mark.parametrize("switches", [["--blink-settings=defaultFontSize=32"]], indirect=True)
def test_text_of_twice_the_size_needs_no_sideways_scrolling(phone: Phone, pictures: Path) -> None:
    wide = {}
    for number, screen in enumerate(all_screens(phone)):
        phone.page.screenshot(path=pictures / f"double-{number:02}-{screen}.png")
        wide[screen] = too_wide(phone)

    assert {screen: px for screen, px in wide.items() if px > 0} == {}


def test_the_verdict_is_big_enough_for_arms_length(phone: Phone) -> None:
    arrive_by_meter(phone)
    size = phone.page.locator("[data-verdict] .verdict__word").evaluate(
        "(word) => parseFloat(getComputedStyle(word).fontSize)"
    )

    assert size >= 28
