"""The benchmark of engine and inbox, as a table with its goals. deploy/check bench runs it."""

import gzip
import json
import random
import sqlite3
import subprocess
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path
from typing import Any

from flask.testing import FlaskClient
from playwright.sync_api import sync_playwright

from fieldlog.app import create_app
from fieldlog.clock import new_id
from fieldlog.config import Config
from fieldlog.engine import assess
from fieldlog.engine.families import FAMILIES
from fieldlog.engine.instruments import lamp_volts, meter_readings
from fieldlog.engine.wiring import circuit
from fieldlog.engine.world import sampled_world
from fieldlog.model.measured import check_input
from fieldlog.rulebook import PATH, compiled_bytes, load
from fieldlog.store.accounts import open_session
from fieldlog.web.people.accounts import create_account
from tests import simulated
from tests.bench_rig import MOST_MS, rig_figures
from tests.browser.conftest import SWITCHES
from tests.browser.served import Server, a_phone
from tests.builders import (
    a_check,
    a_device,
    a_meter,
    a_plug_in,
    a_rig,
    a_trip_test,
    an_arrival_check,
    an_outlet,
    an_outlet_test,
)
from tests.node import ROOT, node_program
from tests.world_ranges import world_ranges

SEED = 31
SLOWED = 4
KINDS = {
    "three wires, meter": ("three-wire", "meter"),
    "three wires, lamps": ("three-wire", "lamps"),
    "three wires, under load": ("three-wire", "meter+load"),
    "three wires, two sets": ("three-wire", "meter+low"),
    "14-50, meter": ("split-phase", "low-meter"),
}
"""A mix of what people read: most by one meter, some with lamps, a load, both meters, and a 14-50."""
WORLDS = 160


@dataclass(frozen=True)
class Row:
    """One figure and its goal, the least or the most that it should be."""

    what: str
    figure: float
    unit: str
    least: float | None = None
    most: float | None = None

    @property
    def goal(self) -> str:
        """Say the goal, and whether it is held."""
        if self.least is not None:
            return f"{'held' if self.figure >= self.least else 'MISSED'}: at least {self.least:,g}"
        if self.most is not None:
            return f"{'held' if self.figure <= self.most else 'MISSED'}: at most {self.most:,g}"
        return ""


def seconds(act: Callable[[], object]) -> float:
    began = time.perf_counter()
    act()
    return time.perf_counter() - began


def median_of_5(act: Callable[[], object]) -> float:
    return sorted(seconds(act) for _ in range(5))[2]


def mixed_checks(each: int) -> dict[str, list[dict[str, Any]]]:
    rng = random.Random(SEED)
    return {what: [one_check(rng, *kind) for _ in range(each)] for what, kind in KINDS.items()}


def one_check(rng: random.Random, family: str, reading: str) -> dict[str, Any]:
    truths = list(simulated.THREE_WIRE if family == "three-wire" else simulated.SPLIT_PHASE)
    site = simulated.drawn_site(rng, rng.choice(truths), family=family)
    return simulated.drawn_check(rng, site, reading)


def solve_every_wiring() -> None:
    """Do at one check what the rulebook saves: solve every named wiring over the plausible world."""
    ranges, family = world_ranges(), FAMILIES["three-wire"]
    for named in family.named:
        for index in range(1, WORLDS + 1):
            world = sampled_world(index, ranges, low_impedance=False)
            wiring = named.variants[0]
            meter_readings(wiring, world, family.pairs)
            lamp_volts(circuit(wiring, world), family.lamp_pairs, [world.lamp_ohms] * len(family.lamp_pairs))


