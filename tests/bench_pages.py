"""Figures of the pages on a phone: sizes, how soon a page is there, how fast it answers, and outside scores.

deploy/check bench prints them. Sizes are those of gzip at its usual level, each file for itself.
"""

import gzip
import re
import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

from fieldlog.shell import PAGES, UNREACHED
from tests.browser.conftest import SWITCHES
from tests.browser.drawn_rigs import a_big_map
from tests.browser.phone import Phone, arrive_by_meter
from tests.browser.served import Server, a_phone, another_tab, visit
from tests.felt import (
    LARGEST_MS,
    NETWORK,
    Typing,
    a_new_phone,
    at_95_percent,
    first_visit,
    shifted,
    watch_answers,
)
from tests.outside_scores import PARTS, scores

SLOWED = 4
RUNS = 5
ONE_PAGE = "JavaScript that one page loads, the most"
NO_TABLES = "all but the tables"
MOST = {"JavaScript": 60_000, ONE_PAGE: 60_000, NO_TABLES: 150_000, "all together": 150_000}
SCRIPTS = re.compile(r'(?:modulepreload" href|<script[^>]* src)="(/static/[^"]+)"')
MOST_MS = 1000
MOST_ANSWER_MS = 100
DRAWN_PARTS = 60
MOST_DRAWING_MS = 50
LEAST_SCORE = 95
NONE_KEPT = f"/checks/{'0' * 8}-0000-7000-8000-{'0' * 12}"
FIELD_PAGES = sorted({*PAGES.values(), UNREACHED})

# Notes when what script shows is on screen and answers a finger, from the start of the navigation.
WATCH = """(() => {
  const look = () => {
    const shown = document.querySelector(
      "form[data-step]:not([hidden]) button, fl-checks .empty, fl-checks .check-card, " +
        "fl-past-check .empty, fl-past-check .verdict",
    );
    if (shown?.checkVisibility()) document.documentElement.dataset.readyMs = performance.now();
    else requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
})()"""

# Judges and draws a map again and again, each time up to its layout on the page.
DRAW = """async ({ map, runs }) => {
  const { protect } = await import("/static/js/engine/protect.js");
  const { show } = await import("/static/js/lib/html.js");
  const { rigDrawing } = await import("/static/js/rig/drawing.js");
  const { namesOf } = await import("/static/js/rig/words.js");
  const place = document.body.appendChild(document.createElement("div"));
  return Array.from({ length: runs }, () => {
    const begun = performance.now();
    const known = { ...protect(map)[""], names: namesOf(map), without: [], contradictions: [] };
    show(place, rigDrawing(map, known));
    place.getBoundingClientRect();
    return performance.now() - begun;
  });
}"""


def sizes(contents: Mapping[str, bytes]) -> dict[str, int]:
    """Give the gzipped bytes of each kind, and of all together; pictures are as they are."""
    kinds: dict[str, Callable[[str], bool]] = {
        "JavaScript": lambda path: path.endswith(".js"),
        "style sheets": lambda path: path.endswith(".css"),
        "the rulebook": lambda path: path == "/rulebook.json",
        "icons": lambda path: path.startswith("/static/icons/"),
        "pages and the rest": lambda path: not path.endswith((".js", ".css")) and "/icons/" not in path,
    }
    packed = {path: len(_packed(path, content)) for path, content in contents.items()}
    found = {kind: sum(size for path, size in packed.items() if is_of(path)) for kind, is_of in kinds.items()}
    found["pages and the rest"] -= found["the rulebook"]
    of_one_page = max(
        sum(packed[path] for path in SCRIPTS.findall(contents[page].decode())) for page in FIELD_PAGES
    )
    whole = sum(packed.values())
    return {
        **found,
        ONE_PAGE: of_one_page,
        NO_TABLES: whole - packed["/rulebook.json"] - packed["/rig-rules.json"],
        "all together": whole,
    }


def _packed(path: str, content: bytes) -> bytes:
    return content if path.endswith(".png") else gzip.compress(content, 6, mtime=0)


