"""Figures of the pages on a phone: sizes, and how soon a page is there without the server.

deploy/check bench prints them. Sizes are those of gzip at its usual level, each file for itself.
"""

import gzip
import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path

from playwright.sync_api import Browser, sync_playwright

from tests.browser.conftest import SWITCHES
from tests.browser.phone import Phone
from tests.browser.served import Server, a_phone, another_tab, visit

SLOWED = 4
RUNS = 5
MOST = {"JavaScript": 60_000, "all together": 150_000}
MOST_MS = 1000

# Notes when what script shows is on screen and answers a finger, from the start of the navigation.
WATCH = """(() => {
  const look = () => {
    const shown = document.querySelector(
      "form[data-step]:not([hidden]) button, fl-checks .empty, fl-past-check .empty",
    );
    if (shown?.checkVisibility()) document.documentElement.dataset.readyMs = performance.now();
    else requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
})()"""


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
    return {**found, "all together": sum(packed.values())}


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
            _print_times(browser, server)
        finally:
            browser.close()
            server.close()


def _print_sizes(server: Server) -> None:
    print(f"\n{'what a phone keeps, gzipped':44} {'bytes':>10}  goal")
    for what, size in sizes(server.contents()).items():
        print(f"{what:44} {size:10,}  {_goal(size, MOST.get(what), 'bytes')}")


def _print_times(browser: Browser, server: Server) -> None:
    print(f"\n{f'interactive with the server dead, {SLOWED}x CPU':44} {'median ms':>10}  goal")
    with a_phone(browser, server) as phone:
        visit(phone)
        server.stop()
        for path in ("/", "/arrive", f"/checks/{'0' * 8}-0000-7000-8000-{'0' * 12}"):
            taken = sorted(ready_ms(phone, path) for _ in range(RUNS))
            print(f"{path[:44]:44} {taken[RUNS // 2]:10.0f}  {_goal(taken[RUNS // 2], MOST_MS, 'ms')}")
        _print_one(phone)


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