def assessing() -> Iterator[Row]:
    kinds = mixed_checks(100)
    checks = [check for each in kinds.values() for check in each]
    by_kind = {what: judging_seconds(each) for what, each in kinds.items()}
    one_check = judging_seconds(checks)
    yield Row("checks judged in Python, the mix", 1 / one_check, "a second", least=2000)
    for what, taken in by_kind.items():
        yield Row(f"  {what}", 1000 * taken, "ms a check")
    solving = seconds(solve_every_wiring)
    yield Row("solving every circuit at each check", solving / one_check, "x slower", least=200)
    yield Row("a check judged in Node", 1000 * judged_in_node(checks), "ms")
    first_ms, one_ms = judged_in_chromium_ms(checks)
    yield Row(f"a check judged in Chromium, {SLOWED}x CPU", one_ms, "ms", most=5)
    yield Row("  the first, which opens the rulebook", first_ms, "ms")
    yield Row("the rulebook compiled", seconds(compiled_bytes), "s")
    yield Row("the rulebook, gzipped", len(gzip.compress(PATH.read_bytes(), mtime=0)), "bytes", most=60_000)


def mapping() -> Iterator[Row]:
    """Rigs: how soon a large one is judged, with ever more of it otherwise than noted."""
    figures = rig_figures()
    for wrong, taken in figures.by_wrong.items():
        what = f"a rig of 102 parts and 20 trips, {wrong} of it otherwise"
        yield Row(what, taken, "ms", most=MOST_MS)
    yield Row("  asking a graph for each answer instead", figures.graph_ratio, "x slower", least=10)


def judging_seconds(checks: Sequence[dict[str, Any]]) -> float:
    return median_of_5(lambda: [assess(check, load()) for check in checks]) / len(checks)


def judged_in_node(checks: Sequence[dict[str, Any]]) -> float:
    script = """
import { readFileSync } from "node:fs";
import { assess } from "./static/js/engine/assess.js";
const rulebook = JSON.parse(readFileSync("schemas/rulebook.json", "utf8"));
const checks = JSON.parse(readFileSync(0, "utf8"));
const times = [];
for (let run = 0; run < 6; run += 1) {
  const began = performance.now();
  for (const check of checks) assess(check, rulebook);
  times.push((performance.now() - began) / checks.length / 1000);
}
console.log(times.slice(1).sort((a, b) => a - b)[2]);
"""
    done = subprocess.run(
        [node_program(), "--input-type=module", "-e", script],
        input=json.dumps(checks),
        capture_output=True,
        text=True,
        check=True,
        cwd=ROOT,
    )
    return float(done.stdout)


