"""Figures of the pages on a phone: sizes, how soon a page is there, how fast it answers, and outside scores.

Sizes are packed as the server packs them, each file for itself. Times are those of a page at 4x CPU slowdown
where nothing else is said.
"""

import gzip
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from statistics import median

from playwright.sync_api import Browser

from fieldlog.shell import UNREACHED
from fieldlog.web.use_cases import kept_pages
from tests.bench_rows import Limit, Promise, Row, timed
from tests.browser.drawn_rigs import a_big_map
from tests.browser.phone import Phone, arrive_by_meter
from tests.browser.served import Server, a_phone, another_tab, visit
from tests.calibration import RUNS, Taken, page_loop, page_turn_ms
from tests.felt import (
    NETWORK,
    SLOWED,
    Typing,
    a_new_phone,
    at_95_percent,
    first_visit,
    shifted,
    watch_answers,
)
from tests.outside_scores import PARTS, scores

ONE_PAGE = "script that one page loads, the most"
NO_TABLES = "all that a phone keeps but the tables"
ALL = "all that a phone keeps, tables included"
RULEBOOK = "the rulebook"
LIMITS = {
    RULEBOOK: [Limit(most=90_000)],
    ONE_PAGE: [Limit(most=48_000, is_wish=True), Limit(most=60_000)],
    ALL: [Limit(most=354_000)],
}
SCRIPTS = re.compile(r'(?:modulepreload" href|<script[^>]* src)="(/static/[^"]+)"')
# Two answers after 150 ms each; page, sheet and script, packed, are 38,000 (/) and 50,000 bytes (/arrive).
SEEN = Promise(most_ms=1800, network_ms=500)
READY = Promise(most_ms=1000)
ANSWERED = Promise(most_ms=100)
DRAWN_PARTS = 60
DRAWN = Promise(most_ms=50)
SLOWED_LOOP = page_loop(SLOWED)
LEAST_SCORE = 95
NONE_KEPT = f"/checks/{'0' * 8}-0000-7000-8000-{'0' * 12}"
FIELD_PAGES = sorted({*kept_pages().values(), UNREACHED})

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
        RULEBOOK: lambda path: path == "/rulebook.json",
        "icons": lambda path: path.startswith("/static/icons/"),
        "pages and the rest": lambda path: not path.endswith((".js", ".css")) and "/icons/" not in path,
    }
    packed = {path: len(_packed(path, content)) for path, content in contents.items()}
    found = {kind: sum(size for path, size in packed.items() if is_of(path)) for kind, is_of in kinds.items()}
    found["pages and the rest"] -= found[RULEBOOK]
    of_one_page = max(
        sum(packed[path] for path in SCRIPTS.findall(contents[page].decode())) for page in FIELD_PAGES
    )
    whole = sum(packed.values())
    return {
        **found,
        ONE_PAGE: of_one_page,
        NO_TABLES: whole - packed["/rulebook.json"] - packed["/rig-rules.json"],
        ALL: whole,
    }


def _packed(path: str, content: bytes) -> bytes:
    return content if path.endswith(".png") else gzip.compress(content, 9, mtime=0)


def rows(browser: Browser, server: Server) -> Iterator[Row]:
    """Give the rows of the pages; the server is dead afterwards."""
    yield from _sizes(server)
    yield from _first_visits(browser, server)
    yield from _answers(browser, server)
    yield from _drawings(browser, server)
    yield from _scores(server)
    yield from _ready(browser, server)


def _sizes(server: Server) -> Iterator[Row]:
    for what, size in sizes(server.contents()).items():
        limits = LIMITS.get(what, ())
        yield Row(f"{what}, gzipped", [size], "bytes", limits=limits, is_listed=bool(limits))


def _first_visits(browser: Browser, server: Server) -> Iterator[Row]:
    for path in ("/", "/arrive"):
        visits = [first_visit(browser, server, path, SLOWED) for _ in range(RUNS)]
        taken = Taken(tuple(one.largest_ms for one in visits), tuple(one.turn_ms for one in visits))
        what = f"first visit of {path} at {NETWORK}: largest part"
        # The network, slowed alike on every machine, takes most of it: turns would be no goal.
        yield timed(what, taken, SLOWED_LOOP, SEEN, has_goal=False, is_listed=True)
        yield _moved(f"  {path}: what moved by itself", [one.shifted for one in visits])


