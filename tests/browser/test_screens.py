"""Every screen is fit for rain and gloves, and needs no sideways scrolling in text of twice the size."""

from pathlib import Path

import pytest

from tests.browser.looks import FEW, Look, faults_in, faults_in_large_letters, in_each_look
from tests.browser.phone import Phone, arrive_by_meter
from tests.browser.screens import all_screens

pytestmark = pytest.mark.browser


@in_each_look
def test_every_screen_is_fit_for_rain_and_gloves_and_for_text_of_twice_the_size(
    phone: Phone, pictures: Path, looks: tuple[Look, ...]
) -> None:
    faults = []
    for number, screen in enumerate(all_screens(phone)):
        faults += faults_in(looks, phone, f"{number:02}-{screen}", pictures)
        faults += faults_in_large_letters(phone, f"{number:02}-{screen}", pictures)
    print(f"pictures: {pictures}")

    assert faults == []


SPOIL = """() => document.querySelector("form[data-step]:not([hidden])")
  .insertAdjacentHTML("beforeend", '<button data-spoiled></button><input class="visually-hidden">')"""
STEPS = '() => [...document.querySelectorAll("form[data-step]")].map((each) => each.childNodes.length)'


def test_what_is_wrong_on_a_screen_is_found_and_its_hidden_steps_stay(phone: Phone, pictures: Path) -> None:
    phone.open("/arrive")
    phone.expect_step("where")
    whole = faults_in(FEW, phone, "whole", pictures)
    phone.page.evaluate(SPOIL)
    steps = phone.page.evaluate(STEPS)
    spoiled = faults_in(FEW, phone, "spoiled", pictures)

    assert whole == []
    for fault in ("axe button-name", "axe label", "small"):
        assert any(fault in each for each in spoiled), (fault, spoiled)
    assert min(steps) > 0
    assert phone.page.evaluate(STEPS) == steps


def test_the_verdict_is_big_enough_for_arms_length(phone: Phone) -> None:
    arrive_by_meter(phone)
    size = phone.page.locator("[data-verdict] .verdict__word").evaluate(
        "(word) => parseFloat(getComputedStyle(word).fontSize)"
    )

    assert size >= 28
