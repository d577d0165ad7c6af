"""How soon a page of the field shows what it is for on a phone with 5,000 records, beside one with 50."""

import random
from collections.abc import Iterator
from statistics import median
from typing import Any, Final

from playwright.sync_api import Browser

from fieldlog.model.canonical import sha256_hex
from tests.bench_long_log import one_more
from tests.bench_rows import Limit, Row
from tests.browser.phone import Phone
from tests.browser.served import Server, a_phone, another_tab, visit
from tests.builders import a_device, a_rig, an_outlet
from tests.felt import SLOWED

FEW: Final = 50
MANY: Final = 5_000
RUNS: Final = 7
SEED: Final = 16
NO_SLOWER: Final = Limit(most=1.3)
SHOWS: Final = {
    "/": ["fl-due:not([hidden]) .due-card", "fl-checks .check-card"],
    "/round#rig={rig}": ["fl-round h2, fl-round .due-card"],
    "/sites": ["fl-sites .check-card"],
    "/phone#find": ["fl-find details[open]"],
    "/outlets/{outlet}": ["fl-outlet-story .story__test"],
}
"""What a page is for, by its address; each has to be on screen."""

KEEP: Final = """async ({ rows, account }) => {
  const { together } = await import("/static/js/outbox/db.js");
  const { make } = await import("/static/js/outbox/gathering.js");
  await together(["records", "kept"], "readwrite", ({ records, kept }) => {
    for (const row of rows) records.put(row);
    kept.put(account, "account");
  });
  await make(); // as the first page that finds more than a few rows does, two seconds later
}"""

# Notes when all of it is on screen, from the start of the navigation.
WATCH: Final = """(() => {
  const look = () => {
    const all = %s.map((each) => document.querySelector(each));
    if (!all.every((each) => each?.checkVisibility())) requestAnimationFrame(look);
    else document.documentElement.dataset.readyMs = performance.now();
  };
  requestAnimationFrame(look);
})()"""


def rows(browser: Browser, server: Server) -> Iterator[Row]:
    """Give a row a page: how much later it shows what it is for, without the server."""
    with a_phone(browser, server) as few, a_phone(browser, server) as many:
        rigs = {}
        for phone, count in ((few, FEW), (many, MANY)):
            visit(phone)
            rigs[phone] = filled(phone, count)
        server.stop()
        for path, shown in SHOWS.items():
            pages = [(phone, path.format(**rigs[phone])) for phone in (few, many)]
            yield Row(
                f"{path}, {MANY:,} records on the phone beside {FEW}",
                list(later(pages, shown)),
                "times",
                limits=[NO_SLOWER],
                is_listed=True,
            )
    server.start()


def filled(phone: Phone, count: int) -> dict[str, str]:
    """Keep ten years of a rig on a phone, all of it confirmed; give its rig and the first of its outlets."""
    records = drawn(random.Random(SEED), count)
    seen = [kept_row(record, seq) for seq, record in enumerate(records, 1)]
    phone.page.evaluate(KEEP, {"rows": seen, "account": "Kim"})
    return {"rig": records[0]["id"], "outlet": next(one["id"] for one in records if one["kind"] == "outlet")}


def drawn(rng: random.Random, count: int) -> list[dict[str, Any]]:
    """Draw a rig of eight outlets and four devices, and what was done with it."""
    rig = a_rig()
    devices = [a_device(rig["id"], f"Device {number}") for number in range(4)]
    outlets = [an_outlet(rig["id"], f"Outlet {number}", devices[number % 4]["id"]) for number in range(8)]
    made = [rig, *devices, *outlets]
    while len(made) < count:
        made += one_more(rng, rig["id"], [each["id"] for each in devices], [each["id"] for each in outlets])
    return made[:count]


def kept_row(record: dict[str, Any], seq: int) -> dict[str, Any]:
    """Give a record as a phone keeps it that the server has confirmed."""
    row = {"id": record["id"], "record": record, "hash": sha256_hex(record), "saved": "server"}
    return row | {
        "account": "Kim",
        "problems": [],
        "seq": seq,
        "flags": [],
        "log": record["rig"],
        "position": seq,
    }


def later(pages: list[tuple[Phone, str]], shown: list[str]) -> Iterator[float]:
    """Open both in turns, so that what else the machine does falls on both; give a ratio for each third."""
    for phone, path in pages:
        ready_ms(phone, path, shown)
    for _ in range(3):
        few, many = zip(
            *([ready_ms(phone, path, shown) for phone, path in pages] for _ in range(RUNS)), strict=True
        )
        yield median(many) / median(few)


def ready_ms(phone: Phone, path: str, shown: list[str]) -> float:
    """Open a page on a slowed phone, and give when all of it is on screen [ms]."""
    tab = another_tab(phone)
    tab.page.add_init_script(WATCH % shown)
    tab.context.new_cdp_session(tab.page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
    tab.open(path)
    tab.page.locator("html[data-ready-ms]").wait_for()
    taken = float(tab.page.locator("html").get_attribute("data-ready-ms") or "nan")
    tab.page.close()
    return taken
