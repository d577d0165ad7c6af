"""Every screen is fit for rain and gloves, in text of twice the size too."""

from pathlib import Path

import pytest

from tests.browser.looks import Look, faults_in, in_each_look, too_wide
from tests.browser.phone import Phone, arrive_by_meter
from tests.browser.screens import all_screens

pytestmark = pytest.mark.browser

# The words inside buttons that go over two lines.
BROKEN_WORDS = """() => [...document.querySelectorAll(".button, button")]
  .filter((button) => button.checkVisibility())
  .flatMap((button) => {
    const walker = document.createTreeWalker(button, NodeFilter.SHOW_TEXT);
    const broken = [];
    while (walker.nextNode()) {
      const { currentNode: node } = walker;
      if (node.parentElement.closest(".visually-hidden")) continue;
      for (const { index, 0: word } of node.textContent.matchAll(/[^\\s–-]+/g)) {
        const range = document.createRange();
        range.setStart(node, index);
        range.setEnd(node, index + word.length);
        const tops = [...range.getClientRects()].map(({ top }) => Math.round(top));
        if (new Set(tops).size > 1) broken.push(word);
      }
    }
    return broken;
  })"""

# Whether the verdict's word, where there is one, is on the screen as it comes, and nothing covers it.
WORD_IS_SEEN = """() => {
  const words = [...document.querySelectorAll("h1.verdict__word")];
  const word = words.find((each) => each.checkVisibility());
  if (!word) return true;
  scrollTo(0, 0);
  const { left, right, top, bottom } = word.getBoundingClientRect();
  return document.elementFromPoint((left + right) / 2, (top + bottom) / 2) === word && bottom < innerHeight;
}"""


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
    wide, broken, hidden = {}, {}, []
    for number, screen in enumerate(all_screens(phone)):
        phone.page.screenshot(path=pictures / f"double-{number:02}-{screen}.png")
        wide[screen] = too_wide(phone)
        broken[screen] = phone.page.evaluate(BROKEN_WORDS)
        if not phone.page.evaluate(WORD_IS_SEEN):
            hidden.append(screen)

    assert {screen: px for screen, px in wide.items() if px > 0} == {}
    assert {screen: words for screen, words in broken.items() if words} == {}
    assert hidden == []


def test_the_verdict_is_big_enough_for_arms_length(phone: Phone) -> None:
    arrive_by_meter(phone)
    size = phone.page.locator("[data-verdict] .verdict__word").evaluate(
        "(word) => parseFloat(getComputedStyle(word).fontSize)"
    )

    assert size >= 28
