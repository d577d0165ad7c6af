"""The server is killed while phones hand records in: what was acknowledged is there, once."""

import json
import os
import random
import signal
import subprocess
import sys
import threading
import urllib.request
from datetime import timedelta
from http.client import HTTPException
from pathlib import Path
from typing import Any

import pytest

from fieldlog.clock import new_id, now
from fieldlog.store import migrations
from fieldlog.store.accounts import open_session
from fieldlog.store.log import logs, where_the_log_breaks
from fieldlog.store.session import open_store
from fieldlog.web.people.accounts import create_account
from tests.builders import an_arrival_check
from tests.ports import free_port

TOKEN = "a-token-of-the-test"
SENDERS = 3
PAUSE = threading.Event()


class KilledServer:
    """A served app that can be killed as a whole and started again."""

    def __init__(self, data: Path) -> None:
        self.port = free_port()
        self.environment = {**os.environ, "FIELDLOG_DATA": str(data), "PORT": str(self.port)}
        self.environment.pop("DATABASE_URL", None)
        self.start()

    def start(self) -> None:
        """Start it and wait until it is ready."""
        command = [sys.executable, "-c", "from fieldlog.cli import main; main(['serve'])"]
        self.process = subprocess.Popen(command, env=self.environment, start_new_session=True)
        for _ in range(300):
            try:
                with urllib.request.urlopen(f"http://127.0.0.1:{self.port}/healthz", timeout=2):
                    return
            except OSError:
                PAUSE.wait(0.05)
        raise AssertionError("the server did not start")

    def kill(self) -> None:
        """End every process of it at once, without a word."""
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()

    def send(self, record: dict[str, Any]) -> dict[str, Any]:
        """Hand one record in."""
        request = urllib.request.Request(
            f"http://127.0.0.1:{self.port}/api/records",
            data=json.dumps({"records": [record]}).encode(),
            headers={
                "Content-Type": "application/json",
                "Sec-Fetch-Site": "same-origin",
                "Cookie": f"fieldlog={TOKEN}",
            },
        )
        with urllib.request.urlopen(request, timeout=10) as answer:
            receipt: dict[str, Any] = json.load(answer)["receipts"][0]
        return receipt


class Sender(threading.Thread):
    """Hands records in until it is told to stop; what was not acknowledged is sent again."""

    def __init__(self, server: KilledServer, stop: threading.Event) -> None:
        super().__init__()
        self.server, self.stop = server, stop
        self.acknowledged: dict[str, str] = {}
        self.retried = 0

    def run(self) -> None:
        """Send one record after the other."""
        while not self.stop.is_set():
            record = an_arrival_check(id=new_id())
            while not self.stop.is_set() and record["id"] not in self.acknowledged:
                try:
                    receipt = self.server.send(record)
                except (OSError, ValueError, HTTPException):
                    self.retried += 1
                    self.stop.wait(0.02)
                else:
                    assert receipt["status"] in ("stored", "known"), receipt
                    self.acknowledged[record["id"]] = receipt["hash"]


def killed(data: Path, kills: int, seed: int) -> None:
    url = f"sqlite:///{data / 'fieldlog.sqlite3'}"
    store = open_store(url)
    migrations.upgrade(store)
    account = create_account(store, "Kim", "rain on the awning", now=now, new_id=new_id)
    with store.writing() as tx:
        open_session(tx, account, TOKEN, created_at=now(), expires_at=now() + timedelta(days=1))
    store.close()

    rng, stop = random.Random(seed), threading.Event()
    server = KilledServer(data)
    senders = [Sender(server, stop) for _ in range(SENDERS)]
    for sender in senders:
        sender.start()
    for _ in range(kills):
        PAUSE.wait(rng.uniform(0.1, 0.6))
        server.kill()
        server.start()
    PAUSE.wait(0.5)
    stop.set()
    for sender in senders:
        sender.join()
    server.kill()

    acknowledged = {key: value for sender in senders for key, value in sender.acknowledged.items()}
    store = open_store(url)
    with store.reading() as tx:
        rows = {row.id: row.hash for row in tx.exec_driver_sql("SELECT id, hash FROM records")}
        count = tx.exec_driver_sql("SELECT count(*) FROM records").scalar_one()
        is_whole = tx.exec_driver_sql("PRAGMA integrity_check").scalar_one()
        breaks = [where_the_log_breaks(tx, log) for log in logs(tx)]
    store.close()
    retried = sum(sender.retried for sender in senders)
    print(
        f"seed {seed}: {kills} kills, {len(acknowledged)} acknowledged, {count} rows, {retried} tries again"
    )
    assert len(acknowledged) >= kills
    assert {key: rows.get(key) for key in acknowledged} == acknowledged
    assert count == len(rows) <= len(acknowledged) + SENDERS
    assert is_whole == "ok"
    assert breaks == [None]


def test_what_was_acknowledged_survives_a_few_kills(tmp_path: Path) -> None:
    killed(tmp_path, kills=5, seed=41)


@pytest.mark.faults
def test_what_was_acknowledged_survives_two_hundred_kills(tmp_path: Path) -> None:
    killed(tmp_path, kills=200, seed=42)
