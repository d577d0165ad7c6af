"""The benchmark: ratios measured in one run, printed as a table. deploy/check bench runs it."""

import gzip
import json
import random
import sqlite3
import subprocess
import tempfile
import time
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from fieldlog.clock import new_id
from fieldlog.engine import assess
from fieldlog.engine.families import FAMILIES
from fieldlog.engine.instruments import lamp_volts, meter_readings
from fieldlog.engine.wiring import circuit
from fieldlog.engine.world import sampled_world
from fieldlog.rulebook import PATH, compiled_bytes, load
from fieldlog.store import migrations
from fieldlog.store.session import open_store
from fieldlog.sync.inbox import Inbox
from fieldlog.web.people.accounts import create_account
from tests import simulated
from tests.builders import an_arrival_check
from tests.node import ROOT, node_program
from tests.world_ranges import world_ranges

SEED = 31
Row = tuple[str, float, str]


def seconds(act: Callable[[], object]) -> float:
    began = time.perf_counter()
    act()
    return time.perf_counter() - began


def median_of_5(act: Callable[[], object]) -> float:
    return sorted(seconds(act) for _ in range(5))[2]


KINDS = (
    ("three-wire", "meter"),
    ("three-wire", "lamps"),
    ("three-wire", "meter+load"),
    ("three-wire", "meter+low"),
    ("split-phase", "low-meter"),
)
"""A mix of what people read: most by one meter, some with lamps, a load, both meters, and a 14-50."""


def mixed_checks(count: int) -> list[dict[str, Any]]:
    rng = random.Random(SEED)
    return [one_check(rng, *KINDS[number % len(KINDS)]) for number in range(count)]


def one_check(rng: random.Random, family: str, reading: str) -> dict[str, Any]:
    truths = list(simulated.THREE_WIRE if family == "three-wire" else simulated.SPLIT_PHASE)
    site = simulated.drawn_site(rng, rng.choice(truths), family=family)
    return simulated.drawn_check(rng, site, reading)


def solve_every_wiring(worlds: int = 160) -> None:
    """Do at one check what the rulebook saves: solve every named wiring over the plausible world."""
    ranges, family = world_ranges(), FAMILIES["three-wire"]
    for named in family.named:
        for index in range(1, worlds + 1):
            world = sampled_world(index, ranges, low_impedance=False)
            wiring = named.variants[0]
            meter_readings(wiring, world, family.pairs)
            lamp_volts(circuit(wiring, world), family.lamp_pairs, [world.lamp_ohms] * len(family.lamp_pairs))


def assessing() -> list[Row]:
    checks = mixed_checks(500)
    one_check = median_of_5(lambda: [assess(check, load()) for check in checks]) / len(checks)
    solving = seconds(solve_every_wiring)
    size = len(gzip.compress(PATH.read_bytes(), mtime=0))
    return [
        ("a check judged in Python", one_check, f"{1 / one_check:.0f} a second; goal 2000"),
        ("the same, solving every circuit", solving, f"{solving / one_check:.0f} x slower; goal 200"),
        ("a check judged in Node", judged_in_node(checks), "see below"),
        ("the rulebook compiled", seconds(compiled_bytes), f"{size} bytes gzipped; goal 60,000"),
    ]


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


def keeping() -> list[Row]:
    """Keep records through the inbox in hundreds and, in the same run, as rows with a FULL commit each."""
    with tempfile.TemporaryDirectory() as folder:
        records = [an_arrival_check(id=new_id()) for _ in range(1000)]
        through_inbox = seconds(lambda: keep_through_inbox(Path(folder), records)) / len(records)
        raw = seconds(lambda: keep_raw(Path(folder), records)) / len(records)
    return [
        ("a record kept raw, one commit each", raw, "1"),
        ("a record kept by the inbox, in hundreds", through_inbox, f"{raw / through_inbox:.2f} of its rate"),
    ]


def keep_through_inbox(folder: Path, records: Sequence[dict[str, Any]]) -> None:
    store = open_store(f"sqlite:///{folder / 'inbox.sqlite3'}")
    migrations.upgrade(store)
    now = datetime(2026, 11, 25, 12, tzinfo=UTC)
    account = create_account(store, "Kim", "rain on the awning", now=lambda: now, new_id=new_id)
    inbox = Inbox(store, load(), account)
    for start in range(0, len(records), 100):
        receipts = inbox.receive(records[start : start + 100], now)
        assert all(receipt.status == "stored" for receipt in receipts)
    store.close()


def keep_raw(folder: Path, records: Sequence[dict[str, Any]]) -> None:
    raw = sqlite3.connect(folder / "raw.sqlite3", isolation_level=None)
    raw.execute("PRAGMA journal_mode=WAL")
    raw.execute("PRAGMA synchronous=FULL")
    raw.execute("CREATE TABLE records (id TEXT PRIMARY KEY, body TEXT)")
    for record in records:
        raw.execute("INSERT INTO records VALUES (?, ?)", (record["id"], json.dumps(record)))
    raw.close()


def main() -> None:
    print(f"seed {SEED}\n")
    print(f"{'what':44} {'ms':>10}  ratio in this run")
    for what, spent, ratio in (*assessing(), *keeping()):
        print(f"{what:44} {1000 * spent:10.3f}  {ratio}")


if __name__ == "__main__":
    main()