def ready_ms(phone: Phone, path: str) -> float:
    """Open a page on a slowed phone and give when it first answers a finger."""
    tab = another_tab(phone)
    tab.page.add_init_script(WATCH)
    tab.context.new_cdp_session(tab.page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
    tab.open(path)
    tab.page.locator("html[data-ready-ms]").wait_for()
    taken = float(tab.page.locator("html").get_attribute("data-ready-ms") or "nan")
    tab.page.close()
    return taken


def main() -> None:
    """Print the figures."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        server = Server(Path(folder))
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=SWITCHES)
        try:
            _print_sizes(server)
            _print_first_visits(browser, server)
            _print_answers(browser, server)
            _print_drawing(browser, server)
            _print_scores(server)
            _print_times(browser, server)
        finally:
            browser.close()
            server.close()


def _print_sizes(server: Server) -> None:
    print(f"\n{'what a phone keeps, gzipped':44} {'bytes':>10}  goal")
    for what, size in sizes(server.contents()).items():
        print(f"{what:44} {size:10,}  {_goal(size, MOST.get(what), 'bytes')}")


def _print_first_visits(browser: Browser, server: Server) -> None:
    print(f"\n{f'first visit at {NETWORK}, {SLOWED}x CPU':44} {'median ms':>10}  goal")
    for path in ("/", "/arrive"):
        visits = [first_visit(browser, server, path, SLOWED) for _ in range(RUNS)]
        seen = sorted(visit.largest_ms for visit in visits)[RUNS // 2]
        print(f"{f'{path}: its largest part is seen':44} {seen:10.0f}  {_goal(seen, LARGEST_MS, 'ms')}")
        moved = max(visit.shifted for visit in visits)
        print(f"{f'{path}: what moved by itself':44} {moved:10.3f}  {_goal(moved, 0, '')}")


def _print_answers(browser: Browser, server: Server) -> None:
    print(f"\n{f'an arrival check, typed and tapped, {SLOWED}x CPU':44} {'ms':>10}  goal")
    with a_new_phone(browser, server, SLOWED) as phone:
        watch_answers(phone)
        arrive_by_meter(Typing(phone))
        taken = at_95_percent(phone)
        goal = _goal(taken, MOST_ANSWER_MS, "ms")
        print(f"{'from a tap or key to its frame, at 95 %':44} {taken:10.0f}  {goal}")
        print(f"{'what moved by itself':44} {shifted(phone):10.3f}  {_goal(shifted(phone), 0, '')}")


def _print_drawing(browser: Browser, server: Server) -> None:
    print(f"\n{f'a rig of {DRAWN_PARTS} parts, judged and drawn':44} {'ms':>10}  goal")
    for slowed in (1, SLOWED):
        with a_new_phone(browser, server, slowed) as phone:
            phone.open("/")
            taken = phone.page.evaluate(DRAW, {"map": a_big_map(DRAWN_PARTS), "runs": RUNS})
        for name, found in (("the first", taken[0]), ("median", sorted(taken)[RUNS // 2])):
            goal = MOST_DRAWING_MS if slowed == 1 else None
            print(f"{f'{name}, {slowed}x CPU':44} {found:10.1f}  {_goal(found, goal, 'ms')}")


def _print_scores(server: Server) -> None:
    print(f"\n{'Lighthouse':44} {'score':>10}  goal")
    for path in FIELD_PAGES:
        for part, score in zip(PARTS, scores(server.address + path), strict=True):
            held = "held" if score >= LEAST_SCORE else "MISSED"
            print(f"{f'{path}: {part}':44} {score:10.0f}  {held}: at least {LEAST_SCORE}")


def _print_times(browser: Browser, server: Server) -> None:
    print(f"\n{f'interactive with the server dead, {SLOWED}x CPU':44} {'median ms':>10}  goal")
    with a_phone(browser, server) as phone:
        visit(phone)
        server.stop()
        for path in ("/", "/arrive", NONE_KEPT):
            _print_ready(phone, path[:44], path)
        arrive_by_meter(phone)
        phone.expect_saved("phone")
        phone.open("/")
        check = phone.find(".check-card").first.get_attribute("href") or ""
        _print_ready(phone, "/, one check kept", "/")
        _print_ready(phone, "that check", check)
        _print_ready(phone, "/arrive, gone on with at the verdict", "/arrive#verdict")
        _print_one(phone)


def _print_ready(phone: Phone, name: str, path: str) -> None:
    taken = sorted(ready_ms(phone, path) for _ in range(RUNS))[RUNS // 2]
    print(f"{name:44} {taken:10.0f}  {_goal(taken, MOST_MS, 'ms')}")


def _print_one(phone: Phone) -> None:
    hosts = phone.page.evaluate(
        "() => performance.getEntriesByType('resource')"
        ".filter((each) => new URL(each.name).origin !== origin).length"
    )
    print(f"{'requests to anybody else':44} {hosts:10}  {_goal(hosts, 0, '')}")


def _goal(found: float, most: float | None, unit: str) -> str:
    if most is None:
        return ""
    return f"{'held' if found <= most else 'MISSED'}: at most {most:,} {unit}".rstrip()


if __name__ == "__main__":
    main()