def judged_in_chromium_ms(checks: Sequence[dict[str, Any]]) -> tuple[float, float]:
    """Judge on a slowed phone: the very first check, and the median of five runs after one that warms up."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        server = Server(Path(folder))
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=SWITCHES)
        try:
            with a_phone(browser, server) as phone:
                phone.open("/arrive")
                session = phone.context.new_cdp_session(phone.page)
                session.send("Emulation.setCPUThrottlingRate", {"rate": SLOWED})
                first, one = phone.page.evaluate(JUDGE, list(checks))
                return float(first), float(one)
        finally:
            browser.close()
            server.close()


JUDGE = """async (checks) => {
  const { assess } = await import("/static/js/engine/assess.js");
  const rulebook = await (await fetch("/rulebook.json")).json();
  const taken = (some) => {
    const began = performance.now();
    for (const check of some) assess(check, rulebook);
    return (performance.now() - began) / some.length;
  };
  const first = taken(checks.slice(0, 1));
  taken(checks);
  const times = Array.from({ length: 5 }, () => taken(checks));
  return [first, times.sort((a, b) => a - b)[2]];
}"""


def keeping() -> Iterator[Row]:
    """Keep records through the API in hundreds and, in the same run, as rows with a FULL commit each."""
    records = a_season(random.Random(SEED), 56)
    with tempfile.TemporaryDirectory() as folder:
        raw = seconds_of_raw(Path(folder), records)
        with_api = seconds_of_api(Path(folder), records)
    yield Row("a record kept raw, one commit each", 1000 * raw, "ms")
    yield Row("a record handed in by the API, in hundreds", 1000 * with_api, "ms")
    yield Row("  its rate beside the raw one", raw / with_api, "x", least=0.5)


MIX = "4 arrivals a month, each instrument, check and plug-in; 2 trip and 4 outlet tests"


def a_season(rng: random.Random, months: int) -> list[dict[str, Any]]:
    """Give a rig, and what is noted with it month by month; every check was judged by the rulebook of now."""
    rig = a_rig()
    devices = [a_device(rig["id"]) for _ in range(2)]
    outlets = [an_outlet(rig["id"], guard=device["id"]) for device in devices for _ in range(2)]
    records = [rig, *devices, *outlets]
    for _ in range(months):
        for _ in range(4):
            meter = a_meter()
            arrival = judged_now(an_arrival_check(read(rng, "TT-30"), rig=rig["id"], instrument=meter["id"]))
            records += [meter, arrival, a_plug_in(arrival["id"], rig=rig["id"], instrument=meter["id"])]
        records += [a_trip_test(rig["id"], device["id"]) for device in devices]
        records += [
            judged_now(an_outlet_test(rig["id"], outlet["id"], read(rng, "5-15", where="rig")))
            for outlet in outlets
        ]
    return records


def read(rng: random.Random, outlet: str, **members: Any) -> dict[str, Any]:
    """Give the readings of an outlet with right wiring, other ones at each call."""
    volts, rise = rng.uniform(114, 125), rng.uniform(0, 0.9)
    shown = {"h-n": f"{volts:.1f} V", "h-g": f"{volts - rise:.1f} V", "n-g": f"{rise:.1f} V"}
    return a_check(outlet=outlet, volts=shown, **members)


def judged_now(record: dict[str, Any]) -> dict[str, Any]:
    answer = assess(check_input(record["body"]["check"]), load())
    said = {"verdict": answer["verdict"], "rulebook": answer["rulebook"], "first": answer["faults"][0]["id"]}
    return {**record, "body": {**record["body"], "judgement": said}}


def seconds_of_api(folder: Path, records: Sequence[dict[str, Any]]) -> float:
    """Post the records in hundreds to an app that has taken some before; give the seconds a record."""
    now = datetime(2026, 11, 25, 12, tzinfo=UTC)
    url = f"sqlite:///{folder / 'fieldlog.sqlite3'}"
    app = create_app(Config(data=folder, database_url=url), now=lambda: now)
    store = app.extensions["fieldlog"].store
    account = create_account(store, "Kim", "rain on the awning", now=lambda: now, new_id=new_id)
    with store.writing() as tx:
        open_session(tx, account, "token", created_at=now, expires_at=now + timedelta(days=1))
    client = app.test_client()
    client.set_cookie("fieldlog", "token")
    bodies = [
        json.dumps({"records": records[start : start + 100], "sent_at": now.isoformat()})
        for start in range(0, len(records), 100)
    ]
    post_batch(client, bodies[0])
    taken = seconds(lambda: list(map(partial(post_batch, client), bodies[1:]))) / (len(records) - 100)
    store.close()
    return taken


def post_batch(client: FlaskClient, body: str) -> None:
    headers = {"Sec-Fetch-Site": "same-origin"}
    answer = client.post("/api/records", data=body, content_type="application/json", headers=headers)
    assert answer.json is not None
    assert all(receipt["status"] == "stored" for receipt in answer.json["receipts"]), answer.json


def seconds_of_raw(folder: Path, records: Sequence[dict[str, Any]]) -> float:
    raw = sqlite3.connect(folder / "raw.sqlite3", isolation_level=None)
    raw.execute("PRAGMA journal_mode=WAL")
    raw.execute("PRAGMA synchronous=FULL")
    raw.execute("CREATE TABLE records (id TEXT PRIMARY KEY, body TEXT)")
    rows = [(record["id"], json.dumps(record)) for record in records]
    taken = seconds(lambda: [raw.execute("INSERT INTO records VALUES (?, ?)", row) for row in rows]) / len(
        rows
    )
    raw.close()
    return taken


def main() -> None:
    print(f"seed {SEED}, median of 5 runs where many are made\n")
    print(f"{'what':44} {'figure':>10} {'unit':10}  goal")
    for row in (*assessing(), *mapping(), *keeping()):
        print(f"{row.what:44} {row.figure:10,.6g} {row.unit:10}  {row.goal}".rstrip())
    print(f"\nhanded in: {MIX}")


if __name__ == "__main__":
    main()
