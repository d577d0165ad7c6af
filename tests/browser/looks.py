"""How a screen looks: nothing that axe finds, big targets, strong contrast, no sideways scrolling.

A screen is looked at in several ways where it stands; the way to it is gone once. Pictures are kept.
"""

from collections.abc import Sequence
from pathlib import Path
from typing import Any, Literal, NamedTuple

import pytest
from axe_playwright_python.sync_playwright import Axe

from tests.browser.phone import Phone


class Look(NamedTuple):
    """A scheme and a width."""

    scheme: Literal["light", "dark"]
    width: int

    def __str__(self) -> str:
        """Name it in a picture's name."""
        return f"{self.scheme}-{self.width}"


LIGHT, NARROW, WIDE = Look("light", 360), Look("dark", 320), Look("light", 1280)
# Each scheme and each width once; all of them in the larger size.
FEW = (LIGHT, NARROW)
ALL = (*FEW, Look("dark", 360), Look("light", 320), WIDE)
HEIGHT = 740

in_each_look = pytest.mark.parametrize(
    "looks", [pytest.param(FEW, id="few"), pytest.param(ALL, id="all", marks=pytest.mark.deep)]
)

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


# Contrast is the slowest rule by far, and the limit here is higher than its own.
EXCEPT_CONTRAST = {"resultTypes": ["violations"], "rules": {"color-contrast": {"enabled": False}}}


def faults_in(looks: Sequence[Look], phone: Phone, screen: str, pictures: Path) -> list[str]:
    """Look at what stands on the screen in each way, and leave it in the first."""
    faults, is_large = [], set(ALL) <= set(looks)
    for look in looks:
        take_on(phone, look)
        phone.page.screenshot(path=pictures / f"{screen}-{look}.png", full_page=True)
        found = [*faults_of(phone), *(axe_in(phone) if is_large or look == looks[0] else [])]
        faults += [f"{screen} {look}: {fault}" for fault in found]
    take_on(phone, looks[0])
    return faults


def take_on(phone: Phone, look: Look) -> None:
    """Change scheme and width, as a person does who turns the phone or the light."""
    phone.page.emulate_media(color_scheme=look.scheme)
    phone.page.set_viewport_size({"width": look.width, "height": HEIGHT})


def axe_in(phone: Phone) -> list[str]:
    """Give what axe finds on the screen; little depends on the look: in the small size it is asked once."""
    found = Axe().run(phone.page, options=EXCEPT_CONTRAST).response["violations"]
    return [f"axe {each['id']}: {each['nodes'][0]['html'][:160]}" for each in found]


def faults_of(phone: Phone) -> list[str]:
    """Give targets, contrasts and widths that do not do."""
    targets = phone.page.evaluate(TARGETS)
    weak = [each for each in phone.page.evaluate(CONTRASTS) if each["ratio"] < (10 if each["verdict"] else 7)]
    wide = too_wide(phone)
    return [
        *(f"small {each}" for each in small(targets)),
        *(f"crowded {each}" for each in crowded(targets)),
        *(f"contrast {each['ratio']:.1f}: {each['name']}" for each in weak),
        *([f"{wide} px too wide"] if wide > 0 else []),
    ]


def too_wide(phone: Phone) -> int:
    """Give by how much the page is wider than the screen."""
    wide: int = phone.page.evaluate("() => document.documentElement.scrollWidth - screen.width")
    return wide


def small(targets: list[dict[str, Any]]) -> list[str]:
    """Name what is too small for a glove."""
    return [
        f"{t['width']:.0f} x {t['height']:.0f}: {t['name']}"
        for t in targets
        if min(t["width"], t["height"]) < 47.9
    ]


def crowded(targets: list[dict[str, Any]]) -> list[str]:
    """Name what lies too near to something else."""
    free = [t for t in targets if not t["stuck"]]
    return [
        f"{a['name']} and {b['name']}" for i, a in enumerate(free) for b in free[i + 1 :] if _gap(a, b) < 7.9
    ]


def _gap(a: dict[str, Any], b: dict[str, Any]) -> float:
    beside = max(a["left"], b["left"]) - min(a["right"], b["right"])
    below = max(a["top"], b["top"]) - min(a["bottom"], b["bottom"])
    return float(max(beside, below))
