"""What a rig of 20,000 records costs: its page, the history, and its record as a PDF."""

import os
import random
import sys
import tempfile
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta, timezone
from functools import partial
from pathlib import Path
from typing import Any, Final

from flask.testing import FlaskClient

from fieldlog.store.accounts import open_session
from fieldlog.tables import entries
from tests.bench_rows import Limit, Promise, Row, timed
from tests.bench_store import Installation, installation
from tests.builders import (
    a_change,
    a_device,
    a_look,
    a_photo,
    a_plug_in,
    a_proof,
    a_rig,
    a_round,
    a_trip_test,
    an_arrival_check,
    an_outlet,
    an_outlet_test,
)
from tests.calibration import Taken, beside, middle_ms, python_turn_ms

COUNT: Final = 20_000
YEARS: Final = 10
SEED: Final = 1
NOW: Final = datetime(2026, 11, 25, 12, tzinfo=UTC)
THERE: Final = timezone(timedelta(hours=-6))
PAGE: Final = Promise(most_ms=100)
PDF: Final = Promise(most_ms=10_000)
MOST_MB: Final = 400
PDF_RUNS: Final = 2
FIELDLOG: Final = (sys.executable, "-c", "from fieldlog.cli import main; main()")
TOKEN: Final = "token"  # of a session that no other than this bench has


def rows() -> Iterator[Row]:
    """Give the rows of a long log."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        made = installation(folder, NOW)
        rig = fill(made)
        client = made.app.test_client()
        client.set_cookie("fieldlog", TOKEN)
        for what, path in (
            ("a page of a rig", f"/rigs/{rig}"),
            ("  the first page of its history", "/history"),
        ):
            taken = beside(partial(middle_ms, partial(got, client, path)))
            yield timed(f"{what} with 20,000 records", taken, "Python", PAGE, is_listed=True)
        made.store.close()
        yield from _pdf(folder, made.url, rig)


def fill(made: Installation, count: int = COUNT, token: str = TOKEN) -> str:
    """Write ten years of tests, looks, photos, arrivals and proofs of changes; give the id of the rig."""
    records = drawn(random.Random(SEED), count)
    with made.store.writing() as tx:
        open_session(tx, made.account, token, created_at=NOW, expires_at=NOW + timedelta(days=1))
    made.fill(records)
    return str(records[0]["id"])


def drawn(rng: random.Random, count: int = COUNT) -> list[dict[str, Any]]:
    """Draw the records: ten outlets, four devices, forty changes with two proofs of each step."""
    rig = a_rig()
    devices = [a_device(rig["id"], f"Device {number}")["id"] for number in range(4)]
    things = [a_device(rig["id"], f"Device {number}", id=device) for number, device in enumerate(devices)]
    outlets = [an_outlet(rig["id"], f"Outlet {number}", devices[number % 4]) for number in range(10)]
    changes = [a_change(rig["id"], rng.choice(outlets)["id"], observed_at=_day(rng)) for _ in range(40)]
    made = [rig, *things, *outlets, *changes]
    for change in changes:
        for step in [str(rule["id"]) for rule in entries("facts/proving.json")[:8]] * 2:
            proof = a_proof(rig["id"], change["id"], observed_at=_day(rng))
            made.append(proof | {"body": proof["body"] | {"step": step}})
    while len(made) < count:
        made += one_more(rng, rig["id"], devices, [outlet["id"] for outlet in outlets])
    return made[:count]


def one_more(rng: random.Random, rig: str, devices: list[str], outlets: list[str]) -> list[dict[str, Any]]:
    what = rng.random()
    members: dict[str, Any] = {"observed_at": _day(rng)}
    if what < 0.5:
        return [an_outlet_test(rig, rng.choice(outlets), **members)]
    if what < 0.7:
        device = rng.randrange(4)
        trip = a_trip_test(rig, devices[device], **members)
        dead = {"dead": outlets[device::4], "not_tested": []} if rng.random() < 0.3 else {}
        return [trip | {"body": trip["body"] | dead}]
    if what < 0.8:
        return [a_look(rig, **members)]
    if what < 0.9:
        return [a_photo(rng.choice(outlets), rig=rig, **members)]
    if what < 0.96:
        arrival = an_arrival_check(rig=rig, **members)
        return [arrival, a_plug_in(arrival["id"], rig=rig, **members)]
    return [a_round(rig, devices[0], None, **members)]


def _day(rng: random.Random) -> str:
    moment = NOW - timedelta(days=rng.random() * 365 * YEARS)
    return moment.astimezone(THERE).isoformat(timespec="milliseconds")


def got(client: FlaskClient, path: str) -> None:
    """Ask for a page."""
    assert client.get(path).status_code == 200


def _pdf(folder: Path, url: str, rig: str) -> Iterator[Row]:
    """Draw the record by the command, in a process of its own, whose time and memory are told at its end."""
    seconds, megabytes, turns = [], [], []
    for _ in range(PDF_RUNS):
        turns.append(python_turn_ms())
        command = [*FIELDLOG, "record", rig, "--pdf", str(folder / "record.pdf")]
        surroundings = {**os.environ, "FIELDLOG_DATA": str(folder), "DATABASE_URL": url}
        process = os.posix_spawn(sys.executable, command, surroundings)
        _, status, used = os.wait4(process, 0)
        assert status == 0, status
        seconds.append(1000 * (used.ru_utime + used.ru_stime))
        megabytes.append(used.ru_maxrss * 1024 / 1e6)
    taken = Taken(tuple(seconds), tuple(turns))
    yield timed("  its record as a PDF", taken, "Python", PDF, has_goal=False, is_listed=True)
    yield Row("  and the memory for that", megabytes, "MB", limits=[Limit(most=MOST_MB)], is_listed=True)
