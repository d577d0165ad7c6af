"""How a screen looks: nothing that axe finds, big targets, strong contrast, no sideways scrolling.

A screen is looked at in several ways where it stands, in text of twice the size too; the way to it is gone
once. Pictures are kept, in the small size of what is not right: each takes as long as a look.
"""

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Literal, NamedTuple

import pytest
from axe_playwright_python.base import AXE_SCRIPT

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
SMALLEST = Look("light", 320)
ALL = (*FEW, Look("dark", 360), SMALLEST, WIDE)
HEIGHT = 740
USUAL_PX = 16
"""What a browser takes for text where nobody has set another size."""

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

# How far the widest thing on the page reaches over the edge of the screen.
OVERHANG = """() => {
  const ends = [...document.querySelectorAll("main *")].map((each) => each.getBoundingClientRect().right);
  return Math.max(...ends) - screen.width;
}"""


# Contrast is the slowest rule by far, and the limit here is higher than its own.
EXCEPT_CONTRAST = {"resultTypes": ["violations"], "rules": {"color-contrast": {"enabled": False}}}
HAS_AXE = "() => 'axe' in window"
# Only what is wrong is brought out of the page: all that passed weighs more than the looking itself.
AXE = """([options, isWhole]) => {
  const unseen = isWhole
    ? []
    : [...document.querySelectorAll("[hidden]")].filter((each) => !each.checkVisibility());
  for (const each of unseen) Object.defineProperty(each, "childNodes", { value: [], configurable: true });
  return axe.run(options)
    .then(({ violations }) => violations.map(({ id, nodes }) => `axe ${id}: ${nodes[0].html.slice(0, 160)}`))
    .finally(() => unseen.forEach((each) => delete each.childNodes));
}"""


def faults_in(looks: Sequence[Look], phone: Phone, screen: str, pictures: Path) -> list[str]:
    """Look at what stands on the screen in each way, and leave it in the first."""
    faults, is_large = [], set(ALL) <= set(looks)
    phone.page.wait_for_load_state("load")  # what is seen before its sheet is there has another size
    for look in looks:
        take_on(phone, look)
        found = faults_of(phone)
        if is_large or look == looks[0]:
            found += axe_in(phone, is_whole=is_large)
        if is_large or found:
            phone.page.screenshot(path=pictures / f"{screen}-{look}.png", full_page=True)
        faults += [f"{screen} {look}: {fault}" for fault in found]
    take_on(phone, looks[0])
    return faults


def faults_in_large_letters(phone: Phone, screen: str, pictures: Path) -> list[str]:
    """Look at what stands on the narrowest screen in text of twice the size, and leave it as it was."""
    with in_large_letters(phone):
        wide, broken = too_wide(phone), phone.page.evaluate(BROKEN_WORDS)
        is_seen = phone.page.evaluate(WORD_IS_SEEN)
        faults = [
            *([f"{screen} at twice the size: {wide} px too wide"] if wide > 0 else []),
            *(f"{screen} at twice the size: a button breaks {word}" for word in broken),
            *([] if is_seen else [f"{screen} at twice the size: the verdict's word is not seen"]),
        ]
        if faults:
            phone.page.screenshot(path=pictures / f"double-{screen}.png")
    return faults


@contextmanager
def in_large_letters(phone: Phone) -> Iterator[None]:
    """Read on the narrowest screen with the browser's own text at twice its size."""
    session = phone.context.new_cdp_session(phone.page)
    session.send("Page.setFontSizes", {"fontSizes": {"standard": 2 * USUAL_PX}})
    take_on(phone, SMALLEST)
    yield
    session.send("Page.setFontSizes", {"fontSizes": {"standard": USUAL_PX}})
    take_on(phone, LIGHT)
    session.detach()


def take_on(phone: Phone, look: Look) -> None:
    """Change scheme and width, as a person does who turns the phone or the light."""
    phone.page.emulate_media(color_scheme=look.scheme)
    phone.page.set_viewport_size({"width": look.width, "height": HEIGHT})


def axe_in(phone: Phone, *, is_whole: bool) -> list[str]:
    """Give what axe finds on the screen; little depends on the look: in the small size it is asked once.

    It goes through all that is hidden as well, several times, and asks hardly anything of it: in the small
    size what is hidden is empty to it. Each step of a check is seen when its screen comes.
    """
    if not phone.page.evaluate(HAS_AXE):  # once for all screens of a document
        phone.page.evaluate(AXE_SCRIPT)
    found: list[str] = phone.page.evaluate(AXE, [EXCEPT_CONTRAST, is_whole])
    return found


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
