"""Records kept through the API in hundreds and, in the same run, as raw rows with a FULL commit each."""

import json
import random
import sqlite3
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path
from typing import Any, Final

from flask.testing import FlaskClient

from fieldlog.engine import assess
from fieldlog.model.measured import check_input
from fieldlog.rulebook import load
from fieldlog.store.accounts import open_session
from tests.bench_rows import Limit, Row, timed
from tests.bench_store import installation
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
from tests.calibration import beside, ms_of, sync_turn_ms

SEED: Final = 31
MONTHS: Final = 56
MIX: Final = "4 arrivals a month, each instrument, check and plug-in; 2 trip and 4 outlet tests"


def rows() -> Iterator[Row]:
    """Give the rows of the inbox. Handing in is computing, a raw row waits for the disk."""
    records = a_season(random.Random(SEED), MONTHS)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        computing = beside(partial(ms_of_api, folder, records, time.process_time))
        raw = beside(partial(ms_of_raw, folder, records), partial(sync_turn_ms, folder))
        handed_in = [ms_of_api(folder, records, time.perf_counter) for _ in raw.ms]
    yield timed("a record handed in by the API, in hundreds", computing, "Python", is_listed=True)
    yield timed("  kept raw, one commit each, by the clock", raw, "syncs", has_goal=False)
    rates = [one / other for one, other in zip(raw.ms, handed_in, strict=True)]
    # A wish: handing in is computing, a raw row waits for the disk, so that the rate is lower where the disk
    # is fast or the processor slow. The goal is the row of turns above.
    wish = Limit(least=0.5, is_wish=True)
    yield Row("  the rate of the API beside raw rows", rates, "times", limits=[wish], is_listed=True)


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


def ms_of_api(folder: Path, records: Sequence[dict[str, Any]], clock: Callable[[], float]) -> float:
    """Post the records in hundreds to a new app that has taken some before; give the ms a record."""
    with tempfile.TemporaryDirectory(dir=folder) as name:
        return ms_of_posting(Path(name), records, clock)


def ms_of_posting(folder: Path, records: Sequence[dict[str, Any]], clock: Callable[[], float]) -> float:
    """Do so in an empty folder."""
    now = datetime(2026, 11, 25, 12, tzinfo=UTC)
    made = installation(folder, now)
    with made.store.writing() as tx:
        open_session(tx, made.account, "token", created_at=now, expires_at=now + timedelta(days=1))
    client = made.app.test_client()
    client.set_cookie("fieldlog", "token")
    bodies = [
        json.dumps({"records": records[start : start + 100], "sent_at": now.isoformat()})
        for start in range(0, len(records), 100)
    ]
    post_batch(client, bodies[0])
    taken = ms_of(lambda: list(map(partial(post_batch, client), bodies[1:])), clock) / (len(records) - 100)
    made.store.close()
    return taken


def post_batch(client: FlaskClient, body: str) -> None:
    headers = {"Sec-Fetch-Site": "same-origin"}
    answer = client.post("/api/records", data=body, content_type="application/json", headers=headers)
    assert answer.json is not None
    assert all(receipt["status"] == "stored" for receipt in answer.json["receipts"]), answer.json


def ms_of_raw(folder: Path, records: Sequence[dict[str, Any]]) -> float:
    """Insert the records into an empty table, one commit each; give the ms a record."""
    with tempfile.TemporaryDirectory(dir=folder) as name:
        raw = sqlite3.connect(Path(name) / "raw.sqlite3", isolation_level=None)
        raw.execute("PRAGMA journal_mode=WAL")
        raw.execute("PRAGMA synchronous=FULL")
        raw.execute("CREATE TABLE records (id TEXT PRIMARY KEY, body TEXT)")
        values = [(record["id"], json.dumps(record)) for record in records]
        taken = ms_of(
            lambda: [raw.execute("INSERT INTO records VALUES (?, ?)", each) for each in values],
            time.perf_counter,
        )
        raw.close()
    return taken / len(values)
