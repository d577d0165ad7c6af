"""What a page costs with 100,000 records beside 10,000, and how soon all of them are judged again."""

import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from statistics import median
from typing import Final

from flask.testing import FlaskClient

from fieldlog import rulebook
from fieldlog.store.records import records_after
from fieldlog.store.session import Store
from fieldlog.sync.judging_again import judge_all
from tests.bench_long_log import NOW, TOKEN, fill, got
from tests.bench_rows import Limit, Row
from tests.bench_store import installation

FEW, MANY = 10_000, 100_000
RUNS: Final = 7
NO_DEARER: Final = Limit(most=1.3)
PAGES: Final = {
    "the first page of the history": "/history",
    "a rig's first page": "/rigs/{rig}",
    "an outlet over the years": "/rigs/{rig}/outlets/{outlet}/trends",
    "a search that finds": "/find?words=outlet",
    "a search that finds nothing": "/find?words=zebra",
    "a search for a rare kind": "/find?kind=rig",
}


def rows() -> Iterator[Row]:
    """Give a row a page: how much dearer it is with ten times the records, by the processor's time."""
    with tempfile.TemporaryDirectory() as name:
        accounts = [Filled(Path(name) / str(count), count) for count in (FEW, MANY)]
        for what, path in PAGES.items():
            yield Row(
                f"{what}, {MANY:,} records beside {FEW:,}",
                list(dearer(accounts, path)),
                "times",
                limits=[NO_DEARER],
                is_listed=True,
            )
        yield Row(
            "checks judged again on one core",
            [judged_a_second(accounts[0].store)],
            "a second",
            limits=[Limit(least=2000)],
            is_listed=True,
        )
        for each in accounts:
            each.store.close()


class Filled:
    """An account with so many records, and the first of its outlets."""

    def __init__(self, folder: Path, count: int) -> None:
        folder.mkdir()
        made = installation(folder, NOW)
        self.store: Store = made.store
        self.rig = fill(made, count)
        with self.store.reading() as tx:
            first = records_after(tx, made.account.id, 0, 20)
        self.outlet = next(entry.record.id for entry in first if entry.record.kind == "outlet")
        self.client: FlaskClient = made.app.test_client()
        self.client.set_cookie("fieldlog", TOKEN)

    def seconds(self, path: str) -> float:
        """Ask for a page, and give the processor's time that it took."""
        began = time.process_time()
        got(self.client, path.format(rig=self.rig, outlet=self.outlet))
        return time.process_time() - began


def dearer(accounts: list[Filled], path: str) -> Iterator[float]:
    """Ask both in turns, so that what else the machine does falls on both; give a ratio for each third."""
    few, many = accounts
    few.seconds(path), many.seconds(path)
    for _ in range(3):
        pairs = [(few.seconds(path), many.seconds(path)) for _ in range(RUNS)]
        yield median(many for _, many in pairs) / median(few for few, _ in pairs)


def judged_a_second(store: Store) -> float:
    """Judge an account's checks again by today's rulebook; what else is in its log is not counted."""
    began, checks = time.process_time(), 0
    for part in judge_all(store, rulebook.load(), lambda first, newest: None):
        checks = part.reached.checks
    return checks / (time.process_time() - began)
