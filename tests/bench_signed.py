"""What a busy rig's record costs after ten years: its PDF beside a bare table, and verifying it."""

import io
import json
import os
import resource
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path
from time import process_time
from typing import Any, Final

from pypdf import PdfReader

from fieldlog.bundle.carried import record_in
from fieldlog.bundle.document import Scope
from fieldlog.bundle.verifying import verified
from fieldlog.pdf.process import ChildProcess, Order
from fieldlog.pdf.shelf import Shelf
from fieldlog.reports.paper import Draft, draw_draft
from fieldlog.reports.pdf import draw
from fieldlog.rulebook import load
from fieldlog.store.session import open_store_to_read
from fieldlog.sync.service_record import drafted_record
from fieldlog.sync.signed_record import as_file, signed_record
from fieldlog.sync.signing_keys import signing_keys
from tests.bench_rows import Limit, Promise, Row, timed
from tests.bench_store import installation
from tests.builders import (
    a_device,
    a_full_check,
    a_rig,
    a_round,
    a_trip_test,
    an_arrival_check,
    an_outlet,
    an_outlet_test,
)
from tests.calibration import beside, middle_ms

NOW: Final = datetime(2026, 11, 30, 12, tzinfo=UTC)
YEARS, OUTLETS, DEVICES, ARRIVALS = 10, 8, 2, 400
"""A busy rig: a round each month, with every outlet tested and every device tripped."""
MOST_TIMES, MOST_MB = 1.5, 300
VERIFYING: Final = Promise(most_ms=500)
RUNS: Final = 2
TRY: Final = 400


def rows() -> Iterator[Row]:
    """Give the rows of a signed record."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        made = installation(folder, NOW)
        records = log_of_years()
        made.fill(records)
        store, account, rig = made.store, made.account, str(records[0]["id"])
        keys = folder / "signing"
        asked = json.dumps({"url": made.url, "account": account.id, "rig": rig, "keys": str(keys)})
        measured = [_in_a_process(asked) for _ in range(RUNS)]
        times = [each["record_s"] / each["table_s"] for each in measured]
        pages = measured[0]["pages"]
        told = f"a busy rig's ten years as a PDF of {pages} pages, beside a table of as many"
        yield Row(told, times, "times", limits=[Limit(most=MOST_TIMES)], has_goal=False, is_listed=True)
        memory = [each["megabytes"] for each in measured]
        yield Row(
            "  and the memory for that",
            memory,
            "MB",
            limits=[Limit(most=MOST_MB, is_wish=True)],
            has_goal=False,
        )
        text = as_file(
            signed_record(
                store,
                load(),
                account.id,
                rig,
                keys=signing_keys(keys),
                scope=Scope(arrivals=True, photos=True),
                made_at=NOW,
            )
        )
        taken = beside(partial(middle_ms, partial(verified, text)))
        yield timed(
            "  verifying it, all of it shown", taken, "Python", VERIFYING, has_goal=False, is_listed=True
        )
        store.close()


def log_of_years() -> list[dict[str, Any]]:
    """Give a rig's records: each month a round of all of it, and arrivals spread over the years."""
    rig = a_rig()
    devices = [a_device(rig["id"], f"Device {number}") for number in range(DEVICES)]
    outlets = [an_outlet(rig["id"], f"Outlet {n}", devices[n % DEVICES]["id"]) for n in range(OUTLETS)]
    made = [rig, *devices, *outlets]
    for month in range(12 * YEARS):
        at = _at(30.4 * month)
        for device in devices:
            trip = a_trip_test(rig["id"], device["id"], observed_at=at)
            made += [trip, a_round(rig["id"], device["id"], trip["id"], observed_at=at)]
        check = a_full_check(where="rig")
        made += [an_outlet_test(rig["id"], outlet["id"], check, observed_at=at) for outlet in outlets]
    for number in range(ARRIVALS):
        at = _at(365 * YEARS * number / ARRIVALS)
        made.append(an_arrival_check(a_full_check(), rig=rig["id"], observed_at=at))
    return made


def _at(days: float) -> str:
    return (NOW - timedelta(days=days)).isoformat(timespec="milliseconds")


def _in_a_process(asked: str) -> dict[str, float]:
    """Draw it in a process of its own, since the memory of a process is known as its most."""
    run = [sys.executable, "-m", "tests.bench_signed"]
    done = subprocess.run(run, input=asked, capture_output=True, text=True, check=True, env=dict(os.environ))
    found: dict[str, float] = json.loads(done.stdout)
    return found


def _measured(url: str, account: str, rig: str, keys: str) -> dict[str, float]:
    megabytes = _most_resident_mb(url, account, rig, keys)
    store = open_store_to_read(url)
    begun = process_time()
    draft = drafted_record(
        store, load(), account, rig, made_at=NOW, address="https://log.example", keys=signing_keys(Path(keys))
    )
    made = draw_draft(draft)
    record_s = process_time() - begun
    store.close()
    assert verified(record_in(made)).subject["rig"]["id"] == rig
    pages = _pages(made)
    drawn, count, table_s = b"", TRY, 0.0
    for _ in range(3):  # a table's pages follow from its rows but roughly
        begun = process_time()
        drawn = draw(Draft(_table(count), ""))
        table_s = process_time() - begun
        if _pages(drawn) == pages:
            break
        count = round(count * pages / _pages(drawn))
    table_s *= pages / _pages(drawn)
    return {"record_s": record_s, "table_s": table_s, "megabytes": megabytes, "pages": pages}


def _pages(drawn: bytes) -> int:
    return len(PdfReader(io.BytesIO(drawn)).pages)


def _table(count: int) -> str:
    cells = "<td>2026-11-20</td><td>Outlet 3</td><td>use</td><td>Kim</td><td>1234 0123456789abcdef</td>"
    return f"<!doctype html><title>t</title><table>{f'<tr>{cells}</tr>' * count}</table>"


def _most_resident_mb(url: str, account: str, rig: str, keys: str) -> float:
    """Give the most that the process takes which draws for the server, of both its programs."""
    with tempfile.TemporaryDirectory() as folder:
        order = Order(
            database=url,
            folder=folder,
            job="job",
            account=account,
            rig=rig,
            paper="letter",
            address="https://log.example",
            made_at=NOW.isoformat(),
            most_mb=1000,
            signing=keys,
        )
        held = Shelf(Path(folder)).hold("job")
        drawing = ChildProcess(order, held)
        while drawing.wait(60) is None:
            pass
        assert (Path(folder) / "job.pdf").exists()
    return resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss * 1024 / 1e6


if __name__ == "__main__":
    print(json.dumps(_measured(**json.loads(sys.stdin.read()))))
