"""What a first check costs today beside the first release that is kept: opening the rulebook, and judging."""

import subprocess
import tempfile
import zipfile
from collections.abc import Iterator
from pathlib import Path
from typing import Final

from tests.bench_rows import Limit, Row
from tests.calibration import RUNS
from tests.node import ROOT, node_program

RELEASE: Final = ROOT / "tests/releases/464a49b38e68.zip"
"""Of 2026-11-25, before readings were asked what they are worth."""
DEARER: Final = 1.25
"""So many times its cost may today's be."""


def rows() -> Iterator[Row]:
    """Give the one row, each run of today's beside one of the release's, each in a Node of its own."""
    with tempfile.TemporaryDirectory() as folder:
        zipfile.ZipFile(RELEASE).extractall(folder)
        before = Path(folder) / "answers"
        (before / "static/js/package.json").write_text('{"type": "module"}')
        ratios = [
            first_ms(ROOT / "static", ROOT / "schemas/rulebook.json")
            / first_ms(before / "static", before / "rulebook.json")
            for _ in range(RUNS)
        ]
    yield Row(
        "a first check in Node, of what it took in the release of 2026-11-25",
        ratios,
        "times",
        limits=[Limit(most=DEARER)],
        is_listed=True,
    )


def first_ms(scripts: Path, rulebook: Path) -> float:
    """Open a rulebook and judge one check in a Node of its own [ms]."""
    told = [node_program(), "tests/js/first-check.mjs", str(scripts), str(rulebook)]
    return float(subprocess.run(told, capture_output=True, text=True, check=True, cwd=ROOT).stdout)
