"""Every screen: nothing that axe finds, big targets, strong contrast, no sideways scrolling.

Pictures are kept to be looked at.
"""

import re
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe

from tests.browser.phone import Phone, all_screens, arrive_by_meter

pytestmark = pytest.mark.browser

# Each scheme and each width once; all four of them in the larger size.
LIGHT, NARROW = {"color_scheme": "light", "width": 360}, {"color_scheme": "dark", "width": 320}
FURTHER = [
    pytest.param({"color_scheme": "dark", "width": 360}, marks=pytest.mark.deep),
    pytest.param({"color_scheme": "light", "width": 320}, marks=pytest.mark.deep),
]
LOOKS = [LIGHT, pytest.param(NARROW, marks=pytest.mark.deep), *FURTHER]
# Pages that are made of the same parts are tried in the hardest look; the others belong to the deep size.
HARDEST = [NARROW, pytest.param(LIGHT, marks=pytest.mark.deep), *FURTHER]

# Everything that can be tapped, with its box; what is scrolled away or only for screen readers is left out.
TARGETS = """() => {
  const sought = "a, button, input:not([type=hidden]), select, textarea, summary";
  return [...document.querySelectorAll(sought)]
    .filter((each) => each.checkVisibility() && !each.classList.contains("skip-link"))
    .map((each) => ({
      name: each.outerHTML.slice(0, 120),
      stuck: Boolean(each.closest(".actions, .bar")),
      ...each.getBoundingClientRect().toJSON(),
    }));
}"""

# The contrast of every text with what lies behind it; a choice's card is its input.
CONTRASTS = """() => {
  const channel = (c) => (c / 255 <= 0.04045 ? c / 255 / 12.92 : ((c / 255 + 0.055) / 1.055) ** 2.4);
  const parts = (color) => color.match(/[\\d.]+/g).map(Number);
  const light = (color) => {
    const [red, green, blue] = parts(color).map(channel);
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
  };
  const behind = (each) => {
    const card = each.closest(".choice")?.querySelector("input");
    for (let at = card ?? each; at; at = at.parentElement) {
      const color = getComputedStyle(at).backgroundColor;
      if (parts(color)[3] !== 0) return color;
    }
    return "rgb(255, 255, 255)";
  };
  const own = (each) => [...each.childNodes].some((node) => node.nodeType === 3 && node.textContent.trim());
  const isTyped = (each) => each.value && !["radio", "checkbox"].includes(each.type);
  return [...document.querySelectorAll("body *:not(svg *, script, noscript, option)")]
    .filter((each) => each.checkVisibility() && (own(each) || isTyped(each)))
    .map((each) => {
      const [one, other] = [light(getComputedStyle(each).color), light(behind(each))].sort((a, b) => b - a);
      const verdict = Boolean(each.closest(".verdict"));
      return { name: each.outerHTML.slice(0, 120), verdict, ratio: (one + 0.05) / (other + 0.05) };
    });
}"""


def _small(targets: list[dict[str, Any]]) -> list[str]:
    return [
        f"{t['width']:.0f} x {t['height']:.0f}: {t['name']}"
        for t in targets
        if min(t["width"], t["height"]) < 47.9
    ]


def _crowded(targets: list[dict[str, Any]]) -> list[str]:
    free = [t for t in targets if not t["stuck"]]
    return [
        f"{a['name']} and {b['name']}" for i, a in enumerate(free) for b in free[i + 1 :] if _gap(a, b) < 7.9
    ]


def _gap(a: dict[str, Any], b: dict[str, Any]) -> float:
    beside = max(a["left"], b["left"]) - min(a["right"], b["right"])
    below = max(a["top"], b["top"]) - min(a["bottom"], b["bottom"])
    return float(max(beside, below))


@pytest.mark.parametrize(
    "look", LOOKS, indirect=True, ids=lambda look: f"{look['color_scheme']}-{look['width']}"
)
def test_every_screen_is_fit_for_rain_and_gloves(
    phone: Phone, pictures: Path, request: pytest.FixtureRequest
) -> None:
    axe, faults = Axe(), []
    name = re.sub(r".*\[(.*)\]", r"\1", request.node.name)
    for number, screen in enumerate(all_screens(phone)):
        phone.page.screenshot(path=pictures / f"{name}-{number:02}-{screen}.png")
        found = axe.run(phone.page)
        faults += [
            f"{screen}: axe {v['id']}: {v['nodes'][0]['html'][:160]}" for v in found.response["violations"]
        ]
        targets = phone.page.evaluate(TARGETS)
        faults += [f"{screen}: small {each}" for each in _small(targets)]
        faults += [f"{screen}: crowded {each}" for each in _crowded(targets)]
        faults += [
            f"{screen}: contrast {c['ratio']:.1f}: {c['name']}"
            for c in phone.page.evaluate(CONTRASTS)
            if c["ratio"] < (10 if c["verdict"] else 7)
        ]
        wide = phone.page.evaluate("() => document.documentElement.scrollWidth - screen.width")
        faults += [f"{screen}: {wide} px too wide"] if wide > 0 else []
    print(f"pictures: {pictures}")

    assert faults == []


@pytest.mark.parametrize("look", [{"width": 320}], indirect=True)
@pytest.mark.parametrize("switches", [["--blink-settings=defaultFontSize=32"]], indirect=True)
def test_text_of_twice_the_size_needs_no_sideways_scrolling(phone: Phone, pictures: Path) -> None:
    wide = {}
    for number, screen in enumerate(all_screens(phone)):
        phone.page.screenshot(path=pictures / f"double-{number:02}-{screen}.png")
        wide[screen] = phone.page.evaluate("() => document.documentElement.scrollWidth - screen.width")

    assert {screen: px for screen, px in wide.items() if px > 0} == {}


def test_the_verdict_is_big_enough_for_arms_length(phone: Phone) -> None:
    arrive_by_meter(phone)
    size = phone.page.locator("[data-verdict] .verdict__word").evaluate(
        "(word) => parseFloat(getComputedStyle(word).fontSize)"
    )

    assert size >= 28