def _answers(browser: Browser, server: Server) -> Iterator[Row]:
    ms, turns, moved = list[float](), list[float](), list[float]()
    for _ in range(RUNS):
        with a_new_phone(browser, server, SLOWED) as phone:
            watch_answers(phone)
            arrive_by_meter(Typing(phone))
            ms.append(at_95_percent(phone))
            moved.append(shifted(phone))
            turns.append(page_turn_ms(phone.page))
    taken = Taken(tuple(ms), tuple(turns))
    yield timed("from a tap or key to its frame, at 95 %", taken, SLOWED_LOOP, ANSWERED, is_listed=True)
    yield _moved("  an arrival check: what moved by itself", moved)


def _moved(what: str, shifts: Sequence[float]) -> Row:
    return Row(what, [max(shifts)], "", limits=[Limit(most=0)])


def _drawings(browser: Browser, server: Server) -> Iterator[Row]:
    for slowed, promise in ((1, DRAWN), (SLOWED, None)):
        first, median_of, turns = list[float](), list[float](), list[float]()
        for _ in range(RUNS):
            with a_new_phone(browser, server, slowed) as phone:
                phone.open("/")
                before = page_turn_ms(phone.page)
                drawn = phone.page.evaluate(DRAW, {"map": a_big_map(DRAWN_PARTS), "runs": RUNS})
                turns.append((before + page_turn_ms(phone.page)) / 2)
            first.append(float(drawn[0]))
            median_of.append(float(median(drawn)))
        for which, ms in (("first", first), ("median", median_of)):
            what = f"a drawing of {DRAWN_PARTS} parts, {slowed}x CPU, the {which}"
            taken = Taken(tuple(ms), tuple(turns))
            yield timed(what, taken, page_loop(slowed), promise, is_listed=slowed == 1)


def _scores(server: Server) -> Iterator[Row]:
    for path in FIELD_PAGES:
        for part, score in zip(PARTS, scores(server.address + path), strict=True):
            yield Row(f"Lighthouse, {path}: {part}", [score], "", limits=[Limit(least=LEAST_SCORE)])


def _ready(browser: Browser, server: Server) -> Iterator[Row]:
    """Open pages with the server dead, and give when they first answer a finger."""
    with a_phone(browser, server) as phone:
        visit(phone)
        server.stop()
        for path in ("/", "/arrive", NONE_KEPT):
            yield _ready_at(phone, path[:16], path)
        arrive_by_meter(phone)
        phone.expect_saved("phone")
        phone.open("/")
        check = phone.find(".check-card").first.get_attribute("href") or ""
        yield _ready_at(phone, "/ with one check kept", "/")
        yield _ready_at(phone, "that check", check)
        yield _ready_at(phone, "/arrive, gone on with at the verdict", "/arrive#verdict")
        yield Row("requests to anybody else", [_elsewhere(phone)], "", limits=[Limit(most=0)])


def _ready_at(phone: Phone, name: str, path: str) -> Row:
    runs = [_ready_ms(phone, path) for _ in range(RUNS)]
    taken = Taken(tuple(ms for ms, _ in runs), tuple(turn for _, turn in runs))
    what = f"without the server, {name}"
    return timed(what, taken, SLOWED_LOOP, READY, is_listed=True)


def _ready_ms(phone: Phone, path: str) -> tuple[float, float]:
    """Open a page on a slowed phone; give when it first answers a finger, and a turn in it [ms]."""
    tab = another_tab(phone)
    tab.page.add_init_script(WATCH)
    tab.context.new_cdp_session(tab.page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
    tab.open(path)
    tab.page.locator("html[data-ready-ms]").wait_for()
    taken = float(tab.page.locator("html").get_attribute("data-ready-ms") or "nan")
    turn = page_turn_ms(tab.page)
    tab.page.close()
    return taken, turn


def _elsewhere(phone: Phone) -> int:
    return int(
        phone.page.evaluate(
            "() => performance.getEntriesByType('resource')"
            ".filter((each) => new URL(each.name).origin !== origin).length"
        )
    )
