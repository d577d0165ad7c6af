"""The bench: each time in its unit and in turns of the calibration, with its goals.

deploy/check bench runs it. It fails where a limit or a promise is passed, or where a ratio is worse than its
goal by 10 % and the noise (bench_rows.py).
"""

import json
import sys
import tempfile
from collections.abc import Iterator
from datetime import UTC, datetime
from itertools import chain
from pathlib import Path
from typing import Final

from playwright.sync_api import sync_playwright

from tests import (
    bench_engine,
    bench_full_phone,
    bench_keeping,
    bench_long_account,
    bench_long_log,
    bench_pages,
    bench_plan,
    bench_rig,
    bench_signed,
    bench_trend,
)
from tests.bench_rows import Goal, Row, known_goals, line
from tests.browser.conftest import SWITCHES
from tests.browser.served import Server
from tests.calibration import PASSES, RUNS
from tests.node import ROOT

FOLDER: Final = ROOT / ".venv/bench"
HEAD: Final = (
    f"Seed {bench_engine.SEED}. Figures are medians of {RUNS} runs; beside each time stand its turns: "
    f"{PASSES:,} passes of a\nplain loop in the same language, as slowed, at the same moment, in Python "
    "with rows sorted into groups\n(syncs: 4,096 bytes written and synced). A promise of ms holds on one "
    "machine, there; what is allowed\nhere goes by a turn here beside one there (calibration.py).\n"
)


def rows() -> Iterator[Row]:
    """Give every row, as it is measured."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        server = Server(Path(folder))
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=SWITCHES)
        try:
            yield from chain(
                bench_engine.rows(browser, server),
                bench_rig.rows(),
                bench_trend.rows(),
                bench_plan.rows(browser, server),
                bench_keeping.rows(),
                bench_long_log.rows(),
                bench_long_account.rows(),
                bench_signed.rows(),
                bench_full_phone.rows(browser, server),
                bench_pages.rows(browser, server),
            )
        finally:
            browser.close()
            server.close()


def main() -> None:
    """Print every row, then those of DEVELOPERS.md; exit with 1 where something fails."""
    known, printed = known_goals(), list[Row]()
    print(HEAD)
    print(line("what", "figure", "turns", "goals"))
    for row in rows():
        print(line(row.what, row.shown, row.ratio, "; ".join(row.goals(known))), flush=True)
        printed.append(row)
    print(f"\nhanded in: {bench_keeping.MIX}\n\nFor DEVELOPERS.md:\n")
    print("| what | figure | turns | goals |\n|---|---|---|---|")
    for row in printed:
        if row.is_listed:
            print(f"| {row.what.strip()} | {row.shown} | {row.ratio} | {'; '.join(row.goals(known))} |")
    print(f"\nThe turns, for python -m tests.bench_goals: {kept(printed).relative_to(ROOT)}")
    fails = list(failing(printed, known))
    sys.exit(f"These fail: {'; '.join(fails)}" if fails else 0)


def failing(printed: list[Row], known: dict[str, Goal]) -> Iterator[str]:
    """Name the rows that fail, and the goals that no row has."""
    for row in printed:
        if any(told.startswith("FAILS") for told in row.goals(known)):
            yield row.what.strip()
    yield from (f"a goal without a row: {what}" for what in known.keys() - {row.what for row in printed})


def kept(printed: list[Row]) -> Path:
    """Keep the turns of each row that has a goal."""
    FOLDER.mkdir(exist_ok=True)
    file = FOLDER / f"{datetime.now(UTC):%Y-%m-%dT%H%M%S}.json"
    turns = {row.what: list(row.turns) for row in printed if row.turns and row.has_goal}
    file.write_text(json.dumps(turns, indent=2), encoding="utf-8")
    return file


if __name__ == "__main__":
    main()
