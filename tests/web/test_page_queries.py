"""What pages ask the database: no scan of a table that grows, and no dearer answers of a million records."""

import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from statistics import median
from typing import Any, Final

import pytest
from flask.testing import FlaskClient
from sqlalchemy import event

from fieldlog.store.records import records_after
from fieldlog.store.session import Store
from tests.bench_long_log import NOW, SEED, TOKEN, fill, got
from tests.bench_store import installation

PAGES: Final = {
    "home": "/rigs",
    "rig health": "/rigs/{rig}",
    "an outlet over the years": "/rigs/{rig}/outlets/{outlet}/trends",
    "a search that finds": "/find?words=outlet",
    "a search that finds nothing": "/find?words=zebra",
    "history": "/history",
    "judged again": "/judged",
}
GROWING: Final = ("records", "chains", "flags", "judged_again")
RIGS, OF_A_RIG, ACCOUNTS = 10, 1_000, 100
TURNS: Final = 15


class Filled:
    """An account of some rigs, and so many others beside it as copies of it, in a database of its own."""

    def __init__(self, folder: Path, *, rigs: int, of_a_rig: int, accounts: int = 1) -> None:
        folder.mkdir()
        made = installation(folder, NOW)
        self.store: Store = made.store
        account = made.account
        found = [fill(made, of_a_rig, token=f"{TOKEN}{at}") for at in range(rigs)]
        self.rig = found[0]
        with self.store.reading() as tx:
            first = records_after(tx, account.id, 0, 20)
        self.outlet = next(entry.record.id for entry in first if entry.record.kind == "outlet")
        for number in range(1, accounts):
            self._copy(account.id, number)
        self.client: FlaskClient = made.app.test_client()
        self.client.set_cookie("fieldlog", f"{TOKEN}0")

    def _copy(self, account: str, number: int) -> None:
        """Write an account as another one beside it; only its texts name the ids of the first."""
        other = f"'{number:08x}' || substr({{}}, 9)".format
        with self.store.writing() as tx:
            run = tx.exec_driver_sql
            top = run("select max(seq) from records").scalar_one()
            shift = f"seq + {top}"
            run(
                f"insert into accounts select {other('id')}, 'Kim {number}', 'kim {number}', password_hash, "
                f"created_at from accounts where id = '{account}'"
            )
            for table, columns in _COPIED.items():
                made = ", ".join(
                    {"other": other(name), "shift": shift.replace("seq", name), "same": name}[how]
                    for name, how in columns.items()
                )
                run(
                    f"insert into {table} ({', '.join(columns)}) select {made} from {table} "
                    f"where account = '{account}'"
                )

    def seconds(self, path: str) -> float:
        """Ask for a page, and give the processor's time that it took."""
        began = time.process_time()
        got(self.client, path.format(rig=self.rig, outlet=self.outlet))
        return time.process_time() - began


_COPIED: Final = {
    "records": {
        **dict.fromkeys(("id", "account", "log", "rig", "subject", "corrects", "root"), "other"),
        **dict.fromkeys(("position", "hash", "head", "text", "received_at", "kind"), "same"),
        "seq": "shift",
    },
    "chains": {
        **dict.fromkeys(("account", "root", "log", "subject"), "other"),
        **dict.fromkeys(("kind", "telling", "observed_at", "is_apart", "is_noticed", "word"), "same"),
        **dict.fromkeys(("first_seq", "shown_seq"), "shift"),
    },
    "logs": {"account": "other", "log": "other", "position": "same", "head": "same"},
    "account_sizes": {"account": "other", "records": "same", "text_bytes": "same"},
}
"""By table: which columns name somebody else's in a copy, and which number its records."""


@contextmanager
def asking(store: Store) -> Iterator[list[tuple[str, Any]]]:
    """Note every question that is asked of the database."""
    asked: list[tuple[str, Any]] = []

    def note(_conn: Any, _cursor: Any, text: str, values: Any, *_: Any) -> None:
        asked.append((text, values))

    with store.reading() as tx:
        engine = tx.engine
    event.listen(engine, "before_cursor_execute", note)
    try:
        yield asked
    finally:
        event.remove(engine, "before_cursor_execute", note)


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Filled]:
    made = Filled(tmp_path_factory.mktemp("asked") / "some", rigs=2, of_a_rig=300)
    yield made
    made.store.close()


@pytest.mark.parametrize("path", PAGES.values(), ids=list(PAGES))
def test_no_question_of_a_page_goes_through_a_table_that_grows(filled: Filled, path: str) -> None:
    """The plans of SQLite, by its own EXPLAIN QUERY PLAN: each is looked up, and nothing is grouped."""
    with asking(filled.store) as asked:
        filled.seconds(path)

    questions = [
        (text, values) for text, values in asked if text.lstrip().upper().startswith(("SELECT", "WITH"))
    ]
    assert questions
    with filled.store.reading() as tx:
        for text, values in questions:
            plan = [str(row[-1]) for row in tx.exec_driver_sql(f"EXPLAIN QUERY PLAN {text}", values)]
            through = [step for step in plan for table in GROWING if step.startswith(f"SCAN {table}")]
            assert not through and not any("FOR GROUP BY" in step for step in plan), (text, plan)


@pytest.mark.deep
def test_a_million_records_of_a_thousand_rigs_make_no_page_dearer(tmp_path: Path) -> None:
    few = Filled(tmp_path / "few", rigs=RIGS, of_a_rig=OF_A_RIG)
    many = Filled(tmp_path / "many", rigs=RIGS, of_a_rig=OF_A_RIG, accounts=ACCOUNTS)
    size_mb = (tmp_path / "many/fieldlog.sqlite3").stat().st_size / 1e6
    print(
        f"{ACCOUNTS * RIGS * OF_A_RIG:,} records of {ACCOUNTS * RIGS:,} rigs, {size_mb:.0f} MB, seed {SEED}"
    )

    ratios = {name: _dearer(few.seconds, many.seconds, path) for name, path in PAGES.items()}
    for name, ratio in ratios.items():
        print(f"{name}: {ratio:.2f} times its cost with {RIGS * OF_A_RIG:,}")
    few.store.close()
    many.store.close()

    assert max(ratios.values()) <= 1.3, ratios


def _dearer(few: Callable[[str], float], many: Callable[[str], float], path: str) -> float:
    """Ask both in turns, so that what else the machine does falls on both."""
    few(path), many(path)
    pairs: Sequence[tuple[float, float]] = [(few(path), many(path)) for _ in range(TURNS)]
    return median(one for _, one in pairs) / median(one for one, _ in pairs)
